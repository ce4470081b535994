"""The covariance of all channels' readings, one channel behind the other.

A part of the chain that errs moves every channel at once: a head that is too high raises boost,
air flow and torque. What the chain errs by besides is largely one thing too: an engine that fills
less at some speed than the chain has it reads low in torque, air and fuel, and a little high in
boost. Counted as independent, one dip would be three witnesses. Errors of the sensors are those of
each channel alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from .problem import Channel

Array = NDArray[np.float64]
_FILLING = ("torque", "air_flow", "fuel_flow")
_PRESSURE = ("plenum_pressure", "compressor_outlet_pressure")
_HEAT = ("plenum_temperature", "compressor_outlet_temperature")
#: Correlation of what the chain errs by in two channels of one kind, and in the first two kinds
#: with each other (common practice, no source).
_OF_ONE = {_FILLING: 0.6, _PRESSURE: 0.7, _HEAT: 0.3}
_BETWEEN = -0.3


def _alike(a: str, b: str) -> float:
    """Return the correlation of the chain's own errors in two channels."""
    for group, correlation in _OF_ONE.items():
        if a in group and b in group:
            return correlation
    across = (a in _FILLING and b in _PRESSURE) or (a in _PRESSURE and b in _FILLING)
    return _BETWEEN if across else 0.0


def together(channels: Sequence[Channel]) -> Array:
    """Return the joint covariance of the readings of channels [SI, products of units]."""
    starts = np.cumsum([0, *(c.y.size for c in channels)])
    whole = np.zeros((int(starts[-1]), int(starts[-1])))
    for i, a in enumerate(channels):
        rows = slice(starts[i], starts[i + 1])
        whole[rows, rows] = a.covariance
        for j, b in enumerate(channels[:i]):
            columns = slice(starts[j], starts[j + 1])
            linked = a.own.linked(b.own, _alike(a.name, b.name))
            whole[rows, columns] = linked
            whole[columns, rows] = linked.T
    return whole
