"""What injectors, pumps and lines do along one pull."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.pull import Pull
from .words import statuses

__all__ = ["FuelStep", "fuel_step", "supplied", "supply_of"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class FuelStep:
    """The fuel side of one level.

    ``step["duty"]`` is an SI array along the engine speeds of its pull.

    Attributes
    ----------
    name : str
        The level.
    pull : Pull
        Its pull.
    columns : mapping
        Values by name [SI]; NaN where the chain has no answer.
    status : sequence of str
        ``enough``, or what is amiss, of each point.
    """

    name: str
    pull: Pull
    columns: Mapping[str, Array]
    status: Sequence[str]

    @property
    def rpm(self) -> Array:
        """Engine speeds [rpm]."""
        return np.asarray(self.pull.rpm, dtype=float)

    def __getitem__(self, name: str) -> Array:
        return self.columns[name]

    @cached_property
    def run_fuel(self) -> float:
        """Fuel of the pull against time at the build's rate [kg]; NaN when nothing was solved.

        Over the speeds that have an answer.
        """
        if len(self.pull) < 2:
            return float("nan")
        build = self.pull.build
        timed = build.timed_pull(self.pull.rpm, rpm_per_second=float(build.pull_rate / RPM))
        known = np.isfinite(timed["fuel_flow"])
        if known.sum() < 2:
            return float("nan")
        return float(np.trapezoid(timed["fuel_flow"][known], timed["time"][known]))

    def extreme(self, name: str, largest: bool = True) -> tuple[float, float]:
        """Return the largest or least value of a column and its engine speed.

        Parameters
        ----------
        name : str
            The column, such as ``"duty"``, ``"injector_margin"`` or ``"pump_margin"``.
        largest : bool
            The largest, else the least.

        Returns
        -------
        tuple of float
            The value [SI] and the engine speed [rpm]; NaN when there is none.
        """
        values = self[name] if largest else -self[name]
        if not np.isfinite(values).any():
            return float("nan"), float("nan")
        i = int(np.nanargmax(values))
        return float(self[name][i]), float(self.rpm[i])

    @property
    def verdict(self) -> str:
        """``enough``, or all that is amiss at some speed."""
        statuses_met = dict.fromkeys(part for text in self.status for part in text.split(", "))
        return ", ".join(p for p in statuses_met if p != "enough") or "enough"


def supply_of(build: Build) -> _core.Supply:
    """Return the supply of a build, or refuse a build without a fuel system.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    Supply
        Injectors, pumps, regulator and lines.

    Raises
    ------
    InputError
        The build file has no [fuel_system].
    """
    if build.fuel_system is None:
        rule = "be described in the build file"
        hint = "write a table [fuel_system] with injectors, regulator, pumps and supply_line"
        raise refusal(build.source.file.name, "fuel_system", "missing", rule, hint)
    supply: _core.Supply = build.fuel_system.supply
    return supply


def supplied(
    supply: _core.Supply, chain: _core.Chain, columns: Mapping[str, Array]
) -> dict[str, Array]:
    """Return what a supply does along the points of a result.

    Parameters
    ----------
    supply : Supply
        Injectors, pumps, regulator and lines.
    chain : Chain
        What was solved.
    columns : mapping
        Of the result [SI]: engine_speed, fuel_flow, plenum_pressure and compressor_inlet_pressure.

    Returns
    -------
    dict
        The columns of `supply_points` [SI]; with them fuel_flow, and injector_margin: duty limit
        over duty, less 1.
    """
    ambient, plenum = float(chain.ambient.pressure), columns["plenum_pressure"]
    early = chain.injection.place == "before_compressor"
    sprayed = columns["compressor_inlet_pressure"] if early else plenum
    feels = plenum if supply.reference == "plenum" else np.full_like(plenum, ambient)
    points: dict[str, Array] = _core.supply_points(
        supply, columns["engine_speed"], columns["fuel_flow"], sprayed, feels, ambient
    )
    margin = supply.duty_limit / points["duty"] - 1.0
    return {"fuel_flow": columns["fuel_flow"], **points, "injector_margin": margin}


def fuel_step(name: str, pull: Pull) -> FuelStep:
    """Return the fuel side of one pull.

    Parameters
    ----------
    name : str
        What it is called.
    pull : Pull
        A pull of a build with a fuel system.

    Returns
    -------
    FuelStep
        Its columns and statuses.
    """
    supply = supply_of(pull.build)
    columns = supplied(supply, pull.build.chain, pull.columns)
    status = statuses(columns, float(supply.duty_limit), float(supply.pump_margin))
    return FuelStep(name, pull, columns, status)
