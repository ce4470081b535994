"""The chain's own error: what no value of its unknowns can take out of a reading.

It has three parts, each a Gaussian process over engine speed and drive level: a smooth one, half of
it constant over speed; a narrow one, since tuning, air box and brake control leave wiggles that no
smooth curve shows (Matern 3/2, Rasmussen and Williams, Gaussian Processes for Machine Learning,
2006, eq. 4.17); and one for each part of the chain that grows with load (`load_drift`). Without the
narrow one only a sensor's noise would stand against the chain's finest wiggles, and a fit would
take what it learns of its unknowns from those.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .load_drift import PARTS
from .sensors import Sensor, narrow_size, structure_size

Array = NDArray[np.float64]
#: Over how much engine speed [rpm] the smooth and the narrow part stay alike.
RPM_REACH, NARROW_REACH = 600.0, 200.0
#: Over how much of the logarithm of drive ratio they do.
LEVEL_REACH = 0.25


@dataclass(frozen=True)
class OwnError:
    """Where a channel stands, and the standard deviations of the chain's own error there [SI].

    `drift` has a column for each part that errs with load.
    """

    rpm: Array
    level: Array
    smooth: Array
    narrow: Array
    drift: Array

    @classmethod
    def of(cls, sensor: Sensor, values: Array, ambient: Array | float, rpm: Array, level: Array,
           drift: Array) -> OwnError:  # fmt: skip
        """Return it for what the chain says the channel reads [SI]."""
        return cls(rpm, level, structure_size(sensor, values, ambient),
                   narrow_size(sensor, values, ambient), drift)  # fmt: skip

    def shared(self, other: OwnError) -> dict[str, Array]:
        """Return the covariance of the error here with that elsewhere, by its cause."""
        over = over_speed(self.rpm, other.rpm)
        levels = (self.level[:, None] - other.level[None, :]) / LEVEL_REACH
        along = np.exp(-0.5 * levels * levels)
        chain = along * over * np.outer(self.smooth, other.smooth)
        chain += along * nearby(self.rpm, other.rpm) * np.outer(self.narrow, other.narrow)
        parts = {
            part: np.outer(self.drift[:, j], other.drift[:, j]) * over
            for j, part in enumerate(PARTS)
        }
        return {"chain": chain, **parts}


def over_speed(rpm_a: Array, rpm_b: Array) -> Array:
    """Return the correlation of the smooth part over engine speed: half of it is constant."""
    distance = (rpm_a[:, None] - rpm_b[None, :]) / RPM_REACH
    correlation: Array = 0.5 + 0.5 * np.exp(-0.5 * distance * distance)
    return correlation


def nearby(rpm_a: Array, rpm_b: Array) -> Array:
    """Return the correlation of the narrow part over engine speed (Matern 3/2)."""
    distance = np.sqrt(3.0) * np.abs(rpm_a[:, None] - rpm_b[None, :]) / NARROW_REACH
    correlation: Array = (1.0 + distance) * np.exp(-distance)
    return correlation
