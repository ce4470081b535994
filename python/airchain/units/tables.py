"""The tables behind `airchain.units`: quantity kinds, factors of the common units, spellings.

The factors follow from the exact definitions at the top, so units typed every day need no pint
(whose import alone takes longer than the rest of the package); a test compares each with pint.
"""

from __future__ import annotations

from fractions import Fraction
from math import pi
from typing import NamedTuple

from ..base.speeds import RPM

_INCH = Fraction("0.0254")  # m
_POUND = Fraction("0.45359237")  # kg
_GRAVITY = Fraction("9.80665")  # m/s^2, standard
_MERCURY = Fraction("13595.1")  # kg/m^3, conventional, 0 degC
_MERCURY_60F = Fraction("13556.8")  # kg/m^3
_WATER = 1000  # kg/m^3, conventional
_WATER_60F = Fraction("999.001")  # kg/m^3
_BTU_PER_POUND = 2326  # J/kg, international table
_ATMOSPHERE = 101325  # Pa
_ICE_POINT = Fraction("273.15")  # K
_FAHRENHEIT_ZERO = Fraction("459.67")  # degR

_FOOT = 12 * _INCH
_GALLON = 231 * _INCH**3
_POUND_FORCE = _POUND * _GRAVITY
_PSI = _POUND_FORCE / _INCH**2
_FOOT_POUND = _FOOT * _POUND_FORCE
_HORSEPOWER = 550 * _FOOT_POUND
_METRIC_HORSEPOWER = 75 * _GRAVITY
_BTU = _BTU_PER_POUND * _POUND
_RANKINE = Fraction(5, 9)
_LITRE = Fraction("0.001")
_CUBIC_CM = Fraction("1e-6")


class Kind(NamedTuple):
    """One quantity kind: what it is called, its SI unit, and how it is shown in each system."""

    words: str
    dimension: str
    si_unit: str
    trade: str
    metric: str
    trade_decimals: int
    metric_decimals: int


