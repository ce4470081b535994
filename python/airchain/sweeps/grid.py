"""A grid of chains, and how any block of it is solved."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import product
from math import prod

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.progress import telling
from ..chain.build import Build
from ..typed.place import Typed
from .axes import Axes, changed

Array = NDArray[np.float64]
#: A block of a grid: from and to on every axis.
Block = tuple[tuple[int, int], ...]
#: Points of a tile [dimensionless]: what is kept, sent to another process or lost at a time.
TILE = 400_000
#: The same where every point runs cycles of the cylinder: some seconds of work.
TILE_OF_CYCLES = 2_000
#: Most builds of one sweep: each holds a chain.
_MOST_BUILDS = 100_000
#: Points below which the core has too little to share out among its threads [dimensionless]; of
#: cycles so many take a tenth of a second, which an interrupt has to wait.
_SMALL, _SMALL_OF_CYCLES = 4_096, 64


def column_type(name: str) -> np.dtype[np.generic]:
    """Return the type of a column; signed, because the plainest netCDF has no unsigned numbers."""
    return np.dtype({"status": np.int8, "flags": np.int32}.get(name, np.float64))


@dataclass(frozen=True)
class Grid:
    """Chains by what is typed into them, and the axes that the core varies; it can be pickled.

    Attributes
    ----------
    chains : ndarray of Chain
        One chain a combination of outer values; of length 1 where an axis types nothing.
    fixed : list of mapping
        By outer axis, numbers that the core sets at each value [SI].
    lanes : mapping
        The core's own axes [SI].
    columns : list of str
        Columns wanted.
    tile : int
        Points that are solved at a time [dimensionless].
    """

    chains: NDArray[np.object_]
    fixed: Sequence[Mapping[str, Array]]
    lanes: Mapping[str, Array]
    columns: list[str]
    tile: int

    def solve(
        self, block: Block, threads: int, told: Callable[[int], None] | None
    ) -> dict[str, NDArray[np.generic]]:
        """Solve a block.

        Parameters
        ----------
        block : Block
            The block.
        threads : int
            Threads, dimensionless; 0 for all processors.
        told : callable or None
            Called with the points done [dimensionless].

        Returns
        -------
        dict
            Every column over the block, SI.
        """
        cut = block[len(self.fixed) :]
        lanes = {n: v[a:b] for (n, v), (a, b) in zip(self.lanes.items(), cut, strict=True)}
        inner = tuple(v.size for v in lanes.values())
        places = list(product(*(range(a, b) for a, b in block[: len(self.fixed)])))
        if len(places) == 1:
            solved = _core.solve(*self._at(places[0], lanes), self.columns, threads, told)
            shape = tuple(b - a for a, b in block)
            return {n: np.asarray(solved[n]).astype(column_type(n), copy=False).reshape(shape)
                    for n in self.columns}  # fmt: skip
        whole = {n: np.empty((len(places), *inner), column_type(n)) for n in self.columns}
        for done in self._each(places, lanes, whole, threads, prod(inner)):
            if told is not None:
                told(done)
        shape = tuple(b - a for a, b in block)
        return {name: values.reshape(shape) for name, values in whole.items()}

    def _each(
        self, places: list[tuple[int, ...]], lanes: Mapping[str, Array],
        whole: Mapping[str, NDArray[np.generic]], threads: int, inner: int,
    ) -> Iterator[int]:  # fmt: skip
        """Solve combinations one after another, or side by side where each is small."""
        alone = inner > _SMALL and not self._cycles

        def work(rows: range) -> int:
            for row in rows:
                solved = _core.solve(*self._at(places[row], lanes), self.columns,
                                     threads if alone else 1)  # fmt: skip
                for name, values in whole.items():
                    values[row] = solved[name]
            return len(rows)

        team = 1 if alone else threads or os.cpu_count() or 1
        most = _SMALL_OF_CYCLES if self._cycles else _SMALL
        step = 1 if alone else max(1, min(most // max(inner, 1), -(-len(places) // (2 * team))))
        shares = [range(a, min(a + step, len(places))) for a in range(0, len(places), step)]
        done = 0
        if team == 1:
            for share in shares:
                done += work(share)
                yield done * inner
            return
        with ThreadPoolExecutor(min(team, len(shares))) as pool:
            try:
                for count in pool.map(work, shares):
                    done += count
                    yield done * inner
            except BaseException:
                pool.shutdown(cancel_futures=True)
                raise

    @property
    def _cycles(self) -> bool:
        first: _core.Chain = self.chains.item(0)
        return first.cylinder is not None

    def _at(
        self, place: tuple[int, ...], lanes: Mapping[str, Array]
    ) -> tuple[_core.Chain, dict[str, Typed]]:
        """Chain and axes of the core at one combination of outer values."""
        typed = tuple(min(i, n - 1) for i, n in zip(place, self.chains.shape, strict=True))
        numbers = {
            name: float(values[i])
            for i, one in zip(place, self.fixed, strict=True)
            for name, values in one.items()
        }
        return self.chains[typed], {**numbers, **lanes}


def grid_of(build: Build, axes: Axes, columns: list[str]) -> Grid:
    """Make the chains of a sweep: a value that is refused costs no work.

    Parameters
    ----------
    build : Build
        The build.
    axes : Axes
        The axes.
    columns : list of str
        Columns wanted.

    Returns
    -------
    Grid
        What is to be solved.

    Raises
    ------
    InputError
        A value is refused, or there are too many builds to make.
    """
    outer = list(axes.outer.values())
    shape = tuple(max(1, len(one.typed)) for one in outer)
    count = prod(shape)
    if count > _MOST_BUILDS:
        shown, rule = f"{count:,} builds", f"make at most {_MOST_BUILDS:,}"
        hint = "fewer values on the axes that are typed into the build: " + ", ".join(
            name for name, one in axes.outer.items() if one.typed
        )
        raise refusal("sweep", "axes", shown, rule, hint)
    chains = np.empty(shape, dtype=object)
    with telling("sweep: making the builds", "builds") as tell:
        for done, place in enumerate(np.ndindex(*shape)):
            values: dict[str, Typed] = {}
            for i, one in zip(place, outer, strict=True):
                values |= one.typed[i] if one.typed else {}
            chains[place] = changed(build, values).chain if values else build.chain
            tell(done, count)
    first: _core.Chain = chains.item(0)
    tile = TILE if first.cylinder is None else TILE_OF_CYCLES
    return Grid(chains, [one.fixed for one in outer], axes.core, columns, tile)


def tile_shape(shape: tuple[int, ...], points: int) -> tuple[int, ...]:
    """Return the sides of tiles that hold at most so many points and lie in one piece.

    Parameters
    ----------
    shape : tuple of int
        Sides of the grid.
    points : int
        Most points of a tile [dimensionless].

    Returns
    -------
    tuple of int
        Whole axes from the last one on, then a part of one, then single values.
    """
    sides: list[int] = []
    left = points
    for size in reversed(shape):
        sides.insert(0, max(1, min(size, left)))
        left = left // size if sides[0] == size else 1
    return tuple(sides)


def blocks(shape: tuple[int, ...], tile: tuple[int, ...]) -> list[Block]:
    """Return the tiles of a grid in order.

    Parameters
    ----------
    shape, tile : tuple of int
        Sides of the grid and of its tiles.

    Returns
    -------
    list of Block
        From and to on every axis.
    """
    cuts = [
        [(a, min(a + side, size)) for a in range(0, size, side)]
        for size, side in zip(shape, tile, strict=True)
    ]
    return list(product(*cuts))
