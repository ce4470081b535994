"""Where one quantity of a log comes from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypedDict

__all__ = ["ColumnMap"]


class ColumnChanges(TypedDict, total=False):
    """Attributes of a `ColumnMap` by name, each as it describes them."""

    column: tuple[str | int, ...]
    unit: str
    reference: str
    scale: float
    density: str
    rounding: str
    reason: str


@dataclass(frozen=True)
class ColumnMap:
    """Where one quantity comes from.

    Attributes
    ----------
    column : tuple of str or int
        Headings, or numbers of columns from 1 (dimensionless); several are averaged.
    unit : str
        Unit of its numbers.
    reference : str
        Of a pressure: ``"absolute"``, ``"gauge"``, or ``"vacuum"`` counted downwards.
    scale : float
        Of lambda: the stoichiometric ratio that an air-fuel ratio is divided by, dimensionless;
        0 where the log holds lambda itself.
    density : str
        Of fuel flow by volume: the fuel's density with its unit.
    rounding : str
        The step that readings are rounded to, with its unit.
    reason : str
        Why it was taken so.
    """

    column: tuple[str | int, ...] = ()
    unit: str = ""
    reference: str = ""
    scale: float = 0.0
    density: str = ""
    rounding: str = ""
    reason: str = field(default="", compare=False)