KINDS: dict[str, Kind] = {
    "dimensionless": Kind("a plain number", "ratio", "", "", "", 3, 3),
    "mass_ratio": Kind("a mass over a mass", "ratio", "", "g/kg", "g/kg", 1, 1),
    "length": Kind("a length", "length", "m", "in", "mm", 3, 2),
    "altitude": Kind("an altitude", "length", "m", "ft", "m", 0, 0),
    "area": Kind("an area", "area", "m^2", "in^2", "cm^2", 2, 2),
    "volume": Kind("a volume", "volume", "m^3", "in^3", "cm^3", 1, 0),
    "pressure": Kind("an absolute pressure", "pressure", "Pa", "psia", "kPa", 2, 2),
    "barometer": Kind("an absolute pressure", "pressure", "Pa", "inHg", "kPa", 2, 2),
    "pressure_difference": Kind("a pressure difference", "pressure", "Pa", "psi", "kPa", 2, 2),
    "stress": Kind("a stress", "pressure", "Pa", "psi", "MPa", 0, 1),
    "temperature": Kind("a temperature", "temperature", "K", "degF", "degC", 1, 1),
    "temperature_difference": Kind(
        "a temperature difference", "temperature", "K", "degF", "K", 1, 1
    ),
    "angle": Kind("an angle", "angle", "rad", "deg", "deg", 2, 2),
    "speed": Kind("a rotational speed", "rotation", "rad/s", "rpm", "rpm", 0, 0),
    "angular_acceleration": Kind(
        "an angular acceleration", "angular_acceleration", "rad/s^2", "rpm/s", "rad/s^2", 0, 1
    ),
    "velocity": Kind("a velocity", "velocity", "m/s", "ft/s", "m/s", 1, 1),
    "road_speed": Kind("a velocity", "velocity", "m/s", "mph", "km/h", 1, 1),
    "distance": Kind("a distance", "length", "m", "ft", "m", 0, 1),
    "time": Kind("a time", "time", "s", "s", "s", 2, 2),
    "mass": Kind("a mass", "mass", "kg", "lb", "kg", 2, 3),
    "mass_flow": Kind("a mass flow", "mass_flow", "kg/s", "lb/min", "kg/s", 2, 4),
    "fuel_flow": Kind("a mass flow", "mass_flow", "kg/s", "lb/h", "kg/h", 1, 1),
    "volume_flow": Kind("a volume flow", "volume_flow", "m^3/s", "cfm", "m^3/s", 0, 4),
    "liquid_flow": Kind("a volume flow", "volume_flow", "m^3/s", "gal/min", "L/min", 1, 1),
    "power": Kind("a power", "power", "W", "hp", "kW", 1, 1),
    "torque": Kind("a torque", "torque", "N m", "lb ft", "N m", 1, 1),
    "energy": Kind("an energy", "energy", "J", "BTU", "kJ", 2, 2),
    "force": Kind("a force", "force", "N", "lbf", "N", 1, 0),
    "moment_of_inertia": Kind(
        "a moment of inertia", "inertia", "kg m^2", "lb ft^2", "kg m^2", 4, 5
    ),
    "density": Kind("a density", "density", "kg/m^3", "lb/ft^3", "kg/m^3", 4, 3),
    "energy_per_mass": Kind(
        "an energy per mass", "energy_per_mass", "J/kg", "BTU/lb", "kJ/kg", 1, 1
    ),
    "specific_heat": Kind(
        "a specific heat", "specific_heat", "J/(kg K)", "BTU/(lb degF)", "kJ/(kg K)", 4, 4
    ),
    "heat_capacity_rate": Kind(
        "a heat capacity rate", "heat_capacity_rate", "W/K", "BTU/(min degF)", "W/K", 2, 1
    ),
    "pulse_time": Kind("a time", "time", "s", "ms", "ms", 2, 2),
    "pump_flow": Kind("a volume flow", "volume_flow", "m^3/s", "gal/h", "L/h", 1, 0),
    "voltage": Kind("a voltage", "voltage", "V", "V", "V", 1, 1),
    "viscosity": Kind("a dynamic viscosity", "viscosity", "Pa s", "mPa s", "mPa s", 3, 3),
    "fuel_consumption": Kind(
        "a specific fuel consumption", "fuel_consumption", "kg/J", "lb/(hp h)", "g/(kW h)", 3, 1
    ),
}

#: Kinds for which the pressure must be absolute.
ABSOLUTE_KINDS = frozenset({"pressure", "barometer"})


class Factor(NamedTuple):
    """SI value = (number + `offset`) `scale`; only temperatures have an `offset`."""

    dimension: str
    scale: float
    offset: float = 0.0


