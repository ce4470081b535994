"""What the headings of logs mean: quantity, unit and power basis, from the words they use."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from ...units.text import known_unit
from .heading_rows import LONGEST, bare
from .heading_words import BASES, NOT_MEASURED, PATTERNS
from .languages import correction_in_english, in_english, without_accents
from .loose_headings import Loose, read_loosely, unit_in_brackets
from .unit_factor import factor
from .unit_words import is_unit, meaning_of, unmangled

_NOT_MEASURED = re.compile(NOT_MEASURED)
_COMPILED = [(name, re.compile(rf"(?:{pattern})$")) for name, pattern in PATTERNS]
_BASES = [
    (basis, re.compile(rf"(?i)(?<![\w.])(?:{pattern})(?!\w|\.\d)")) for basis, pattern in BASES
]
_UNIT_AT_END = re.compile(r"^(.*?)\s*[\[({<]([^\[\](){}<>]*)[\])}>]\s*$")
_BESIDE_BASIS = re.compile(r"(?i)(?<![\w.])(?:corr(?:ected)?\.?|to|by|per|acc\.?|rev\.?)(?!\w)")
_CAMEL = re.compile(r"(?<=[a-z]{2})(?=[A-Z][a-zA-Z])|(?<=Tq)(?=[A-Z])")
_OF_TIME = ("s", "sec", "secs", "ms", "msec", "min")
_OF_PRESSURE = re.compile(
    r"\b(?:abs|absolu\w*|ass|assolut[ao]|rel|relati\w*|gauge|gage|bezwzgl\w*|изб\w*|абс\w*)\b"
)
_PREFIX = re.compile(r"^\s*(?:ch(?:annel)? ?\d+|ecu|dyno|daq|can|log) (?=\w)")
_DOTTED = re.compile(r"(?<=[A-Za-z]{2})\.(?=[A-Za-z]{3})")
#: Points that stand for blanks, where a heading has none; not those of a unit in brackets.
_POINTS = re.compile(r"(?<=[^\W\d])\.(?=[^\W\d])(?![^\[({]*[\])}])")
_WITHOUT_UNIT = ("lambda", "run", "relative_humidity", "time")
_IN_OTHER_WORDS = re.compile(r"(?i)corr|corri|korr|korj|korek|skor|correg|corret|корр|補正|修正")
_OF_ECU = re.compile(r"(?i)\s*(?:ecu|ecm|pcm|dme|obd)\b")
#: What may stand above headings that tell a quantity by themselves: the engine, its brake, a run.
_OF_ENGINE = re.compile(
    r"(?i)(?:[\W\d_]|engine|motor|eng|crank(?:shaft)?|flywheel|brake|dyno|observed|obs|corrected|corr"
    r"|uncorrected|sae|std|iso|run|pull|test|log|data|daq|can|measured|measurements?|channels?|ch"
    r"|output|performance|main|sensors?|readings?|raw|group|results?|moteur|motore|bremse|prüfstand)*$"
)
_HEAT = re.compile(r"(?i)temp|(?<![a-z])(?:iat|egt|act|mat|clt|ect)(?![a-z])")
_FILLERS = re.compile(
    r"\b(?:avg|average|mean|sensor|channel|ch|the|mittel|signal|actual|act\.|ist|value|measured|gemessen"
    r"|mesure|misurat[ao]|medid[ao]|gemeten|uppmatt)\b"
)
_LIKE_OUTPUT = re.compile(
    r"\b(?:torque|w?tq|trq|torq|power|pwr|r?[bwif]?hp|rwtq|horsepower|kw|ps|nm|lb ?ft|ft ?lbs?)\b"
    r"|(?:torque|trq|pwr|power)\b"
)


@dataclass(frozen=True)
class Heading:
    """One heading: what quantity it names, if any, with unit and power basis as far as it says.

    `other_unit` is the heading's own unit where the row of units below it has another; `loose`
    tells that it was read word by word.
    """

    text: str
    index: int
    quantity: str
    unit: str
    basis: str
    other_unit: str = ""
    loose: bool = False


def heading_of(text: str, index: int, unit_cell: str = "", own: str = "") -> Heading:
    """Return what a heading and the cell of the row of units below it say.

    `own` is the heading without what a row above it adds; it names the quantity where both do not,
    or else the row above does.
    """
    if len(text) > LONGEST or len(unit_cell) > LONGEST:
        return Heading(text, index, "", "", "")
    strict = _strictly(text, index, unit_cell, own)
    clear = is_unit(strict.unit) or strict.quantity in _WITHOUT_UNIT
    if strict.quantity and clear:
        return strict
    return _loosely(strict, unit_cell, own)


def _strictly(text: str, index: int, unit_cell: str, own: str) -> Heading:
    """Return what the patterns of headings tell."""
    heading = _read(text, index, unit_cell)
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


def _loosely(strict: Heading, unit_cell: str, own: str) -> Heading:
    """Return what a heading says word by word, where the patterns leave quantity or unit open."""
    unit_cell = bare(unit_cell)
    for text in dict.fromkeys((strict.text, own)):
        text = unmangled(text)
        parted = (_DOTTED if " " in text else _POINTS).sub(" ", text)
        rest, basis = _basis_marked(parted)
        found = read_loosely(rest, unit_cell, _NOT_MEASURED) if basis else Loose("", "", ())
        if found.quantity not in ("torque", "power"):  # a basis is one only beside these
            found, basis = read_loosely(parted, unit_cell, _NOT_MEASURED), ""
        if found.quantity in ("torque", "power") and _OF_ECU.match(parted):
            continue
        if found.quantity and found.quantity == (strict.quantity or found.quantity):
            unit = found.unit if is_unit(found.unit) else strict.unit
            basis, loose = strict.basis or basis, not strict.quantity
            return replace(strict, quantity=found.quantity, unit=unit, basis=basis, loose=loose)
    return strict if strict.unit else replace(strict, unit=unit_in_brackets(strict.text))


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
    if not bare_unit and quantity and is_unit(meaning_of(words)) and words.isascii():
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


def names_another(text: str) -> bool:
    """Return whether a heading says that it is no reading of the engine, such as a target."""
    return bool(_NOT_MEASURED.match(_words(_CAMEL.sub(" ", text[:LONGEST]))))


def _unit_apart(text: str) -> tuple[str, str]:
    """Return a heading without its unit, and the unit."""
    bracketed = _UNIT_AT_END.match(text)
    if bracketed and bracketed[1]:
        return bracketed[1], bracketed[2].strip()
    name, stroke, tail = text.rpartition(" / ")  # ISO 80000-1: a quantity over its unit
    if stroke and is_unit(meaning_of(tail.strip())):
        return name, tail.strip()
    name, comma, tail = text.rpartition(",")
    if comma and known_unit(_basis_apart(tail.strip())[0]):
        return name, tail.strip()
    words = re.split(r"[\s_]+", text.strip())
    for count in (3, 2, 1):
        tail = " ".join(words[-count:])
        if (
            len(words) > count
            and is_unit(meaning_of(tail))
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
    rest, basis = _basis_marked(text)
    return (rest.strip(" ,;:-()[]"), basis) if basis else (text.strip(), "")


def _basis_marked(text: str) -> tuple[str, str]:
    """Return a text with the words that tell the power basis blanked out, and the basis."""
    plain = without_accents(text.replace("_", " "))
    if _IN_OTHER_WORDS.search(plain):
        plain = correction_in_english(plain)
    for spaced in dict.fromkeys((plain, _CAMEL.sub(" ", plain))):
        for basis, pattern in _BASES:
            rest, count = pattern.subn(" ", spaced)
            if count:
                return re.sub(r"\s+", " ", _BESIDE_BASIS.sub(" ", rest)), basis
    return text, ""


def _words(name: str) -> str:
    text = unmangled(name).lower()
    text = re.sub(r"[^\w/λ%']+|_", " ", text)
    text = _PREFIX.sub("", text)
    text = re.sub(r"(?<=[a-z]{3})(?=\d)", " ", in_english(text))
    text = re.sub(r"temperat\w*", "temp", text).replace("pressure", "press")
    return re.sub(r"\s+", " ", _FILLERS.sub(" ", text)).strip()
