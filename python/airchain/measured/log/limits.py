"""What readings of an engine can be: outside lies no reading, or a wrong unit (no source)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..quantities import QUANTITIES
from .unit_factor import factor

Column = NDArray[np.float64]
Mask = NDArray[np.bool_]


class Limits(NamedTuple):
    """Bounds of a quantity [SI]: of any reading, and of what is usual under load.

    `part` is the share of the readings under load that is judged: 0.5 for their middle.
    """

    lowest: float
    highest: float
    usual_low: float
    usual_high: float
    part: float = 0.5


#: Common practice, no source. A piston engine with spark ignition that lies outside is asked about
#: once; wider limits would take degrees Fahrenheit for Celsius.
LIMITS: dict[str, Limits] = {
    "engine_speed": Limits(-60.0, 3200.0, 150.0, 2600.0, 0.95),
    "torque": Limits(-2e4, 2e4, 4.0, 8e3, 0.9),
    "power": Limits(-2e6, 6e6, 1.2e3, 4e6, 0.9),
    "plenum_pressure": Limits(2e3, 1e6, 5e4, 4.5e5),
    "compressor_outlet_pressure": Limits(2e3, 1.2e6, 6.5e4, 5.2e5),
    "compressor_inlet_pressure": Limits(2e4, 3e5, 5.5e4, 1.3e5),
    "plenum_temperature": Limits(200.0, 520.0, 281.5, 410.0),
    "compressor_inlet_temperature": Limits(200.0, 450.0, 240.0, 350.0),
    "compressor_outlet_temperature": Limits(200.0, 750.0, 283.0, 560.0),
    "air_flow": Limits(-0.05, 12.0, 3e-3, 6.0),
    "fuel_flow": Limits(-5e-3, 1.5, 1.5e-4, 0.8),
    "lambda": Limits(0.1, 40.0, 0.55, 1.7),
    "exhaust_temperature": Limits(200.0, 1700.0, 780.0, 1345.0),
    "coolant_temperature": Limits(220.0, 450.0, 311.0, 405.0),
    "barometer": Limits(4e4, 1.2e5, 6e4, 1.09e5),
    "ambient_temperature": Limits(215.0, 345.0, 238.0, 328.0),
    "relative_humidity": Limits(-0.02, 1.1, 0.01, 1.02),
    "rotor_speed": Limits(-60.0, 5e4, 100.0, 4e4, 0.95),
}
_UNITS = {
    "speed": ("rpm", "krpm", "Hz"),
    "torque": ("N m", "lb ft", "kgf m", "kN m"),
    "power": ("kW", "hp", "PS", "W"),
    "pressure_difference": ("kPa", "psi", "bar", "mbar", "inHg", "Pa", "mmHg", "MPa"),
    "temperature": ("degC", "degF", "K"),
    "mass_flow": ("kg/h", "g/s", "lb/min", "kg/s", "lb/h"),
    "fuel_flow": ("kg/h", "g/s", "lb/h", "lb/min", "kg/s"),
    "dimensionless": ("%", "1"),
}


def under_load(torque: Column | None, speed: Column) -> Mask:
    """Return which rows were taken under load; by torque or power, else by engine speed."""
    output = speed if torque is None or not np.isfinite(torque).any() else torque
    read = output[np.isfinite(output)]
    if not read.size:
        return np.zeros(speed.size, dtype=bool)
    with np.errstate(invalid="ignore"):
        return np.asarray(output > 0.6 * np.percentile(read, 95))


def middle(name: str, values: Column, loaded: Mask) -> float:
    """Return the robust level of a quantity under load that its limits are held against."""
    read = values[loaded & np.isfinite(values)]
    read = read if read.size else values[np.isfinite(values)]
    if not read.size:
        return float("nan")
    part = LIMITS[name].part if name in LIMITS else 0.5
    return float(np.percentile(read, 100.0 * part))


def usual(name: str, level: float) -> bool:
    """Return whether an engine can have this level of a quantity under load."""
    if name not in LIMITS or np.isnan(level):
        return True
    return LIMITS[name].usual_low <= level <= LIMITS[name].usual_high


def better_units(
    name: str, raw_level: float, unit: str, kind: str, offset: float = 0.0
) -> list[str]:
    """Return the units in which a level of the log's own numbers would be a usual one.

    `offset` is the barometer of a reading on a gauge [Pa].
    """
    units = []
    for other in _UNITS.get(kind, ()):
        scale = factor(other, kind)
        if scale and other != unit and usual(name, (raw_level + scale[1]) * scale[0] + offset):
            units.append(other)
    return units


def impossible(name: str, values: Column) -> Mask:
    """Return which readings no sensor of this quantity can mean."""
    if name not in LIMITS or name not in QUANTITIES:
        return np.zeros(values.size, dtype=bool)
    with np.errstate(invalid="ignore"):
        return np.asarray((values < LIMITS[name].lowest) | (values > LIMITS[name].highest))
