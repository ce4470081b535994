"""Drive ratios that bring every level to its aim."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..chain.build import Build
from ..units.convert import formatted
from .driving import Pair, pairs_of
from .facts import Aim, Facts
from .model import Model

Array = NDArray[np.float64]
#: What an aim is read from, by its kind.
AIMED = {"power": "power", "pressure_difference": "boost"}
_GRID, _ROUNDS = 33, 2
_LEAST_RATIO = 0.3


def aimed(model: Model, z: Array, whole: Build) -> dict[str, Pair]:
    """Return the pair of every level that meets its aim, or comes nearest with whole teeth.

    `whole` is the build of these widths, on any drive.

    Raises `InputError` where nothing below the rotor's limit reaches an aim.
    """
    facts = model.facts
    if not facts.supercharged:
        return {}
    aims = facts.aims or (Aim("full", "dimensionless", most_ratio(facts, model.values(z))),)
    ratios = {}
    for aim in aims:
        column = AIMED.get(aim.kind)
        ratios[aim.level] = aim.value if column is None else _reached(model, z, whole, aim, column)
    return pairs_of(facts, ratios)


def most_ratio(facts: Facts, values: Mapping[str, float]) -> float:
    """Input shaft over crank at which the rotor stands at its limit at redline."""
    step_up = facts["step_up"] if facts.has("step_up") else values["step_up"]
    return facts["rotor_speed_limit"] / (facts["redline"] * step_up)


def _reached(model: Model, z: Array, build: Build, aim: Aim, column: str) -> float:
    """The least ratio whose best over engine speed is the aim."""
    high = most_ratio(model.facts, model.values(z))
    low = min(_LEAST_RATIO, 0.5 * high)
    for _ in range(_ROUNDS + 1):
        ratios = np.linspace(low, high, _GRID)
        found = model.solved(build, list(ratios))[column]
        best = np.array([np.nanmax(row) if np.isfinite(row).any() else np.nan for row in found])
        above = np.flatnonzero(best >= aim.value)
        if not above.size:
            raise _out_of_reach(aim, best, ratios, model.facts.system)
        first = int(above[0])
        if first == 0:
            return float(ratios[0])
        low, high = float(ratios[first - 1]), float(ratios[first])
    return 0.5 * (low + high)


def _out_of_reach(aim: Aim, best: Array, ratios: Array, system: str) -> Exception:
    where = f"levels.{aim.level}"
    wanted = quoted(formatted(aim.value, aim.kind, system))
    if not np.isfinite(best).any():
        rule = "have a drive that the chain answers; the name plate does not suit this engine"
        return refusal("sketch", where, wanted, rule)
    top = int(np.nanargmax(best))
    most = formatted(float(best[top]), aim.kind, system)
    limit = (
        "where its rotor stands at its limit"
        if top == len(ratios) - 1
        else ("and less where it is driven faster")
    )
    rule = f"be at most {most}: this compressor gives no more"
    hint = (
        f"it gives that at a drive ratio of {ratios[top]:.2f}, {limit}; ask for less, or tell of a "
        "larger compressor"
    )
    return refusal("sketch", where, wanted, rule, hint)
