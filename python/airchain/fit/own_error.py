"""The chain's own error: what no value of its unknowns can take out of a reading.

It has three parts, each a Gaussian process over engine speed and drive level. One is smooth. One is
narrow, since tuning, air box and brake control leave wiggles that no smooth curve shows (Matern
3/2, Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, eq. 4.17). And one for
each part of the chain grows with load (`load_drift`). Without the narrow one only a sensor's noise
would stand against the chain's finest wiggles, and a fit would take what it learns of its unknowns
from those. Reaches and shares are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .load_drift import PARTS
from .sensors import Sensor, narrow_size, structure_size

Array = NDArray[np.float64]
#: Over how much engine speed [rpm] the smooth part's long and short share and the narrow part stay
#: alike, and the shares of the smooth part's variance that are constant, long and short.
LONG_REACH, RPM_REACH, NARROW_REACH = 2000.0, 600.0, 200.0
_SHARES = (0.5, 0.25, 0.25)
#: Over how much of the logarithm of drive ratio they do, and the share that a level has in common
#: with those beside it: another gear pair is another day, with another air box and brake.
LEVEL_REACH, LEVEL_SHARED = 1.0, 0.65
#: Share of it that another pull on the same level shows again: oil, air box and brake differ.
PULL_SHARED = 0.8


@dataclass(frozen=True)
class OwnError:
    """Where a channel stands, and the standard deviations of the chain's own error there [SI].

    `drift` has a column for each part by its distance from the mean load, one by that from the
    lowest (`load_drift`), and one for each part that was not fitted, which errs alike everywhere.
    """

    rpm: Array
    level: Array
    pull: NDArray[np.int64]
    smooth: Array
    narrow: Array
    drift: Array

    @classmethod
    def of(cls, sensor: Sensor, values: Array, ambient: Array | float, rpm: Array, level: Array,
           pull: NDArray[np.int64], drift: Array) -> OwnError:  # fmt: skip
        """Return it for what the chain says the channel reads [SI]; `pull` tells pulls apart."""
        return cls(rpm, level, pull, structure_size(sensor, values, ambient),
                   narrow_size(sensor, values, ambient), drift)  # fmt: skip

    def shared(self, other: OwnError) -> dict[str, Array]:
        """Return the covariance of the error here with that elsewhere, by its cause."""
        over, count = over_speed(self.rpm, other.rpm), len(PARTS)
        parts = {
            part: of_parts(self.drift[:, [j, count + j]], other.drift[:, [j, count + j]], over, 1)
            for j, part in enumerate(PARTS)
        }
        rest = self.drift[:, 2 * count :] @ other.drift[:, 2 * count :].T
        return {"chain": self._alone(other, over) + rest, **parts}

    def covariance(self, other: OwnError) -> Array:
        """Return the covariance of the error here with that elsewhere in the same channel."""
        over = over_speed(self.rpm, other.rpm)
        return self._alone(other, over) + of_parts(self.drift, other.drift, over)

    def _alone(self, other: OwnError, over: Array) -> Array:
        """Return what is of this channel alone, and not of a part that moves them all."""
        along = along_levels(self.level, other.level, self.pull, other.pull)
        alone = over * np.outer(self.smooth, other.smooth)
        alone += nearby(self.rpm, other.rpm) * np.outer(self.narrow, other.narrow)
        alone *= along
        return alone


def of_parts(here: Array, there: Array, over: Array, count: int = len(PARTS)) -> Array:
    """Return the covariance that parts of the chain give, which move all channels.

    The columns are those of `OwnError.drift` for `count` parts, `over` that of `over_speed`.
    """
    constant, varying = slice(count), slice(count, 2 * count)
    covariance: Array = over - _SHARES[0]
    covariance *= here[:, varying] @ there[:, varying].T
    covariance += _SHARES[0] * (here[:, constant] @ there[:, constant].T)
    if here.shape[1] > 2 * count:
        covariance += here[:, 2 * count :] @ there[:, 2 * count :].T
    return covariance


def along_levels(level_a: Array, level_b: Array, pull_a: NDArray[np.int64],
                 pull_b: NDArray[np.int64]) -> Array:  # fmt: skip
    """Return the correlation of both over drive level, given as the logarithm of its ratio."""
    distance = np.abs(level_a[:, None] - level_b[None, :])
    beside = LEVEL_SHARED * np.exp(-distance / LEVEL_REACH)
    again = np.where(pull_a[:, None] == pull_b[None, :], 1.0, PULL_SHARED)
    correlation: Array = np.where(distance < 1e-9, again, beside)
    return correlation


def over_speed(rpm_a: Array, rpm_b: Array) -> Array:
    """Return the correlation of the smooth part over engine speed: constant, long and short."""
    distance = (rpm_a[:, None] - rpm_b[None, :]) / LONG_REACH
    long = np.exp(-0.5 * distance * distance)
    short = _matern(rpm_a, rpm_b, RPM_REACH)
    correlation: Array = _SHARES[0] + _SHARES[1] * long + _SHARES[2] * short
    return correlation


def nearby(rpm_a: Array, rpm_b: Array) -> Array:
    """Return the correlation of the narrow part over engine speed."""
    return _matern(rpm_a, rpm_b, NARROW_REACH)


def _matern(rpm_a: Array, rpm_b: Array, reach: float) -> Array:
    distance = np.sqrt(3.0) * np.abs(rpm_a[:, None] - rpm_b[None, :]) / reach
    correlation: Array = (1.0 + distance) * np.exp(-distance)
    return correlation
