"""Where each cell of the table comes from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ._paths import Path

Array = NDArray[np.float64]

#: Kinds of cells, best known first, and what is said of them.
KINDS = ("measured", "full throttle", "inside", "beyond", "extrapolated")
WORDS = {
    "measured": "measured",
    "full throttle": "computed, full throttle",
    "inside": "computed, throttle closing or between levels",
    "beyond": "computed, beyond anything run",
    "extrapolated": "extrapolated, volumetric efficiency held at the edge of what is known",
}


class Coverage(NamedTuple):
    """Kind of every cell, and the levels that visit it, by name of the path."""

    kinds: NDArray[np.str_]
    visits: dict[str, NDArray[np.bool_]]

    def words(self, row: int, column: int) -> str:
        """Say where one cell comes from."""
        kind = str(self.kinds[row, column])
        words = WORDS[kind]
        if kind in ("measured", "full throttle"):
            here = [n for n, cells in self.visits.items() if cells[row, column]]
            seen = [n for n in here if n.endswith(", measured") == (kind == "measured")]
            words = f"{words}: {', '.join(n.removesuffix(', measured') for n in seen)}"
        return words

    def count(self, kind: str) -> int:
        """Return how many cells are of a kind."""
        return int(np.count_nonzero(self.kinds == kind))


def edges(axis: Array) -> Array:
    """Return the borders of cells whose middles are the nodes of an axis."""
    middles = 0.5 * (axis[1:] + axis[:-1])
    ends = 2.0 * axis[0] - middles[0], 2.0 * axis[-1] - middles[-1]
    return np.concatenate([[ends[0]], middles, [ends[1]]])


def visited(path: Path, rpm: Array, pressure: Array) -> NDArray[np.bool_]:
    """Return the cells a path passes; rows over pressure."""
    passed = np.zeros((pressure.size, rpm.size), dtype=bool)
    if path.solved < 2:
        return passed
    speeds = np.arange(path.rpm[0], path.rpm[-1] + 1.0, 5.0)
    columns = np.searchsorted(edges(rpm), speeds) - 1
    rows = np.searchsorted(edges(pressure), np.interp(speeds, path.rpm, path.pressure)) - 1
    inside = (columns >= 0) & (columns < rpm.size) & (rows >= 0) & (rows < pressure.size)
    passed[rows[inside], columns[inside]] = True
    return passed


def highest(paths: Sequence[Path], rpm: Array) -> Array:
    """Return the highest plenum pressure run [Pa] at each engine speed; 0 above all of them."""
    tops = [np.interp(rpm, p.rpm, p.pressure, right=0.0) for p in paths if p.solved > 1]
    # A gap in one level's path leaves the others to say.
    top: Array = np.max(np.nan_to_num([np.zeros_like(rpm), *tops]), axis=0)
    return top


def coverage(paths: Sequence[Path], rpm: Array, pressure: Array,
             known: NDArray[np.bool_]) -> Coverage:  # fmt: skip
    """Return where every cell comes from."""
    visits: dict[str, NDArray[np.bool_]] = {}
    for path in paths:
        cells = visited(path, rpm, pressure)
        visits[path.name] = visits.get(path.name, np.zeros_like(cells)) | cells
    none = np.zeros((pressure.size, rpm.size), dtype=bool)
    run = np.any([none, *(v for n, v in visits.items() if not n.endswith(", measured"))], axis=0)
    seen = np.any([none, *(v for n, v in visits.items() if n.endswith(", measured"))], axis=0)
    below = pressure[:, None] <= highest(paths, rpm)[None, :]
    kinds = np.where(below, "inside", "beyond").astype("<U13")
    kinds[run] = "full throttle"
    kinds[~known] = "extrapolated"
    kinds[seen] = "measured"
    return Coverage(kinds, visits)
