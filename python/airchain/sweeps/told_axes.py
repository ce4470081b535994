"""Values on the axes of a sweep as tables and pictures tell them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from ..shown.columns import in_display, kind_of, shown_as
from ..units.convert import KINDS, unit_label

if TYPE_CHECKING:
    from xarray import Dataset


def _kind(grid: Dataset, name: str) -> str:
    """Quantity kind of a coordinate; empty where it is told as it stands."""
    unit = str(grid[name].attrs.get("units", "")) if name in grid.coords else ""
    field = name.rpartition(".")[2]
    kind = kind_of(field, unit)
    return kind if unit and KINDS[kind].si_unit in (unit, "" if unit == "1" else unit) else ""


def axis_heading(grid: Dataset, name: str) -> str:
    """Return what an axis is called in a table."""
    words = grid[name].attrs.get("long_name") if name in grid.coords else None
    return str(words or name)


def axis_unit(grid: Dataset, name: str, system: str) -> str:
    """Return the unit that values of an axis are told in; empty for words."""
    kind = _kind(grid, name)
    if kind:
        return unit_label(kind, system)
    unit = str(grid[name].attrs.get("units", "")) if name in grid.coords else ""
    return "" if unit == "1" else unit


def axis_value(
    grid: Dataset, name: str, value: str | ArrayLike, system: str, digits: int = 6
) -> str:
    """Return one value of an axis as text, without unit."""
    if isinstance(value, str):
        return value
    number = float(np.asarray(value))
    kind = _kind(grid, name)
    if kind and kind != "dimensionless":
        return shown_as(kind, number, system)
    return f"{number:,.{digits}g}" if name != "rpm" else f"{number:.0f}"


def shown_number(name: str, value: float, system: str) -> float:
    """Return one SI value of a column in the unit it is told in."""
    return float(in_display(name, value, system))
