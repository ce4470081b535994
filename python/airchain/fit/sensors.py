"""How far each reading is trusted: a bias per pull, noise per row, and the model's own error."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..shown.glossary import word

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Sensor:
    """Accuracy of one channel, standard deviations (common practice, no source).

    `bias` is constant over a pull, `noise` is of one row, `structure` is the chain's own error,
    smooth over engine speed, and `narrow` what of it comes and goes within some 200 rpm. Shares are
    of the reading, or of its rise above ambient where `rise` is set. `least_...` are floors in SI:
    the sizes where shares give less.
    `lag` is a first-order time constant [s] and `lag_width` its uncertainty. `soaked` is how far
    a slow probe stands off where a sweep begins [SI].
    """

    column: str
    words: str
    bias: float
    least_bias: float
    noise: float
    least_noise: float
    structure: float
    least_structure: float
    narrow: float
    rise: bool = False
    lag: float = 0.0
    lag_width: float = 0.0
    soaked: float = 0.0


#: Largest figure of any sensor, in whatever SI unit; squares of it must stay finite.
_MOST = 1e9
#: What may be told of a sensor in numbers.
FIGURES = tuple(f.name for f in fields(Sensor) if f.type == "float")

# A sensor's tolerance is a limit. Nine in ten of what lies evenly within it lie within 0.9 of it,
# as they would of a normal error with 0.55 of the limit as its standard deviation. So a bias stands
# for 1.75 % of torque, 2.5 % of air, 3.5 % of fuel, 1.2 kPa and 2.3 K in the plenum.
# Dips of air box and runners, 2 % deep, 150 rpm wide and two or three in a pull, are 0.7 % of
# filling over all of it, with what a brake's control adds 1 % (narrow). Boost moves twice as far.
# Plenum temperature is read upstream of port fuel, in the plenum. A thermocouple lags by 1 to 3 s;
# torque's brake and filters, and flow meters, by 0.1 s; pressure lines by half of that. In 1.5 s a
# sweep climbs by some 480 rpm, so that of 2 % that come and go within 200 rpm a thermocouple
# shows six tenths: variance b (2a + b)/(a + b)^2 of a Matern 3/2 of rate a = sqrt(3)/200 rpm behind
# a first-order lag of rate b = 1/480 rpm. Where a temperature rises by little, its bias says all.
# A probe that waited in a warm engine, or came down from another pull, starts some 1 K off.
SENSORS: dict[str, Sensor] = {
    "torque": Sensor("torque", "torque", 0.0096, 0.0, 0.005, 0.0, 0.0105, 2.0, 0.0095,
                     lag=0.1, lag_width=0.1),
    "plenum_pressure": Sensor(
        "plenum_pressure", word("plenum_pressure"), 0.0, 670.0, 0.0, 300.0, 0.02, 400.0, 0.018,
        True, 0.05, 0.05,
    ),
    "plenum_temperature": Sensor(
        "plenum_temperature", word("plenum_temperature"),
        0.0, 1.25, 0.0, 0.5, 0.032, 0.4, 0.012, True, 1.5, 0.5, 1.0,
    ),
    "compressor_outlet_temperature": Sensor(
        "compressor_outlet_temperature", "compressor outlet temperature",
        0.0, 1.9, 0.0, 0.5, 0.03, 0.4, 0.012, True, 1.5, 0.5, 1.0,
    ),
    "compressor_outlet_pressure": Sensor(
        "compressor_outlet_pressure", "compressor outlet pressure",
        0.0, 850.0, 0.0, 400.0, 0.02, 400.0, 0.018, True, 0.05, 0.05,
    ),
    "compressor_inlet_pressure": Sensor(
        "compressor_inlet_pressure", "compressor inlet pressure",
        0.0, 285.0, 0.0, 100.0, 0.0, 150.0, 0.0,
    ),
    "air_flow": Sensor("air_flow", "air flow", 0.0139, 0.0, 0.006, 0.0, 0.0115, 0.0, 0.0105,
                       lag=0.1, lag_width=0.1),
    "fuel_flow": Sensor("fuel_flow", "fuel flow", 0.019, 0.0, 0.008, 0.0, 0.012, 0.0, 0.011,
                        lag=0.1, lag_width=0.1),
    "rotor_speed": Sensor("rotor_speed", word("rotor_speed"), 0.001, 0.0, 0.001, 0.0, 5e-4, 0.0,
                          0.0),
}  # fmt: skip

#: What no fit uses, but what a later pull is held against where it looks wrong. A thermocouple
#: behind the ports says less than it seems: the chain's own figure is that of a mean cycle, and
#: where the tip stands moves it by tens of degrees.
BESIDE: dict[str, Sensor] = {
    "exhaust_temperature": Sensor(
        "exhaust_temperature", "exhaust temperature", 0.0, 25.0, 0.0, 4.0, 0.04, 10.0, 0.01, True,
        1.0, 0.5, 10.0,
    ),
}  # fmt: skip


def sensors_of(accuracy: Mapping[str, Mapping[str, float]] | None,
               parts: Sequence[str] = ()) -> dict[str, Sensor]:  # fmt: skip
    """Return the sensors with the user's own figures in place; `parts` are no sensors."""
    known = dict(SENSORS)
    for name, figures in (accuracy or {}).items():
        if name in parts:
            continue
        if name not in known:
            rule = "be a channel that a fit uses"
            raise refusal("reconcile", "accuracy", quoted(name), rule, ", ".join([*known, *parts]))
        for key, value in figures.items():
            if key not in FIGURES or not 0.0 <= float(value) <= _MOST:
                rule = f"be from 0 to {_MOST:.0f}"
                raise refusal(f"accuracy of {name}", key, quoted(value), rule, ", ".join(FIGURES))
        given = {key: float(value) for key, value in figures.items()}
        known[name] = Sensor(**(asdict(known[name]) | given))
    return known


def _size(sensor: Sensor, share: float, least: float, y: Array, ambient: Array | float) -> Array:
    scale = np.abs(y - ambient) if sensor.rise else np.abs(y)
    size: Array = np.maximum(share * scale, least)
    return size


def bias_size(sensor: Sensor, y: Array) -> Array:
    """Standard deviation of the bias of a pull, fully correlated over its rows [SI]."""
    size: Array = np.maximum(sensor.bias * np.abs(y), sensor.least_bias)
    return size


def noise_size(sensor: Sensor, y: Array) -> Array:
    """Standard deviation of one row [SI]."""
    size: Array = np.maximum(sensor.noise * np.abs(y), sensor.least_noise)
    return size


def structure_size(sensor: Sensor, y: Array, ambient: Array | float) -> Array:
    """Standard deviation of the smooth part of the chain's own error [SI]."""
    return _size(sensor, sensor.structure, sensor.least_structure, y, ambient)


def narrow_size(sensor: Sensor, y: Array, ambient: Array | float) -> Array:
    """Standard deviation of the chain's own error that comes and goes within some 200 rpm [SI]."""
    return _size(sensor, sensor.narrow, 0.0, y, ambient)


def own_size(sensor: Sensor, y: Array, ambient: Array | float) -> Array:
    """Standard deviation of the chain's own error at the loads measured, smooth and narrow [SI]."""
    smooth, narrow = structure_size(sensor, y, ambient), narrow_size(sensor, y, ambient)
    size: Array = np.hypot(smooth, narrow)
    return size
