"""The covariance of all channels' readings, one channel behind the other.

A part of the chain that errs moves every channel at once: a head that is too high raises boost,
air flow and torque. Counted as independent, it would be three witnesses. Errors of the sensors,
and what the chain errs by in one channel besides, are those of that channel alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from .problem import Channel

Array = NDArray[np.float64]


def together(channels: Sequence[Channel]) -> Array:
    """Return the joint covariance of the readings of channels [SI, products of units]."""
    starts = np.cumsum([0, *(c.y.size for c in channels)])
    whole = np.zeros((int(starts[-1]), int(starts[-1])))
    for i, a in enumerate(channels):
        rows = slice(starts[i], starts[i + 1])
        whole[rows, rows] = a.covariance
        for j, b in enumerate(channels[:i]):
            columns = slice(starts[j], starts[j + 1])
            linked = a.own.linked(b.own)
            whole[rows, columns] = linked
            whole[columns, rows] = linked.T
    return whole
