"""The points of a cam sweep: every camshaft's chains at every level and speed, by its cycles."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Event
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.build_words import breathing_words
from .described import Frame, code_digest, column_words
from .grid import TILE_OF_CYCLES, Block, column_type

Array = NDArray[np.float64]


@dataclass(frozen=True)
class CamGrid:
    """Builds by camshaft and level, over engine speed.

    Attributes
    ----------
    builds : list of list of Build
        For each camshaft its build at every level.
    rpm : ndarray
        Engine speeds [rpm].
    """

    builds: Sequence[Sequence[Build]]
    rpm: Array

    tile = TILE_OF_CYCLES

    @property
    def columns(self) -> list[str]:
        """Names of all columns that the core has."""
        return [name for name, *_ in _core.columns()]

    @property
    def shape(self) -> tuple[int, int, int]:
        """Camshafts, levels and speeds [dimensionless]."""
        return len(self.builds), len(self.builds[0]), self.rpm.size

    def solve(
        self, block: Block, threads: int, told: Callable[[int], None] | None
    ) -> dict[str, NDArray[np.generic]]:
        """Solve a block; each camshaft on a thread of its own, since cylinders differ."""
        (first, last), (a, b), (c, d) = block
        speeds = self.rpm[c:d] * RPM
        whole = {
            name: np.empty((last - first, b - a, d - c), column_type(name)) for name in self.columns
        }
        stop = Event()

        def solve(row: int) -> None:
            def go_on(done: int) -> None:
                if stop.is_set():
                    raise KeyboardInterrupt

            chains = _on_one_cylinder([one.chain for one in self.builds[first + row][a:b]])
            # One camshaft has processors to share; of many each takes one.
            each = threads if last - first == 1 else 1
            solved = _core.solve_chains(chains, speeds, threads=each, progress=go_on)
            for name, values in whole.items():
                values[row] = solved[name]

        team = threads if threads > 0 else os.cpu_count() or 1
        with _ended(stop), ThreadPoolExecutor(team) as pool:
            jobs = [pool.submit(solve, row) for row in range(last - first)]
            for done, job in enumerate(as_completed(jobs), start=1):
                job.result()
                if told is not None:
                    told(done * (b - a) * (d - c))
        return whole


def _on_one_cylinder(chains: list[_core.Chain]) -> list[_core.Chain]:
    """Levels of one camshaft share its cylinder; what came by pickle has a copy each."""
    first = chains[0]
    own = [{n: v for n, v in one.stations().items() if n != "cylinder"} for one in chains]
    return [first.replace(**one) for one in own]


@contextmanager
def _ended(stop: Event) -> Iterator[None]:
    """Let threads end where the work is left early."""
    try:
        yield
    finally:
        stop.set()


def cam_frame(build: Build, grid: CamGrid, cams: Sequence[str], levels: Sequence[str]) -> Frame:
    """Describe a cam sweep as a folder holds it."""
    dims = ("camshaft", "level", "rpm")
    every = [one.fingerprint for builds in grid.builds for one in builds]
    dependencies = (code_digest(), every, grid.rpm.tolist(), list(cams), list(levels))
    coordinates: Mapping[str, tuple[str, Any, dict[str, str]]] = {
        "camshaft": ("camshaft", np.array(cams), {}),
        "level": ("level", np.array(levels), {}),
        "rpm": ("rpm", grid.rpm, {"units": "rpm", "long_name": "engine speed"}),
    }
    attributes = {
        "title": build.name,
        "breathing": breathing_words(build),
        "fingerprint": hashlib.sha256(repr(dependencies).encode()).hexdigest(),
    }
    columns = {name: column_words(name) for name in grid.columns}
    return Frame(dims, dims, grid.shape, coordinates, columns, attributes)
