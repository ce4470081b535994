"""Driving every level of a build over a distance."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import count

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.progress import telling
from ..base.speeds import RPM
from ..buildfile.vehicle import Surface, Vehicle
from ..chain.build import Build
from ..chain.solving import default_speeds
from ..units.convert import to_si
from .engine_torque import PullTorque
from .gearing import Gearing
from .managing import Management
from .motion import Motion
from .page import LevelOnTrack, TrackPage
from .run import Run
from .traction import Traction
from .tyres import Body

__all__ = ["track_runs"]

Array = NDArray[np.float64]
#: Between two points of the pull, as of a ladder [rpm].
_APART = 200.0
#: Parts of the work of a level, told as they are done [dimensionless].
_PARTS = 2


def track_runs(
    build: Build,
    *,
    surface: str | None = None,
    distance: str | float | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> TrackPage:
    """Drive every level over a distance: what the tyres take, and what must be taken back.

    Each level starts from rest, at full torque with the lowest and with the highest friction of
    the surface, and once more at the lowest with torque held at what the tyres take.

    Parameters
    ----------
    build : Build
        The build; its file has a table ``[vehicle]``.
    surface : str, optional
        One of the vehicle's surfaces by name; its first without it.
    distance : str or float, optional
        Length of the run, with its unit, or bare [m]; the vehicle's own without it.
    progress : callable, optional
        Called with the parts of the work done and all of them [dimensionless]. Without it, work
        that lasts tells on standard error how far it is.

    Returns
    -------
    TrackPage
        Every level, with its status where a run does not come to its end.

    Raises
    ------
    InputError
        The file has no vehicle or no such surface, or the distance is out of range.
    ModuleNotFoundError
        SciPy is not installed: the extra ``sweeps`` brings it.

    Notes
    -----
    Motion: `airchain.track.motion`. Loads: `airchain.track.tyres`. The engine's torque is that of
    the chain's pull at held speeds, never beyond the speeds that have an answer.

    Examples
    --------
    >>> page = track_runs(build, distance="100 m")
    >>> page["full"].low.spinning > page["tame"].low.spinning
    True
    """
    vehicle = _vehicle(build)
    ground = vehicle.surface(surface)
    way = _way(vehicle, distance)
    engines = {"naturally aspirated": build.naturally_aspirated()}
    engines |= {name: build.level(name) for name in build.levels}
    if not build.levels and build.supercharged:
        engines["as built"] = build
    with telling("track", "parts") as told:
        done = _counter(_PARTS * len(engines), told if progress is None else progress)
        levels = {
            name: _on_track(name, engine, vehicle, ground, way, done)
            for name, engine in engines.items()
        }
    return TrackPage(build, ground, way, levels)


def _counter(parts: int, progress: Callable[[int, int], None]) -> Callable[[], None]:
    numbers = count(1)
    return lambda: progress(next(numbers), parts)


def _vehicle(build: Build) -> Vehicle:
    if build.vehicle is None:
        hint = "airchain keys vehicle tells what stands in it"
        raise refusal(build.name, "vehicle", "missing", "have a table [vehicle]", hint)
    return build.vehicle


def _way(vehicle: Vehicle, distance: str | float | None) -> float:
    if distance is None:
        return vehicle.distance
    way = to_si(distance, "distance", where="track_runs", field="distance", unit="m")
    low, high = next(row[2:4] for row in Vehicle.fields() if row[0] == "distance")
    if not low <= way <= high:
        rule = f"be between {low:,.0f} and {high:,.0f} m"
        raise refusal("track_runs", "distance", quoted(distance), rule)
    return way


def _on_track(name: str, engine: Build, vehicle: Vehicle, ground: Surface, way: float,
              done: Callable[[], None]) -> LevelOnTrack:  # fmt: skip
    gearing = Gearing(vehicle, vehicle.engine_inertia + _rotor(engine))
    pull = engine.pull(_speeds(gearing, engine))
    done()
    torque = PullTorque.of(pull, min(vehicle.launch_speed, gearing.held_speed()))
    body = Body.of(vehicle, engine.chain.ambient)
    low = Motion(body, gearing, torque, ground.low, engine.redline)
    high = replace(low, friction=ground.high)
    managed = Run.of(name, replace(low, managed=True), way)
    free = (Run.of(name, low, way), Run.of(name, high, way))
    management = Management.of(engine, managed)
    done()
    return LevelOnTrack(name, pull, Traction.of(low), *free, management)


def _rotor(engine: Build) -> float:
    """Inertia of the compressor's rotor as the crank feels it [kg m^2]."""
    drive = engine.chain.drive
    if not engine.supercharged:
        return 0.0
    return float(_core.reflected_inertia(drive.inertia, drive.speed_ratio))


def _speeds(gearing: Gearing, engine: Build) -> Array:
    """Engine speeds of the pull [rpm]: those of a ladder, from the lowest that is used on.

    Peaks are then the same in both.
    """
    usual = default_speeds(engine)
    lowest = next(row[2] for row in _core.Operation.fields() if row[0] == "engine_speed") / RPM
    low = max(min(gearing.vehicle.launch_speed, gearing.held_speed()) / RPM, lowest)
    below = np.arange(usual[0] - _APART, low - _APART, -_APART)[::-1]
    speeds = np.append(np.maximum(below, lowest), usual)
    return np.asarray(speeds[np.searchsorted(speeds, low, side="right") - 1 :])
