"""Guesses brought to what the engine makes today, naturally aspirated.

With z the guesses in widths of their doubt, a prior of N(0, 1) each, and the logarithms y of what
was told with errors e of standard deviation s,

    z least in  z'z + sum ((y - h(z)) / s)^2,   P = (1 + H' S^-1 H)^-1

by Gauss-Newton (Tarantola, Inverse Problem Theory, 2005, ch. 3, from memory). Best power is told to
stand at its speed, so power a little below and above it is alike; torque likewise.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

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
    readings, errors = _readings(told)
    moving = _moving(model)
    for _ in range(_ROUNDS):
        base = _seen(model, z, told)
        slopes = np.zeros((base.size, count))
        for j in moving:
            up, down = z.copy(), z.copy()
            up[j], down[j] = z[j] + STEP, z[j] - STEP
            slopes[:, j] = (_seen(model, up, told) - _seen(model, down, told)) / (2.0 * STEP)
        scaled = slopes / errors[:, None]
        covariance = np.asarray(np.linalg.inv(np.eye(count) + scaled.T @ scaled), dtype=float)
        off = (readings - base + slopes @ z) / errors
        z = np.clip(covariance @ (scaled.T @ off), -MOST, MOST)
    return Known(z, covariance)


def missed(model: Model, known: Known) -> list[tuple[Today, float]]:
    """Return today's figures that the guesses do not reach within their doubt.

    Parameters
    ----------
    model : Model
        What the guesses make.
    known : Known
        The guesses as today's figures left them.

    Returns
    -------
    list of tuple
        Each such figure, and what the sketch makes in its place [W or N m].
    """
    told = model.facts.today
    if not told:
        return []
    torque = np.asarray(model.today(known.z, [one.rpm for one in told]))
    made = [t * one.rpm * np.pi / 30.0 if one.name == "power" else t
            for one, t in zip(told, torque, strict=True)]  # fmt: skip
    error = float(np.hypot(DYNO, tuning_error(np.ones(1))[0]))
    return [(one, float(value)) for one, value in zip(told, made, strict=True)
            if not abs(np.log(value / one.value)) < NINETY * error]  # fmt: skip


def _readings(told: tuple[Today, ...]) -> tuple[Array, Array]:
    """Logarithms of what was told, and their errors: the reading itself, then its shape."""
    readings, errors = [], []
    for today in told:
        speed = today.rpm * np.pi / 30.0
        torque = today.value / speed if today.name == "power" else today.value
        readings += [np.log(torque), 0.0]
        errors += [float(np.hypot(DYNO, tuning_error(np.ones(1))[0])), _SHAPE]
    return np.array(readings), np.array(errors)


def _seen(model: Model, z: Array, told: tuple[Today, ...]) -> Array:
    """The same as the chain has them."""
    rpm = [share * today.rpm for today in told
           for share in (1.0 - _BESIDE[today.name], 1.0, 1.0 + _BESIDE[today.name])]  # fmt: skip
    torque = np.log(np.maximum(model.today(z, rpm), 1e-3)).reshape(-1, 3)
    speed = np.log(np.array(rpm)).reshape(-1, 3)
    rows = []
    for today, row, at in zip(told, torque, speed, strict=True):
        height = row + at if today.name == "power" else row
        rows += [row[1], height[2] - height[0]]
    return np.array(rows)


def _moving(model: Model) -> list[int]:
    """The guesses that can matter without a blower."""
    parts = ("volumetric_efficiency", "volumetric_efficiency_shape", "indicated_efficiency",
             "friction", "inlet_loss", "exhaust_loss")  # fmt: skip
    others = ("inlet_rise", "throttle_speed")
    return [j for j, guess in enumerate(model.guesses.values())
            if guess.part in parts or guess.name in others]  # fmt: skip
