"""Limits on a sweep's points: on columns, and on the values of its axes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..shown.columns import column, columns, heading, label, shown
from ..typed.place import Typed, TypedByName
from ..units.convert import KINDS, to_si
from .told_axes import axis_heading, axis_unit, axis_value

if TYPE_CHECKING:
    from xarray import Dataset


Array = NDArray[np.float64]


@dataclass(frozen=True)
class Limit:
    """One limit.

    Attributes
    ----------
    name : str
        The column or axis.
    low, high : float
        What it must lie between [SI; rpm where it is called so].
    names : tuple of str
        Names it must be one of instead.
    """

    name: str
    low: float = -inf
    high: float = inf
    names: tuple[str, ...] = ()

    def holds(self, values: Array) -> NDArray[np.bool_]:
        """Return where values keep to the limit."""
        if self.names:
            return np.isin(values.astype(str), self.names)
        with np.errstate(invalid="ignore"):
            return np.asarray((values >= self.low) & (values <= self.high))

    def room(self, value: float) -> tuple[float, str]:
        """Return how far a value lies inside, from the nearer end, and that end's name."""
        below, above = value - self.low, self.high - value
        return (below, "above") if below <= above else (above, "below")

    def words(self, grid: Dataset, system: str) -> str:
        """Return the limit in words."""
        if self.names:
            return f"{axis_heading(grid, self.name)} {' or '.join(self.names)}"
        if self.name in grid.data_vars:
            text, unit = heading(self.name), label(self.name, system)
            ends = [shown(self.name, one, system) for one in (self.low, self.high)]
        else:
            text, unit = axis_heading(grid, self.name), axis_unit(grid, self.name, system)
            ends = [axis_value(grid, self.name, one, system) for one in (self.low, self.high)]
        unit = f" {unit}" if unit else ""
        if isfinite(self.low) and isfinite(self.high):
            return f"{text} {ends[0]} to {ends[1]}{unit}"
        if isfinite(self.low):
            return f"{text} at least {ends[0]}{unit}"
        return f"{text} at most {ends[1]}{unit}"


def limits_of(grid: Dataset, where: TypedByName) -> list[Limit]:
    """Read limits as a user gives them.

    Parameters
    ----------
    grid : xarray.Dataset
        The sweep.
    where : mapping
        By column or axis a pair (lowest, highest), None for an open end, or names.

    Returns
    -------
    list of Limit
        The limits.

    Raises
    ------
    InputError
        There is no such column or axis, or no such limit.
    """
    return [_limit(grid, name, typed) for name, typed in where.items()]


def _limit(grid: Dataset, name: str, typed: Typed) -> Limit:
    known = [*map(str, grid.data_vars), *map(str, grid.coords)]
    if name not in known:
        rule = "be a column or an axis of the sweep"
        raise refusal("best_points", "where", quoted(name), rule, suggestion(name, known))
    if grid[name].dtype.kind not in "fiu":
        names = (typed,) if isinstance(typed, str) else typed
        here = [str(one) for one in grid[name].to_numpy()]
        if not isinstance(names, Sequence) or not names or any(str(n) not in here for n in names):
            raise refusal("best_points", name, quoted(typed), f"be of {', '.join(here)}")
        return Limit(name, names=tuple(map(str, names)))
    if not isinstance(typed, Sequence) or isinstance(typed, str) or len(typed) != 2:
        rule = "be a pair: lowest and highest, None for an open end"
        raise refusal("best_points", name, quoted(typed), rule, "such as (0.05, None)")
    low, high = (_number(grid, name, one) for one in typed)
    low, high = (-inf if low is None else low), (inf if high is None else high)
    if not low <= high or (low, high) == (-inf, inf):
        raise refusal("best_points", name, quoted(typed), "rise, and have at least one end")
    return Limit(name, low, high)


def _number(grid: Dataset, name: str, typed: Typed) -> float | None:
    if typed is None:
        return None
    if name in columns() and name in grid.data_vars:
        kind = column(name).kind
    else:
        unit = str(grid[name].attrs.get("units", "1"))
        kind = next((k for k, row in KINDS.items() if row.si_unit == unit), "dimensionless")
        if name == "rpm":
            assert isinstance(typed, str | float | int)
            return to_si(typed, "speed", where="best_points", field=name, unit="rpm") / (np.pi / 30)
    return to_si(typed, kind, where="best_points", field=name, unit=KINDS[kind].si_unit or None)
