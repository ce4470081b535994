"""The [run] table of a build file: what a run is made of, one phase after another."""

from __future__ import annotations

from dataclasses import dataclass
from math import isinf
from typing import NamedTuple

from ..typed.keys import TABLES, TEXT, Key, Keys, choice
from ..typed.place import NotedError
from ..typed.section import Section
from .source import Source
from .vehicle import Vehicle

__all__ = ["PHASE", "RUN", "Phase", "run_phases"]

RUN: Keys = {"times": Key("count", most=200), "phases": TABLES}
_FULL, _LIGHT = "full power", "light load"
PHASE: Keys = {
    "name": TEXT,
    "kind": choice(_FULL, _LIGHT),
    "time": Key("time"),
    "distance": Key("length"),
    "road_speed": Key("velocity"),
    "speed": Key("speed"),
    "from_speed": Key("speed"),
    "to_speed": Key("speed"),
    "gears": Key("count", most=12),
    "heat": Key("power"),
    "ice_added": Key("mass"),
}
#: A phase lasts no longer [s]; a longer one is typed in pieces.
_LONGEST = 3600.0


@dataclass(frozen=True)
class Phase:
    """One phase of a run.

    Attributes
    ----------
    name : str
        What it is called.
    full : bool
        Whether at full power; else at light load, when only typed heat reaches the water.
    time : float
        How long it lasts [s].
    speeds : tuple of float
        Engine speed at the start and end of a gear [rad/s], alike where it is held; empty at light
        load.
    gears : int
        How often the engine runs through its speeds [dimensionless].
    heat : float
        Into the water at light load [W].
    ice_added : float
        Put into the tank before it [kg].
    """

    name: str
    full: bool
    time: float
    speeds: tuple[float, ...] = ()
    gears: int = 1
    heat: float = 0.0
    ice_added: float = 0.0


def run_phases(
    source: Source, redline: float, vehicle: Vehicle | None = None
) -> tuple[tuple[Phase, ...], int]:
    """Return the phases of a run, and how often it is run.

    Parameters
    ----------
    source : Source
        The document.
    redline : float
        Highest engine speed [rad/s].
    vehicle : Vehicle, optional
        Its gears tell the road speed of a phase at full power where none is typed.

    Returns
    -------
    tuple
        The phases, none without the table; how often they follow [dimensionless].

    Raises
    ------
    InputError
        The table is refused.
    """
    table = source.file.data.get("run")
    if table is None:
        return (), 1
    typed = Section(source, ("run",), RUN, table)
    typed.need("phases")
    car = _Car(vehicle, vehicle is None and "vehicle" in source.file.data)
    rows = [(Section(source, path, PHASE, one), redline, car)
            for path, one in typed.tables("phases")]  # fmt: skip
    phases = tuple(source.every(_phase, rows))
    return phases, int(typed.get("times", 1))


class _Car(NamedTuple):
    """The vehicle, and whether there would be one had it not been refused."""

    vehicle: Vehicle | None
    refused: bool


def _phase(typed: Section, redline: float, car: _Car) -> Phase:
    typed.need("name", "kind")
    for name in ("time", "distance", "road_speed", "speed", "from_speed", "to_speed"):
        typed.positive(name)
    for name in ("heat", "ice_added"):
        if typed.get(name, 0.0) < 0.0:
            typed.refuse(name, "be 0 or more")
    full = typed.text("kind") == _FULL
    speeds: tuple[float, ...] = ()
    if full:
        typed.only_with("light load", "heat")
        speeds = _speeds(typed, redline)
    else:
        typed.only_with("full power", "speed", "from_speed", "to_speed", "gears")
    time = _time(typed, speeds, car)
    return Phase(
        typed.text("name"), full, time, speeds, int(typed.get("gears", 1)),
        typed.get("heat", 0.0), typed.get("ice_added", 0.0),
    )  # fmt: skip


def _time(typed: Section, speeds: tuple[float, ...], car: _Car) -> float:
    """How long a phase lasts: as typed, or a distance at a mean road speed."""
    if typed.one_of("time", "distance", needed=True) == "time":
        typed.only_with("a distance", "road_speed")
        time, name = typed.number("time"), "time"
    else:
        time, name = typed.number("distance") / _road_speed(typed, speeds, car), "distance"
    if isinf(time) or time > _LONGEST:
        typed.refuse(name, "last at most an hour")
    return time


def _road_speed(typed: Section, speeds: tuple[float, ...], car: _Car) -> float:
    """Mean road speed [m/s]: as typed, or of the engine's speeds through the vehicle's gears.

    A speed that is held is one in top gear. Otherwise the first so many gears take alike long, and
    in each the road speed rises evenly. Slip of tyres and coupling is left out.
    """
    if typed.has("road_speed"):
        return typed.number("road_speed")
    if not speeds:
        typed.refuse("road_speed", "be given", "at light load nothing else tells it")
    if car.refused:
        raise NotedError
    if car.vehicle is None:
        typed.refuse("road_speed", "be given", "or describe the [vehicle] and its gears")
    ratios = car.vehicle.gear_ratios
    gears = int(typed.get("gears", 1))
    if gears > len(ratios):
        typed.refuse("gears", f"be at most the {len(ratios)} that [vehicle] has")
    taken = ratios[-1:] if typed.has("speed") else ratios[:gears]
    wheel = [0.5 * sum(speeds) / (ratio * car.vehicle.final_ratio) for ratio in taken]
    return car.vehicle.tyre_radius * sum(wheel) / len(wheel)


def _speeds(typed: Section, redline: float) -> tuple[float, ...]:
    """Engine speed held, or from and to in every gear."""
    if typed.has("speed"):
        for name in ("from_speed", "to_speed", "gears"):
            if typed.has(name):
                typed.refuse(name, "not stand beside speed", "a speed that is held has no gears")
        speeds: tuple[float, ...] = (typed.number("speed"), typed.number("speed"))
    else:
        typed.need("from_speed", "to_speed")
        speeds = typed.number("from_speed"), typed.number("to_speed")
        if not speeds[0] < speeds[1]:
            typed.refuse("to_speed", "be above from_speed")
    if speeds[1] > redline * (1.0 + 1e-9):
        typed.refuse("speed" if typed.has("speed") else "to_speed", "be at most the redline")
    return speeds
