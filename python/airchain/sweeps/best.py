"""The best points of a sweep under limits, with ties and the room to every limit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import inf, isfinite, prod
from numbers import Integral, Real
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..base.progress import telling
from ..shown.columns import heading, label, shown
from ..shown.tables import Shown, Table
from ..shown.words import counted
from ..typed.place import TypedByName
from .described import NO_KNOCK
from .grid import blocks
from .limits import Limit, limits_of
from .told_axes import axis_heading, axis_unit, axis_value, shown_number

if TYPE_CHECKING:
    from xarray import Dataset

__all__ = ["BestPoints", "best_points"]

Array = NDArray[np.float64]
#: Points read at a time [dimensionless].
_AT_ONCE = 2_000_000
#: Values that are remembered as ties [dimensionless]; beyond that they are only 'at least'.
_MOST_TIES = 1_000_000


@dataclass(frozen=True, eq=False, repr=False)
class BestPoints(Shown):
    """The best points of a sweep; made by `best_points`.

    Attributes
    ----------
    grid : xarray.Dataset
        The sweep.
    name : str
        The column that was judged.
    largest : bool
        Whether the largest value is the best one.
    limits : list of Limit
        What points had to keep to.
    places : list of mapping
        By axis, the index [dimensionless] of every point, the best first.
    values : ndarray
        Their values [SI].
    solved, allowed, ties : int
        Points that were solved, keep to the limits, and tie with the best, itself among them
        [dimensionless].
    tie : float
        How far from the best still counts as a tie, as a share of it [dimensionless].
    without : mapping
        By limit, the best value without that one [SI].
    """

    grid: Dataset
    name: str
    largest: bool
    limits: list[Limit]
    places: list[Mapping[str, int]]
    values: Array
    solved: int
    allowed: int
    ties: int
    tie: float
    without: Mapping[str, float]

    def point(self, rank: int = 0) -> Dataset:
        """Return one of the points.

        Parameters
        ----------
        rank : int
            Its place from the best on, from 0 [dimensionless].

        Returns
        -------
        xarray.Dataset
            The sweep at that point alone, every column in SI.
        """
        return self.grid.isel(dict(self.places[rank]))

    @property
    def verdict(self) -> str:
        """The best value, where it lies, and how many tie with it."""
        word = "Largest" if self.largest else "Smallest"
        if not self.places:
            return (
                f"No point keeps to the limits: {self.solved:,} of {self.grid[self.name].size:,} "
                "points were solved"
            )
        best = f"{shown(self.name, self.values[0], 'trade')} {label(self.name, 'trade')}".strip()
        text = f"{word} {heading(self.name)}: {best}, of {counted(self.allowed, 'point')} that "
        text += "keep to the limits" if self.limits else "were solved"
        more = self.ties - 1
        if more:
            at_least = "at least " if self.ties >= _MOST_TIES else ""
            text += f"; {at_least}{counted(more, 'more point')} within {100 * self.tie:g} % of it"
        return text

    @property
    def notes(self) -> list[str]:
        """What each limit costs, and what a sweep leaves open."""
        notes = []
        for limit in self.limits:
            text = limit.words(self.grid, "trade")
            without = self.without[limit.name]
            if not self.places:
                reached = "a point keeps to the others" if isfinite(without) else "none does either"
                notes.append(f"Without '{text}', {reached}.")
            elif (without > self.values[0]) if self.largest else (without < self.values[0]):
                told = f"{shown(self.name, without, 'trade')} {label(self.name, 'trade')}".strip()
                notes.append(f"The limit '{text}' binds: without it {told} would stand here.")
            else:
                notes.append(f"The limit '{text}' costs nothing.")
        return [*notes, NO_KNOCK]

    def _tables(self, system: str) -> list[Table]:
        dims = [str(d) for d in self.grid[self.name].dims]
        # Sorted: a folder does not keep the order of what stands along an axis.
        others = sorted(str(c) for c in self.grid.coords if c not in dims)
        axes = [*(d for d in dims if d in self.grid.coords), *others]
        told = [one for one in self.limits if not one.names and one.name in self.grid.data_vars]
        headings = ["place", *(axis_heading(self.grid, n) for n in axes), heading(self.name)]
        units = ["", *(axis_unit(self.grid, n, system) for n in axes), label(self.name, system)]
        for limit in told:
            headings += [heading(limit.name), "room"]
            units += [label(limit.name, system)] * 2
        rows = []
        for rank, value in enumerate(self.values):
            point = self.point(rank)
            row = [str(rank + 1)]
            row += [axis_value(self.grid, n, point[n].to_numpy()[()], system) for n in axes]
            row.append(shown(self.name, float(value), system))
            for limit in told:
                number = float(point[limit.name])
                row.append(shown(limit.name, number, system))
                row.append(_room(limit, number, system))
            rows.append(row)
        key = "Room: what is left to the limit, from its nearer end." if told else ""
        return [Table(headings, units, rows, key=key)] if rows else []


def _room(limit: Limit, number: float, system: str) -> str:
    """What is left to a limit, in the column's unit."""
    end = limit.low if limit.room(number)[1] == "above" else limit.high
    apart = [float(shown_number(limit.name, one, system)) for one in (number, end)]
    return f"{abs(apart[0] - apart[1]):,.3g}"


