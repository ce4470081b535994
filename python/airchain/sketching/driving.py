"""The drive of a sketch: a pair of gears or pulleys for each level, and the step-up behind it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from .facts import Facts
from .lines import GUESSED, TYPED, UNLESS_TOLD, WORKED_OUT, Line, Writer

_LEAST_SUM, _MOST_SUM = 60, 90
_LEAST_TEETH = 18
_CRANK_PULLEY = 0.1905


@dataclass(frozen=True)
class Pair:
    """What drives the compressor on a level.

    Attributes
    ----------
    ratio : float
        Input shaft over crank as it is fitted [dimensionless].
    teeth : tuple of int
        Driving and driven; zeros for a belt.
    wanted : float
        The ratio that would be exact [dimensionless].
    typed : bool
        Whether the teeth were told.
    """

    ratio: float
    teeth: tuple[int, int]
    wanted: float
    typed: bool = False


def pairs_of(facts: Facts, ratios: Mapping[str, float]) -> dict[str, Pair]:
    """Return the pair of each level for the ratios that meet its aim.

    Gears share one sum of teeth, so that all levels fit the same centres: that which comes nearest
    to all ratios, or the one told.
    """
    told = {aim.level: aim.teeth for aim in facts.aims if aim.kind == "teeth"}
    if facts.drive == "belt":
        return {name: Pair(ratio, (0, 0), ratio) for name, ratio in ratios.items()}
    free = {name: ratio for name, ratio in ratios.items() if name not in told}
    total = _sum_of(facts, list(told.values()), list(free.values()))
    pairs = {}
    for name, ratio in ratios.items():
        teeth = told.get(name) or _teeth(total, ratio)
        pairs[name] = Pair(teeth[0] / teeth[1], teeth, ratio, name in told)
    return pairs


def _sum_of(facts: Facts, told: list[tuple[int, int]], ratios: list[float]) -> int:
    if facts.has("tooth_sum"):
        return int(facts["tooth_sum"])
    if told:
        return sum(told[0])

    def worst(total: int) -> float:
        made = [_teeth(total, ratio) for ratio in ratios]
        return max((abs(np.log(a / b / r)) for (a, b), r in zip(made, ratios, strict=True)),
                   default=0.0)  # fmt: skip

    return min(range(_LEAST_SUM, _MOST_SUM + 1), key=worst)


def _teeth(total: int, ratio: float) -> tuple[int, int]:
    driving = min(
        range(_LEAST_TEETH, total - _LEAST_TEETH + 1),
        key=lambda teeth: abs(np.log(teeth / (total - teeth) / ratio)),
        default=total // 2,
    )
    return driving, total - driving


def drive_lines(facts: Facts, values: Mapping[str, float], pairs: Mapping[str, Pair],
                writer: Writer) -> list[Line]:  # fmt: skip
    """Return the lines of [drive] and of every level."""
    strongest = max(pairs.values(), key=lambda pair: pair.ratio, default=Pair(1.0, (36, 36), 1.0))
    lines = [*_link(("drive", "links", 0), facts, strongest, values, writer),
             *_step_up(("drive", "links", 1), facts, values, writer)]  # fmt: skip
    for name, pair in pairs.items():
        if facts.drive == "gears":
            lines += _gears(("levels", name, "gears"), pair)
            continue
        lines += _link(("levels", name, "links", 0), facts, pair, values, writer)
        lines += _step_up(("levels", name, "links", 1), facts, values, writer)
    return lines


def _gears(place: tuple[str | int, ...], pair: Pair) -> list[Line]:
    origin = TYPED if pair.typed else WORKED_OUT
    off = f"{100.0 * (pair.ratio / pair.wanted - 1.0):+.1f} % off {pair.wanted:.4f}"
    how = "" if pair.typed else f"nearest pair on these centres, {off}"
    return [
        Line((*place, "driving_teeth"), pair.teeth[0], origin, how),
        Line((*place, "driven_teeth"), pair.teeth[1], origin, how),
    ]


def _link(place: tuple[str | int, ...], facts: Facts, pair: Pair, values: Mapping[str, float],
          writer: Writer) -> list[Line]:  # fmt: skip
    efficiency = writer.plain(min(values["drive_efficiency"], 1.0))
    worth = Line((*place, "efficiency"), efficiency, GUESSED, "", "drive_efficiency")
    if pair.teeth[0]:
        usual = "drive" in facts.assumed
        kind = Line((*place, "kind"), "gears", WORKED_OUT if usual else TYPED,
                    UNLESS_TOLD if usual else "")  # fmt: skip
        return [kind, *_gears(place, pair), worth]
    driven = writer.text(_CRANK_PULLEY / pair.ratio, "length")
    return [
        Line((*place, "kind"), "pulleys", TYPED),
        Line((*place, "driving_diameter"), writer.text(_CRANK_PULLEY, "length"), WORKED_OUT,
             "usual; measure it"),
        Line((*place, "driven_diameter"), driven, WORKED_OUT, f"for a ratio of {pair.ratio:.4f}"),
        worth,
    ]  # fmt: skip


def _step_up(place: tuple[str | int, ...], facts: Facts, values: Mapping[str, float],
             writer: Writer) -> list[Line]:  # fmt: skip
    told = facts.has("step_up")
    ratio = facts["step_up"] if told else values["step_up"]
    lines = [Line((*place, "kind"), "step_up", WORKED_OUT, "inside the compressor")]
    if told:
        return [*lines, Line((*place, "speed_ratio"), writer.plain(ratio), TYPED)]
    return [*lines, Line((*place, "speed_ratio"), writer.plain(ratio), GUESSED, "", "step_up")]
