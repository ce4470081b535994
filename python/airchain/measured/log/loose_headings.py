"""Headings that no pattern knows, read word by word together with the kind of their unit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from ...units.text import pressure_reading
from .clocks import is_clock_unit
from .unit_factor import factor
from .unit_words import is_unit, meaning_of
from .word_list import word_set, words_in_english

_KINDS = ("speed", "torque", "power", "temperature", "mass_flow", "liquid_flow", "time")
_BRACKETED = re.compile(r"[\[({<]([^\[\](){}<>]*)[\])}>]")
_MARKED = re.compile(
    r"(?i)(?<![^\W_])(map|pman|boost|psaug|manifold|saug|p|iat|egt|tr?q|torque|power|pwr)"
    r"(abs|rel|obs|avg)(?![^\W_])"
)
_CAMEL = re.compile(r"(?<=[a-z0-9])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])|(?<=[a-z][CFK])(?=\d\d?$)")
#: What a heading may say beside what it measures.
_FILLERS = word_set(
    "ecu ecm dyno daq can log cell test ch channel sensor sig signal actual act current meas"
    " measured value val avg average mean mittel filt filtered smoothed ist mes mesure mesuree"
    " misurato misurata medido medida gemessen gemeten observed uncorrected corrected brake abs"
    " absolute absolut absolu absolue absoluta assoluta gauge gage rel relative relativ relativa"
    " total tot no nr obs"
)
#: Quantities that a unit tells by itself.
_ALONE = {"torque": "torque", "power": "power", "speed": "engine_speed"}
_PLACES = word_set("bank cyl cylinder b c left right l r sensor probe port tc rail side")


_PARTS = word_set("da deca deka k c m h kilo milli oz cm mm per n kg in hundred thousand")


class _Rule(NamedTuple):
    """A quantity: kinds its unit may have, words of which one of each group must stand, others."""

    quantity: str
    kinds: tuple[str, ...]
    must: tuple[frozenset[str], ...]
    may: frozenset[str]


def _rule(quantity: str, kinds: str, *must: str, may: str = "") -> _Rule:
    groups = tuple(frozenset(group.split()) for group in must)
    return _Rule(quantity, tuple(kinds.split(" ")), groups, frozenset(may.split()))


_AIR_PATH = "press p air engine dp"
_RULES = (
    _rule("rotor_speed", "speed none", "compressor rotor impeller", "speed rpm n", may="shaft"),
    _rule("engine_speed", "speed", "speed rpm n nmot neng rev engine crank ne nm",
          may="engine crank crankshaft shaft speed rpm n 1"),
    _rule("engine_speed", "none", "rpm nmot neng enginespeed rpms",
          may="engine crank crankshaft speed n"),
    _rule("engine_speed", "none", "speed", "engine crank", may="crankshaft n rpm"),
    _rule("engine_speed", "none", "speed"),
    _rule("torque", "torque", "torque m me nm mot engine tor mi load",
          may="eff e engine crank crankshaft flywheel shaft output torque m"),
    _rule("torque", "none", "torque", may="engine crank crankshaft flywheel"),
    _rule("power", "power", "power p pe output pow ps engine",
          may="eff e engine crank crankshaft flywheel shaft output power p horse"),
    _rule("power", "none", "power", may="engine crank crankshaft flywheel"),
    _rule("compressor_outlet_pressure", "pressure", "compressor", "out outlet discharge disch exit"
          " after", may=_AIR_PATH + " boost"),
    _rule("compressor_outlet_pressure", "pressure", "cooler", "before in inlet",
          may=_AIR_PATH + " boost"),
    _rule("compressor_inlet_pressure", "pressure", "compressor", "in inlet suction before",
          may=_AIR_PATH),
    _rule("barometer", "pressure none", "baro", may="press p air ambient room station"),
    _rule("barometer", "pressure", "ambient room", may="press p air"),
    _rule("plenum_pressure", "pressure", "map manifold boost charge psaug pmanifold pim pman",
          may=_AIR_PATH + " map manifold boost charge intake inlet in vac vacuum im"),
    _rule("plenum_pressure", "none", "map boost manifold charge", "press p map boost",
          may=_AIR_PATH + " manifold intake vac vacuum"),
    _rule("compressor_outlet_temperature", "temperature", "compressor",
          "out outlet discharge disch exit after", may="temp t air"),
    _rule("compressor_outlet_temperature", "temperature", "cooler", "before in inlet",
          may="temp t air charge"),
    _rule("compressor_inlet_temperature", "temperature", "compressor", "in inlet suction before",
          may="temp t air"),
    _rule("plenum_temperature", "temperature", "cooler", "after out outlet",
          may="temp t air charge"),
    _rule("exhaust_temperature", "temperature none", "egt exhaust texh tabg tegt",
          may="temp t gas manifold header primary runner"),
    _rule("exhaust_temperature", "temperature", "turbine", "before in inlet", may="temp t gas"),
    _rule("coolant_temperature", "temperature", "coolant ect clt cool tmot tcool",
          may="temp t engine out outlet jacket cooling liquid"),
    _rule("plenum_temperature", "temperature",
          "charge manifold iat mat act boost tll tcharge tman cat",
          may="temp t air manifold charge intake inlet engine im"),
    _rule("plenum_temperature", "temperature", "intake", "air", may="temp t engine"),
    _rule("ambient_temperature", "temperature", "ambient room cell weather",
          may="temp t air cell room ambient"),
    _rule("relative_humidity", "percent none", "humidity", may="air ambient rel room"),
    _rule("air_flow", "mass_flow", "air maf airflow mair airmass",
          may="flow mass m rate intake inlet engine mdot dot meter q massflow air dry"),
    _rule("air_flow", "none", "maf airflow", may="flow mass rate"),
    _rule("fuel_flow", "mass_flow liquid_flow", "fuel ff fuelflow mfuel fuelrate",
          may="flow mass m rate mdot dot cons consumption engine q massflow used use meter b volume"
          " fuel"),
    _rule("lambda", "none", "lambda afr", may="engine ratio air fuel gas gasoline exhaust wb lambda"
          " afr o2 petrol stoich stoichiometric"),
    _rule("time", "time", "time t elapsed timestamp seconds clock ts",
          may="log run elapsed time stamp since start s session logger recording lap record"),
)  # fmt: skip


class Loose(NamedTuple):
    """What a heading says: quantity, its unit, and the words that are left of it."""

    quantity: str
    unit: str
    words: tuple[str, ...]


def read_loosely(text: str, unit_cell: str, not_measured: re.Pattern[str]) -> Loose:
    """Return the quantity that a heading's words and the kind of its unit make certain."""
    seen: set[tuple[str, str]] = set()
    for rest, unit in _candidates(text, unit_cell):
        if (rest, unit) in seen:
            continue
        seen.add((rest, unit))
        words = [w for w in words_of_heading(rest) if w]
        if not_measured.match(" ".join(words)):
            continue
        quantity = _by_rules(words, kind_of_unit(unit))
        if quantity:
            return Loose(quantity, unit, tuple(words))
    return Loose("", "", ())


