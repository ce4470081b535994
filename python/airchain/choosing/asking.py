"""What is asked of a choice: targets, pairs of gears both ways round, and days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..base.errors import InputError, quoted, refusal
from ..chain.build import Build
from ..plan.request import AS_TYPED, Day, Target
from ..typed.place import Typed, TypedByName
from ..units.convert import to_si

Pairs = Sequence[str | tuple[int, int]]
_WHERE = "choose_compressor"
_KINDS = {"power": "power", "boost": "pressure_difference", "torque": "torque"}


def targets_of(targets: TypedByName, tolerance: float) -> tuple[Target, ...]:
    """Return the targets, each a power, torque or boost at its peak."""
    if not targets:
        raise refusal(_WHERE, "targets", "none", "hold a level", 'such as {"full": "950 hp"}')
    if not 0.0 < tolerance <= 0.5:
        raise refusal(_WHERE, "tolerance", quoted(tolerance), "be above 0 and at most 0.5")
    return tuple(_target(str(level), value, tolerance) for level, value in targets.items())


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
    tables = build.document.tables
    links = [*tables.get("drive", {}).get("links", [])]
    for level in tables.get("levels", {}).values():
        links += [level["gears"]] if "gears" in level else level.get("links", [])
    links += tables.get("plan", {}).get("gears", [])
    return [(int(x["driving_teeth"]), int(x["driven_teeth"])) for x in links
            if "driving_teeth" in x]  # fmt: skip


def _pair(typed: str | tuple[int, int]) -> tuple[int, int]:
    words = typed.split(":") if isinstance(typed, str) else [str(teeth) for teeth in typed]
    if len(words) != 2 or not all(w.strip().isdecimal() and 8 <= int(w) <= 200 for w in words):
        rule = "be two gears of 8 to 200 teeth"
        raise refusal(_WHERE, "pairs", quoted(typed), rule, 'such as "40:33"')
    return int(words[0]), int(words[1])


def days_of(build: Build, weather: Mapping[str, TypedByName] | None) -> dict[str, Day]:
    """Return the build's own day and those told; those of its [plan] unless told."""
    days = {AS_TYPED: Day(build.chain.ambient)}
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
