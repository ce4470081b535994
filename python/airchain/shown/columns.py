"""What each column of a result is: its quantity kind, its heading, and its value as text."""

from __future__ import annotations

from functools import cache
from math import inf, isfinite, isinf, isnan, nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..units.convert import KINDS, Value, display, unit_label
from ..units.tables import SI_KINDS
from .glossary import entry, word

_KIND_OF_UNIT = {
    **SI_KINDS,
    "": "dimensionless",
    "kg/s": "mass_flow",
    "W": "power",
    "kg/J": "fuel_consumption",
    "s": "time",
}
#: Columns that a pull makes only when they are asked for: name, SI unit, nothing.
LATER = (("knock_margin", "rad", ""),)
#: Shares that are shown in per cent, with their decimals.
_PER_CENT = {
    **dict.fromkeys(("surge_margin", "choke_margin", "speed_margin", "belt_margin"), 0),
    **dict.fromkeys(("isentropic_efficiency", "cooler_effectiveness"), 1),
}


class Column(NamedTuple):
    """One column: its name, SI unit, meaning, and quantity kind."""

    name: str
    unit: str
    words: str
    kind: str


@cache
def columns() -> dict[str, Column]:
    """Return every column of a result by its name, then those of timed pulls and of `LATER`."""
    from .. import _core

    known = {}
    for name, unit, _ in [*_core.columns(), *_core.timed_columns(), *LATER]:
        row = entry(name)
        assert row is not None, f"{name} has no entry in the glossary"
        known[name] = Column(name, unit, row.meaning, row.kind)
    return known


def column(name: str, where: str = "Pull") -> Column:
    """Return one column, or refuse a name that is none."""
    known = columns()
    if name not in known:
        rule = "be a column of a result"
        raise refusal(where, "column", quoted(name), rule, suggestion(name, list(known)))
    return known[name]


def kind_of(name: str, unit: str) -> str:
    """Return the quantity kind of a field or column from its name and SI unit."""
    row = entry(name)
    if row is not None and row.unit == ("" if unit == "1" else unit):
        return row.kind
    if name == "opens_at" or name.endswith(("pressure_drop", "pressure_difference")):
        return "pressure_difference"
    return _KIND_OF_UNIT.get(unit, "dimensionless")


def heading(name: str) -> str:
    """Return the one word of the glossary that a column is headed with."""
    return word(name)


def label(name: str, system: str = "trade") -> str:
    """Return the display unit of a column; per cent for margins and efficiencies."""
    return "%" if name in _PER_CENT else unit_label(column(name).kind, system)


def in_display(name: str, values: Value, system: str = "trade") -> Value:
    """Return SI values of a column in its display unit."""
    if name in _PER_CENT:
        return values * 100.0
    return display(values, column(name).kind, system)[0]


def shown(name: str, value: float, system: str = "trade") -> str:
    """Return one SI value of a column as text without unit; a dash where there is none."""
    if name in _PER_CENT and isfinite(value):
        return f"{float(in_display(name, value, system)):.{_PER_CENT[name]}f}"
    return shown_as(column(name).kind, value, system)


def shown_as(kind: str, value: float, system: str = "trade") -> str:
    """Return one SI value of a quantity kind as text without unit; a dash where there is none."""
    if isnan(value):
        return "–"
    if isinf(value):
        return "no limit" if value == inf else "–"
    row = KINDS[kind]
    decimals = row.trade_decimals if system == "trade" else row.metric_decimals
    return f"{float(display(value, kind, system)[0]):,.{decimals}f}"


def peak_of(values: NDArray[np.float64], rpm: NDArray[np.float64]) -> tuple[float, float]:
    """Return the largest value and its engine speed; NaN where there is no number."""
    if not np.any(np.isfinite(values)):
        return nan, nan
    index = int(np.nanargmax(values))
    return float(values[index]), float(rpm[index])