_SCALES: dict[str, dict[str, Fraction | float]] = {
    "ratio": {"": 1.0, "%": Fraction(1, 100), "g/kg": Fraction(1, 1000)},
    "length": {
        "m": 1.0,
        "mm": Fraction("0.001"),
        "cm": Fraction("0.01"),
        "in": _INCH,
        "ft": _FOOT,
    },
    "area": {
        "m^2": 1.0,
        "cm^2": Fraction("1e-4"),
        "mm^2": Fraction("1e-6"),
        "in^2": _INCH**2,
        "ft^2": _FOOT**2,
    },
    "volume": {
        "m^3": 1.0,
        "L": _LITRE,
        "cm^3": _CUBIC_CM,
        "in^3": _INCH**3,
        "ft^3": _FOOT**3,
        "gal": _GALLON,
    },
    "pressure": {
        "Pa": 1.0,
        "hPa": 100.0,
        "kPa": 1e3,
        "MPa": 1e6,
        "mbar": 100.0,
        "bar": 1e5,
        "atm": float(_ATMOSPHERE),
        "psi": _PSI,
        "inHg": _MERCURY * _GRAVITY * _INCH,
        "inHg_60F": _MERCURY_60F * _GRAVITY * _INCH,
        "mmHg": _MERCURY * _GRAVITY / 1000,
        "inH2O": _WATER * _GRAVITY * _INCH,
        "inH2O_60F": _WATER_60F * _GRAVITY * _INCH,
    },
    "angle": {"rad": 1.0, "deg": pi / 180},
    "rotation": {"rad/s": 1.0, "rpm": RPM},
    "angular_acceleration": {"rad/s^2": 1.0, "rpm/s": RPM},
    "velocity": {
        "m/s": 1.0,
        "km/h": Fraction(5, 18),
        "ft/s": _FOOT,
        "mph": 5280 * _FOOT / 3600,
    },
    "time": {"s": 1.0, "ms": Fraction("0.001"), "min": 60.0, "h": 3600.0},
    "mass": {"kg": 1.0, "g": Fraction("0.001"), "lb": _POUND},
    "mass_flow": {
        "kg/s": 1.0,
        "g/s": Fraction("0.001"),
        "kg/min": Fraction(1, 60),
        "kg/h": Fraction(1, 3600),
        "lb/s": _POUND,
        "lb/min": _POUND / 60,
        "lb/h": _POUND / 3600,
    },
    "volume_flow": {
        "m^3/s": 1.0,
        "m^3/min": Fraction(1, 60),
        "m^3/h": Fraction(1, 3600),
        "L/s": _LITRE,
        "L/min": _LITRE / 60,
        "L/h": _LITRE / 3600,
        "cm^3/min": _CUBIC_CM / 60,
        "cfm": _FOOT**3 / 60,
        "gal/min": _GALLON / 60,
        "gal/h": _GALLON / 3600,
    },
    "power": {"W": 1.0, "kW": 1e3, "hp": _HORSEPOWER, "PS": _METRIC_HORSEPOWER},
    "torque": {"N m": 1.0, "lb ft": _FOOT_POUND, "lb in": _FOOT_POUND / 12},
    "energy": {"J": 1.0, "kJ": 1e3, "MJ": 1e6, "BTU": _BTU},
    "force": {"N": 1.0, "kN": 1e3, "lbf": _POUND_FORCE},
    "inertia": {
        "kg m^2": 1.0,
        "kg cm^2": Fraction("1e-4"),
        "lb ft^2": _POUND * _FOOT**2,
        "lb in^2": _POUND * _INCH**2,
    },
    "density": {
        "kg/m^3": 1.0,
        "g/cm^3": 1e3,
        "kg/L": 1e3,
        "lb/ft^3": _POUND / _FOOT**3,
        "lb/gal": _POUND / _GALLON,
    },
    "energy_per_mass": {
        "J/kg": 1.0,
        "kJ/kg": 1e3,
        "MJ/kg": 1e6,
        "BTU/lb": float(_BTU_PER_POUND),
    },
    "specific_heat": {
        "J/(kg K)": 1.0,
        "kJ/(kg K)": 1e3,
        "BTU/(lb degF)": _BTU_PER_POUND / _RANKINE,
    },
    "heat_capacity_rate": {"W/K": 1.0, "kW/K": 1e3, "BTU/(min degF)": _BTU / 60 / _RANKINE},
    "voltage": {"V": 1.0},
    "viscosity": {"Pa s": 1.0, "mPa s": Fraction("0.001")},
    "fuel_consumption": {
        "kg/J": 1.0,
        "g/(kW h)": Fraction(1, 3_600_000_000),
        "lb/(hp h)": _POUND / (_HORSEPOWER * 3600),
    },
}

FACTORS: dict[str, Factor] = {
    unit: Factor(dimension, float(scale))
    for dimension, units in _SCALES.items()
    for unit, scale in units.items()
}
FACTORS["K"] = Factor("temperature", 1.0)
FACTORS["degC"] = Factor("temperature", 1.0, float(_ICE_POINT))
FACTORS["degR"] = Factor("temperature", float(_RANKINE))
FACTORS["degF"] = Factor("temperature", float(_RANKINE), float(_FAHRENHEIT_ZERO))

