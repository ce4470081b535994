"""How the cylinders of an engine differ at states of its chain, by firing order and pipes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ._kept_places import Place
from ._whole_nodes import CHARGE, LATTICES, TOLD, Lattice, lattice_of, told_at
from .parts import Cylinder
from .together import together_of

__all__ = [
    "ALIKE",
    "EVERY",
    "HELD",
    "ONE",
    "SPREAD_NOTE",
    "Spread",
    "held_note",
    "spread_of",
    "told_apart",
]

Array = NDArray[np.float64]
Column = NDArray[np.float64] | NDArray[np.bool_]
#: Which cylinder knock, limits and calibration count with, as a build file says it.
EVERY, ONE = "every cylinder", "one cylinder"
#: What the spread is worth, as reports say it.
SPREAD_NOTE = (
    "Cylinders are told apart by firing order, plenum and pipes alone, with as much fuel in each. "
    "Unlike injectors, the plenum's shape and unlike cooling come on top; common practice, no "
    "source, finds 3 to 5 % between cylinders."
)
#: What stands for states without whole engines, as reports say it.
HELD = (
    f"Below {LATTICES['fine'].ratios[0]:g} of the exhaust pressure or a fifth of redline, where "
    f"whole engines hardly settle, and above {LATTICES['fine'].ratios[-1]:g} times the exhaust "
    "pressure, cylinders are told apart as at the nearest state that was solved."
)
#: Tuning moves with charge temperature as if speed were N (T0/T)^a: waves in the runners move with
#: its root, those in the primaries not at all, and both make the spread.
_STRETCH = 0.25
#: Cylinders that fire a turn apart are as one by symmetry, and solved apart by less than this: in
#: shares of air or peak pressure, and radians of phasing.
ALIKE = 1e-3
#: Nearer to a place than this many steps it is the place itself.
_AT = 1e-9


def told_apart(cylinder: Cylinder | None) -> bool:
    """Return whether an engine's geometry tells its cylinders apart.

    Parameters
    ----------
    cylinder : Cylinder or None
        The cylinder of a build; None where its volumetric efficiency is typed.

    Returns
    -------
    bool
        Whether a firing order and collectors were typed, and nothing that forbids it: without
        collectors no cylinder feels another's exhaust.
    """
    return (
        cylinder is not None
        and cylinder.spread
        and cylinder.layout is not None
        and cylinder.layout.collectors is not None
    )


def held_note(held: Column) -> list[str]:
    """Say how many states lie beyond those where whole engines are solved.

    Parameters
    ----------
    held : ndarray
        Over states: whether they do [dimensionless].

    Returns
    -------
    list of str
        Two sentences as one text, or none.
    """
    count = int(np.count_nonzero(held))
    if not count:
        return []
    return [f"{HELD} So it is at {count:,} of {np.size(held):,} points."]


@dataclass(frozen=True, eq=False)
class Spread:
    """Every cylinder at some states, each against one cylinder that stands for all there.

    All arrays but those over states alone are over states and cylinders; NaN where the whole
    engine has no answer.

    Attributes
    ----------
    charge : ndarray
        Fresh charge over that of the one cylinder [dimensionless].
    peak : ndarray
        Peak pressure of the mean cycle over the one cylinder's, with the mean's fuel in every
        cylinder [dimensionless].
    later : ndarray
        By how much later each must burn to be as far from knock as the one cylinder, with the
        mean's fuel in every cylinder [rad].
    residual : ndarray
        Residual gas above the one cylinder's, as shares of the charge [dimensionless].
    filling : ndarray
        Over states: mean charge of all cylinders over that of the one [dimensionless]; the chain's
        own air has it.
    settled : ndarray
        Over states: whether every place that they stand on settled [dimensionless].
    held : ndarray
        Over states: whether they lie beyond the outermost place, whose value holds there
        [dimensionless].
    """

    charge: Array
    peak: Array
    later: Array
    residual: Array
    filling: Array
    settled: NDArray[np.bool_]
    held: NDArray[np.bool_]

    @property
    def air(self) -> Array:
        """Each cylinder's air over the mean of all [dimensionless]; lambda with equal fuel too."""
        return np.asarray(self.charge / np.mean(self.charge, axis=1, keepdims=True))

    @property
    def most_air(self) -> Array:
        """Air of the fullest cylinder over the mean, over states [dimensionless]."""
        return np.asarray(np.max(self.air, axis=1))

    @property
    def peak_over_chain(self) -> Array:
        """Peak pressures over the chain's, which is the one cylinder's with the mean's charge."""
        return np.asarray(self.peak / self.filling[:, None])

    @property
    def most_peak(self) -> Array:
        """Highest peak pressure over the chain's, over states [dimensionless]."""
        return np.asarray(np.max(self.peak_over_chain, axis=1))

    @property
    def most_later(self) -> Array:
        """By how much later the cylinder nearest to knock must burn, over states [rad]."""
        return np.asarray(np.max(self.later, axis=1))

    def number(self, name: str, least: bool = False) -> NDArray[np.int64]:
        """Return which cylinder has the most of something; of those that are as one the first.

        Parameters
        ----------
        name : str
            An attribute over states and cylinders: ``"air"``, ``"peak"`` or ``"later"``.
        least : bool
            Whether the least is asked for.

        Returns
        -------
        ndarray
            Numbers from 1 over states [dimensionless]; 0 where there is no answer, or all
            cylinders are as one.
        """
        values = np.asarray(getattr(self, name)) * (-1.0 if least else 1.0)
        known = np.asarray(np.isfinite(values).all(axis=1))
        values = np.where(known[:, None], values, 0.0)
        as_one = values > np.max(values, axis=1, keepdims=True) - ALIKE
        first = np.argmax(as_one, axis=1)
        return np.asarray(np.where(known & ~as_one.all(axis=1), first + 1, 0))


