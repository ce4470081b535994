"""Spark searches of the core, each point once: plan, calibration and report ask for the same.

They are kept in the folder of `airchain.base.cache`, one file a cylinder, since they are most of
the work of a first plan.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base import cache as kept_files
from ..base.kept import ByIdentity
from .parts import Cylinder
from .spread import spread_of, told_apart

__all__ = [
    "EARLIEST", "LATEST", "SEARCH", "bounds_of", "later_of", "margin_of", "searched", "with_worst",
]  # fmt: skip

Array = NDArray[np.float64]
Column = NDArray[np.float64] | NDArray[np.bool_]

#: Limits of knock are searches to a tenth of what the formula is worth at best.
SEARCH = _core.SparkSearch(tolerance=0.2 * np.pi / 180.0)
EARLIEST, LATEST = float(SEARCH.earliest), float(SEARCH.latest)
_POINT = ("speed", "plenum_pressure", "plenum_temperature", "exhaust_pressure", "half_burned")
#: Points kept at most, in memory and in the file of one cylinder; a whole plan has some hundreds.
_MOST, _MOST_IN_FILE = 50_000, 2_000
_Point = tuple[float, ...]
_Answers = dict[_Point, dict[str, float]]
#: What was found, by the cylinder.
_made: dict[str, _Answers] = {}
#: Cylinders are long to write out, and asked for again with every pull.
_setups = ByIdentity[_core.CycleSetup, str](repr)


def searched(
    setup: _core.CycleSetup,
    points: Mapping[str, ArrayLike],
    progress: Callable[[int], None] | None = None,
    *,
    best_phasing: float | None = None,
) -> dict[str, Array]:
    """Return what `run_spark_searches` finds, computing only points that were never asked for.

    A point's search starts cold and knows nothing of its neighbours, so that it is the same alone
    and in any batch.

    Parameters
    ----------
    setup : CycleSetup
        The cylinder.
    points : mapping
        Arrays of one length by name, as `run_spark_searches` takes them [SI].
    progress : callable, optional
        Called with the number of points done, dimensionless.
    best_phasing : float, optional
        Earliest half burned that counts as best torque [rad]: the chain's `best_phasing`.

    Returns
    -------
    dict
        Columns over the points [SI].

    Raises
    ------
    InputError
        A point is out of range; before any work.
    """
    rows = np.broadcast_arrays(*(np.asarray(points[name], dtype=float) for name in _POINT))
    search = SEARCH if best_phasing is None else SEARCH.replace(earliest_best=best_phasing)
    asked: list[_Point] = [tuple(map(float, values)) for values in zip(*rows, strict=True)]
    if sum(map(len, list(_made.values()))) + len(asked) > _MOST:
        _made.clear()
    key = _key_of(setup, search)
    made = _made.get(key)
    if made is None:
        kept_files.limit()  # refused before the work, not after it
        made = _made.setdefault(key, _read(key))
    new = [i for i, point in enumerate(asked) if point not in made]
    if new:
        columns = {name: row[new] for name, row in zip(_POINT, rows, strict=True)}
        searches = _core.run_spark_searches(setup, columns, search, progress=progress)
        for place, i in enumerate(new):
            made[asked[i]] = {name: float(values[place]) for name, values in searches.items()}
        _write(key, made)
    names = list(made[asked[0]]) if asked else []
    return {name: np.array([made[point][name] for point in asked]) for name in names}


def _key_of(setup: _core.CycleSetup, search: _core.SparkSearch) -> str:
    """SHA-256 of everything that a point's search depends on, the compiled core included."""
    core = (kept_files.core_digest(), _core.instruction_set())
    text = repr((_POINT, core, search, _setups.get(setup)))
    return hashlib.sha256(text.encode()).hexdigest()


def _name(key: str) -> str:
    return f"sparks-{key[:32]}.json"


def _read(key: str) -> _Answers:
    """Return the searches that are kept; none where there is no whole file."""
    try:
        names, rows = json.loads(kept_files.read_sealed(_name(key), key) or "[[], []]")
        return {tuple(point): dict(zip(names, values, strict=True)) for point, values in rows}
    except (ValueError, TypeError):
        return {}


def _write(key: str, made: _Answers) -> None:
    """Keep the searches, of too many those made last; those of other processes are kept too."""
    every = {**_read(key), **made}
    names = list(next(iter(made.values())))
    rows = [[point, [found[name] for name in names]] for point, found in every.items()]
    kept_files.write_sealed(_name(key), key, json.dumps([names, rows[-_MOST_IN_FILE:]]))


def with_worst(
    cylinder: Cylinder, search: Mapping[str, Array], points: Mapping[str, ArrayLike]
) -> dict[str, Array]:
    """Return a search of the one cylinder as one of the engine's cylinder nearest to knock.

    Parameters
    ----------
    cylinder : Cylinder
        The cylinder, with the layout of its engine.
    search : mapping
        What `searched` found with it [SI].
    points : mapping
        The points of that search [SI].

    Returns
    -------
    dict
        The search; of an engine whose geometry tells its cylinders apart with ``later``, by how
        much later the worst must burn than the one [rad], ``worst_cylinder``, its number
        [dimensionless, 0 where none is worst], and ``held``, as `Spread` has it. `margin_of`
        counts with them.
    """
    if not told_apart(cylinder):
        return dict(search)
    spread = spread_of(cylinder, {name: np.asarray(v, float) for name, v in points.items()})
    number = spread.number("later").astype(float)
    own = {"later": spread.most_later, "worst_cylinder": number, "held": spread.held.astype(float)}
    return {**search, **own}


def later_of(search: Mapping[str, Column]) -> ArrayLike:
    """Return by how much later the worst cylinder must burn than the one that was searched.

    Parameters
    ----------
    search : mapping
        Columns of a search.

    Returns
    -------
    array_like
        Over the points [rad]; 0 where one cylinder stands for all.
    """
    return search.get("later", 0.0)


def bounds_of(search: Mapping[str, Column]) -> NDArray[np.bool_]:
    """Return where no knock was found at the earliest phasing: the margin is at least that told.

    Parameters
    ----------
    search : mapping
        Columns of a search.

    Returns
    -------
    ndarray
        Truth over the points [dimensionless].
    """
    never = list(_core.spark_status_names()).index("never_knocks")
    answer: NDArray[np.bool_] = np.asarray(search["limit_search"]) == never
    return answer


def margin_of(search: Mapping[str, Column], own: ArrayLike) -> Array:
    """Return how much earlier half of the charge may burn than it does before knock [rad].

    Parameters
    ----------
    search : mapping
        Columns of a search.
    own : array_like
        Crank angle after top centre at which half has burned [rad].

    Returns
    -------
    ndarray
        Margins, negative where the charge knocks, of the worst cylinder where `with_worst` knows
        it. Where no knock was found at the earliest phasing tried the margin is at least what is
        told, where there was some at the latest at most; NaN where the search did not settle.
    """
    status = np.asarray(search["limit_search"]).astype(int)
    code = {name: i for i, name in enumerate(_core.spark_status_names())}
    limit = np.where(status == code["never_knocks"], EARLIEST, search["limit_half_burned"])
    limit = np.where(status == code["always_knocks"], LATEST, limit)
    limit = np.where(status == code["not_converged"], np.nan, limit)
    margin: Array = np.asarray(own, dtype=float) - limit - np.asarray(later_of(search))
    return margin
