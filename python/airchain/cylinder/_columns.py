"""What each column of a cycle is: its quantity kind, heading and meaning."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..shown.columns import Column, kind_of
from ..shown.glossary import word

if TYPE_CHECKING:
    from .crank_engine import CrankEngine

Array = NDArray[np.float64]

_KINDS = {
    "imep": "pressure_difference",
    "gross_imep": "pressure_difference",
    "pmep": "pressure_difference",
    "heat_loss": "energy",
    "fuel_heat": "energy",
    "air_mass": "mass",
    "fuel_mass": "mass",
}
#: What follows from the core's numbers and the engine: unit and meaning.
_DERIVED = {
    "friction_pressure": ("Pa", "friction mean effective pressure"),
    "brake_pressure": ("Pa", "brake mean effective pressure, of an engine without other drives"),
    "torque": ("N m", "of all cylinders at the crank, friction taken off"),
    "power": ("W", "of all cylinders at the crank, friction taken off"),
    "air_flow": ("kg/s", "dry air of all cylinders"),
    "fuel_flow": ("kg/s", "of all cylinders"),
    "wall_heat_flow": ("W", "from the gas to the walls of all cylinders"),
    "coolant_power": ("W", "estimate of what coolant and oil take in all"),
}


@cache
def columns() -> dict[str, Column]:
    """Return every column of a cycle's result by its name, those of all cylinders last."""
    core = {name: (unit, words) for name, unit, words in _core.cycle_columns()}
    return {
        name: Column(name, unit, words, _KINDS.get(name) or kind_of(name, unit))
        for name, (unit, words) in {**core, **_DERIVED}.items()
    }


def column(name: str, where: str) -> Column:
    """Return one column, or refuse a name that is none."""
    known = columns()
    if name not in known:
        rule = "be a column of a cycle"
        raise refusal(where, "column", quoted(name), rule, suggestion(name, list(known)))
    return known[name]


def heading(name: str) -> str:
    """Return the words a column is headed with."""
    return word(name, of_a_cycle=True)


def with_derived(
    engine: CrankEngine, rpm_speed: Array, solved: Mapping[str, Array]
) -> dict[str, float | Array]:
    """Return the core's columns and what follows from them, friction taken off once."""
    size = engine.engine
    friction = size.friction_at(solved["peak_pressure"], rpm_speed)
    brake = solved["imep"] - friction
    torque = brake * size.displacement / (4.0 * np.pi)
    cycles = rpm_speed / (4.0 * np.pi) * engine.cylinders  # a second, of all cylinders
    return {
        **solved,
        "friction_pressure": friction,
        "brake_pressure": brake,
        "torque": torque,
        "power": torque * rpm_speed,
        "air_flow": solved["air_mass"] * cycles,
        "fuel_flow": solved["fuel_mass"] * cycles,
        "wall_heat_flow": solved["heat_loss"] * cycles,
        # The chain's own share: exhaust ports and friction heat the coolant as well.
        "coolant_power": _core.Combustion().coolant_share * solved["fuel_heat"] * cycles,
    }


@cache
def status_names() -> tuple[str, ...]:
    """Return the names of statuses in the order of their codes."""
    return tuple(_core.cycle_status_names())


def count(status: ArrayLike) -> str:
    """Return how many points have each status, converged first."""
    codes = np.asarray(status).ravel()
    parts = []
    for code, name in enumerate(status_names()):
        number = int(np.count_nonzero(codes == code))
        if number or code == 0:
            parts.append(f"{number:,} {name.replace('_', ' ')}")
    return f"{codes.size:,} point{'' if codes.size == 1 else 's'}: {', '.join(parts)}"
