"""What a builder knows at the first call, read and checked."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import pi
from typing import NamedTuple, TypeVar

from .. import _core
from ..base.errors import InputError, all_of, quoted, refusal, suggestion
from ..typed.place import Typed, TypedByName
from ..typed.ranges import range_rule
from ..units.convert import formatted, to_si

_WHERE = "sketch"
Read = TypeVar("Read")
COOLERS = ("none", "air_to_air", "air_to_water", "ice_tank")
DRIVES = ("gears", "belt")

#: What may be told, with its kind, its least and its largest value [SI].
KINDS_OF_FACTS: Mapping[str, tuple[str, float, float]] = {
    "bore": ("length", 0.03, 0.25),
    "stroke": ("length", 0.02, 0.25),
    "displacement": ("volume", 1e-4, 0.05),
    "cylinders": ("dimensionless", 1.0, 24.0),
    "compression_ratio": ("dimensionless", 5.0, 20.0),
    "redline": ("speed", 150.0, 2500.0),
    "intake_duration": ("angle", 2.6, 6.0),
    "exhaust_duration": ("angle", 2.6, 6.0),
    "lobe_separation": ("angle", 1.6, 2.3),
    "intake_valve_diameter": ("length", 0.01, 0.1),
    "exhaust_valve_diameter": ("length", 0.01, 0.1),
    "valve_lift": ("length", 0.004, 0.03),
    "inducer_diameter": ("length", 0.02, 0.4),
    "exducer_diameter": ("length", 0.03, 0.6),
    "rotor_speed_limit": ("speed", 500.0, 30000.0),
    "rated_flow": ("mass_flow", 0.02, 20.0),
    "exit_width": ("length", 0.001, 0.1),
    "step_up": ("dimensionless", 0.5, 20.0),
    "tooth_sum": ("dimensionless", 20.0, 300.0),
    "coolant_temperature": ("temperature", 260.0, 360.0),
    "barometer": ("barometer", 5e4, 1.1e5),
    "temperature": ("temperature", 240.0, 330.0),
    "humidity": ("dimensionless", 0.0, 1.0),
}
#: Words that stand where nothing was told.
_USUAL = {
    "fuel": "gasoline_premium",
    "cooler": "air_to_water",
    "drive": "gears",
    "standard": "sae_j1349",
}
#: What an engine with cams is sketched from.
OF_CAMS = ("intake_duration", "exhaust_duration", "intake_valve_diameter",
           "exhaust_valve_diameter")  # fmt: skip
_NEEDED = ("compression_ratio", "redline")
_NAME_PLATE = ("inducer_diameter", "exducer_diameter", "rotor_speed_limit")
_OF_COMPRESSOR = (*_NAME_PLATE, "rated_flow", "exit_width", "step_up", "tooth_sum",
                  "coolant_temperature")  # fmt: skip
#: Kinds that a level may be aimed at, and an example of each.
_AIMS = {"power": "700 hp", "pressure_difference": "9 psi", "dimensionless": "1.21"}


class Today(NamedTuple):
    """A figure of today, naturally aspirated: `"power"` or `"torque"` and where.

    `best` tells the largest of its kind.
    """

    name: str
    value: float
    rpm: float
    best: bool


class Aim(NamedTuple):
    """What a level is to give [SI], by its kind; of gears the teeth."""

    level: str
    kind: str
    value: float
    teeth: tuple[int, int] = (0, 0)


@dataclass(frozen=True)
class Facts:
    """What was told, in SI, with the text of each as it was typed.

    `numbers` holds what was given of `KINDS_OF_FACTS`, `typed` the texts, and `assumed` the names
    of words that were not told.
    """

    name: str
    numbers: Mapping[str, float]
    typed: Mapping[str, str]
    fuel: str
    cooler: str
    drive: str
    standard: str
    today: tuple[Today, ...]
    aims: tuple[Aim, ...]
    system: str
    assumed: frozenset[str]

    def has(self, name: str) -> bool:
        """Whether it was told."""
        return name in self.numbers

    def __getitem__(self, name: str) -> float:
        return self.numbers[name]

    @property
    def cylinders(self) -> int:
        """How many; eight unless told."""
        return int(self.numbers.get("cylinders", 8))

    @property
    def stroke(self) -> float:
        """Stroke [m]: told, of displacement and bore, or of a square engine."""
        if self.has("stroke"):
            return self["stroke"]
        if self.has("bore"):
            return self["displacement"] / (self.cylinders * pi / 4.0 * self["bore"] ** 2)
        return float((self["displacement"] / (self.cylinders * pi / 4.0)) ** (1.0 / 3.0))

    @property
    def bore(self) -> float:
        """Bore [m]: told, of displacement and stroke, or of a square engine."""
        if self.has("bore"):
            return self["bore"]
        return float((self["displacement"] / (self.cylinders * pi / 4.0 * self.stroke)) ** 0.5)

    @property
    def displacement(self) -> float:
        """Swept volume of all cylinders [m^3]."""
        if self.has("displacement"):
            return self["displacement"]
        return self.cylinders * pi / 4.0 * self.bore**2 * self.stroke

    @property
    def supercharged(self) -> bool:
        """Whether a compressor was told of."""
        return self.has("inducer_diameter")


def read_facts(told: TypedByName, levels: TypedByName, words: Mapping[str, str | None],
               today: TypedByName) -> Facts:  # fmt: skip
    """Return the facts, or refuse all that is amiss together.

    `told` holds what `KINDS_OF_FACTS` lists, None where nothing was said; `words` those of
    name, fuel, cooler, drive, standard and units; `today` power and torque with their speeds.
    """
    errors: list[InputError] = []
    numbers: dict[str, float] = {}
    assumed = frozenset(name for name in _USUAL if words[name] is None)
    texts = {name: _USUAL.get(name, "") if word is None else word for name, word in words.items()}
    for name, value in told.items():
        if value is not None:
            try:
                numbers[name] = _number(name, value)
            except InputError as error:
                errors.append(error)
    given = set(told) - {name for name, value in told.items() if value is None}
    errors += _missing(given, bool(levels))
    errors += _words(texts)
    given_today = {name: value for name, value in today.items() if value is not None}
    makes = [one for of_kind in _kept(errors, _today, given_today) for one in of_kind]
    aims = [*_kept(errors, _aim, levels)]
    if errors:
        raise all_of(errors)
    typed = {name: _text_of(value) for name, value in told.items() if value is not None}
    system = texts["units"] or _system(typed)
    return Facts(
        str(texts["name"]), numbers, typed, texts["fuel"], texts["cooler"], texts["drive"],
        texts["standard"], tuple(makes), tuple(aims), system, assumed,
    )  # fmt: skip


def _kept(
    errors: list[InputError], reader: Callable[[str, Typed], Read], told: TypedByName
) -> Iterator[Read]:
    """Yield what `reader` makes of each value; what it refuses is noted."""
    for name, value in told.items():
        try:
            yield reader(str(name), value)
        except InputError as error:
            errors.append(error)


def _text_of(value: Typed) -> str:
    return value.strip() if isinstance(value, str) else f"{value}"


def _number(name: str, value: Typed) -> float:
    kind, low, high = KINDS_OF_FACTS[name]
    if isinstance(value, str) and kind == "dimensionless" and value.count(":") == 1:
        value = value.partition(":")[0]  # a compression ratio of 10.5:1
    number = to_si(value, kind, where=_WHERE, field=name)
    if not low <= number <= high:
        rule = f"be between {formatted(low, kind)} and {formatted(high, kind)}"
        rule = range_rule(value, kind, low, high) or rule
        raise refusal(_WHERE, name, quoted(value), rule, "check the unit")
    if name in ("cylinders", "tooth_sum") and number != int(number):
        raise refusal(_WHERE, name, quoted(value), "be a whole number")
    return number


def _missing(given: set[str], levels: bool) -> list[InputError]:
    """Refusals of what does not suffice."""
    errors = [refusal(_WHERE, name, "missing", "be given") for name in _NEEDED if name not in given]
    size = given & {"bore", "stroke", "displacement"}
    if "displacement" not in given and len(size) < 2:
        hint = "or displacement alone, for a square engine"
        errors.append(refusal(_WHERE, "bore", "missing", "be given with stroke", hint))
    if size == {"bore", "stroke", "displacement"}:
        hint = "leave displacement out"
        errors.append(refusal(_WHERE, "displacement", "given", "not stand beside both", hint))
    plate = given & set(_OF_COMPRESSOR)
    if plate or levels:
        for name in _NAME_PLATE:
            if name not in given:
                hint = "it stands on the compressor's name plate or its maker's sheet"
                errors.append(refusal(_WHERE, name, "missing", "be given with a compressor", hint))
    return errors


def _words(texts: Mapping[str, str]) -> list[InputError]:
    """Refusals of words that are none of those known."""
    known = {
        "fuel": list(_core.generic_fuel_names()),
        "cooler": list(COOLERS),
        "drive": list(DRIVES),
        "standard": ["as_measured", *_core.power_standards()],
        "units": ["", "trade", "si"],
    }
    errors = []
    for name, words in known.items():
        if texts[name] not in words:
            near = suggestion(str(texts[name]), words)
            rule = f"be one of {', '.join(w for w in words if w)}"
            errors.append(refusal(_WHERE, name, quoted(texts[name]), rule, near))
    if not str(texts["name"]).strip():
        errors.append(refusal(_WHERE, "name", quoted(texts["name"]), "be a name"))
    return errors


def _today(name: str, value: Typed) -> list[Today]:
    """Power or torque and where, such as ``"540 hp at 6200 rpm, 510 hp at 7200 rpm"``."""
    read = [_figure(name, text) for text in re.split(r"[,;]\s+|\s+and\s+", str(value).strip())]
    speeds = sorted(rpm for _, rpm in read)
    if any(above < 1.01 * below for below, above in pairwise(speeds)):
        raise refusal(_WHERE, name, quoted(value), "stand at speeds at least 1 % apart")
    best = max(amount for amount, _ in read)
    return [Today(name, amount, rpm, amount == best) for amount, rpm in read]


def _figure(name: str, text: str) -> tuple[float, float]:
    """Amount [W or N m] and speed [rpm] of one figure."""
    number, at, place = text.partition(" at ")
    if not at:
        rule, hint = "say at which speed", f'such as "{number} at 6200 rpm"'
        raise refusal(_WHERE, name, quoted(text), rule, hint)
    amount = to_si(number, name, where=_WHERE, field=name)
    speed = to_si(place, "speed", where=_WHERE, field=name)
    if amount <= 0.0 or speed <= 0.0:
        raise refusal(_WHERE, name, quoted(text), "be above 0, at a speed above 0")
    return amount, speed * 30.0 / pi


def _aim(level: str, value: Typed) -> Aim:
    """A power, a boost, a ratio of input shaft over crank, or teeth driving:driven."""
    if isinstance(value, str) and ":" in value:
        return _teeth(level, value)
    hint = "such as " + ", ".join(f'"{text}"' for text in _AIMS.values()) + ' or "40:33" teeth'
    for kind in _AIMS:
        try:
            number = to_si(value, kind, where=_WHERE, field=f"levels.{level}")
        except InputError:
            continue
        if number > 0.0:
            return Aim(level, kind, number)
        break
    rule = "be a power, a boost, a drive ratio or teeth, above 0"
    raise refusal(_WHERE, f"levels.{level}", quoted(value), rule, hint)


def _teeth(level: str, text: str) -> Aim:
    driving, _, driven = (part.strip() for part in text.partition(":"))
    if not (driving.isdecimal() and driven.isdecimal() and 8 <= int(driving) <= 200
            and 8 <= int(driven) <= 200):  # fmt: skip
        rule = "be teeth from 8 to 200, the crank's gear first"
        raise refusal(_WHERE, f"levels.{level}", quoted(text), rule, 'such as "40:33"')
    teeth = int(driving), int(driven)
    return Aim(level, "teeth", teeth[0] / teeth[1], teeth)


def _system(typed: Mapping[str, str]) -> str:
    """The units of whoever tells: of the engine's size, trade unless metric."""
    size = " ".join(typed.get(name, "") for name in ("bore", "stroke", "displacement"))
    return "si" if any(unit in size for unit in ("mm", "cm", "L", "cc", " m")) else "trade"
