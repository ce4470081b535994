"""What the headings of logs mean: quantity, unit and power basis, from the words they use."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ...units.text import known_unit
from .heading_words import BASES, NOT_MEASURED, PATTERNS
from .layout import bare

_NOT_MEASURED = re.compile(NOT_MEASURED)
_COMPILED = [(name, re.compile(rf"(?:{pattern})$")) for name, pattern in PATTERNS]
_UNIT_AT_END = re.compile(r"^(.*?)\s*[\[({<]([^\[\](){}<>]*)[\])}>]\s*$")
_CAMEL = re.compile(r"(?<=[a-z]{2})(?=[A-Z][a-z])|(?<=Tq)(?=[A-Z])")
# In a log these are no nanometres.
_SMALL_LETTERS = {"nm": "Nm", "ps": "PS", "NM": "Nm", "hPA": "hPa", "KPA": "kPa", "KPa": "kPa"}
# At the end of a name these are numbers of sensors and the like, and the word 'in'.
_NO_UNIT = re.compile(r"[a-zA-Z]\d?|in")
_FILLERS = re.compile(r"\b(?:avg|average|mean|sensor|channel|ch|the|mittel|signal)\b")


@dataclass(frozen=True)
class Heading:
    """One heading: what quantity it names, if any, with unit and power basis as far as it says."""

    text: str
    index: int
    quantity: str
    unit: str
    basis: str


def heading_of(text: str, index: int, unit_cell: str = "") -> Heading:
    """Return what a heading and the cell of the row of units below it say."""
    name, unit = _unit_apart(_CAMEL.sub(" ", text))
    unit = bare(unit_cell) or unit
    unit, of_unit = _basis_apart(unit)
    name, of_name = _basis_apart(name)
    quantity = _quantity(_words(name))
    if not quantity:  # 'Blower RPM': what was taken for the unit belongs to the name
        name, _ = _basis_apart(_CAMEL.sub(" ", text))
        quantity = _quantity(_words(name))
    words = _words(name)
    if not unit and quantity and known_unit(words):
        unit = words  # a column headed hp or rpm names quantity and unit at once
    return Heading(text, index, quantity, _meaning(unit), of_name or of_unit)


def _quantity(words: str) -> str:
    if _NOT_MEASURED.match(words):
        return ""
    return next((name for name, pattern in _COMPILED if pattern.match(words)), "")


def words_of(text: str) -> str:
    """Return the quantity that some words name, or an empty text."""
    return heading_of(text, 0).quantity


def bases_in(text: str) -> set[str]:
    """Return the power bases that a line of text speaks of."""
    words = text.lower()
    return {b for b, pattern in BASES if re.search(rf"(?<![\w.])(?:{pattern})(?!\w|\.\d)", words)}


def _unit_apart(text: str) -> tuple[str, str]:
    """Return a heading without its unit, and the unit."""
    bracketed = _UNIT_AT_END.match(text)
    if bracketed and bracketed[1]:
        return bracketed[1], bracketed[2].strip()
    name, comma, tail = text.rpartition(",")
    if comma and known_unit(_basis_apart(tail.strip())[0]):
        return name, tail.strip()
    words = re.split(r"[\s_]+", text.strip())
    for count in (3, 2, 1):
        tail = " ".join(words[-count:])
        if (
            len(words) > count
            and known_unit(_SMALL_LETTERS.get(tail, tail))
            and not re.fullmatch(r"[a-zA-Z]\d?|in", tail)
        ):
            return " ".join(words[:-count]), tail
    if len(words) > 1 and words[-1] in ("F", "C", "K", "R") and "temp" in text.lower():
        return " ".join(words[:-1]), words[-1]
    return text, ""


def _basis_apart(text: str) -> tuple[str, str]:
    """Return a text without the words that tell the power basis, and the basis."""
    for basis, pattern in BASES:
        rest, count = re.subn(
            rf"(?i)(?<![\w.])(?:{pattern})(?!\w|\.\d)", " ", text.replace("_", " ")
        )
        if count:
            return re.sub(r"\s+", " ", rest).strip(" ,;:-()[]"), basis
    return text.strip(), ""


def _words(name: str) -> str:
    text = name.lower()
    text = re.sub(r"[^\w/λ%]+|_", " ", text)
    text = re.sub(r"(?<=[a-z]{3})(?=\d)", " ", text)
    text = re.sub(r"temperatur\w*", "temp", text).replace("pressure", "press")
    return re.sub(r"\s+", " ", _FILLERS.sub(" ", text)).strip()


def _meaning(unit: str) -> str:
    """Return a unit's text, empty for signs that mean a plain number."""
    if unit.lower() in ("-", "1", "lambda", "λ", "none", "n/a"):
        return ""
    plain = unit if known_unit(unit) else unit.replace("_", " ")
    return _SMALL_LETTERS.get(plain, plain)
