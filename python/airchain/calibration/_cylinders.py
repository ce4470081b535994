"""Trims of fuel and spark by cylinder, of engines whose geometry tells their cylinders apart."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..chain.pull import Pull
from ..chain.worst_cylinders import WorstCylinders, worst_cylinders
from ..cylinder.spread import SPREAD_NOTE, told_apart
from ..shown.tables import Table
from .tables import CylinderTrims

#: Engine speeds of a level that trims are told at.
_SPEEDS = 9
_KEY = (
    "Before the stroke: fuel over the mean's amount that gives every cylinder the mean's lambda, "
    "in %. After it: by how many crank degrees half of its charge may burn earlier than the worst "
    "cylinder's with equal fuel, at one distance from knock."
)


def apart_of(pulls: Mapping[str, Pull]) -> dict[str, WorstCylinders]:
    """Return the cylinders of every level that has an answer; none where one stands for all."""
    found = {}
    for name, pull in pulls.items():
        matched = np.flatnonzero(np.asarray(pull.matched))
        if matched.size and told_apart(pull.build.cylinder):
            places = np.unique(np.linspace(0, matched.size - 1, _SPEEDS).round().astype(int))
            at = np.asarray(pull.rpm)[matched[places]]
            found[name] = worst_cylinders(Pull.run(pull.build, at))
    return found


def leanest(apart: WorstCylinders) -> str:
    """Return the highest lambda of a cylinder of a level with equal fuel, and its number."""
    mixture = apart.mixture
    if not np.isfinite(mixture).any():
        return "not known"
    most = np.max(mixture, axis=1)
    at = int(np.nanargmax(most))
    number = int(apart.spread.number("air")[at])
    return f"{most[at]:.3f} in {number or 'any'}"


def trims_of(by_level: Mapping[str, WorstCylinders]) -> dict[str, CylinderTrims]:
    """Return the trims of every level."""
    return {
        name: CylinderTrims(
            np.round(apart.rpm),
            100.0 * (apart.spread.air - 1.0),
            np.degrees(apart.spread.most_later[:, None] - apart.spread.later),
        )
        for name, apart in by_level.items()
    }


def trim_tables(by_level: Mapping[str, CylinderTrims]) -> list[Table]:
    """Return the trims of every level, a row a cylinder."""
    tables = []
    for number, (name, (speeds, fuel, spark)) in enumerate(by_level.items()):
        rows = [
            [str(c + 1), *(_cell(f, s) for f, s in zip(fuel[:, c], spark[:, c], strict=True))]
            for c in range(fuel.shape[1])
        ]
        across = [f"{rpm:.0f}" for rpm in speeds]
        key = f"{_KEY} {SPREAD_NOTE}" if number == len(by_level) - 1 else ""
        tables.append(
            Table(["cylinder", *across], ["", *(["rpm"] * len(across))], rows,
                  caption=f"Trims by cylinder, {name}: fuel [%] / spark [deg]", key=key)
        )  # fmt: skip
    return tables


def _cell(fuel: float, spark: float) -> str:
    return f"{fuel:+.1f} / {spark:.1f}" if np.isfinite(fuel) and np.isfinite(spark) else "–"
