"""The weather of a test: from the mapping, a column, or a line of text ('Baro: 29.6 inHg')."""

from __future__ import annotations

import re
from collections.abc import Iterable

import numpy as np

from ...base.errors import InputError
from ...units.convert import NUMBER, to_si
from ...units.text import pressure_reading
from ..finding import Finding
from ..quantities import QUANTITIES
from .footing import unit_by_size
from .headings import words_of
from .limits import usual
from .loose_headings import kind_of_unit
from .unit_words import is_unit, meaning_of
from .word_list import word_set, words_in_english

_LONGEST = 400
_ELEVATION = re.compile(
    r"(?i)\b(?:elev(?:ation)?|altitude|alt|h(?:ö|oe)he|altitud|quota|hoogte"
    r"|above sea level)\b\D{0,12}?"
    r"(\d{1,2}[,' ]\d{3}|\d{2,5})\s*(m|ft|feet)\b"
)
_HIGH_WEATHER = 4.5e3  # Pa: no weather lies as far above the standard atmosphere
_LETTERS = ("C", "F", "K", "с")
_SMALL = word_set("is was at about ca approx reads reading value during before run the")
#: A pressure reduced to sea level is no barometer.
_QNH = re.compile(r"(?i)\bqnh\b|sea ?level|\bslp\b|\bmsl\b|\bnn\b|altimeter")
#: Inches of mercury as they are written by hand: 29.6"Hg.
_MERCURY = re.compile(r"(?i)(?<=\d)\s*(?:\"|''|\u2033|in\.? ?)\s*hg\b")
_AT_SEA = "pressure at sea level"
WEATHER = ("barometer", "ambient_temperature", "relative_humidity")
_NUMBER = re.compile(
    r"(?<![\w-])(?<!\d[.,:/])([-+]?(?:\d{1,3}(?:[,']\d{3})+\.\d+|\d+(?:[.,]\d+)?))(?![\d:])(?!\.\d)"
)
#: A unit behind a number: of two words, or of one.
_UNIT = re.compile(
    r"[\s\"]*(?P<mark>[;\t,|]?)[\s\"]*"
    r"(?P<unit>(?:deg(?:rees?|\.)?|in\.?|mm|grad|per|°) ?(?:c|f|hg|cent|celsius"
    r"|fahrenheit|с)\b|(?:мм рт\. ?ст)|[^\s;,\t|\"\d()\[\]=:]+)"
    r"(?P<more> ?(?:abs|absolute|a|\(abs\.?\)))?",
    re.IGNORECASE,
)
_BRACKETS = re.compile(r"[\[(]([^\[\]()]*)[\])]")
_SURE = re.compile(r"(?:[:=;,\t|/]|\])[\s\"]*$")
_AIR = re.compile(
    r"^(?:(?:inlet|intake|amb|ambient|room|cell|test|dyno|lab) )*(?:air|ambient|room|cell|lab)"
    r"(?: (?:inlet|in|room|cell))*(?: temp)?$|^temp(?: (?:air|ambient|room|cell))?$|^t air$"
    r"|^dry bulb(?: temp)?$"
)
_LEADING = re.compile(r"^(?:weather|conditions?|wetter|meteo|ambient conditions?|test) ")
_SHARE = 1.0
_HUMID_BEHIND = re.compile(r"(?i)[\s(]*(?:r\.?h\b\.?|r\.?f\b\.?|rel\b\.?|humidity|hr\b)\)?")
#: A line that tells the weather by values alone.
_CONDITIONS = re.compile(
    r"(?i)[\s#%*/;]*(?:weather|conditions?|(?:ambient|test|cell|air) conditions?|wetter|umgebung"
    r"|ambient|meteo|météo|ambiente)[\s:=,;-]*"
)
_BY_KIND = {
    "pressure": "barometer", "temperature": "ambient_temperature", "percent": "relative_humidity"
}  # fmt: skip
_KINDS = {
    "barometer": ("pressure", "none", "other"),
    "ambient_temperature": ("temperature", "none", "other"),
    "relative_humidity": ("percent", "none", "other"),
}


def weather_in(
    notes: Iterable[tuple[int, str]],
) -> tuple[dict[str, tuple[float, str]], list[Finding]]:
    """Return SI values with their texts by name, and findings on what could not be read.

    What is told twice, with different numbers, is not taken.
    """
    known: dict[str, tuple[float, str]] = {}
    findings: list[Finding] = []
    for line, written in notes:
        text = _MERCURY.sub(" inHg", written[:_LONGEST])
        for words, number, unit, sure, end in _told(text):
            name = _weather_word(words, unit)
            if not name and unit == "%" and _HUMID_BEHIND.match(text, end):
                name, sure = "relative_humidity", True
            if not name and _CONDITIONS.match(text) and not re.search(r"[^\W\d_]", words):
                name = _BY_KIND.get(kind_of_unit(meaning_of(unit)), "")
            if name == _AT_SEA:
                problem = f"{number} {unit} is at sea level, not the barometer at the engine"
                findings.append(Finding("weather", f"{problem}; it was not taken", (line,)))
                continue
            if not name or kind_of_unit(meaning_of(unit)) not in _KINDS[name]:
                continue
            value, typed = _best_value(name, number, unit)
            if isinstance(value, str) and not sure:
                continue
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


