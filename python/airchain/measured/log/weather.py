"""The weather of a test: from the mapping, a column, or a line of text ('Baro: 29.6 inHg')."""

from __future__ import annotations

import re
from collections.abc import Iterable

from ...base.errors import InputError
from ...units.convert import to_si
from ..finding import Finding
from ..quantities import QUANTITIES
from .headings import words_of

WEATHER = ("barometer", "ambient_temperature", "relative_humidity")
_PAIR = re.compile(
    r"([^\W\d_][^\d:=;,\t\"]*?)[\s\"]*[:=;,\t][\s\";,\t]*([-+]?\d+(?:[.,]\d+)?)\s*([^\s;,\t\"\d]*)"
)
_AIR = re.compile(r"(?i)\s*[#%]*\s*(?:inlet |intake )?(?:air ?temp\w*|temp\w*|lufttemp\w*)\s*$")


def weather_in(
    notes: Iterable[tuple[int, str]],
) -> tuple[dict[str, tuple[float, str]], list[Finding]]:
    """Return SI values with their texts by name, and findings on what could not be read."""
    found: dict[str, tuple[float, str]] = {}
    findings = []
    for line, text in notes:
        for words, number, unit in _PAIR.findall(text):
            name = "ambient_temperature" if _AIR.match(words) else words_of(words.strip(" #%"))
            if name not in WEATHER:
                continue
            typed = f"{number.replace(',', '.')} {unit}".strip()
            try:
                value = to_si(typed, QUANTITIES[name].kind, field=name)
            except InputError as problem:
                words = f"{name} was not taken from the text: {problem}"
                findings.append(Finding("weather", words, (line,)))
                continue
            found[name] = (value, f"{typed}, line {line}")
    return found, findings


def is_weather(text: str) -> bool:
    """Return whether a line of text tells the weather."""
    return bool(weather_in([(0, text)])[0] or weather_in([(0, text)])[1])
