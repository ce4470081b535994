"""Where the pulls are in a log: the speed's runs up and down, and what lies between them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

_TURN = 0.06  # of the span: a smaller change of direction is noise
_SHORTEST = 0.25  # of the span: a shorter run is no pull
_SMALLEST_SPAN = 10.0  # rad/s, about 100 rpm: below it the speed is steady
_JUMP = 0.5  # of the span between two rows: the next pull begins
# A steady speed at either end: its band as a share of the run, and rows that are none yet.
_BAND, _FEW = 0.02, 3


@dataclass(frozen=True)
class Segment:
    """Rows from `first` up to and without `last` that run one way."""

    first: int
    last: int
    up: bool


def segments(speed: NDArray[np.float64], time: NDArray[np.float64] | None) -> list[Segment]:
    """Return the runs up and down of rows in the order they were taken.

    `speed` [rad/s] holds no NaN. The clock going back, or a fall over half of the span within one
    row, begins a new stretch.
    """
    if speed.size < 2:
        return []
    span = float(speed.max() - speed.min())
    if span < _SMALLEST_SPAN:
        return [Segment(0, speed.size, True)]
    jumps = np.diff(speed) < -_JUMP * span
    if time is not None:
        with np.errstate(invalid="ignore"):
            jumps |= np.diff(time) < 0.0
    edges = [0, *(np.flatnonzero(jumps) + 1).tolist(), speed.size]
    pieces = []
    for first, last in pairwise(edges):
        if last - first >= 2:
            pieces += _of_stretch(speed[first:last], first, span)
    return pieces


def _of_stretch(speed: NDArray[np.float64], start: int, span: float) -> list[Segment]:
    steps = np.diff(speed)
    # Between its own highest and lowest points a speed cannot turn.
    kept = np.concatenate(
        [[0], np.flatnonzero(steps[:-1] * steps[1:] <= 0.0) + 1, [speed.size - 1]]
    )
    turns = kept[_turns(speed[kept].tolist(), _TURN * span)].tolist()
    pieces = []
    for a, b in pairwise(turns):
        change = float(speed[b] - speed[a])
        if abs(change) < _SHORTEST * span:
            continue
        first, last = _without_holds(speed, a, b, change)
        if change < 0.0 and turns[0] != a:
            first += 1  # the highest row belongs to the run up
        if last - first >= 2:
            pieces.append(Segment(start + first, start + last, change > 0.0))
    return pieces


def _turns(speed: list[float], threshold: float) -> list[int]:
    """Return the rows where the speed turns for more than `threshold`; noise makes no turn."""
    turns: list[int] = []
    low = high = direction = 0
    for i, value in enumerate(speed):
        if direction >= 0 and value >= speed[high]:
            high = i
        if direction <= 0 and value <= speed[low]:
            low = i
        if direction >= 0 and value < speed[high] - threshold:
            turns.append(high)
            direction, low = -1, i
        elif direction <= 0 and value > speed[low] + threshold:
            turns.append(low)
            direction, high = 1, i
    if direction:
        turns.append(high if direction > 0 else low)
    return turns


def _without_holds(speed: NDArray[np.float64], a: int, b: int, change: float) -> tuple[int, int]:
    """Return the rows from `a` to `b` without a steady speed at either end.

    A speed is steady when its band holds over twice the rows that the run's usual rate would give.
    """
    progress = (speed[a : b + 1] - speed[a]) / change
    inner = np.flatnonzero((progress > 0.1) & (progress < 0.9))
    usual = inner.size / 0.8 * _BAND
    start = int(np.flatnonzero(progress <= _BAND)[-1])
    end = int(np.flatnonzero(progress >= 1.0 - _BAND)[0])
    first = a + start if start + 1 > 2.0 * usual + _FEW else a
    last = a + end + 1 if progress.size - end > 2.0 * usual + _FEW else b + 1
    return first, last