def best_points(
    grid: Dataset,
    name: str,
    where: TypedByName | None = None,
    *,
    count: int = 10,
    largest: bool = True,
    tie: float = 1e-3,
) -> BestPoints:
    """Find the best points of a sweep under limits; in a folder it is read piece by piece.

    Parameters
    ----------
    grid : xarray.Dataset
        The sweep, or a part of it that was selected.
    name : str
        The column that is judged.
    where : mapping, optional
        By column or axis a pair (lowest, highest), None for an open end: texts with units, or
        numbers [SI; rpm where it is called so]. For an axis of names one of them, or several.
    count : int
        How many points are told, dimensionless.
    largest : bool
        Whether the largest value is the best one.
    tie : float
        How far from the best still counts as a tie, as a share of it, dimensionless.

    Returns
    -------
    BestPoints
        The points, with ties and the room to every limit.

    Raises
    ------
    InputError
        There is no such column or axis, or no such limit.

    Examples
    --------
    >>> from airchain.sweeps import best_points
    >>> grid = airchain.sweep(build, {"rpm": [5000, 6000, 7000], "level": ["tame", "full"]})
    >>> best = best_points(grid, "power", {"boost": (None, "15 psi")}, count=1)
    >>> best.point()["level"].item()
    'full'
    """
    known = [str(one) for one in grid.data_vars]
    if name not in known or name in ("status", "flags"):
        rule = "be a column of the sweep"
        raise refusal("best_points", "name", quoted(name), rule, suggestion(name, known))
    if "status" not in grid:
        raise refusal("best_points", "grid", "without statuses", "be a sweep or a part of one")
    if isinstance(count, bool) or not isinstance(count, Integral) or not 1 <= count <= 10_000:
        rule = "be a whole number between 1 and 10,000"
        raise refusal("best_points", "count", quoted(count), rule)
    if not isinstance(tie, Real) or not 0.0 <= tie < 1.0:
        raise refusal("best_points", "tie", quoted(tie), "be a share from 0 to below 1")
    limits = limits_of(grid, where or {})
    search = _Search(name, limits, count, 1.0 if largest else -1.0, tie)
    done, total = 0, grid[name].size
    with telling("best points", "points") as tell:
        for first, piece in _pieces(grid, [name, "status", *(one.name for one in limits)]):
            search.take(first, piece)
            done += piece[name].size
            tell(done, total)
    return search.found(grid, largest)


