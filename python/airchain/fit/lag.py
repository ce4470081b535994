"""What a sensor's lag does to its readings along a sweep."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .runs import Run
from .sensors import Sensor

Array = NDArray[np.float64]
#: Below this rate [rpm/s] a speed counts as held; above this lag [s] a sensor counts as slow.
_HELD, _SLOW = 50.0, 1.0


def change_a_second(run: Run, values: Array) -> Array:
    """Return how fast a computed column changes along the sweep [SI a second].

    The column is the chain's own: what was learnt of its error is rough, and a lag of seconds would
    make rows of noise of it. 0 where the chain has no answer.
    """
    change, solved = np.zeros(run.rpm.size), np.isfinite(values)
    if solved.sum() > 1 and run.rates.any():
        rpm = run.rpm[solved] + 1e-9 * np.arange(int(solved.sum()))
        change[solved] = np.nan_to_num(np.gradient(values[solved], rpm) * run.rates[solved])
    return change


def fading(run: Run, sensor: Sensor) -> Array:
    """Return what a slow sensor still shows of how a sweep began: 1 at first, less with time.

    That is exp(-t/tau) behind a first-order lag; 0 for a quick sensor, or where speeds were held.
    """
    climbing = np.flatnonzero(run.rates > _HELD)
    if sensor.lag < _SLOW or not climbing.size:
        return np.zeros(run.rpm.size)
    time = (run.rpm - run.rpm[climbing[0]]) / np.median(run.rates[climbing])
    left: Array = np.exp(-np.maximum(time, 0.0) / sensor.lag)
    return left


def lag_of(run: Run, values: Array, sensor: Sensor) -> tuple[Array, Array]:
    """Return by how much a channel reads too low for its lag, and vectors of what that leaves open.

    A slow sensor reads what was a time constant ago; how slow it is, is itself uncertain. So is
    whether the sweep began from a held speed, long enough for a sensor without lag, which reads

        y - tau dy/dt (1 - exp(-t/tau))

    and so is what a probe still held of the heat before the pull. The vectors are standard
    deviations, each fully correlated over the rows of a pull [SI].
    """
    change, left = change_a_second(run, values), fading(run, sensor)
    start = sensor.lag * change * left
    late = sensor.lag * change - 0.5 * start
    left_open = [sensor.lag_width * change, 0.5 * start, sensor.soaked * left]
    return late, np.stack(left_open, axis=1)