def words_of_heading(rest: str) -> list[str]:
    """Return the words of a heading in English; glued words are parted."""
    rest = _MARKED.sub(r"\1 \2", rest)
    joined = re.sub(r"(?i)\bair[\W_]*(?:/|to)?[\W_]*fuel(?:[\W_]*ratio)?\b", " afr ", rest)
    return words_in_english(_CAMEL.sub(" ", joined.replace("_", " ")))


def _is_part(piece: str) -> bool:
    """Return whether a piece before a unit may belong to it, as in 'Da Nm', or scales it."""
    return piece.lower() in _PARTS or bool(re.search(r"\d\d|[x*/]", piece.lower()))


def _candidates(text: str, unit_cell: str) -> Iterator[tuple[str, str]]:
    """Yield ways to part a heading into words and unit, the likeliest first."""
    text = re.sub(r"\s+", " ", text.replace("|", " ")).strip()
    if is_clock_unit(text):
        yield "time", "s"
    if unit_cell and meaning_of(unit_cell):
        yield _BRACKETED.sub(lambda m: f" {m[1]} ", text), meaning_of(unit_cell)
    for match in _BRACKETED.finditer(text):
        unit, words = _unit_of(match[1])
        if unit:
            yield f"{text[: match.start()]} {text[match.end() :]} {words}", unit
    bare = _MARKED.sub(r"\1 \2", _BRACKETED.sub(lambda m: f" {m[1]} ", text))
    outside = _MARKED.sub(r"\1 \2", _BRACKETED.sub("\x1f", text))
    inside = " ".join(_BRACKETED.findall(text))
    for spaced in (outside, _CAMEL.sub(" ", outside)):
        spaced = spaced.replace("\x1f", " ")
        pieces = [p for p in re.split(r"[\s_]+|(?<=\w)[-:](?=\w{3})|(?<=\w) ?- ?", spaced) if p]
        for count in (3, 2, 1):
            for first in range(len(pieces) - count, -1, -1):
                taken = pieces[first : first + count]
                if first and _is_part(pieces[first - 1]):
                    continue
                last = first + count == len(pieces)
                for unit in _joined(taken, "_" in spaced and last):
                    if unit:
                        yield " ".join([*pieces[:first], *pieces[first + count :], inside]), unit
    yield bare, ""