def _pieces(grid: Dataset, names: list[str]) -> Iterator[tuple[dict[str, int], Dataset]]:
    """Parts of a sweep with their first indices; cut as the folder is, where it lies in one."""
    wanted = grid[list(dict.fromkeys(n for n in names if n in grid.data_vars))]
    main = grid[names[0]]
    dims = [str(one) for one in main.dims]
    kept = main.encoding.get("preferred_chunks") or {}
    sides = tuple(min(int(kept.get(d, main.sizes[d])), main.sizes[d]) for d in dims)
    if prod(sides) > 4 * _AT_ONCE:  # in memory, or in pieces of somebody else's
        rest = max(1, _AT_ONCE // max(1, prod(sides[1:])))
        sides = (min(sides[0], rest), *sides[1:])
    for block in blocks(tuple(main.sizes[d] for d in dims), sides):
        cut = {d: slice(a, b) for d, (a, b) in zip(dims, block, strict=True)}
        yield {d: a for d, (a, _) in zip(dims, block, strict=True)}, wanted.isel(cut).load()


class _Search:
    """What was found so far."""

    def __init__(self, name: str, limits: list[Limit], count: int, sign: float, tie: float) -> None:
        self.name, self.limits, self.count, self.sign, self.tie = name, limits, count, sign, tie
        self.solved = self.allowed = 0
        self.top: list[tuple[float, tuple[int, ...]]] = []
        self.near = np.empty(0)
        self.without = dict.fromkeys((one.name for one in limits), -inf)

    def take(self, first: Mapping[str, int], piece: Dataset) -> None:
        """Look at a part of the sweep."""
        values = piece[self.name]
        dims = [str(one) for one in values.dims]
        self.dims = dims
        score = self.sign * values.to_numpy().astype(float)
        solved = (piece["status"].transpose(*dims).to_numpy() == 0) & np.isfinite(score)
        self.solved += int(np.count_nonzero(solved))
        broken = np.zeros(score.shape, dtype=np.int64)
        alone: dict[str, NDArray[np.bool_]] = {}
        for limit in self.limits:
            wide = piece[limit.name].broadcast_like(values).transpose(*dims).to_numpy()
            alone[limit.name] = ~limit.holds(wide)
            broken += alone[limit.name]
        for limit in self.limits:
            others = solved & (broken - alone[limit.name] == 0)
            if others.any():
                self.without[limit.name] = max(self.without[limit.name], score[others].max())
        self._keep(np.where(solved & (broken == 0), score, -inf), [first[d] for d in dims])

    def _keep(self, score: Array, first: list[int]) -> None:
        flat = score.ravel()
        good = np.flatnonzero(np.isfinite(flat))
        self.allowed += good.size
        if not good.size:
            return
        if good.size > self.count:
            # Equals stand in the order of the axes, so that one sweep has one answer.
            least = np.partition(flat[good], -self.count)[-self.count]
            good_top = good[flat[good] >= least]
        else:
            good_top = good
        order = good_top[np.argsort(-flat[good_top], kind="stable")][: self.count]
        places = zip(*np.unravel_index(order, score.shape), strict=True)
        here = [
            (float(flat[i]), tuple(int(p) + f for p, f in zip(place, first, strict=True)))
            for i, place in zip(order, places, strict=True)
        ]
        self.top = sorted([*self.top, *here], key=lambda one: (-one[0], one[1]))[: self.count]
        self.near = np.concatenate([self.near, flat[good][flat[good] >= self._least()]])
        self.near = self.near[self.near >= self._least()][:_MOST_TIES]

    def _least(self) -> float:
        """The lowest score that ties with the best."""
        best = self.top[0][0]
        return best - self.tie * abs(best)

    def found(self, grid: Dataset, largest: bool) -> BestPoints:
        """Return what was found."""
        return BestPoints(
            grid, self.name, largest, self.limits,
            [dict(zip(self.dims, place, strict=True)) for _, place in self.top],
            self.sign * np.array([score for score, _ in self.top]),
            self.solved, self.allowed, self.near.size, self.tie,
            {name: self.sign * score for name, score in self.without.items()},
        )  # fmt: skip
