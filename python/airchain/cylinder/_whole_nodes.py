"""Whole engines at the places of a lattice, each place solved once: what tells cylinders apart."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ._kept_places import KeptPlaces, Place, key_of, with_cells
from .parts import Cylinder
from .solving_cylinders import Asked, solve_cylinders

Array = NDArray[np.float64]


class Lattice(NamedTuple):
    """Where whole engines are solved.

    Attributes
    ----------
    ratios : tuple of float
        Plenum over exhaust pressure of the places [dimensionless].
    steps : int
        Steps of engine speed up to redline, about [dimensionless].
    first : int
        The first of them with a place [dimensionless].
    cells : float
        The most that a pipe has there [dimensionless].
    """

    ratios: tuple[float, ...]
    steps: int
    first: int
    cells: float

    def step_of(self, cylinder: Cylinder) -> float:
        """Return the engine speed between two places [rpm]."""
        redline = float(cylinder.size.speed_limit) / RPM
        return float(max(_ROUND * round(redline / self.steps / _ROUND), _ROUND))


#: By fineness. About a ratio of 1 the gas of the overlap turns about. Waves of the primaries bend
#: the spread within some 500 rpm of a car's engine. Below the lowest ratio and a fifth of redline
#: an engine with much overlap fills its plenum with exhaust: whole engines hardly settle there,
#: and some die.
LATTICES: dict[str, Lattice] = {
    "fine": Lattice(
        (0.8, 0.88, 0.94, 1.0, 1.06, 1.15, 1.3, 1.5, 1.8, 2.2, 2.7, 3.3, 4.0), 32, 6, np.inf
    ),
    "coarse": Lattice((0.8, 1.0, 1.4, 2.1, 4.0), 10, 2, 8.0),
}
#: The lattice of every build but those that ask for a coarse surface.
USUAL = "fine"
#: Steps of engine speed are multiples of this [rpm].
_ROUND = 50
#: State of every place: exhaust pressure [Pa], charge temperature [K] and half burned [rad].
_EXHAUST, CHARGE, _HALF = 110e3, 320.0, np.deg2rad(14.0)
#: What one cylinder burns later [rad] and leaner to tell what these change.
_LATER, _LEANER = np.deg2rad(3.0), 1.06
#: A whole engine with a cylinder that takes less than this of the one's charge runs no more.
_DEAD = 0.3
_FORMAT = 2
#: What is told of every cylinder at a place, in this order: charge over that of one cylinder which
#: stands for all at the same state; peak pressure over that one's, with the mean's fuel in every
#: cylinder; by how much later it must burn to be as far from knock [rad]; residual gas above that
#: one's [share of the charge]; whether the place settled.
TOLD = ("charge", "peak", "later", "residual", "settled")


def lattice_of(cylinder: Cylinder) -> Lattice:
    """Return where the whole engines of a cylinder are solved."""
    return LATTICES["coarse" if cylinder.coarse else USUAL]


def _key_of(cylinder: Cylinder) -> str:
    state = (_EXHAUST, CHARGE, _HALF, _LATER, _LEANER)
    lattice = lattice_of(cylinder)
    return key_of(cylinder, repr((_FORMAT, lattice, lattice.step_of(cylinder), *state)))


#: Places that were solved.
_kept = KeptPlaces("cylinders", "cylinders told apart")


def told_at(cylinder: Cylinder, places: Iterable[Place]) -> dict[Place, Array]:
    """Return what is told of every cylinder at places; those never asked for are solved now.

    Each is an array over `TOLD` and cylinders, NaN where the whole engine has no answer.
    """
    return _kept.at(
        _key_of(cylinder),
        places,
        lambda new, tell: _solved(cylinder, new, tell),
        cylinder.whose,
    )


def _solved(
    cylinder: Cylinder, places: Sequence[Place], progress: Callable[[int], None] | None = None
) -> Array:
    """Solve places: an array over places, `TOLD` and cylinders."""
    lattice = lattice_of(cylinder)
    cylinder = with_cells(cylinder, lattice.cells)
    rpm = lattice.step_of(cylinder) * np.array([k for k, _ in places], dtype=float)
    plenum = _EXHAUST * np.array([lattice.ratios[j] for _, j in places])
    even = np.ones(len(places))
    given = {
        "rpm": rpm, "plenum_pressure": plenum, "exhaust_pressure": _EXHAUST * even,
        "plenum_temperature": CHARGE * even, "half_burned": _HALF * even,
    }  # fmt: skip
    all_of = solve_cylinders(cylinder, given, Asked(), progress)[0]
    point = {**{n: v for n, v in given.items() if n != "rpm"}, "speed": rpm * RPM}
    setup = cylinder.setup
    aim = setup.mixture.lambda_
    lean = setup.replace(mixture=setup.mixture.replace(lambda_=_LEANER * aim))
    one, leaner = (_core.run_cycles(each, point) for each in (setup, lean))
    eased = _core.run_cycles(setup, {**point, "half_burned": (_HALF + _LATER) * even})
    fresh = all_of["fresh_mass"]
    air = fresh / np.mean(fresh, axis=1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        # With as much fuel in each, lambda goes with the air; what it does is one cylinder's.
        leans = np.log(air) / np.log(_LEANER)
        ratio = {n: _by(one, leaner, n) for n in ("knock_integral", "peak_pressure")}
        fall = -_by(one, eased, "knock_integral") / _LATER
        nearer = np.log(all_of["knock_integral"]) - np.log(one["knock_integral"])[:, None]
        later = (nearer + leans * ratio["knock_integral"][:, None]) / fall[:, None]
        peak = all_of["peak_pressure"] / one["peak_pressure"][:, None]
    worst = np.max(np.asarray(all_of["status"]), axis=1)
    told = {
        "charge": fresh / one["fresh_mass"][:, None],
        "peak": peak * np.exp(leans * ratio["peak_pressure"][:, None]),
        "later": later,
        "residual": all_of["residual_fraction"] - one["residual_fraction"][:, None],
        "settled": np.broadcast_to((worst == 0)[:, None], fresh.shape),
    }
    dead = np.min(told["charge"], axis=1) < _DEAD
    lost = dead | (worst > 1) | (np.asarray(one["status"]) > 1)
    return np.stack([np.where(lost[:, None], np.nan, told[name]) for name in TOLD], axis=1)


def _by(one: dict[str, Array], other: dict[str, Array], name: str) -> Array:
    return np.asarray(np.log(other[name] / one[name]))
