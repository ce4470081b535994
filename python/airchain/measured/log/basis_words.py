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
    r"\b(?:uncorr(?:ected)?|not corrected|no (?:power |torque )?corrections?)\b"
)
_OFF = re.compile(
    r"\bcorr\w*\.?(?: (?:factor|mode|type|standard|method))?[\s:=,;\t\"]+"
    r"(?:none|off|no|disabled|keine?|aucune?|ninguna?|nessuna?|observed|uncorrected)\b"
)
_NEGATED = re.compile(
    r"\b(?:not|without)\b(?:[\W_]+\w+){0,3}?[\W_]+(?:sae|j1349|std|iso|din)\b"
    r"|\bno[ _]+(?:[a-z]+[ _]+)?(?:sae|j1349|std|iso|din)\b"
    r"|\b(?:sae|j1349|std|iso|din)\b(?:[\W_]+\w+){0,5}?[\W_]+not[\W_]+(?:applied|used|active|on)\b"
)
_OBSERVED = re.compile(
    r"\b(?:observed|obs)\b[\W_]+(?:\w+[\W_]+){0,2}(?:power|torque|values?|data|readings?|figures?)\b"
    r"|\b(?:power|torque|values?|readings?|figures?)\b[\W_]+(?:\w+[\W_]+){0,3}(?:observed|obs)\b"
)


def bases_in(text: str) -> set[str]:
    """Return the power bases that a line of text speaks of."""
    plain = in_english(text[:400])
    bases = set()
    if _UNCORRECTED.search(plain) or _OFF.search(plain) or _OBSERVED.search(plain):
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
