"""Tiles on many machines, by a dask cluster: one task a tile, one thread of the core in each."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..base.extras import extra
from .described import code_digest
from .grid import Block

#: Tiles that wait at each thread of the cluster beside the one that is solved: so memory is
#: bounded, and nobody waits for work.
_AHEAD = 2


class Solver(Protocol):
    """What solves a block of a grid, and can be pickled."""

    def solve(
        self, block: Block, threads: int, told: Callable[[int], None] | None
    ) -> Mapping[str, NDArray[np.generic]]:
        """Solve a block."""


class Client(Protocol):
    """What is used of ``dask.distributed.Client``."""

    def submit(self, function: Any, *inputs: Any, **options: Any) -> Any:
        """Ask for a task."""

    def nthreads(self) -> Mapping[str, int]:
        """Threads of each worker."""


def checked_client(client: object, where: str) -> Client:
    """Return a client of a cluster, or refuse what is none.

    Parameters
    ----------
    client : object
        What was given.
    where : str
        The call that it was given to.

    Returns
    -------
    Client
        The client.

    Raises
    ------
    InputError
        It is no client, or one that does its own waiting.
    """
    wanted = extra("distributed").Client
    if not isinstance(client, wanted) or client.asynchronous:
        rule = "be a dask.distributed.Client that is not asynchronous"
        raise refusal(where, "client", quoted(client), rule)
    found: Client = client
    return found


def solved_by(
    client: Client, grid: Solver, tiles: Mapping[int, Block]
) -> Iterator[tuple[int, Mapping[str, NDArray[np.generic]]]]:
    """Solve tiles on a cluster; a tile whose worker dies is solved again by another.

    Parameters
    ----------
    client : Client
        The cluster.
    grid : Solver
        The chains.
    tiles : mapping
        Blocks by the number of the tile [dimensionless].

    Yields
    ------
    tuple
        Number and columns of a tile, in the order in which they are done.

    Raises
    ------
    InputError
        A worker has another airchain, whose numbers must not be mixed with these.
    """
    packed = pickle.dumps(grid)
    left = iter(tiles.items())
    as_completed = extra("distributed").as_completed([], with_results=False)
    waiting: dict[Any, int] = {}

    def ask() -> None:
        for tile, block in left:
            # Each task brings the chains itself: nothing is lost with a worker.
            future = client.submit(_solve, packed, block, pure=False)
            waiting[future] = tile
            as_completed.add(future)
            return

    for _ in range(_AHEAD * team(client) + 1):
        ask()
    try:
        for future in as_completed:
            code, solved = future.result()
            tile = waiting.pop(future)
            if code != code_digest():
                rule = "have the same airchain on every worker as here"
                raise refusal("sweep", "client", quoted(code.split()[0]), rule, "install it anew")
            yield tile, solved
            ask()
    finally:
        for future in waiting:
            future.cancel()


def team(client: Client) -> int:
    """Return how many tasks a cluster runs at once [dimensionless].

    Parameters
    ----------
    client : Client
        The cluster.

    Returns
    -------
    int
        Threads of all workers, at least 1.
    """
    return max(1, sum(client.nthreads().values()))


@lru_cache(maxsize=4)
def _grid(packed: bytes) -> Solver:
    grid: Solver = pickle.loads(packed)
    return grid


def _solve(packed: bytes, block: Block) -> tuple[str, Mapping[str, NDArray[np.generic]]]:
    """What a worker does."""
    return code_digest(), _grid(packed).solve(block, 1, None)
