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

from .own_error import of_parts, over_speed

if TYPE_CHECKING:
    from .problem import Channel

Array = NDArray[np.float64]


def together(channels: Sequence[Channel]) -> Array:
    """Return the joint covariance of the readings of channels [SI, products of units]."""
    starts = np.cumsum([0, *(c.y.size for c in channels)])
    drift = np.concatenate([c.own.drift for c in channels])
    # All channels were read at the same speeds: each pair of them is looked at once.
    rpm, places = np.unique(np.concatenate([c.own.rpm for c in channels]), return_inverse=True)
    whole = of_parts(drift, drift, over_speed(rpm, rpm)[np.ix_(places, places)])
    for i, channel in enumerate(channels):
        rows = slice(starts[i], starts[i + 1])
        whole[rows, rows] = channel.covariance
    return whole
