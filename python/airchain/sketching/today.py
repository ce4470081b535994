"""Guesses brought to what the engine makes today, naturally aspirated.

With z the guesses in widths of their doubt, a prior of N(0, 1) each, and the logarithms y of what
was told with errors of covariance S,

    z least in  z'z + (y - h(z))' S^-1 (y - h(z)),   P = (1 + H' S^-1 H)^-1

by Gauss-Newton (Tarantola, Inverse Problem Theory, 2005, ch. 3, from memory). Best power is told to
stand at its speed, so power a little below and above it is alike; torque likewise.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..chain.build import Build
from ..fit.fitted_chain import NINETY
from .facts import Today
from .model import MOST, STEP, Model

Array = NDArray[np.float64]
#: Standard deviations over the reading: of a dyno with its correction to a standard, and of how
#: well a smooth curve can know where the best reading stands.
DYNO, _SHAPE = 0.02, 0.025
#: One cylinder's filling stands for all, and smooth curves for tuned pipes. Without a blower the
#: pulses of neighbours in open headers move it by 4 to 5 % rms, falling with boost; intake tuning
#: that no smooth curve shows stays.
_HEADERS, _HEADERS_POWER, _INTAKE = 0.045, 2.5, 0.015
#: Tuning errors at speeds that lie by this apart, over the speed, are partly alike: peaks of tuned
#: pipes lie a fifth of a speed from one another or so (common practice, no source).
_ALIKE = 0.08
#: Engine speeds about that of a best reading, over it.
_BESIDE = {"power": 0.06, "torque": 0.09}
_ROUNDS = 3


class Known(NamedTuple):
    """What is known of the guesses: widths z off them, and the covariance of z."""

    z: Array
    covariance: Array


def tuning_error(pressure_ratio: Array) -> Array:
    """Return how far filling lies off a smooth curve, a standard deviation [dimensionless].

    `pressure_ratio` is plenum over ambient pressure, dimensionless.
    """
    fading = _HEADERS * np.maximum(pressure_ratio, 1.0) ** -_HEADERS_POWER
    error: Array = np.hypot(fading, _INTAKE)
    return error


def brought_to_today(model: Model) -> Known:
    """Return the guesses as today's power and torque leave them; as guessed without any."""
    count = len(model.names)
    z: Array = np.zeros(count)
    covariance: Array = np.eye(count)
    told = model.facts.today
    if not told:
        return Known(z, covariance)
    readings, weights = _readings(told)
    moving = _moving(model)
    for _ in range(_ROUNDS):
        base = _seen(model, z, told)
        slopes = np.zeros((base.size, count))
        for j in moving:
            up, down = z.copy(), z.copy()
            up[j], down[j] = z[j] + STEP, z[j] - STEP
            slopes[:, j] = (_seen(model, up, told) - _seen(model, down, told)) / (2.0 * STEP)
        weighed = slopes.T @ weights
        covariance = np.asarray(np.linalg.inv(np.eye(count) + weighed @ slopes), dtype=float)
        z = np.clip(covariance @ weighed @ (readings - base + slopes @ z), -MOST, MOST)
    return Known(z, covariance)


def missed(model: Model, build: Build) -> list[tuple[Today, float]]:
    """Return today's figures that a sketch does not reach within its doubt.

    Parameters
    ----------
    model : Model
        What was told.
    build : Build
        The sketch.

    Returns
    -------
    list of tuple
        Each such figure, and what the sketch makes in its place [W or N m].
    """
    told = model.facts.today
    if not told:
        return []
    speeds = np.array([one.rpm for one in told])
    torque = np.asarray(model.without_blower(build).pull(speeds)["torque"])
    made = [t * one.rpm * np.pi / 30.0 if one.name == "power" else t
            for one, t in zip(told, torque, strict=True)]  # fmt: skip
    error = float(np.hypot(DYNO, tuning_error(np.ones(1))[0]))
    return [(one, float(value)) for one, value in zip(told, made, strict=True)
            if not abs(np.log(value / one.value)) < NINETY * error]  # fmt: skip


def _readings(told: tuple[Today, ...]) -> tuple[Array, Array]:
    """Logarithms of what was told and of the shape about each best; the inverse of S.

    Every figure has the dyno's error in common. That of tuning is alike only near by.
    """
    speed = np.array([today.rpm for today in told]) * np.pi / 30.0
    torque = [t.value / w if t.name == "power" else t.value
              for t, w in zip(told, speed, strict=True)]  # fmt: skip
    apart = np.subtract.outer(np.log(speed), np.log(speed)) / _ALIKE
    tuning = float(tuning_error(np.ones(1))[0])
    figures = DYNO**2 + tuning**2 * np.exp(-0.5 * apart**2)
    count, bests = len(told), sum(today.best for today in told)
    spread = np.eye(count + bests) * _SHAPE**2
    spread[:count, :count] = figures
    inverse: Array = np.linalg.inv(spread).astype(float)
    return np.array([*np.log(torque), *np.zeros(bests)]), inverse


def _seen(model: Model, z: Array, told: tuple[Today, ...]) -> Array:
    """The same as the chain has them."""
    bests = [today for today in told if today.best]
    beside = [(1.0 + side * _BESIDE[today.name]) * today.rpm
              for today in bests for side in (-1.0, 1.0)]  # fmt: skip
    rpm = np.array([*(today.rpm for today in told), *beside])
    torque = np.log(np.maximum(model.today(z, list(rpm)), 1e-3))
    shapes = []
    for number, today in enumerate(bests):
        place = len(told) + 2 * number
        height = torque + np.log(rpm) if today.name == "power" else torque
        shapes.append(height[place + 1] - height[place])
    return np.array([*torque[: len(told)], *shapes])


def _moving(model: Model) -> list[int]:
    """The guesses that can matter without a blower."""
    parts = ("volumetric_efficiency", "volumetric_efficiency_shape", "indicated_efficiency",
             "friction", "inlet_loss", "exhaust_loss")  # fmt: skip
    others = ("inlet_rise", "throttle_speed")
    return [j for j, guess in enumerate(model.guesses.values())
            if guess.part in parts or guess.name in others]  # fmt: skip