def sea_level(notes: Iterable[tuple[int, str]], barometer: float) -> list[Finding]:
    """Return a finding where a barometer [Pa] is too high for the elevation that a text tells."""
    for line, text in notes:
        for match in _ELEVATION.finditer(text[:_LONGEST]):
            height = float(re.sub(r"[,' ]", "", match[1])) * (0.3048 if match[2] != "m" else 1.0)
            # The standard atmosphere (ISO 2533) up to 11 km.
            usual_there = 101325.0 * (1.0 - 2.25577e-5 * height) ** 5.25588 if height < 9e3 else 0.0
            if usual_there and barometer > usual_there + _HIGH_WEATHER:
                words = f"{barometer / 1e3:.1f} kPa is too high for {height:.0f} m, where some "
                words += f"{usual_there / 1e3:.0f} kPa stand: is it reduced to sea level?"
                return [Finding("barometer", words, (line,))]
    return []


def _told(text: str) -> Iterable[tuple[str, str, str, bool, int]]:
    """Yield words, number and unit of a text, whether a mark makes it sure, and where it ends."""
    begin, behind = 0, ""
    for match in _NUMBER.finditer(text):
        before = text[begin : match.start()]
        unit, end = _unit_behind(text, match.end())
        inside = _BRACKETS.findall(before)
        words = _BRACKETS.sub(lambda m: m[1] if _QNH.search(m[1]) else " ", before)
        if not unit:
            unit = next((u for u in map(meaning_of, inside) if is_unit(u)), "")
        if not unit and "/" in words:
            name, _, last = words.rstrip(' :=;,\t"').rpartition("/")
            unit = meaning_of(last.strip()) if is_unit(meaning_of(last.strip())) else ""
            words = name if unit else words
        if behind == "%":
            words = _HUMID_BEHIND.sub("", words, 1)
        elif _CONDITIONS.fullmatch(words):
            words = ""
        yield words, match[1], unit, bool(_SURE.search(before)) or bool(inside), end
        begin, behind = end, unit


def _unit_behind(text: str, place: int) -> tuple[str, int]:
    """Return the unit that stands behind a number, and where it ends."""
    match = _UNIT.match(text, place)
    if match is None:
        return "", place
    unit = match["unit"].strip().rstrip(".")
    known = is_unit(meaning_of(unit)) or meaning_of(unit) in _LETTERS
    if not known and match["mark"]:  # the next cell holds something else
        return "", place
    if not known and re.match(r"(?i)[^\W\d]{3}", unit) and text[place : place + 1].isspace():
        return "", place  # a word
    return unit, match.start("unit") + len(match["unit"])


def _weather_word(words: str, unit: str) -> str:
    """Return the weather that words before a number name; the nearest ones first."""
    pieces = [p for p in re.split(r"[;|,\t:=\"]|\s{2,}|\. |(?<=\w) - ", words) if p.strip(" #%*/-")]
    for count in (1, 2, 3):
        if count > max(len(pieces), 1):
            break
        said = " ".join(pieces[-count:])
        plain = " ".join(w for w in words_in_english(said) if w not in _SMALL)
        plain = _LEADING.sub("", plain)
        name = words_of(said.strip(" #%*"))
        if _QNH.search(said) and kind_of_unit(meaning_of(unit)) == "pressure":
            return _AT_SEA
        if name in WEATHER:
            return name
        if _AIR.match(plain) and kind_of_unit(meaning_of(unit)) in ("temperature", "none", "other"):
            return "ambient_temperature" if "temp" in plain or unit else ""
        if plain in (
            "baro",
            "baro press",
            "press air",
            "air press",
            "press baro",
            "ambient press",
            "station press",
            "room press",
            "cell press",
        ):
            return "barometer"
        if re.fullmatch(r"(?:rel |relative )?(?:air )?humidity(?: rel| relative| air)?", plain):
            return "relative_humidity"
    return ""


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
    if name == "relative_humidity" and unit not in ("", "%"):
        unit = "%" if unit.lower() in ("rh", "r.h", "rf", "rel", "hr", "ur") else unit
    if not unit and name == "relative_humidity" and 0.0 < float(number) < _SHARE:
        return float(number), f"{100.0 * float(number):g} %"
    if not unit and name == "ambient_temperature" and 56.0 <= float(number) <= 125.0:
        unit = "degF"  # no room is as hot in degC
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
