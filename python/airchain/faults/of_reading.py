"""Faults of what is read, the engine being sound: offset, lag, a wrong footing."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ..fit.questions import IN_PROPORTION
from .forms import Form, InReading
from .scene import Scene

Array = NDArray[np.float64]
#: By channel what a probe that is off may be off by, as a share of the reading or in SI, and what a
#: lagging one may lag by beyond its kind [s] (common practice, no source).
OFFSETS: dict[str, tuple[float, float]] = {
    "torque": (0.02, 0.25), "air_flow": (0.03, 0.3), "fuel_flow": (0.03, 0.3),
    "rotor_speed": (0.005, 0.1), "lambda": (0.025, 0.25),
    "plenum_pressure": (1e3, 30e3), "compressor_outlet_pressure": (1.5e3, 30e3),
    "compressor_inlet_pressure": (400.0, 10e3),
    "plenum_temperature": (3.0, 60.0), "compressor_outlet_temperature": (4.0, 60.0),
    "exhaust_temperature": (40.0, 300.0),
}  # fmt: skip
LAGS: dict[str, tuple[float, float]] = {
    "torque": (0.15, 2.5), "air_flow": (0.15, 2.5), "fuel_flow": (0.2, 2.5),
    "plenum_pressure": (0.1, 2.5), "compressor_outlet_pressure": (0.1, 2.5),
    "plenum_temperature": (1.0, 15.0), "compressor_outlet_temperature": (1.0, 15.0),
    "lambda": (0.3, 3.0), "exhaust_temperature": (1.0, 8.0),
}  # fmt: skip
#: Channels that read pressure and may be taken for absolute though they count from the air.
_GAUGES = ("plenum_pressure", "compressor_outlet_pressure")
_EXACT = 0.002
_CLOSE = 0.005


def offset(channel: str) -> Sequence[Form]:
    """One probe that reads more or less by a constant."""
    low, high = OFFSETS[channel]
    in_proportion = channel in (*IN_PROPORTION, "lambda")
    kind = "share" if in_proportion else channel.rsplit("_", 1)[1]

    def beyond(_scene: Scene, values: Array, size: float) -> Array:
        return size * values if in_proportion else np.full(values.size, size)

    return [InReading(kind, sign * low, sign * high, channel, beyond) for sign in (1.0, -1.0)]


def lag(channel: str) -> Sequence[Form]:
    """One probe that is slower than its kind; the sweep began held, or rolling."""

    def beyond(held: bool, scene: Scene, values: Array, size: float) -> Array:
        usual = scene.sensors[channel].lag
        return late(scene, values, usual + size, held) - late(scene, values, usual, held)

    def swept(scene: Scene) -> bool:
        return bool(np.any(scene.run.rates > 50.0))

    low, high = LAGS[channel]
    return [InReading("time", low, high, channel, partial(beyond, held), fits=swept)
            for held in (True, False)]  # fmt: skip


def late(scene: Scene, values: Array, constant: float, held: bool) -> Array:
    """Return what a sensor of a time constant [s] reads along the sweep.

        dr/dt = (y - r)/tau,   exact for y straight between rows

    It starts settled, to the value or to the slope that it begins with.
    """
    good = np.flatnonzero(np.isfinite(values))
    if constant <= 0.0 or good.size < 2:
        return values
    y, rpm = values[good], scene.run.rpm[good]
    rate = np.maximum(0.5 * (scene.run.rates[good][1:] + scene.run.rates[good][:-1]), 10.0)
    step = np.maximum(np.diff(rpm), 0.0) / rate
    read = np.empty_like(y)
    slope = (y[1] - y[0]) / step[0] if step[0] > 0.0 else 0.0
    read[0] = y[0] - (0.0 if held else constant * slope)
    for i, dt in enumerate(step):
        x = dt / constant
        fading = np.exp(-x)
        rising = 1.0 - (1.0 - fading) / x if x > 1e-9 else 0.5 * x
        read[i + 1] = fading * read[i] + (1.0 - fading - rising) * y[i] + rising * y[i + 1]
    whole = values.copy()
    whole[good] = read
    return whole


def gauge_for_absolute() -> Sequence[Form]:
    """A gauge taken for absolute pressure reads one atmosphere low; absolute for a gauge, high."""

    def beyond(scene: Scene, values: Array, size: float) -> Array:
        return np.full(values.size, size * scene.ambient_pressure)

    return [
        InReading("atmospheres", sign * 0.97, sign * 1.03, channel, beyond)
        for channel in _GAUGES for sign in (-1.0, 1.0)
    ]  # fmt: skip


def power_standard(scene: Scene) -> Sequence[Form]:
    """Torque that stands on another power standard than it is taken for."""

    def beyond(_scene: Scene, values: Array, size: float) -> Array:
        return size * values

    forms: list[Form] = []
    for factor in scene.standards.values():
        size = factor - 1.0
        # Standards that differ by less than this are one to a dyno.
        if abs(size) > _CLOSE:
            spread = _EXACT / abs(size)
            ends = (size * (1.0 - spread), size * (1.0 + spread))
            forms.append(InReading("share", *ends, "torque", beyond))
    return forms
