"""How far each fitting runs from knock: the worst cylinder's limit against what the tables run.

The margin at one engine speed is

    half burned as the calibration has it - half burned at the onset of knock

in crank angle, sought with the crank-resolved cycle at the matched state. Where firing order and
collectors tell the cylinders apart, the worst must burn later than the one that is searched by what
`airchain.cylinder.spread` tells, in every pull alike. Elsewhere the worst cylinder draws more than
the mean by [plan.cylinders] worst_cylinder and has the mean's fuel: its plenum pressure and its
lambda are that much higher, its spark is everybody's. Doubt, as half a 90 % band, is

    sqrt(formula^2 + chain^2)

of the ignition-delay formula and of the margin lost where boost and charge temperature stand at the
upper ends of their bands together. Left out: how a lean charge's burn moves the phasing of a common
spark (some 0.3 degrees), deposits, hot spots and oil, cycle-to-cycle variation.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..chain.build import Build
from ..chain.changes import LinksFitted
from ..chain.matched_cycles import matched_points
from ..chain.pull import Pull
from ..chain.pull_knock import worth_words
from ..cylinder.knock_words import DOUBT, NO_PERMISSION, doubt_words
from ..cylinder.parts import Cylinder
from ..cylinder.spark_searches import EARLIEST, bounds_of, margin_of, searched, with_worst
from ._solving import Solved
from .request import Cylinders, PlanRequest, Progress

if TYPE_CHECKING:
    from .trial import Trial

__all__ = ["Knock", "knock_of", "searched_worst", "words_of"]

Array = NDArray[np.float64]
#: Why a margin is not known.
NO_CYLINDER = (
    "The knock margin is not known, because volumetric efficiency is typed and nothing is known of "
    "the cylinder. Camshaft, ports and runners under [engine] make it known."
)
#: Engine speeds that are searched, and those of them where the band is; between those it is
#: straight, as the states that it stands on move slowly.
_SPEEDS, _ENDS = 9, 3


@dataclass(frozen=True, eq=False)
class Knock:
    """The room to knock of one fitting in one weather, in its worst cylinder.

    Attributes
    ----------
    rpm : ndarray
        Engine speeds of the plan [rpm].
    margin : ndarray
        Crank angle that half burned may come earlier [rad], negative where it knocks; NaN at
        speeds that were not searched.
    doubt : ndarray
        Half the 90 % band [rad].
    bound : ndarray
        Where no knock was found at the earliest phasing tried: the margin is at least what is
        printed [dimensionless].
    formula : float
        The part of the doubt that is the ignition-delay formula's [rad].
    settled : bool
        Whether every search came to an end.
    """

    rpm: Array
    margin: Array
    doubt: Array
    bound: NDArray[np.bool_]
    formula: float
    settled: bool

    @property
    def searched(self) -> NDArray[np.bool_]:
        """Which engine speeds have an answer [dimensionless]."""
        answered: NDArray[np.bool_] = np.isfinite(self.margin)
        return answered

    @property
    def band(self) -> tuple[Array, Array] | None:
        """Margin and doubt [rad]; None where a search did not settle, for it may be the worst."""
        return (self.margin, self.doubt) if self.settled and self.searched.any() else None


def knock_of(build: Build, request: PlanRequest, trials: Sequence[Trial],
             progress: Progress | None = None) -> list[dict[str, Knock]]:  # fmt: skip
    """Return the room to knock of each trial by weather; all points in one call of the core.

    Parameters
    ----------
    build : Build
        The build, with cams and with the factors of a fit where it has one.
    request : PlanRequest
        Weather, engine speeds, and the factor of the worst cylinder.
    trials : sequence of Trial
        What is asked for, solved.
    progress : callable, optional
        Called with the points searched and all of them [dimensionless].

    Returns
    -------
    list of dict
        By weather, in the order of `trials`.
    """
    places = [(trial, name) for trial in trials for name in trial.solved]
    cylinder = build.cylinder
    if not places or cylinder is None:
        return [{} for _ in trials]
    points = [
        _points(build.changed(request.weather[name].weather), trial, trial.solved[name])
        for trial, name in places
    ]
    every = {n: np.concatenate([p[n] for p in points]) for n in points[0]}
    size = every["speed"].size
    tell = None if progress is None else lambda done: progress(done, size)
    best, excess = build.chain.combustion.best_phasing, float(cylinder.setup.mixture.lambda_)
    limits = searched_worst(cylinder, request.cylinders, every, excess, best, tell)
    margins, bounds = margin_of(limits, every["half_burned"]), bounds_of(limits)
    sizes = np.cumsum([p["speed"].size for p in points])[:-1]
    by_trial: list[dict[str, Knock]] = [{} for _ in trials]
    numbers = {id(trial): i for i, trial in enumerate(trials)}
    parts = zip(np.split(margins, sizes), np.split(bounds, sizes), strict=True)
    for (trial, name), part in zip(places, parts, strict=True):
        by_trial[numbers[id(trial)]][name] = _knock(trial.solved[name], *part, DOUBT)
    return by_trial


def searched_worst(
    cylinder: Cylinder,
    cylinders: Cylinders,
    points: Mapping[str, Array],
    excess: float,
    best: float,
    tell: Callable[[int], None] | None,
) -> dict[str, Array]:
    """Search the knock limit of the worst cylinder.

    Parameters
    ----------
    cylinder : Cylinder
        The cylinder.
    cylinders : Cylinders
        How cylinders differ.
    points : mapping
        States of the mean cylinder, as `searched` takes them [SI].
    excess : float
        Lambda of the mean [dimensionless].
    best : float
        Earliest half burned that counts as best torque [rad].
    tell : callable or None
        Called with the number of points done [dimensionless].

    Returns
    -------
    dict
        Columns over the points [SI].
    """
    factor = 1.0 if cylinders.apart is not None else cylinders.worst_cylinder
    mixture = cylinder.setup.mixture.replace(lambda_=factor * excess)
    at = {**points, "plenum_pressure": factor * points["plenum_pressure"]}
    setup = cylinder.setup.replace(mixture=mixture)
    search = searched(setup, at, tell, best_phasing=best)
    return search if cylinders.apart is None else with_worst(cylinders.apart, search, points)


def _at(solved: Solved) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Numbers of the engine speeds that are searched, and of those where the band is."""
    matched = np.flatnonzero(solved.matched)

    def spread(among: NDArray[np.intp], count: int) -> NDArray[np.intp]:
        if not among.size:
            return among
        places = np.unique(np.linspace(0, among.size - 1, count).round().astype(int))
        chosen: NDArray[np.intp] = among[places]
        return chosen

    at = spread(matched, _SPEEDS)
    return at, spread(at, _ENDS)