#: Spellings that mean the same whatever the field.
SPELLINGS: dict[str, str] = {
    "percent": "%",
    "inch": "in",
    "inches": "in",
    "sq in": "in^2",
    "sq ft": "ft^2",
    "cu in": "in^3",
    "ci": "in^3",
    "cid": "in^3",
    "cu ft": "ft^3",
    "cc": "cm^3",
    "l": "L",
    "litre": "L",
    "liter": "L",
    "in Hg": "inHg",
    "in H2O": "inH2O",
    "lb/in^2": "psi",
    "lbs": "lb",
    "lbs/s": "lb/s",
    "lbs/min": "lb/min",
    "lb/hr": "lb/h",
    "lbs/hr": "lb/h",
    "pph": "lb/h",
    "kg/hr": "kg/h",
    "cc/min": "cm^3/min",
    "l/s": "L/s",
    "l/min": "L/min",
    "l/h": "L/h",
    "gpm": "gal/min",
    "gph": "gal/h",
    "cu ft/min": "cfm",
    "ft^3/min": "cfm",
    "Nm": "N m",
    "N*m": "N m",
    "lbft": "lb ft",
    "ftlb": "lb ft",
    "ft lb": "lb ft",
    "lbf ft": "lb ft",
    "ft lbf": "lb ft",
    "in lb": "lb in",
    "lbf in": "lb in",
    "in lbf": "lb in",
    "ft lbs": "lb ft",
    "in lbs": "lb in",
    "btu": "BTU",
    "btu/lb": "BTU/lb",
    "Btu/lb": "BTU/lb",
    "lb/hp/h": "lb/(hp h)",
    "lb/hp h": "lb/(hp h)",
    "lb/hp hr": "lb/(hp h)",
    "lb/hph": "lb/(hp h)",
    "lb/hphr": "lb/(hp h)",
    "lb/(hp hr)": "lb/(hp h)",
    "g/kWh": "g/(kW h)",
    "g/kW h": "g/(kW h)",
    "g/kW/h": "g/(kW h)",
    "mi/h": "mph",
    "kph": "km/h",
    "J/kg/K": "J/(kg K)",
    "kJ/kg/K": "kJ/(kg K)",
    "celsius": "degC",
    "fahrenheit": "degF",
    # Pint's long names: taken here, temperatures lose no digits in pint's offsets.
    "kelvin": "K",
    "degree_Celsius": "degC",
    "degree_Fahrenheit": "degF",
    "degree_Rankine": "degR",
}

#: Spellings that only the kind of the field makes clear, by dimension.
SPELLINGS_BY_DIMENSION: dict[str, dict[str, str]] = {
    "temperature": {"F": "degF", "C": "degC", "R": "degR"},
    "force": {"lb": "lbf"},
    "rotation": {"1/min": "rpm", "min^-1": "rpm", "r/min": "rpm", "rev/min": "rpm", "U/min": "rpm"},
    "energy": {"lb ft": "foot_pound"},
}

#: Quantity kind of the core's SI units.
SI_KINDS = {
    "1": "dimensionless",
    "m": "length",
    "m^2": "area",
    "m^3": "volume",
    "Pa": "pressure",
    "K": "temperature",
    "rad": "angle",
    "rad/s": "speed",
    "rad/s^2": "angular_acceleration",
    "m/s": "velocity",
    "kg": "mass",
    "N": "force",
    "N m": "torque",
    "kg m^2": "moment_of_inertia",
    "kg/m^3": "density",
    "J/kg": "energy_per_mass",
    "J/(kg K)": "specific_heat",
    "W/K": "heat_capacity_rate",
    "V": "voltage",
    "Pa s": "viscosity",
}
