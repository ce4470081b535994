"""The weather of a test: from the mapping, a column, or a line of text ('Baro: 29.6 inHg')."""

from __future__ import annotations

import re
from collections.abc import Iterable

import numpy as np

from ...base.errors import InputError
from ...units.convert import NUMBER, to_si
from ...units.text import known_unit, pressure_reading
from ..finding import Finding
from ..quantities import QUANTITIES
from .footing import unit_by_size
from .headings import meaning_of, words_of
from .limits import usual

_LONGEST = 400
WEATHER = ("barometer", "ambient_temperature", "relative_humidity")
_PAIR = re.compile(
    r"([^\W\d_][^\d:=;,\t\"]*?)[\s\"]*[:=;,\t][\s\";,\t]*([-+]?(?:\d{1,3}(?:[,']\d{3})+\.\d+|\d+(?:[.,]\d+)?))\s*([^\s;,\t\"\d]*)"
    r"(?=(?:[\"\s]*[;,\t][\"\s]*([^\s;,\t\"\d]+))?)"
)
#: Inches of mercury as they are written by hand: 29.6"Hg.
_MERCURY = re.compile(r"(?i)(?<=\d)\s*(?:\"|''|\u2033|in\.? ?)\s*hg\b")
#: The same with a blank alone between word and number; a unit must follow.
_SPACED = re.compile(r"([^\W\d_][^\d:=;,\t\"]*?) +([-+]?\d+(?:[.,]\d+)?)\s*([^\s;,\t\"\d]+)")
_SEA_LEVEL = re.compile(r"(?i)\b(?:sea[- ]?level|msl|mslp|slp|qnh|altimeter)\b")
_AIR = re.compile(r"(?i)\s*[#%]*\s*(?:inlet |intake )?(?:air ?temp\w*|temp\w*|lufttemp\w*)\s*$")


def weather_in(
    notes: Iterable[tuple[int, str]],
) -> tuple[dict[str, tuple[float, str]], list[Finding]]:
    """Return SI values with their texts by name, and findings on what could not be read.

    What is told twice, with different numbers, is not taken.
    """
    known: dict[str, tuple[float, str]] = {}
    findings: list[Finding] = []
    for line, text in notes:
        for (words, number, unit), sure in _told(text[:_LONGEST]):
            name = "ambient_temperature" if _AIR.match(words) else words_of(words.strip(" #%"))
            if name not in WEATHER:
                continue
            value, typed = _best_value(name, number, unit)
            if isinstance(value, str) and not sure:
                continue
            if name == "barometer" and _SEA_LEVEL.search(text):
                value = "at sea level it is not the one at the engine"
            if isinstance(value, str):
                problem = f"{name.replace('_', ' ')} was not taken from the text: {value}"
                findings.append(Finding("weather", problem, (line,)))
            elif name in known and abs(value / (known[name][0] or 1.0) - 1.0) > 2e-3:
                what = f"{name.replace('_', ' ')}, {known[name][1]} and {typed}"
                problem = f"the text gives two values of {what}; the first was taken"
                findings.append(Finding("weather", problem, (line,)))
            else:
                known.setdefault(name, (value, f"{typed}, line {line}"))
    return known, findings


def _told(text: str) -> Iterable[tuple[tuple[str, str, str], bool]]:
    """Yield words, number and unit of a text, and whether a mark between them makes it sure."""
    text = _MERCURY.sub("inHg", text)
    for words, number, unit, beside in _PAIR.findall(text):
        yield (words, number, unit or (beside if known_unit(meaning_of(beside)) else "")), True
    yield from ((told, False) for told in _SPACED.findall(text))


def _best_value(name: str, number: str, unit: str) -> tuple[float | str, str]:
    """Return a value; its comma is a thousands mark where it can be no decimal mark."""
    decimal = number.replace(",", ".") if number.count(",") + number.count(".") == 1 else ""
    thousands = re.sub(r"[,'](?=\d{3})", "", number)
    numbers = [text for text in dict.fromkeys((decimal, thousands)) if NUMBER.fullmatch(text)]
    if not numbers:
        return f"{number} is no number", number
    values = [_value(name, text, unit) for text in numbers]
    return next((pair for pair in values if not isinstance(pair[0], str)), values[0])


def _value(name: str, number: str, unit: str) -> tuple[float | str, str]:
    """Return an SI value, or why there is none, and the text that it was taken from."""
    unit = meaning_of(unit)
    if not unit and name == "relative_humidity" and 1.0 <= float(number) <= 1.5:
        return f"{number} may be a share or per cent", number
    if not unit:
        unit = unit_by_size(name, np.array([float(number)]))[0]
    typed = f"{number} {unit}".strip()
    kind = QUANTITIES[name].kind
    bare, _ = pressure_reading(unit) if kind == "barometer" else (unit, "")
    try:
        value = to_si(f"{number} {bare}".strip(), _kind(kind), field=name)
    except InputError as problem:
        return str(problem), typed
    if not usual(name, value):
        return f"{typed} is no {QUANTITIES[name].words} that there can be", typed
    return value, typed


def _kind(kind: str) -> str:
    return "pressure_difference" if kind == "barometer" else kind


def is_weather(text: str) -> bool:
    """Return whether a line of text tells the weather."""
    return bool(weather_in([(0, text)])[0] or weather_in([(0, text)])[1])
