"""What the columns and the weather of a measured pull must be."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
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
}


def checked(where: str, columns: Mapping[str, Any]) -> dict[str, Column]:
    """Return the columns as read-only arrays of one length."""
    if "engine_speed" not in columns:
        hint = "a pull is a row of readings over engine speed"
        raise refusal(where, "columns", quoted(list(columns)), "hold engine_speed", hint)
    found = {}
    for name, values in columns.items():
        quantity(name, where)
        array = np.array(values, dtype=float)
        if array.ndim != 1 or not array.size or array.size != np.size(columns["engine_speed"]):
            rule = f"have as many rows as engine_speed, {np.size(columns['engine_speed'])}"
            raise refusal(where, name, f"{array.size} values", rule + ", and at least one")
        if np.isinf(array).any():
            row = int(np.flatnonzero(np.isinf(array))[0])
            raise refusal(where, name, str(array[row]), "be finite, or NaN where missing")
        array.flags.writeable = False
        found[name] = array
    return found


def weather(where: str, ambient: Mapping[str, float]) -> dict[str, float]:
    """Return what is known of the weather, or refuse what is no such thing."""
    for name, value in ambient.items():
        if name not in _RANGES:
            raise refusal(where, "ambient", quoted(name), "be one of " + ", ".join(_RANGES))
        low, high, unit = _RANGES[name]
        if not low <= value <= high:
            rule = f"be between {low:g} and {high:g} {unit}"
            raise refusal(where, f"ambient.{name}", f"{value:g} {unit}", rule)
    return {name: float(value) for name, value in ambient.items()}
