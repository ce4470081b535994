"""Torque at the driven wheels in each gear, against what the tyres take."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .gearing import LOCKED, SLIPPING
from .motion import Motion, Phase

__all__ = ["InGear", "Traction", "spins_to", "taken"]

Array = NDArray[np.float64]
_POINTS = 121


class InGear(NamedTuple):
    """One gear over road speed, tyres taken to grip.

    Attributes
    ----------
    gear : int
        From 1 [dimensionless].
    road_speed : ndarray
        Speeds of the vehicle [m/s].
    wheel_torque : ndarray
        That the engine would put on the road, its own and the wheels' inertia taken off [N m].
    """

    gear: int
    road_speed: Array
    wheel_torque: Array


@dataclass(frozen=True)
class Traction:
    """One level in all gears.

    Attributes
    ----------
    gears : tuple of InGear
        Gear by gear.
    """

    gears: tuple[InGear, ...]

    @classmethod
    def of(cls, motion: Motion) -> Traction:
        """Return the torque at the wheels in every gear.

        Parameters
        ----------
        motion : Motion
            Vehicle and engine; its friction does not count.

        Returns
        -------
        Traction
            Gear by gear; a gear without any engine speed that is known is left out.
        """
        gears = [_in_gear(motion, gear) for gear in range(1, motion.gearing.gears + 1)]
        return cls(tuple(one for one in gears if one.road_speed.size))


def _in_gear(motion: Motion, gear: int) -> InGear:
    """First gear from rest, with the coupling slipping; the others where the engine pulls them."""
    per_turn = motion.radius / motion.gearing.ratio(gear)
    shifts = motion.body.vehicle.shift_speeds
    top = shifts[gear - 1] if gear <= len(shifts) else motion.redline
    held = motion.body.vehicle.launch_speed if gear == 1 else motion.held
    low, high = max(held, motion.torque.low), min(top, motion.torque.high)
    if not low < high:
        return InGear(gear, np.zeros(0), np.zeros(0))
    start = 0.0 if gear == 1 else low * per_turn
    speeds = np.unique(np.append(np.linspace(start, high * per_turn, _POINTS), low * per_turn))
    torque = [_torque(motion, gear, held, float(v), float(v) / per_turn < held) for v in speeds]
    return InGear(gear, speeds, np.array(torque))


def _torque(motion: Motion, gear: int, held: float, speed: float, slips: bool) -> float:
    phase = Phase(SLIPPING if slips else LOCKED, gear, spinning=False)
    return motion.instant(phase, held, speed, speed / motion.radius).force * motion.radius


def taken(motion: Motion, friction: float, road_speed: Array) -> Array:
    """Return the most torque that the driven tyres take, with the load that speeding up moves.

    Parameters
    ----------
    motion : Motion
        The vehicle.
    friction : float
        Of the tyres [dimensionless].
    road_speed : ndarray
        Speeds of the vehicle [m/s].

    Returns
    -------
    ndarray
        Torque at the driven wheels [N m].
    """
    body, mass, values = motion.body, motion.gearing.rolling_mass, []
    for speed in road_speed.tolist():
        most = body.most(friction, speed, mass)
        values.append((mass * most + body.drag(speed) + body.rolling) * motion.radius)
    return np.array(values)


def spins_to(gear: InGear, most: Array) -> float:
    """Return the highest road speed at which a gear has more torque than the tyres take.

    Parameters
    ----------
    gear : InGear
        The gear.
    most : ndarray
        What the tyres take at its road speeds [N m].

    Returns
    -------
    float
        The speed [m/s]; NaN where they take all of it.
    """
    above = np.flatnonzero(gear.wheel_torque > most)
    return float(gear.road_speed[above[-1]]) if above.size else float("nan")
