"""A sweep as a table in trade units, its statuses and flags in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ..base.errors import refusal
from ..shown import statuses
from ..shown.columns import columns, heading, label, shown
from ..shown.tables import Shown, Table
from ..shown.words import counted
from .told_axes import axis_heading, axis_unit, axis_value

if TYPE_CHECKING:
    from xarray import Dataset

__all__ = ["SweepTable"]


@dataclass(frozen=True, eq=False, repr=False)
class SweepTable(Shown):
    """Points of a sweep, a row each.

    Attributes
    ----------
    grid : xarray.Dataset
        The sweep, or a part of it that was selected.
    most : int
        How many rows at most [dimensionless].
    """

    grid: Dataset
    most: int

    def __post_init__(self) -> None:
        if self.most < 1:
            raise refusal("sweep", "most", str(self.most), "be 1 or more")

    @property
    def points(self) -> int:
        """How many points there are [dimensionless]."""
        return int(self.grid["status"].size)

    @property
    def verdict(self) -> str:
        """The build, how many points were solved, and how many pass a limit."""
        status, flags = (self.grid[name].to_numpy() for name in ("status", "flags"))
        return f"{self.grid.attrs.get('title', 'sweep')}: {statuses.outcome(status, flags)}"

    @property
    def notes(self) -> list[str]:
        """How many points are not shown, what to do about unsolved ones, and the cautions."""
        left = self.points - self.most
        hint = "select a part first, as in grid.sel(rpm=6000), or ask for table(most=...)"
        first = [f"{counted(left, 'more point')} not shown; {hint}."] if left > 0 else []
        status, flags = (self.grid[name].to_numpy().ravel() for name in ("status", "flags"))
        return [*first, *statuses.notes(status, flags)]

    def _tables(self, system: str) -> list[Table]:
        dims = [str(d) for d in self.grid["status"].dims]
        axes = [str(c) for c in self.grid.coords]
        names = [
            str(n) for n in self.grid.data_vars if n in columns() and n not in ("status", "flags")
        ]
        headings = [*(axis_heading(self.grid, n) for n in axes), *map(heading, names)]
        units = [*(axis_unit(self.grid, n, system) for n in axes)]
        units += [label(n, system) for n in names]
        shape = self.grid["status"].shape
        rows = []
        for number in range(min(self.points, self.most)):
            at = dict(zip(dims, map(int, np.unravel_index(number, shape)), strict=True))
            point = self.grid.isel(at)
            row = [axis_value(self.grid, n, point[n].to_numpy()[()], system) for n in axes]
            row += [shown(n, float(point[n]), system) for n in names]
            rows.append([*row, _status(int(point["status"])), _flags(int(point["flags"]))])
        flush = (len(headings), len(headings) + 1)
        return [Table([*headings, "status", "flags"], [*units, "", ""], rows, flush=flush)]


def _status(code: int) -> str:
    """A status in words; a sweep in a folder may have points that no tile has reached yet."""
    return statuses.words(statuses.status_names()[code]) if code >= 0 else "not solved yet"


def _flags(flags: int) -> str:
    """The flags that stand, in words."""
    standing = [name for name, bit in statuses.flag_bits().items() if flags & bit]
    return ", ".join(name.replace("_", " ") for name in standing)
