"""Tile after tile: solved here or on a cluster, and put where it belongs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import NDArray

from ..base.ending import go_on, waited_for
from ..base.progress import Progress, telling
from ..shown import statuses
from .cluster import Solver, solved_by
from .grid import Block, blocks, column_type, tile_shape

if TYPE_CHECKING:
    from .cluster import Client


Solved = Mapping[str, NDArray[np.generic]]


class Place(Protocol):
    """Where tiles go."""

    blocks: list[Block]

    def waiting(self) -> list[int]:
        """Return the numbers of the tiles that are not done [dimensionless]."""

    def put(self, tile: int, solved: Solved) -> None:
        """Take a tile."""


class Memory:
    """Arrays of a whole sweep.

    Parameters
    ----------
    shape : tuple of int
        Sides of the grid.
    columns : list of str
        The columns.
    tile : int
        Points of a tile [dimensionless].
    """

    def __init__(self, shape: tuple[int, ...], columns: list[str], tile: int) -> None:
        self.arrays = {name: np.empty(shape, column_type(name)) for name in columns}
        self.blocks = blocks(shape, tile_shape(shape, tile))
        self.tally = np.zeros(statuses.tally_size(), dtype=np.int64)

    def waiting(self) -> list[int]:
        """Return the numbers of all tiles [dimensionless]."""
        return list(range(len(self.blocks)))

    def put(self, tile: int, solved: Solved) -> None:
        """Take a tile.

        Parameters
        ----------
        tile : int
            Its number [dimensionless].
        solved : mapping
            Every column over it.
        """
        place = tuple(slice(a, b) for a, b in self.blocks[tile])
        for name, values in self.arrays.items():
            values[place] = solved[name]
        self.tally += statuses.tally(solved["status"], solved["flags"])


def fill(
    grid: Solver,
    place: Place,
    points: int,
    threads: int,
    progress: Progress | None,
    client: Client | None = None,
    what: str = "sweep",
) -> None:
    """Solve the tiles that are not done, and put each in its place.

    Parameters
    ----------
    grid : Solver
        The chains.
    place : Place
        Where tiles go.
    points : int
        Points of the whole grid [dimensionless].
    threads : int
        Threads of the core, dimensionless; 0 for all processors.
    progress : Progress or None
        Called with the points done and in all; told on standard error without it.
    client : Client, optional
        The cluster that solves them; this process without it.
    what : str
        The work, as progress tells it.
    """
    tiles = place.waiting()
    sizes = {tile: math.prod(b - a for a, b in place.blocks[tile]) for tile in tiles}
    before = points - sum(sizes.values())
    with waited_for(), _told(progress, what) as tell, _writing(place) as write:
        solved: Iterator[tuple[int, Solved]]
        if client is not None:
            solved = solved_by(client, grid, {tile: place.blocks[tile] for tile in tiles})
        else:
            solved = _solved_here(grid, place, tiles, sizes, before, points, threads, tell)
        done = before
        for tile, columns in solved:
            write(tile, columns)
            done += sizes[tile]
            tell(done, points)


def _solved_here(
    grid: Solver, place: Place, tiles: Iterable[int], sizes: Mapping[int, int], before: int,
    points: int, threads: int, tell: Progress,
) -> Iterator[tuple[int, Solved]]:  # fmt: skip
    for tile in tiles:
        start = before

        def within(done: int, start: int = start) -> None:
            tell(start + done, points)

        yield tile, grid.solve(place.blocks[tile], threads, within)
        before += sizes[tile]


@contextmanager
def _told(progress: Progress | None, what: str) -> Iterator[Progress]:
    """What is told of the work, which ends where the interpreter does."""

    def watched(tell: Progress) -> Progress:
        def told(done: int, total: int) -> None:
            go_on()
            tell(done, total)

        return told

    if progress is not None:
        yield watched(progress)
        return
    with telling(what, "points") as tell:
        yield watched(tell)


class _Writer:
    """Puts one tile in its place while the next one is solved."""

    def __init__(self, place: Place, pool: ThreadPoolExecutor) -> None:
        self._place, self._pool = place, pool
        self._last: Future[None] | None = None

    def __call__(self, tile: int, solved: Solved) -> None:
        self.wait()
        self._last = self._pool.submit(self._place.put, tile, solved)

    def wait(self) -> None:
        """Wait for the tile that is being written, and raise what went wrong with it."""
        if self._last is not None:
            last, self._last = self._last, None
            last.result()


@contextmanager
def _writing(place: Place) -> Iterator[_Writer]:
    with ThreadPoolExecutor(1, thread_name_prefix="tiles") as pool:
        writer = _Writer(place, pool)
        yield writer
        writer.wait()
