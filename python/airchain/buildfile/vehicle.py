"""The vehicle of a build file: mass, tyres, gears and what stands against the run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from ..base.errors import quoted, refusal, suggestion
from ..base.speeds import RPM
from ..typed.keys import TABLES, TEXT, Key, Keys, choice, core_keys
from ..typed.place import NotedError
from ..typed.section import Section
from .source import Source

__all__ = ["Surface", "Vehicle"]

DRIVEN_AXLES = ("rear", "front", "both")
COUPLINGS = ("clutch", "converter")
#: Friction of driven tyres at their best slip, lowest and highest (common practice, no source)
#: [dimensionless].
USUAL_FRICTION: Mapping[str, tuple[float, float]] = {
    "wet road": (0.4, 0.7),
    "dry road": (0.8, 1.0),
    "dry road, soft tyres": (1.0, 1.3),
    "strip, slicks": (1.2, 1.6),
    "prepared strip, slicks": (1.7, 2.4),
}
_MOST_GEARS = 12

#: Name, SI unit, lowest and highest value, and meaning of every number.
_FIELDS = [
    ("mass", "kg", 50.0, 20e3, "mass at the start line, driver and fuel with it"),
    ("front_share", "1", 0.05, 0.95, "share of the weight on the front axle, standing"),
    ("wheelbase", "m", 0.5, 8.0, "distance of the axles"),
    ("centre_of_mass_height", "m", 0.05, 2.0, "height of the centre of mass above the ground"),
    ("tyre_radius", "m", 0.1, 1.0, "rolling radius of the driven tyres"),
    ("final_ratio", "1", 0.5, 15.0, "turns of the gearbox's output for one of the driven wheels"),
    ("launch_speed", "rad/s", 20.0, 2500.0,
     "engine speed that clutch or converter holds until the gearbox turns as fast"),
    ("torque_multiplication", "1", 1.0, 2.0,
     "of a converter at rest; it falls straight to 1, and above 2 it would make power"),
    ("shift_time", "s", 0.0, 5.0, "time without drive at a change of gear"),
    ("engine_inertia", "kg m^2", 1e-3, 20.0, "of crank, flywheel and clutch, at the crank"),
    ("driveline_inertia", "kg m^2", 0.0, 20.0, "of gearbox and shafts, at the gearbox's output"),
    ("wheel_inertia", "kg m^2", 0.05, 200.0, "of all wheels with their tyres and brakes together"),
    ("driveline_loss", "1", 0.0, 0.5, "share of the torque that gears and joints take"),
    ("drag_area", "m^2", 0.0, 10.0, "drag coefficient times frontal area"),
    ("rolling_resistance", "1", 0.0, 0.1, "force of rolling over weight"),
    ("sliding_friction", "1", 0.3, 1.0, "friction of a spinning tyre over that at its best"),
    ("distance", "m", 5.0, 5000.0, "length of the run"),
    ("exhaust_temperature_limit", "K", 700.0, 1500.0,
     "exhaust temperature that spark taken back must not pass; for seconds only"),
]  # fmt: skip


@dataclass(frozen=True)
class Surface:
    """What the driven tyres find.

    Attributes
    ----------
    name : str
        What it is called.
    low, high : float
        Friction at the tyres' best slip, lowest and highest [dimensionless].
    typed : bool
        Whether the friction was typed; else it is common practice.
    """

    name: str
    low: float
    high: float
    typed: bool


@dataclass(frozen=True, kw_only=True)
class Vehicle:
    """The vehicle that a build file describes. Numbers are checked against `fields`.

    Parameters
    ----------
    mass : float
        At the start line [kg].
    front_share : float
        Of the weight on the front axle [dimensionless].
    wheelbase, centre_of_mass_height, tyre_radius : float
        Lengths [m].
    gear_ratios : tuple of float
        Turns of the gearbox's input for one of its output, falling [dimensionless].
    final_ratio : float
        Of the axle [dimensionless].
    shift_speeds : tuple of float
        Engine speed of each change up [rad/s].
    launch_speed : float
        Engine speed at the start [rad/s].
    driven_axle, coupling : str
        Words of the build file.
    surfaces : tuple of Surface
        Where it is run, the first unless another is named.
    torque_multiplication : float, default 1
        Of a converter at rest [dimensionless].
    shift_time : float, default 0.2
        Without drive [s].
    engine_inertia : float, default 0.25
        At the crank [kg m^2].
    driveline_inertia : float, default 0.05
        At the gearbox's output [kg m^2].
    wheel_inertia : float, default 4
        Of all wheels [kg m^2].
    driveline_loss : float, default 0.12
        Share of the torque [dimensionless].
    drag_area : float, default 0.65
        Drag coefficient times frontal area [m^2].
    rolling_resistance : float, default 0.015
        Force over weight [dimensionless].
    sliding_friction : float, default 0.85
        Of a spinning tyre over that at its best [dimensionless].
    distance : float, default 402.336
        Of the run [m].
    exhaust_temperature_limit : float, default 1273.15
        For spark taken back [K].

    Raises
    ------
    InputError
        A number is out of its range.

    Notes
    -----
    The defaults are common practice, no source.
    """

    mass: float
    front_share: float
    wheelbase: float
    centre_of_mass_height: float
    tyre_radius: float
    gear_ratios: tuple[float, ...]
    final_ratio: float
    shift_speeds: tuple[float, ...]
    launch_speed: float
    driven_axle: str
    coupling: str
    surfaces: tuple[Surface, ...]
    torque_multiplication: float = 1.0
    shift_time: float = 0.2
    engine_inertia: float = 0.25
    driveline_inertia: float = 0.05
    wheel_inertia: float = 4.0
    driveline_loss: float = 0.12
    drag_area: float = 0.65
    rolling_resistance: float = 0.015
    sliding_friction: float = 0.85
    distance: float = 402.336
    exhaust_temperature_limit: float = 1273.15

    def __post_init__(self) -> None:
        for name, unit, low, high, _ in _FIELDS:
            value = getattr(self, name)
            if not low <= value <= high:
                shown = "" if unit == "1" else f" {unit}"
                rule = f"be between {low:g} and {high:g}{shown}"
                raise refusal("Vehicle", name, f"{value:g}{shown}", rule)

    @staticmethod
    def fields() -> list[tuple[str, str, float, float, str]]:
        """Return name, SI unit, lowest and highest value, and meaning of every number.

        Returns
        -------
        list of tuple
            A row a number; bounds in its unit [SI].
        """
        return list(_FIELDS)

    def surface(self, name: str | None = None) -> Surface:
        """Return one of its surfaces.

        Parameters
        ----------
        name : str, optional
            Which; the first without it.

        Returns
        -------
        Surface
            The surface.

        Raises
        ------
        InputError
            It has no such surface.
        """
        if name is None:
            return self.surfaces[0]
        for one in self.surfaces:
            if one.name == name:
                return one
        names = [one.name for one in self.surfaces]
        rule = f"be one of {', '.join(names)}"
        raise refusal("vehicle", "surface", quoted(name), rule, suggestion(str(name), names))


VEHICLE: Keys = {
    **core_keys(Vehicle, shift_time="time", distance="distance"),
    "gear_ratios": Key("dimensionless"),
    "shift_speeds": Key("speed"),
    "driven_axle": choice(*DRIVEN_AXLES),
    "coupling": choice(*COUPLINGS),
    "surfaces": TABLES,
}
SURFACES: Keys = {"name": TEXT, "friction": Key("dimensionless")}
_NEEDED = ("mass", "front_share", "wheelbase", "centre_of_mass_height", "driven_axle",
           "gear_ratios", "final_ratio", "coupling", "launch_speed")  # fmt: skip


def vehicle(source: Source, redline: float | None) -> Vehicle | None:
    """Return the vehicle, or None where the file has none.

    `redline` is the engine's [rad/s]; None where the engine was refused.
    """
    if "vehicle" not in source.file.data:
        return None
    typed = Section(source, ("vehicle",), VEHICLE, source.file.data["vehicle"])
    typed.need(*_NEEDED)
    typed.one_of("tyre_radius", "tyre_diameter", needed=True)
    if typed.text("coupling") == "clutch":
        typed.only_with('coupling = "converter"', "torque_multiplication")
    if redline is None:
        raise NotedError
    ratios, speeds, surfaces = source.every(
        lambda make, *rest: make(typed, *rest),
        [(_gear_ratios,), (_shift_speeds, redline), (_surfaces,)],
    )
    words = {"driven_axle": typed.text("driven_axle"), "coupling": typed.text("coupling")}
    return typed.make(
        Vehicle, gear_ratios=ratios, shift_speeds=speeds, surfaces=surfaces, **words,
        **typed.fields(Vehicle),
    )  # fmt: skip


def _gear_ratios(typed: Section) -> tuple[float, ...]:
    ratios = typed.numbers("gear_ratios")
    if len(ratios) > _MOST_GEARS or not all(0.2 <= one <= 20.0 for one in ratios):
        typed.refuse("gear_ratios", f"be at most {_MOST_GEARS} ratios between 0.2 and 20")
    if any(later >= one for one, later in pairwise(ratios)):
        typed.refuse("gear_ratios", "fall from gear to gear", "first gear has the largest")
    return tuple(ratios)


def _shift_speeds(typed: Section, redline: float) -> tuple[float, ...]:
    """One for each change up: each typed, one for all, or the redline."""
    changes = len(typed.numbers("gear_ratios")) - 1
    speeds = [redline] * changes
    if typed.has("shift_speeds"):
        one_for_all = isinstance(typed.table["shift_speeds"], str)
        speeds = [typed.number("shift_speeds")] * changes if one_for_all else typed.numbers(
            "shift_speeds")  # fmt: skip
    if len(speeds) != changes:
        typed.refuse("shift_speeds", f"be one speed, or one for each of {changes} changes up")
    launch, top = typed.number("launch_speed"), f"the redline of {redline / RPM:,.0f} rpm"
    if not launch < redline:
        typed.refuse("launch_speed", f"be below {top}")
    if not all(launch < one <= redline * (1.0 + 1e-9) for one in speeds):
        typed.refuse("shift_speeds", f"lie above the launch speed and at most at {top}")
    return tuple(min(one, redline) for one in speeds)


def _surfaces(typed: Section) -> tuple[Surface, ...]:
    """The surfaces typed, or a dry road."""
    if not typed.has("surfaces"):
        return (Surface("dry road", *USUAL_FRICTION["dry road"], typed=False),)
    rows = [(Section(typed.source, path, SURFACES, table),)
            for path, table in typed.tables("surfaces")]  # fmt: skip
    made: list[Surface] = typed.source.every(_surface, rows)
    names = [one.name for one in made]
    if len(set(names)) < len(names):
        typed.refuse("surfaces", "have a name of their own each")
    return tuple(made)


def _surface(typed: Section) -> Surface:
    typed.need("name")
    name = typed.text("name").strip()
    if not name:
        typed.refuse("name", "be a name")
    if not typed.has("friction"):
        if name not in USUAL_FRICTION:
            hint = suggestion(name, list(USUAL_FRICTION))
            usual = ", ".join(f'"{one}"' for one in USUAL_FRICTION)
            typed.refuse("friction", f"be given, unless the name is one of {usual}", hint)
        return Surface(name, *USUAL_FRICTION[name], typed=False)
    pair = typed.numbers("friction")
    if len(pair) != 2 or not 0.05 <= pair[0] <= pair[1] <= 5.0:
        rule = "be the lowest and the highest value, between 0.05 and 5"
        typed.refuse("friction", rule, "such as [0.8, 1.0]")
    return Surface(name, pair[0], pair[1], typed=True)
