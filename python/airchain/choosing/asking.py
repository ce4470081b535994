"""What is asked of a choice: targets, pairs of gears both ways round, and days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .. import _core
from ..base.errors import InputError, quoted, refusal, suggestion
from ..chain.build import Build
from ..plan.parts import SAME_CENTRES
from ..plan.request import AS_TYPED, Day, Target
from ..typed.place import Typed, TypedByName
from ..units.convert import formatted, to_si

Pairs = Sequence[str | tuple[int, int]]
_WHERE = "choose_compressor"
_KINDS = {"power": "power", "boost": "pressure_difference", "torque": "torque"}


def targets_of(build: Build, targets: TypedByName, tolerance: float) -> tuple[Target, ...]:
    """Return the targets, each a power, torque or boost at its peak.

    A level may be new, but not a slip of the pen for one that the build has.
    """
    if not targets:
        raise refusal(_WHERE, "targets", "none", "hold a level", 'such as {"full": "950 hp"}')
    for level in map(str, targets):
        alike = [name for name in build.levels if _digits(name) == _digits(level)]
        hint = "" if level in build.levels else suggestion(level, alike)
        if hint:
            rule = "be one of the build's levels, or a new one by a name that none of them is like"
            raise refusal(_WHERE, "targets", quoted(level), rule, hint)
    if not 0.0 < tolerance <= 0.5:
        raise refusal(_WHERE, "tolerance", quoted(tolerance), "be above 0 and at most 0.5")
    return tuple(_target(str(level), value, tolerance) for level, value in targets.items())


def _digits(name: str) -> str:
    """What numbers the levels of a ladder."""
    return "".join(letter for letter in name if letter.isdigit())


def _target(level: str, typed: Typed, tolerance: float) -> Target:
    for name, kind in _KINDS.items():
        try:
            value = to_si(typed, kind, where=_WHERE, field=level)
        except InputError:
            continue
        if value > 0.0:
            return Target(level, name, value, tolerance * value, 0.0)
    rule, hint = "be a power, a torque or a boost above 0", 'such as "700 hp" or "9 psi"'
    raise refusal(_WHERE, f"targets.{level}", quoted(typed), rule, hint)


def pairs_of(build: Build, pairs: Pairs | None) -> list[tuple[int, int]]:
    """Return every pair of teeth both ways round, each once; the build's own unless told."""
    told = _own(build) if pairs is None else [_pair(pair) for pair in pairs]
    if not told:
        hint = 'such as pairs=["40:33", "37:36"]'
        raise refusal(_WHERE, "pairs", "none", "hold a pair of gears", hint)
    return sorted({way for a, b in told for way in ((a, b), (b, a))}, key=lambda p: p[0] / p[1])


def _own(build: Build) -> list[tuple[int, int]]:
    """Pairs of the build's drive, of its levels and of its plan."""
    return [_teeth(gears) for gears in _gears(build)]


def _gears(build: Build) -> list[TypedByName]:
    """Tables of the gears of the build's drive, of its levels and of its plan."""
    tables = build.document.tables
    links = [*tables.get("drive", {}).get("links", [])]
    for level in tables.get("levels", {}).values():
        links += [level["gears"]] if "gears" in level else level.get("links", [])
    links += tables.get("plan", {}).get("gears", [])
    return [link for link in links if "driving_teeth" in link]


def _teeth(gears: TypedByName) -> tuple[int, int]:
    return int(str(gears["driving_teeth"])), int(str(gears["driven_teeth"]))


def misfits_of(build: Build, ways: Sequence[tuple[int, int]]) -> dict[tuple[int, int], str]:
    """Return why pairs do not go between the shafts, for those that do not.

    Where the shafts stand is told by the plan's ``shafts.centre_distance``, else by the build's own
    pair. A pair without a module of its own has that of the build's.
    """
    fitted = next((link for link in build.links if isinstance(link, _core.GearPair)), None)
    shafts = build.document.tables.get("plan", {}).get("shafts", {})
    apart = fitted.centre_distance if fitted else 0.0
    if "centre_distance" in shafts:
        apart = _length(shafts["centre_distance"], "plan.shafts.centre_distance")
    modules = {}
    for gears in _gears(build):
        if "module" in gears:
            driving, driven = _teeth(gears)
            module = _length(gears["module"], "module")
            modules[driving, driven] = modules[driven, driving] = module
    misfits = {}
    for pair in ways:
        module = modules.get(pair, fitted.module if fitted else 0.0)
        needs = 0.5 * module * sum(pair)
        if apart and needs and abs(needs - apart) > SAME_CENTRES:
            needed, there = (formatted(value, "length") for value in (needs, apart))
            misfits[pair] = f"needs its shafts {needed} apart, and they are {there} apart"
    return misfits


def _length(typed: Typed, field: str) -> float:
    return float(to_si(typed, "length", where=_WHERE, field=field))


def _pair(typed: str | tuple[int, int]) -> tuple[int, int]:
    words = typed.split(":") if isinstance(typed, str) else [str(teeth) for teeth in typed]
    if len(words) != 2 or not all(w.strip().isdecimal() and 8 <= int(w) <= 200 for w in words):
        rule = "be two gears of 8 to 200 teeth"
        raise refusal(_WHERE, "pairs", quoted(typed), rule, 'such as "40:33"')
    return int(words[0]), int(words[1])


def days_of(build: Build, weather: Mapping[str, TypedByName] | None) -> dict[str, Day]:
    """Return the build's own day and those told; those of its [plan] unless told."""
    days = {AS_TYPED: Day(build.stations.ambient)}
    told = build.document.tables.get("plan", {}).get("weather", {}) if weather is None else weather
    for name, table in told.items():
        air = {key: value for key, value in table.items() if key != "coolant_temperature"}
        ambient = build.replace({"ambient": air}).chain.ambient
        coolant = float("nan")
        if "coolant_temperature" in table:
            typed = table["coolant_temperature"]
            coolant = to_si(typed, "temperature", where=_WHERE, field=f"weather.{name}")
        days[str(name)] = Day(ambient, coolant)
    return days
