"""What the headings of logs mean: quantity, unit and power basis, from the words they use."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from ...units.text import known_unit
from .clocks import is_clock_unit
from .heading_rows import LONGEST, bare
from .heading_words import BASES, NOT_MEASURED, PATTERNS
from .languages import in_english
from .unit_factor import factor

_NOT_MEASURED = re.compile(NOT_MEASURED)
_COMPILED = [(name, re.compile(rf"(?:{pattern})$")) for name, pattern in PATTERNS]
_BASES = [
    (basis, re.compile(rf"(?i)(?<![\w.])(?:{pattern})(?!\w|\.\d)")) for basis, pattern in BASES
]
_UNIT_AT_END = re.compile(r"^(.*?)\s*[\[({<]([^\[\](){}<>]*)[\])}>]\s*$")
_BESIDE_BASIS = re.compile(r"(?i)(?<![\w.])(?:corr(?:ected)?\.?|to|by|per|acc\.?|rev\.?)(?!\w)")
_CAMEL = re.compile(r"(?<=[a-z]{2})(?=[A-Z][a-z])|(?<=Tq)(?=[A-Z])")
# In a log these are no nanometres, and a capital at the start of a millibar is no million.
_SPELLED = {
    "nm": "Nm", "ps": "PS", "mBar": "mbar", "mBAR": "mbar", "NM": "Nm",
    "hPA": "hPa", "KPA": "kPa", "KPa": "kPa",
    "kpa": "kPa",
    "tr/min": "rpm", "t/min": "rpm", "giri/min": "rpm", "omw/min": "rpm", "varv/min": "rpm",
    "obr/min": "rpm", "ot/min": "rpm", "U/min": "rpm", "u/min": "rpm", "rev/min": "rpm",
    "CV": "PS", "cv": "PS", "ch": "PS", "pk": "PS", "hk": "PS", "KM": "PS", "pferdestarke": "PS",
    "m.kg": "kgf m", "mkg": "kgf m", "kgm": "kgf m", "kg.m": "kgf m", "kgfm": "kgf m",
    "kg m": "kgf m", "kgf.m": "kgf m", "kpm": "kgf m",
}  # fmt: skip
_OF_TIME = ("s", "sec", "secs", "ms", "msec", "min")
_ANY_CASE = {
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "sek": "s", "deg f": "degF",
    "deg c": "degC", "deg. f": "degF", "deg. c": "degC", "degf": "degF", "degc": "degC",
    "degrees f": "degF", "degrees c": "degC", "celsius": "degC", "fahrenheit": "degF",
    "grad c": "degC", "grad": "degC", "msec": "ms", "rpms": "rpm", "1/min": "rpm", "min-1": "rpm",
    "horsepower": "hp", "bhp": "hp", "ft lb": "lb ft", "ft-lb": "lb ft", "ft.lb": "lb ft",
    "ft lbs": "lb ft", "ft-lbs": "lb ft", "lbs ft": "lb ft", "lbs-ft": "lb ft",
    "lbf.ft": "lb ft", "lb.ft": "lb ft", "ft.lbs": "lb ft", "ftlbs": "lb ft", "n.m": "N m",
    "ft/lbs": "lb ft", "ft/lb": "lb ft", "lbs/ft": "lb ft", "lb/ft": "lb ft",
    "ft. lbs": "lb ft", "ft. lb": "lb ft", "lb. ft": "lb ft", "mkp": "kgf m",
    "\u2109": "degF", "\u2103": "degC", "\u00ba c": "degC", "\u00bac": "degC",
    "\u00ba f": "degF", "\u00baf": "degF", "oc": "degC", "grad celsius": "degC", "upm": "rpm",
    "pk": "PS", "s": "s", "kg/cm2": "kgf/cm^2", "kg/cm\u00b2": "kgf/cm^2", "kp/cm2": "kgf/cm^2",
}  # fmt: skip
_FOOTING = re.compile(r"(.+?)[ (]+(abs|absolute|rel|gauge|[ag])\)?$")
_OF_PRESSURE = re.compile(
    r"\b(?:abs|absolut[aeo]?|absolue|absolute|ass|assoluta|rel|relativ[ae]?|relative|gauge|gage)\b"
)
_PREFIX = re.compile(r"^\s*(?:ch(?:annel)? ?\d+|ecu|dyno|daq|can|log) (?=\w)")
_OF_ECU = re.compile(r"(?i)\s*(?:ecu|ecm|pcm|dme|obd)\b")
#: What may stand above headings that tell a quantity by themselves: the engine, its brake, a run.
_OF_ENGINE = re.compile(
    r"(?i)(?:[\W\d_]|engine|motor|eng|crank(?:shaft)?|flywheel|brake|dyno|observed|obs|corrected|corr"
    r"|uncorrected|sae|std|iso|run|pull|test|log|data|daq|can|measured|measurements?|channels?|ch"
    r"|output|performance|main|sensors?|readings?|raw|group|results?|moteur|motore|bremse|prüfstand)*$"
)
_HEAT = re.compile(r"(?i)temp|(?<![a-z])(?:iat|egt|act|mat|clt|ect)(?![a-z])")
#: A number before a heading, a group before a stroke, and points where others put blanks.
_NUMBERED = re.compile(r"^\s*\d{1,3}\s*[:.)]\s*(?=[^\W\d])")
_GROUP = re.compile(r"^\s*([^/\\|\[\](){}]+)\s*[/\\|]\s*(?=[^\W\d]{2})")
_POINTS = re.compile(r"(?<=[^\W\d])\.(?=[^\W\d])")
_FILLERS = re.compile(
    r"\b(?:avg|average|mean|sensor|channel|ch|the|mittel|signal|actual|act\.|ist|value|measured|gemessen"
    r"|mesure|misurat[ao]|medid[ao]|gemeten|uppmatt)\b"
)
_LIKE_OUTPUT = re.compile(
    r"\b(?:torque|tq|trq|power|pwr|[bwi]?hp|horsepower|kw|ps|nm|lb ?ft|ft ?lbs?)\b"
)


@dataclass(frozen=True)
class Heading:
    """One heading: what quantity it names, if any, with unit and power basis as far as it says.

    `other_unit` is the heading's own unit where the row of units below it has another.
    """

    text: str
    index: int
    quantity: str
    unit: str
    basis: str
    other_unit: str = ""


def heading_of(text: str, index: int, unit_cell: str = "", own: str = "") -> Heading:
    """Return what a heading and the cell of the row of units below it say.

    `own` is the heading without what a row above it adds; it names the quantity where both do not,
    or else the row above does.
    """
    if len(text) > LONGEST or len(unit_cell) > LONGEST:
        return Heading(text, index, "", "", "")
    heading = _read(text, index, unit_cell)
    if not heading.quantity:
        heading = _plainly(text, index, unit_cell) or heading
    if heading.quantity or not own or own == text:
        return heading
    if _NOT_MEASURED.match(_words(_CAMEL.sub(" ", text))):
        return heading
    alone = _read(own, index, unit_cell)
    above = text.removesuffix(own)
    if alone.quantity in ("engine_speed", "torque", "power") and not _OF_ENGINE.match(above):
        return heading  # of another shaft
    if not alone.quantity:  # the row above names it, its own tells a channel's number
        alone = _read(text.removesuffix(own).strip(), index, unit_cell)
    basis = heading.basis or alone.basis
    unit, other = (alone.unit or heading.unit), (alone.other_unit or heading.other_unit)
    return Heading(text, index, alone.quantity, unit, basis, other)


def _plainly(text: str, index: int, unit_cell: str) -> Heading | None:
    """Return what a heading says without its number, group and points; None where nothing."""
    plain = _NUMBERED.sub("", text)
    group = _GROUP.match(plain)
    if group and _OF_ENGINE.match(group[1]):
        plain = plain[group.end() :]
    if " " not in plain:
        plain = _POINTS.sub(" ", plain)
    heading = _read(plain, index, unit_cell) if plain != text else None
    return replace(heading, text=text) if heading and heading.quantity else None


def _read(text: str, index: int, unit_cell: str) -> Heading:
    name, unit = _unit_apart(text)
    above, below = meaning_of(_basis_apart(unit)[0]), meaning_of(_basis_apart(bare(unit_cell))[0])
    other = above if above != below and known_unit(above) and known_unit(below) else ""
    name, unit = _CAMEL.sub(" ", name), bare(unit_cell) or unit
    bare_unit, of_unit = _basis_apart(unit)
    bare_name, of_name = _basis_apart(name)
    quantity = _quantity(_words(bare_name))
    if quantity not in ("torque", "power"):  # a basis is one only beside torque or power
        quantity = _quantity(_words(name))
        of_name = of_unit = ""
        bare_unit = unit
    spaced = _CAMEL.sub(" ", text)
    if not quantity and spaced != text and not unit:  # 'ObservedTorqueNm'
        return replace(_read(spaced, index, unit_cell), text=text)
    if not quantity:  # 'Blower RPM': what was taken for the unit belongs to the name
        bare_name, of_name = _basis_apart(_CAMEL.sub(" ", text))
        quantity = _quantity(_words(bare_name))
        of_name = of_name if quantity in ("torque", "power") else ""
        if quantity and not unit_cell:
            bare_unit = bare_unit if known_unit(bare_unit) else ""
    words = _words(bare_name)
    if quantity in ("torque", "power") and _OF_ECU.match(text):
        quantity = ""  # an estimate of the control unit, not a brake's reading
    if quantity == "engine_speed" and known_unit(bare_unit) and factor(bare_unit, "speed") is None:
        quantity = ""  # of the vehicle or the roller
    if not bare_unit and quantity and known_unit(_SPELLED.get(words, words)):
        bare_unit = words  # a column headed hp or rpm names quantity and unit at once
    return Heading(text, index, quantity, meaning_of(bare_unit), of_name or of_unit, other)


def _quantity(words: str) -> str:
    if _NOT_MEASURED.match(words):
        return ""
    found = next((name for name, pattern in _COMPILED if pattern.match(words)), "")
    bare_words = re.sub(r"\s+", " ", _OF_PRESSURE.sub(" ", words)).strip()
    if not found and bare_words != words:  # 'MAP abs': what a pressure counts from is told apart
        found = _quantity(bare_words)
        found = found if found.endswith("pressure") else ""
    return found


def words_of(text: str) -> str:
    """Return the quantity that some words name, or an empty text."""
    return heading_of(text, 0).quantity


def like_output(text: str) -> bool:
    """Return whether a heading looks like torque or power, of whatever kind."""
    return bool(_LIKE_OUTPUT.search(_words(_CAMEL.sub(" ", text[:LONGEST]))))


def _unit_apart(text: str) -> tuple[str, str]:
    """Return a heading without its unit, and the unit."""
    bracketed = _UNIT_AT_END.match(text)
    if bracketed and bracketed[1]:
        return bracketed[1], bracketed[2].strip()
    name, stroke, tail = text.rpartition(" / ")  # ISO 80000-1: a quantity over its unit
    if stroke and known_unit(meaning_of(tail.strip())):
        return name, tail.strip()
    name, comma, tail = text.rpartition(",")
    if comma and known_unit(_basis_apart(tail.strip())[0]):
        return name, tail.strip()
    words = re.split(r"[\s_]+", text.strip())
    for count in (3, 2, 1):
        tail = " ".join(words[-count:])
        if (
            len(words) > count
            and known_unit(_SPELLED.get(tail, tail if tail.isascii() else meaning_of(tail)))
            and not re.fullmatch(r"[a-zA-Z]\d?|in", tail)
        ):
            return " ".join(words[:-count]), tail
    if len(words) > 1 and words[-1] in ("F", "C", "K", "R") and _HEAT.search(text):
        return " ".join(words[:-1]), words[-1]
    if "_" in text and words[-1] in ("f", "c", "k") and _HEAT.search(text):
        return " ".join(words[:-1]), words[-1].upper()
    if [word.lower() for word in words[:-1]] == ["time"] and words[-1].lower() in _OF_TIME:
        return words[0], words[-1].lower()
    return text, ""


def _basis_apart(text: str) -> tuple[str, str]:
    """Return a text without the words that tell the power basis, and the basis."""
    plain = text.replace("_", " ")
    if re.search(r"(?i)corr|corri|korr|korj|skor|correg|corret", plain):
        plain = in_english(plain)
    for basis, pattern in _BASES:
        rest, count = pattern.subn(" ", plain)
        if count:
            rest = _BESIDE_BASIS.sub(" ", rest)
            return re.sub(r"\s+", " ", rest).strip(" ,;:-()[]"), basis
    return text.strip(), ""


def _words(name: str) -> str:
    text = name.lower()
    text = re.sub(r"[^\w/λ%']+|_", " ", text)
    text = _PREFIX.sub("", text)
    text = re.sub(r"(?<=[a-z]{3})(?=\d)", " ", in_english(text))
    text = re.sub(r"temperat\w*", "temp", text).replace("pressure", "press")
    return re.sub(r"\s+", " ", _FILLERS.sub(" ", text)).strip()


def meaning_of(unit: str) -> str:
    """Return a unit's text, empty for signs that mean a plain number."""
    if unit.lower() in ("-", "1", "lambda", "λ", "none", "n/a"):
        return ""
    if is_clock_unit(unit):
        return "s"
    plain = unit if known_unit(unit) else unit.replace("_", " ")
    footing = _FOOTING.match(plain)
    if footing and not known_unit(plain):
        plain = f"{meaning_of(footing[1])} {footing[2]}"
    return _SPELLED.get(plain) or _ANY_CASE.get(plain.lower().strip(". "), plain)