def spread_of(cylinder: Cylinder, states: Mapping[str, Array]) -> Spread:
    """Return how the cylinders of an engine differ at states of its chain.

    Whole engines are solved at the places of a lattice over engine speed and plenum over exhaust
    pressure, each once, when a state first needs it. Between places a cubic goes through four of
    them along N (T0/T)^0.25, and a straight line in the logarithm of the ratio; so a state has one
    answer, whoever asks. The places stand at one exhaust pressure and phasing, and at the mixture
    that the build was typed with: the spread hardly answers to these.

    Parameters
    ----------
    cylinder : Cylinder
        The cylinder, of an engine that is `told_apart`.
    states : mapping
        ``speed`` [rad/s], ``plenum_pressure`` and ``exhaust_pressure`` [Pa] and
        ``plenum_temperature`` [K], as `matched_points` has them; NaN where there is none.

    Returns
    -------
    Spread
        Every cylinder at every state.
    """
    names = ("speed", "plenum_pressure", "exhaust_pressure", "plenum_temperature")
    rows = np.broadcast_arrays(*(np.atleast_1d(np.asarray(states[n], float)) for n in names))
    known = np.all(np.isfinite(rows), axis=0)
    speed, plenum, exhaust, charge_temperature = (np.where(known, row, 1.0) for row in rows)
    lattice = lattice_of(cylinder)
    steps = speed / RPM / lattice.step_of(cylinder) * (CHARGE / charge_temperature) ** _STRETCH
    parts = [
        _parts(lattice, float(x), float(ratio)) if good else {}
        for x, ratio, good in zip(steps, plenum / exhaust, known, strict=True)
    ]
    places = told_at(cylinder, (place for each in parts for place in each))
    count = 1 if cylinder.layout is None else len(cylinder.layout.firing)
    values = np.full((len(TOLD), speed.size, count), np.nan)
    settled = np.zeros(speed.size, dtype=bool)
    for i, each in enumerate(parts):
        if each:
            rows_at = np.array([_straight(places[place]) for place in each])
            values[:, i] = np.einsum("p,ptc->tc", np.array(list(each.values())), rows_at)
            settled[i] = bool(np.all(rows_at[:, TOLD.index("settled")] > 0.5))
    ratio, ratios = plenum / exhaust, lattice.ratios
    held = known & ((ratio < ratios[0]) | (ratio > ratios[-1]) | (steps < lattice.first))
    charge, peak, later, residual, _ = values
    filling = np.where(known, _filling(cylinder, speed, ratio, charge_temperature), np.nan)
    return Spread(np.exp(charge), np.exp(peak), later, residual, filling, settled, held)


def _filling(cylinder: Cylinder, speed: Array, ratio: Array, temperature: Array) -> Array:
    """Mean charge of all cylinders over the one's, as a chain has it."""
    at = _core.Breathing.together_speed(speed, temperature)
    return np.asarray(together_of(cylinder).table.at(at, ratio))


def _straight(rows: Array) -> Array:
    """What is told at a place, factors by their logarithm."""
    return np.concatenate([np.log(rows[:2]), rows[2:]])


def _parts(lattice: Lattice, steps: float, ratio: float) -> dict[Place, float]:
    """The places that a state stands on, and the part of each."""
    speeds = _along_speed(max(steps, float(lattice.first)), lattice.first)
    places = np.log(lattice.ratios)
    at = float(np.clip(np.log(ratio), places[0], places[-1]))
    low = int(np.clip(np.searchsorted(places, at, side="right") - 1, 0, len(places) - 2))
    up = float((at - places[low]) / (places[low + 1] - places[low]))
    rows = {low: 1.0 - up, low + 1: up}
    return {
        (k, j): part * share
        for j, share in rows.items()
        if abs(share) > _AT
        for k, part in speeds.items()
    }


def _along_speed(steps: float, lowest: int) -> dict[int, float]:
    """A cubic's parts of the four places about a speed; one place where it stands there."""
    near = round(steps)
    if abs(steps - near) < _AT:
        return {near: 1.0}
    first = max(int(np.floor(steps)) - 1, lowest)
    nodes = range(first, first + 4)
    return {k: float(np.prod([(steps - m) / (k - m) for m in nodes if m != k])) for k in nodes}
