"""Which power basis a line of text speaks of: only words beside power, torque or correction do."""

from __future__ import annotations

import re

from .languages import in_english

# Words before and after a standard among which one must speak of power or correction.
_BEFORE, _AFTER, _CLOSE = 2, 1, 2
_BESIDE = re.compile(
    r"power|torque|correct\w*|corr|corr\.|uncorr\w*|correction|cf|factor|hp|bhp|kw|norm"
)
_NOT = re.compile(
    r"oil|\d+w(?:-?\d+)?|grade|date\w*|time\w*|gear\w*|fuel|plug\w*|thread\w*|bolt\w*|cert\w*"
    r"|calib\w*|camera|tool\w*|flow|map|tune|cam|cams|wheel\w*|tyre\w*|tire\w*|file|format|speed"
)
_STANDARD = {
    "sae_j1349": re.compile(r"sae|j1349|sae-?j1349"),
    "std_29_92": re.compile(r"std|j607|29\.92"),
    "iso_1585": re.compile(r"iso|iso-?1585"),
    "corrected": re.compile(r"din|ece|jis|eec"),
}
_NUMBERED = re.compile(r"j?\d{3,}\w*")
_OF_STANDARD = {"sae_j1349": "j?1349", "std_29_92": "j?607", "iso_1585": "1585"}
_UNCORRECTED = re.compile(
    r"\b(?:uncorr(?:ected)?|not corrected|no (?:power |torque )?corrections?)\b|生データ|実測値"
    r"|\b(?:raw|brut\w*|roh\w*|grezz\w*|ruwe|сыры\w*|surow\w*|ra) ?"
    r"(?:values?|figures?|numbers?|readings?|power|torque|valeurs?|werte?n?|valor\w*"
    r"|waarden|varden|данны\w*|dane|wartosci|messwerte?|messung|mesures?)\b"
    r"|\b(?:valeurs?|donnees|mesures?|valor[ei]s?|dat[io]s?) (?:brut\w*|grezz\w*|non corr\w*)\b"
)
_OFF = re.compile(
    r"(?:\bk?[ck]orr?\w*\.?|\bkorek\w*|\bkorja\w*|корр\w*|поправ\w*|補正|修正)"
    r"(?: (?:factor|mode|type|standard|method|power|torque|norm|faktor|to|of)){0,2}"
    r"(?:[\s:=,;|\t\"()-]+(?:is |was |set to )?(?:none|off|no|not|disabled|inactive|keine?|aucune?"
    r"|ninguna?|nessuna?|nenhuma?|geen|ingen|brak|zadna|nincs|yok|ei|нет|не|なし|无|无し|aus|ohne"
    r"|nicht|niet|inte|ikke|observed|uncorrected|unused|zero|null)\b|なし|無し)"
)
#: A factor of one changes nothing.
_FACTOR_OF_ONE = re.compile(
    r"\b(?:(?:corr\w*|korr\w*)[ -]?fa[ck]tor|correction|cf|korrekturfaktor)[\s:=,;|\t\"]+"
    r"1[.,]0{2,}(?!\d)"
)
_NEGATED = re.compile(
    r"\b(?:not|without)\b(?:[\W_]+\w+){0,3}?[\W_]+(?:sae|j1349|std|iso|din)\b"
    r"|\bno[ _]+(?:[a-z]+[ _]+)?(?:sae|j1349|std|iso|din)\b"
    r"|\b(?:sae|j1349|std|iso|din)\b(?:[\W_]+\w+){0,5}?[\W_]+not[\W_]+(?:applied|used|active|on)\b"
)
_THINGS = r"power|torque|values?|data|readings?|figures?|numbers?|results?|curves?|output|channels?"
_OBSERVED = re.compile(
    rf"\b(?:observed|obs)\b[\W_]+(?:\w+[\W_]+){{0,2}}(?:{_THINGS}|hp|kw|nm)\b"
    rf"|\b(?:{_THINGS})\b[\W_]+(?:\w+[\W_]+){{0,3}}(?:observed|obs)\b"
    r"|\b(?:basis|type|mode|kind)[\s:=]+(?:observed|obs)\b|^\W*observed\W*$"
    r"|\bvalor[ei]s? (?:osservat|observad)\w*"
)
#: What else may be corrected or not: then the words are no power basis.
_ELSEWHERE = re.compile(
    r"baro|temp|humid|weather|speed|lambda|afr|mileage|odometer|time|clock|ignition|press|altitude"
    r"|density|lens|typo|fuel|flow"
)
_OF_ANOTHER = re.compile(
    r"baro|temp|speed|lambda|afr|time|clock|ignit|press|fuel|flow|boost|map|egt"
)
_OF_OUTPUT = re.compile(
    rf"\b(?:{_THINGS}|hp|bhp|kw|nm)\b|corr\w* (?:factor|mode|standard)|korrektur"
)


def bases_in(text: str) -> set[str]:
    """Return the power bases that a line of text speaks of."""
    plain = in_english(text[:400])
    off = _OFF.search(plain)
    if off and not _OF_ANOTHER.search(" ".join(plain[: off.start()].split()[-3:])):
        return {"observed"}
    bases = set()
    for clause in re.split(r"[;|\n]|\s{2,}|\. ", plain):
        elsewhere = _ELSEWHERE.search(clause) and not _OF_OUTPUT.search(clause)
        if not elsewhere and any(p.search(clause) for p in (_UNCORRECTED, _OBSERVED)):
            bases.add("observed")
    if _FACTOR_OF_ONE.search(plain):
        bases.add("observed")
    words = re.findall(r"[\w.-]*\w", plain)
    for i, word in enumerate(words):
        near = words[max(0, i - _BEFORE) : i + _AFTER + 1]
        close = words[max(0, i - _CLOSE) : i + _CLOSE + 1]
        if not any(map(_BESIDE.fullmatch, near)) or any(map(_NOT.fullmatch, close)):
            continue
        following = words[i + 1] if i + 1 < len(words) else ""
        bases |= {_named(basis, following) for basis in _STANDARD if _fits(basis, word)}
    if _NEGATED.search(plain):  # which one is not used does not tell what is
        bases = bases & {"observed"} or {"corrected"}
    if "observed" in bases and re.search(r"\buncorr|not corrected", plain):
        bases -= {"corrected"}
    return bases


def _fits(basis: str, word: str) -> bool:
    return bool(_STANDARD[basis].fullmatch(word))


def _named(basis: str, following: str) -> str:
    """Return the basis, or just 'corrected' where the number that follows is another standard's."""
    known = re.fullmatch(_OF_STANDARD.get(basis, ""), following)
    if _NUMBERED.fullmatch(following) and not known:
        year = re.fullmatch(r"(?:19|20)\d\d", following)
        return basis if year and basis != "iso_1585" else "corrected"
    return "corrected" if following in ("gross", "net") else basis
