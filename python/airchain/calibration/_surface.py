"""The engine's filling over engine speed, plenum pressure and plenum temperature.

Volumetric efficiency here is dry air over displacement filled with dry air at plenum pressure and
temperature, as a controller reckons density: humidity and fuel vapour, which displace air, are in
it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM
from ..shown import statuses
from .tables import between

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

Array = NDArray[np.float64]


class Cells(NamedTuple):
    """The engine at the nodes of a grid: rows over plenum pressure, columns over engine speed."""

    volumetric_efficiency: Array
    fuel_flow: Array
    known: NDArray[np.bool_]


def filled(
    chain: _core.Chain, rpm: ArrayLike, pressure: ArrayLike, temperature: ArrayLike
) -> Array:
    """Return dry-air flow that fills the displacement at plenum state [kg/s]."""
    density = np.asarray(_core.dry_air_density(pressure, temperature, 0.0))
    rate: Array = density * chain.engine.displaced_rate(1.0) * np.asarray(rpm) * RPM
    return rate


def answered(chain: _core.Chain, rpm: ArrayLike, pressure: ArrayLike,
             temperature: ArrayLike) -> dict[str, Array]:  # fmt: skip
    """Return the engine's states at points, all of which must have an answer."""
    speed, p, t = (np.atleast_1d(np.asarray(a, float)) for a in (rpm, pressure, temperature))
    states: dict[str, Array] = _core.engine_states(chain, speed * RPM, p, t)
    lost = np.flatnonzero(states["status"])
    if lost.size:
        first = lost[0]
        value = f"{p[first] / 1e3:g} kPa at {speed[first]:,.0f} rpm"
        rule = "be a plenum pressure at which the engine has an answer"
        why = statuses.advice(statuses.status_names()[int(states["status"][first])])
        raise refusal("calibrate", "pressure", value, rule, f"it is {why}")
    return states


def volumetric_efficiency(
    chain: _core.Chain, rpm: ArrayLike, pressure: ArrayLike, temperature: ArrayLike,
    *, strict: bool = False,
) -> Array:  # fmt: skip
    """Return volumetric efficiency on plenum density at points [dimensionless].

    Where the engine has no answer it is NaN, or refused if `strict`.
    """
    given = (np.asarray(a, dtype=float) for a in (rpm, pressure, temperature))
    points = np.broadcast_arrays(*given)
    speed, p, t = (np.ascontiguousarray(a).ravel() for a in points)
    states = (
        answered(chain, speed, p, t) if strict else _core.engine_states(chain, speed * RPM, p, t)
    )
    filling: Array = (states["air_flow"] / filled(chain, speed, p, t)).reshape(points[0].shape)
    return filling


def cells(chain: _core.Chain, rpm: Array, pressure: Array, temperature: float,
          lambda_target: Array) -> Cells:  # fmt: skip
    """Return the engine at every node; `lambda_target` has one value a pressure."""
    rows = []
    for p, excess in zip(pressure, lambda_target, strict=True):
        injection = chain.injection.replace(lambda_=float(excess))
        even = np.ones_like(rpm)
        rows.append(answered(chain.replace(injection=injection), rpm, p * even, temperature * even))
    stacked = {name: np.array([row[name] for row in rows]) for name in rows[0]}
    air = filled(chain, rpm[None, :], pressure[:, None], temperature)
    held = statuses.has(stacked["flags"], "outside_breathing_table")
    return Cells(stacked["air_flow"] / air, stacked["fuel_flow"], ~held)


@dataclass(frozen=True)
class Trim:
    """Volumetric efficiency over that at the reference temperature.

    Waves in runners and primaries move with the speed of sound, so the factor differs from engine
    speed to engine speed.

    Attributes
    ----------
    reference : float
        Plenum temperature of the tables [K].
    temperature : ndarray
        Plenum temperatures [K].
    rpm : ndarray
        Engine speeds [rpm].
    factor : ndarray
        Volumetric efficiency over that at `reference` [dimensionless], mean over the
        pressures run; rows over temperature, columns over speed.
    spread : ndarray
        Largest distance of a single cell's factor from the mean [dimensionless], by temperature,
        among the pressures run.
    """

    reference: float
    temperature: Array
    rpm: Array
    factor: Array
    spread: Array

    def at(self, temperature: ArrayLike, rpm: ArrayLike) -> Array:
        """Return the factor at plenum temperatures and speeds, straight between those of the table.

        Parameters
        ----------
        temperature : array_like
            Plenum temperatures [K].
        rpm : array_like
            Engine speeds [rpm].

        Returns
        -------
        ndarray
            Factors [dimensionless]; at the table's ends held.
        """
        held = np.clip(np.asarray(temperature, float), self.temperature[0], self.temperature[-1])
        speed = np.clip(np.asarray(rpm, float), self.rpm[0], self.rpm[-1])
        return between(self.temperature, self.rpm, self.factor, held, speed)

    @property
    def fuel(self) -> Array:
        """Fuel over that at the reference temperature and the same pressure [dimensionless]."""
        factor: Array = self.factor * (self.reference / self.temperature)[:, None]
        return factor


def trim_of(chain: _core.Chain, rpm: Array, pressure: Array, run: NDArray[np.bool_],
            reference: float, temperature: Array) -> Trim:  # fmt: skip
    """Return how volumetric efficiency moves with plenum temperature at the pressures run."""
    speed, p = np.meshgrid(rpm, pressure[run])
    filling = partial(volumetric_efficiency, chain, speed, p, strict=True)
    base = filling(reference)
    ratios = np.array([filling(t) / base for t in temperature])
    factor = ratios.mean(axis=1)
    spread = np.abs(ratios - factor[:, None, :]).max(axis=(1, 2))
    return Trim(reference, temperature, rpm, factor, spread)
