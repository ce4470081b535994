"""By how much all cylinders of an engine fill more than the one whose cycles make the breathing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.kept import Kept
from ..base.speeds import RPM
from . import _whole_nodes
from ._kept_places import KeptPlaces, Place, key_of, with_cells
from .parts import Cylinder
from .solving_cylinders import Asked, solve_cylinders

__all__ = ["Together", "together_of"]

Array = NDArray[np.float64]
#: Exhaust pressure [Pa] and half burned [rad] of the whole engines. 95 to 120 kPa move the mean
#: charge over the one's by less than 0.1 %, 9 to 22 degrees by 1 % at most.
_EXHAUST, _HALF = 110e3, np.deg2rad(12.0)
#: Lowest and highest engine speed over redline.
_SPEEDS = (0.2, 1.07)
#: Lowest and highest engine speed that cycles run at [rad/s].
_CYCLES = next(f[2:4] for f in _core.CyclePoint.fields() if f[0] == "speed")
#: A whole engine with a cylinder that takes less than this of the one's charge runs no more.
_DEAD = 0.3
_FORMAT = 1


class Lattice(NamedTuple):
    """Where whole engines are solved, and how finely.

    Both models have the same cells, so that most of what these err by cancels: with 14 cells a
    pipe instead of 31 the mean charge over the one's moves by 0.2 % at most, of 150 states.
    """

    ratios: tuple[float, ...]
    speeds: int
    cells: float
    tolerance: float
    largest_step: float

    def rpm(self, cylinder: Cylinder) -> Array:
        """Engine speeds [rpm]; a wave's order falls with speed, so their steps are shares."""
        redline = float(cylinder.size.speed_limit) / RPM
        low, high = (share * redline for share in _SPEEDS)
        slowest, fastest = _CYCLES
        low, high = max(low, slowest / RPM), min(high, fastest / RPM)
        return np.asarray(np.geomspace(low, high, self.speeds))


#: By fineness. Between the places of the fine one, of 48 states without compressor and with, an
#: invented V8's mean charge was within 0.5 % of whole engines, at the temperature of the places.
LATTICES = {
    "fine": Lattice((0.8, 0.9, 0.97, 1.04, 1.12, 1.3, 1.6, 2.2, 4.0), 40, 14.0, 1e-3, 0.035),
    "coarse": Lattice((0.8, 1.05, 1.5, 4.0), 10, 8.0, 2e-3, 0.05),
}


@dataclass(frozen=True, eq=False)
class Together:
    """What whole engines say of the mean of all cylinders.

    Attributes
    ----------
    table : BreathingTable
        Mean charge of all cylinders over that of the one, as a `Breathing` takes it.
    cautions : tuple of str
        What is to be said of it.
    """

    table: _core.BreathingTable
    cautions: tuple[str, ...]


_kept = KeptPlaces("together", "all cylinders together")


def together_of(cylinder: Cylinder) -> Together:
    """Return by how much all cylinders of an engine fill more than the one, everywhere.

    Whole engines are solved once, on a lattice of engine speed and plenum over exhaust pressure at
    one charge temperature, and kept. They tell on standard error how far they are; Ctrl-C keeps
    those that are done.

    Parameters
    ----------
    cylinder : Cylinder
        The cylinder, of an engine that is `told_apart`.

    Returns
    -------
    Together
        The table of a chain's breathing.

    Raises
    ------
    InputError
        No whole engine has an answer.
    """
    lattice = LATTICES["coarse" if cylinder.coarse else _whole_nodes.USUAL]
    rpm = lattice.rpm(cylinder)
    settings = (_FORMAT, lattice, rpm.tolist(), _EXHAUST, _core.Breathing.TOGETHER_TEMPERATURE)
    key = key_of(cylinder, repr(settings))
    return _made.get(key, lambda: _all_of(cylinder, lattice, rpm, key))


#: By the engine; a build asks with every pull.
_made: Kept[Together] = Kept(256)


def _all_of(cylinder: Cylinder, lattice: Lattice, rpm: Array, key: str) -> Together:
    places = [(k, j) for k in range(len(rpm)) for j in range(len(lattice.ratios))]

    def solve(new: Sequence[Place], tell: Callable[[int], None] | None) -> Array:
        return _solved(cylinder, lattice, rpm, new, tell)

    told = _kept.at(key, places, solve, cylinder.whose)
    charge, settled = np.moveaxis(
        np.reshape([told[place] for place in places], (len(rpm), len(lattice.ratios), 2)), 2, 0
    )
    lost = ~np.isfinite(charge)
    if lost.all():
        rule = "fill all its cylinders"
        raise refusal("engine", "collectors", "a whole engine that dies everywhere", rule,
                      "look at plenum, collectors and firing order")  # fmt: skip
    for row in charge.T:  # of one ratio, from the nearest speed
        known = np.isfinite(row)
        row[:] = np.interp(rpm, rpm[known], row[known]) if known.any() else 1.0
    table = _core.breathing_table(rpm * RPM, lattice.ratios, charge)
    return Together(table, _cautions(lost, ~lost & (settled < 0.5)))


def _cautions(lost: NDArray[np.bool_], unsettled: NDArray[np.bool_]) -> tuple[str, ...]:
    words = []
    for which, told in (
        (unsettled, "did not settle: their last round was taken"),
        (lost, "have no answer: they were filled from their neighbours along the speed"),
    ):
        if which.any():
            words.append(
                f"{np.count_nonzero(which)} of {which.size} whole engines, which tell how all "
                f"cylinders fill together, {told}."
            )
    return tuple(words)


def _solved(
    cylinder: Cylinder, lattice: Lattice, rpm: Array, places: Sequence[Place],
    progress: Callable[[int], None] | None,
) -> Array:  # fmt: skip
    """Mean charge over the one's, and whether it settled, at each place."""
    cylinder = with_cells(cylinder, lattice.cells)
    speed = rpm[[k for k, _ in places]]
    plenum = _EXHAUST * np.array(lattice.ratios)[[j for _, j in places]]
    even = np.ones(len(places))
    point = {
        "plenum_pressure": plenum, "exhaust_pressure": _EXHAUST * even, "half_burned": _HALF * even,
        "plenum_temperature": _core.Breathing.TOGETHER_TEMPERATURE * even,
    }  # fmt: skip
    controls = _core.CycleControls(tolerance=lattice.tolerance, largest_step=lattice.largest_step)
    given = {"rpm": speed, **point}
    of_all = solve_cylinders(cylinder, given, Asked(controls=controls), progress)[0]
    one = _core.run_cycles(cylinder.setup, {"speed": speed * RPM, **point}, controls)
    with np.errstate(divide="ignore", invalid="ignore"):
        charge = of_all["fresh_mass"] / one["fresh_mass"][:, None]
    worst = np.maximum(np.max(np.asarray(of_all["status"]), axis=1), np.asarray(one["status"]))
    dead = ~(np.min(charge, axis=1) > _DEAD)
    mean = np.where(dead | (worst > 1), np.nan, np.mean(charge, axis=1))
    return np.stack([mean, worst == 0], axis=1)
