"""What the columns and the weather of a measured pull must be."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..units.convert import to_si
from .quantities import quantity

Column = NDArray[np.float64]

#: What a pull may know of its weather, and the quantity kind of each.
AMBIENT: dict[str, str] = {
    "barometer": "barometer",
    "ambient_temperature": "temperature",
    "vapour_pressure": "barometer",
}
_RANGES = {
    "barometer": (4e4, 1.1e5, "Pa"),
    "ambient_temperature": (230.0, 330.0, "K"),
    "vapour_pressure": (0.0, 2e4, "Pa"),
    "relative_humidity": (0.0, 1.0, "(1 is 100 %)"),
}


def _own(values: ArrayLike) -> Column:
    """Return readings that nobody else writes; what is already such an array is not copied."""
    if isinstance(values, np.ndarray) and values.dtype == np.float64 and values.base is None:
        return values if not values.flags.writeable else values.copy()
    return np.array(values, dtype=float)


def checked(where: str, columns: Mapping[str, ArrayLike]) -> dict[str, Column]:
    """Return the columns as read-only arrays of one length."""
    if "engine_speed" not in columns:
        hint = "a pull is a row of readings over engine speed"
        raise refusal(where, "columns", quoted(list(columns)), "hold engine_speed", hint)
    arrays = {}
    for name, values in columns.items():
        quantity(name, where)
        array = _own(values)
        if array.ndim != 1 or not array.size or array.size != np.size(columns["engine_speed"]):
            rule = f"have as many rows as engine_speed, {np.size(columns['engine_speed'])}"
            raise refusal(where, name, f"{array.size} values", rule + ", and at least one")
        if np.isinf(array).any():
            row = int(np.flatnonzero(np.isinf(array))[0])
            raise refusal(where, name, str(array[row]), "be finite, or NaN where missing")
        array.flags.writeable = False
        arrays[name] = array
    return arrays


def weather(where: str, ambient: Mapping[str, float | str]) -> dict[str, float]:
    """Return what is known of the weather [SI], or refuse what is no such thing.

    Values are SI numbers, or texts with a unit. Relative humidity becomes vapour pressure.
    """
    known: dict[str, float] = {}
    for name, given in ambient.items():
        if name not in _RANGES:
            raise refusal(where, "ambient", quoted(name), "be one of " + ", ".join(_RANGES))
        low, high, unit = _RANGES[name]
        kind = AMBIENT.get(name, "dimensionless")
        text = isinstance(given, str)
        value = to_si(given, kind, where=where, field=f"ambient.{name}") if text else given
        if not low <= float(value) <= high:
            rule = f"be between {low:g} and {high:g} {unit}"
            shown = quoted(given) if text else f"{value:g} {unit}"
            raise refusal(where, f"ambient.{name}", shown, rule)
        known[name] = float(value)
    if "relative_humidity" in known:
        known["vapour_pressure"] = _vapour(where, known, known.pop("relative_humidity"))
    return known


def _vapour(where: str, known: Mapping[str, float], humidity: float) -> float:
    """Return the vapour pressure [Pa] of air at a relative humidity."""
    field, shown = "ambient.relative_humidity", f"{100.0 * humidity:g} %"
    if "vapour_pressure" in known:
        raise refusal(where, field, shown, "stand alone", "vapour_pressure says the same; drop one")
    if "ambient_temperature" not in known:
        rule, hint = "come with ambient_temperature", "vapour pressure follows from both"
        raise refusal(where, field, shown, rule, hint)
    return humidity * float(_core.saturation_pressure(known["ambient_temperature"]))


def checked_rounding(where: str, rounding: Mapping[str, float | str]) -> dict[str, float]:
    """Return the steps that readings are rounded to [SI]; texts carry their unit."""
    steps: dict[str, float] = {}
    for name, given in rounding.items():
        kind = quantity(name, where).kind
        # A last digit is a difference: a degree counts without its zero, a gauge likewise.
        kind = {
            "temperature": "temperature_difference",
            "pressure": "pressure_difference",
            "barometer": "pressure_difference",
        }.get(kind, kind)
        field = f"rounding.{name}"
        step = to_si(given, kind, where=where, field=field) if isinstance(given, str) else given
        if np.ndim(step):
            rule = "be one step for the whole pull, a text with its unit or a number in SI"
            raise refusal(where, field, quoted(given), rule)
        if not 0.0 <= float(step) < np.inf:
            raise refusal(where, field, quoted(given), "be zero or above, and finite")
        steps[name] = float(step)
    return steps