def _joined(pieces: list[str], snake: bool = False) -> Iterator[str]:
    """Yield the units that pieces of a heading can be; `snake` where they end one like temp_c."""
    marks = (" ", "/") if len(pieces) > 1 else ("",)
    for mark in marks:
        tail = mark.join(pieces)
        tail = "s" if tail == "S" else tail
        tail = tail.upper() if snake and tail in ("c", "f", "k") else tail
        if len(tail) == 1 and tail not in "sCFKсС°":
            continue
        unit = meaning_of(tail)
        if is_unit(unit) and unit not in ("in", "m", "kg", "g", "lb", "mm", "min"):
            yield unit
    if len(pieces) == 3 and pieces[0].isalpha():
        unit = meaning_of(f"{pieces[0]} {pieces[1]}/{pieces[2]}")
        if is_unit(unit):
            yield unit


def unit_in_brackets(text: str) -> str:
    """Return the first unit that stands in brackets, or an empty text."""
    return next((u for u, _ in map(_unit_of, _BRACKETED.findall(text)) if u), "")


def _unit_of(inside: str) -> tuple[str, str]:
    """Return the unit of what stands in brackets, and the other words there."""
    whole = meaning_of(inside.strip())
    if is_unit(whole):
        return whole, ""
    pieces = [p for p in re.split(r"[\s,;]+", inside) if p]
    for count in (3, 2, 1):
        for first in range(len(pieces) - count + 1):
            unit = meaning_of(" ".join(pieces[first : first + count]))
            if is_unit(unit) and unit != "in":
                return unit, " ".join(pieces[:first] + pieces[first + count :])
    return "", inside


@lru_cache(maxsize=512)
def kind_of_unit(unit: str) -> str:
    """Return the kind of a unit as far as it is one of an engine's quantities."""
    if not unit:
        return "none"
    if unit == "%":
        return "percent"
    if not is_unit(unit):
        return "other"
    if factor(pressure_reading(unit)[0], "pressure_difference"):
        return "pressure"
    return next((kind for kind in _KINDS if factor(unit, kind)), "other")


def _by_rules(words: list[str], kind: str) -> str:
    """Return the quantity of the first rule that all words fit."""
    own = [w for w in words if not w.isdigit() or len(w) > 1]
    bare = [w for w in own if w not in _FILLERS]
    if not bare and kind in _ALONE:  # 'Observed Nm'
        return _ALONE[kind]
    for rule in _RULES:
        if kind not in rule.kinds:
            continue
        known = rule.may.union(*rule.must)
        extra = [w for w in own if w not in known and w not in _FILLERS]
        probes = _PLACES if rule.quantity in ("exhaust_temperature", "lambda") else frozenset()
        extra = [w for w in extra if w not in probes and not (probes and w.isdigit())]
        if not extra and all(group & set(own) for group in rule.must):
            return rule.quantity
    return ""
