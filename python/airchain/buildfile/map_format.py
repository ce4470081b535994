"""What a compressor map file holds: its keys, its columns, and the map read from it."""

from __future__ import annotations

from dataclasses import dataclass, field

ORIGINS = ("measured", "predicted", "invented")
LEFT_ENDS = ("surge", "estimated", "last_point")
RIGHT_ENDS = ("choke", "last_point")

# Column: quantity kind, and the unit a header without brackets means (None: it must be given).
COLUMNS: dict[str, tuple[str, str | None]] = {
    "speed": ("speed", None),
    "flow": ("mass_flow", None),
    "pressure_ratio": ("dimensionless", ""),
    "efficiency": ("dimensionless", ""),
}

# Preamble key: a line that gives it.
KEYS = {
    "name": "# name = what the map is of",
    "origin": "# origin = measured; where and by whom",
    "reference_temperature": "# reference_temperature = 288.15 K",
    "reference_pressure": "# reference_pressure = 101.325 kPa",
    "left_end": "# left_end = surge",
    "right_end": "# right_end = choke",
    "tip_diameter": "# tip_diameter = 140 mm",
    "speed_limit": "# speed_limit = 60000 rpm",
}
OPTIONAL = frozenset({"tip_diameter", "speed_limit"})
WORDS = {"left_end": LEFT_ENDS, "right_end": RIGHT_ENDS}
QUANTITIES = {
    "reference_temperature": ("temperature", "K"),
    "reference_pressure": ("pressure", "kPa"),
    "tip_diameter": ("length", "mm"),
    "speed_limit": ("speed", "rpm"),
}


@dataclass(frozen=True)
class SpeedLine:
    """The points of one speed line, in file order.

    Attributes
    ----------
    speed : float
        Corrected speed [rad/s].
    flow : tuple of float
        Corrected mass flow [kg/s].
    pressure_ratio : tuple of float
        Total-to-total pressure ratio [-].
    efficiency : tuple of float
        Total-to-total isentropic efficiency [-].
    rows : tuple of int
        File line of each point [-], empty if it came from no file; not compared.
    """

    speed: float
    flow: tuple[float, ...]
    pressure_ratio: tuple[float, ...]
    efficiency: tuple[float, ...]
    rows: tuple[int, ...] = field(default=(), compare=False, repr=False)


@dataclass(frozen=True)
class MapFile:
    """A compressor map as its file states it, in SI.

    Attributes
    ----------
    name : str
        What the map is of.
    origin : str
        'measured', 'predicted' or 'invented', then free words: who, where, how.
    reference_temperature : float
        Total temperature the corrected quantities refer to [K].
    reference_pressure : float
        Total pressure they refer to, absolute [Pa].
    left_end : str
        'surge' where the first points of the lines are measured surge, 'estimated' where surge
        was predicted, else 'last_point'.
    right_end : str
        'choke' or 'last_point', the same at the other end.
    lines : tuple of SpeedLine
        The speed lines, in file order.
    tip_diameter : float, optional
        Impeller tip diameter [m].
    speed_limit : float, optional
        Highest allowed mechanical speed [rad/s].
    speed_unit, flow_unit : str
        Units the file is written in.
    notes : tuple of str
        Comment lines of the preamble that are no keys.
    """

    name: str
    origin: str
    reference_temperature: float
    reference_pressure: float
    left_end: str
    right_end: str
    lines: tuple[SpeedLine, ...]
    tip_diameter: float | None = None
    speed_limit: float | None = None
    speed_unit: str = "rpm"
    flow_unit: str = "lb/min"
    notes: tuple[str, ...] = ()