def _points(build: Build, trial: Trial, solved: Solved) -> dict[str, Array]:
    """States at the cylinder as they are expected, then at the upper ends of their bands."""
    at, ends = _at(solved)
    on = build.changed(LinksFitted("", trial.fitting.links))
    states = {n: np.asarray(v) for n, v in matched_points(Pull.run(on, solved.rpm[at])).items()}
    place = np.searchsorted(at, ends)
    both = {n: np.concatenate([v, v[place]]) for n, v in states.items()}
    columns = {"plenum_pressure": "boost", "plenum_temperature": "charge_temperature"}
    for field, name in columns.items():
        middle, half = solved.band(name)
        # Readings may shift what is expected of a fitted chain.
        shift = middle - solved.value(name)
        both[field] = both[field] + np.concatenate([shift[at], (shift + half)[ends]])
    both["half_burned"] = np.array(
        [solved.chain.combustion.phasing_at(float(p)) for p in both["plenum_pressure"]]
    )
    return both


def _knock(solved: Solved, margins: Array, bounds: NDArray[np.bool_], formula: float) -> Knock:
    at, ends = _at(solved)
    here, there = margins[: at.size], margins[at.size :]
    place = np.searchsorted(at, ends)
    lost = np.interp(at, ends, np.maximum(here[place] - there, 0.0))
    margin, doubt = (np.full(solved.rpm.size, np.nan) for _ in range(2))
    margin[at] = here
    doubt[at] = np.hypot(formula, lost)
    bound = np.zeros(solved.rpm.size, dtype=bool)
    bound[at] = bounds[: at.size]
    return Knock(solved.rpm, margin, doubt, bound, formula, bool(np.isfinite(margins).all()))


def words_of(octane: float, apart: bool = False) -> list[str]:
    """Say what a knock margin is worth.

    Parameters
    ----------
    octane : float
        Of the fuel [dimensionless].
    apart : bool
        Whether the engine's geometry tells its cylinders apart.

    Returns
    -------
    list of str
        Whole sentences; of cylinders that are told apart the first are those of every pull.
    """
    earliest = f"{-np.degrees(EARLIEST):.0f} degrees before top centre"
    if apart:
        how = f"seek the knock limit with half burned no earlier than {earliest}"
        return [worth_words(octane, apart), f"Plans and calibrations {how}."]
    return [
        f"The knock margin is an estimate, {doubt_words(octane)}. The margin is that of the worst "
        f"cylinder, searched to {earliest}. {NO_PERMISSION}"
    ]
