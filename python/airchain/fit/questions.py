"""What was read less what was expected: whether it is offset, shaped or scattered.

Each question is asked of one channel with the covariance that was stated, and answered by the
chance of a deviation as large as that if all is as stated. Row by row a judgement would hang on how
alike neighbouring errors are taken to be.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..base.extras import extra
from .fitted_chain import NINETY

Array = NDArray[np.float64]
#: Chance of finding fault with a healthy pull, over all of its channels and questions.
FALSE_ALARM = 0.05
#: Stretches of speed over whose means an offset is sought; how often a fault of size `unseen` or
#: more is found, as the normal distribution's quantile for nine times in ten.
_STRETCHES, _NINE_IN_TEN = 5, 1.2816
#: Where a shape is cut in two, as shares of the range of speeds: all of it, or a tenth each side.
_WIDE, _LOCAL = (0.25, 0.5, 0.75), tuple(0.1 * i for i in range(1, 10))
#: Reach of the straight lines that scatter is counted from [rpm], and the rows that one needs.
_LINE, _LEAST_ROWS = 300.0, 4
_DRAWS = 4000
#: Channels whose sensors err in proportion to what they read.
IN_PROPORTION = ("torque", "air_flow", "fuel_flow", "rotor_speed")


@dataclass(frozen=True)
class Answers:
    """What was found of one channel: offset, shape and scatter, each with its chance.

    `offset`, `unseen` (what would be found nine times in ten) and `step` are shares of the reading
    where the channel errs in proportion, else in SI. The shape's `step` lies between `low` and
    `high` [rpm], against the speeds on its other side. `scatter` is over what was stated.
    """

    rows: int
    inside: float
    offset: float
    offset_chance: float
    unseen_deviations: float
    step: float
    low: float
    high: float
    shape_chance: float
    scatter: float
    scatter_chance: float

    def unseen(self, level: float) -> float:
        """Return the size of an offset that would be found nine times in ten at a level."""
        limit = -float(extra("scipy.special").ndtri(0.5 * level))
        return (limit + _NINE_IN_TEN) * self.unseen_deviations

    def faults(self, level: float) -> list[str]:
        """Return which questions are answered with a fault, judged at a level each."""
        chances = {"offset": self.offset_chance, "shape": self.shape_chance,
                   "scatter": self.scatter_chance}  # fmt: skip
        return [question for question, chance in chances.items() if chance < level]

    @property
    def chance(self) -> float:
        """Chance of the most striking of the three answers, were all as stated."""
        return min(1.0, 3.0 * min(self.offset_chance, self.shape_chance, self.scatter_chance))


def asked(name: str, rpm: Array, differences: Array, covariance: Array, expected: Array) -> Answers:
    """Answer the three questions of one channel.

    `differences` are readings less what was expected, `covariance` what was stated of them; rows
    without a number are left out.
    """
    good = np.isfinite(differences) & np.isfinite(np.diag(covariance)) & np.isfinite(expected)
    if not good.any():
        nan = float("nan")
        return Answers(0, nan, nan, 1.0, nan, nan, nan, nan, 1.0, nan, 1.0)
    rpm, d, C = rpm[good], differences[good], covariance[np.ix_(good, good)]
    mean = float(np.mean(np.abs(expected[good])))
    pattern = np.abs(expected[good]) / mean if name in IN_PROPORTION else np.ones(d.size)
    unit = mean if name in IN_PROPORTION else 1.0
    inside = float(np.mean(np.abs(d) <= NINETY * np.sqrt(np.diag(C))))
    offset, deviation, offset_chance = _offset(rpm, d, C, pattern)
    # What errs in proportion is no other shape.
    step, low, high, shape_chance = _shape(rpm, d - offset * pattern, C)
    scatter, scatter_chance = _scatter(rpm, d, C)
    return Answers(int(good.sum()), inside, offset / unit, offset_chance, deviation / unit,
                   step / unit, low, high, shape_chance, scatter, scatter_chance)  # fmt: skip


def _places(rpm: Array) -> Array:
    span = float(np.ptp(rpm))
    return (rpm - rpm.min()) / span if span > 0.0 else np.zeros(rpm.size)


def _offset(rpm: Array, d: Array, C: Array, pattern: Array) -> tuple[float, float, float]:
    """Return a constant's estimate by generalised least squares, its deviation, its chance.

    It is made over means of a few stretches: what neighbouring rows differ by says more of noise
    than of an offset.
    """
    stretch = np.minimum((_places(rpm) * _STRETCHES).astype(int), _STRETCHES - 1)
    means = np.array([(stretch == j) / np.sum(stretch == j) for j in np.unique(stretch)])
    weights = np.linalg.solve(means @ C @ means.T, means @ pattern)
    variance = 1.0 / float(weights @ (means @ pattern))
    estimate = variance * float(weights @ (means @ d))
    deviation = float(np.sqrt(variance))
    return estimate, deviation, _either_side(abs(estimate) / deviation)


def _shape(rpm: Array, d: Array, C: Array) -> tuple[float, float, float, float]:
    """Return the most striking step between slow and fast speeds, where it is, and its chance.

    The chance is that of the largest of all the steps looked at, found by drawing.
    """
    place = _places(rpm)
    steps, ends = [], []
    for cut in _WIDE:
        steps.append((place <= cut, place > cut))
        ends.append((cut, 1.0) if cut >= 0.5 else (0.0, cut))
    for cut in _LOCAL:
        near = np.abs(place - cut) <= 0.1001
        steps.append((near & (place <= cut), near & (place > cut)))
        ends.append((cut - 0.1, cut + 0.1))
    kept = [k for k, (slow, fast) in enumerate(steps) if min(slow.sum(), fast.sum()) > 1]
    if not kept:
        return 0.0, float(rpm.min()), float(rpm.max()), 1.0
    contrasts = np.array([steps[k][1] / steps[k][1].sum() - steps[k][0] / steps[k][0].sum()
                          for k in kept])  # fmt: skip
    block = contrasts @ C @ contrasts.T
    deviations = np.sqrt(np.diag(block))
    sizes = contrasts @ d
    strikes = np.abs(sizes) / deviations
    best = int(np.argmax(strikes))
    low, high = ends[kept[best]]
    span = float(np.ptp(rpm))
    # What lies below a cut is told as what it reads there against the rest.
    step = -sizes[best] if low == 0.0 else sizes[best]
    chance = _largest(block / np.outer(deviations, deviations), float(strikes[best]))
    return float(step), rpm.min() + low * span, rpm.min() + high * span, chance


def _largest(correlations: Array, strike: float) -> float:
    """Return the chance that the largest of normal variates is as large as this."""
    values, vectors = np.linalg.eigh(correlations)
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    normal = np.random.default_rng(0).standard_normal((values.size, _DRAWS))
    larger = int(np.sum(np.max(np.abs(root @ normal), axis=0) >= strike))
    if larger >= 10:
        return larger / _DRAWS
    # Too rare to be drawn: the sum of the single chances is its upper bound.
    alone = _either_side(strike) * values.size
    return min(alone, (1 + larger) / _DRAWS)


def _either_side(deviations: float) -> float:
    """Return the chance that a normal variate is as many deviations off, to either side.

    Of `scipy.special`: `scipy.stats` takes as long to import as a small fit.
    """
    return 2.0 * float(extra("scipy.special").ndtr(-deviations))


def _on_line(x: Array) -> Array:
    """Return the weights of readings at `x` in their straight line's value at 0."""
    middle = float(np.mean(x))
    about = x - middle
    square = float(about @ about)
    weights: Array = np.full(x.size, 1.0 / x.size)
    return weights - middle * about / square if square > 0.0 else weights


def _scatter(rpm: Array, d: Array, C: Array) -> tuple[float, float]:
    """Return the scatter about short straight lines over what was stated, and its chance.

    The sum of squares is compared with a gamma distribution of the same mean and variance
    (Satterthwaite, Biometrics Bulletin 2, 1946).
    """
    rough = np.zeros((rpm.size, rpm.size))
    for i in range(rpm.size):
        near = np.flatnonzero(np.abs(rpm - rpm[i]) <= 0.5 * _LINE)
        if near.size >= _LEAST_ROWS:
            rough[i, i] = 1.0
            rough[i, near] -= _on_line(rpm[near] - rpm[i])
    spread = rough @ C @ rough.T
    mean = float(np.trace(spread))
    if mean <= 0.0:
        return 1.0, 1.0
    square = float(np.sum((rough @ d) ** 2))
    variance = 2.0 * float(np.sum(spread * spread))
    chance = extra("scipy.special").gammaincc(mean * mean / variance, square * mean / variance)
    return float(np.sqrt(square / mean)), float(chance)
