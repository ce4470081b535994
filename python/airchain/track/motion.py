"""The motion of a vehicle in one state: in a gear, with its tyres gripping or spinning.

    gripping   (m_r + J/r^2) a = k T/r - D - R,   w = v/r
    spinning   m_r a = f - D - R,   J w' = k T - f r,   f = mu_s N

with the mass m_r that the road speeds up, the inertia J and the ratio k of `gearing`, and the load
N of `tyres`. A tyre grips up to mu N; once it spins it has mu_s N until its surface is as fast as
the road again. Left out: the slip of a tyre that grips, some per cent, and the time it takes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .engine_torque import Torque
from .gearing import LIMITED, LOCKED, SHIFTING, SLIPPING, Gearing
from .tyres import Body

__all__ = ["ENERGIES", "Instant", "Motion", "Phase"]

Array = NDArray[np.float64]
#: Places of the state: way, speed of the vehicle, speed of the driven wheels, then energies.
WAY, SPEED, WHEEL, FIRST_ENERGY = 0, 1, 2, 3
#: Energies that are summed up on the way, each by itself.
ENERGIES = ("engine", "drag", "rolling", "driveline", "tyres", "coupling")


class Phase(NamedTuple):
    """What state the vehicle is in.

    Attributes
    ----------
    coupling : str
        Slipping, locked, shifting, or held by the redline.
    gear : int
        From 1 [dimensionless].
    spinning : bool
        Whether the driven tyres spin.
    """

    coupling: str
    gear: int
    spinning: bool


class Instant(NamedTuple):
    """One instant.

    Attributes
    ----------
    acceleration, wheel_acceleration : float
        Of the vehicle [m/s^2] and of the driven wheels [rad/s^2].
    force, load : float
        Of the driven tyres, along the road and on it [N].
    engine_speed : float
        Of the crank [rad/s].
    torque, full_torque : float
        Of the engine, and what it would give at full throttle [N m].
    multiplication : float
        Of a slipping converter [dimensionless].
    """

    acceleration: float
    wheel_acceleration: float
    force: float
    load: float
    engine_speed: float
    torque: float
    full_torque: float
    multiplication: float = 1.0


@dataclass(frozen=True)
class Motion:
    """A vehicle, its engine and a surface.

    Attributes
    ----------
    body : Body
        The vehicle on the road.
    gearing : Gearing
        Its gears.
    torque : Torque
        Of the engine at full throttle.
    friction : float
        Of the driven tyres at their best [dimensionless].
    redline : float
        Engine speed that ends the top gear [rad/s].
    managed : bool
        Whether torque is held at what the tyres take.
    """

    body: Body
    gearing: Gearing
    torque: Torque
    friction: float
    redline: float
    managed: bool = False

    @cached_property
    def held(self) -> float:
        """Engine speed below which the coupling slips once it is under way [rad/s]."""
        return self.gearing.held_speed()

    @cached_property
    def radius(self) -> float:
        """Of the driven tyres [m]."""
        return self.body.vehicle.tyre_radius

    def most(self, speed: float) -> float:
        """Return the acceleration at which gripping tyres give all they can.

        Parameters
        ----------
        speed : float
            Of the vehicle [m/s].

        Returns
        -------
        float
            The acceleration [m/s^2].
        """
        return self.body.most(self.friction, speed, self.gearing.rolling_mass)

    def instant(self, phase: Phase, held: float, speed: float, wheel: float) -> Instant:
        """Return what happens at one instant.

        Parameters
        ----------
        phase : Phase
            The state.
        held : float
            Engine speed while the coupling slips, or while a gear is changed [rad/s].
        speed : float
            Of the vehicle [m/s].
        wheel : float
            Of the driven wheels [rad/s].

        Returns
        -------
        Instant
            Accelerations, forces and torques.
        """
        moved = self._moved(phase, held, speed, wheel)
        return moved._replace(load=self.body.load(moved.acceleration, speed))

    def _moved(self, phase: Phase, held: float, speed: float, wheel: float) -> Instant:
        """An instant without the load, which the way there does not need."""
        coupling, gear, spinning = phase
        turns = self.gearing.ratio(gear) * wheel
        engine = held if coupling in (SLIPPING, SHIFTING) else turns
        factor = self.gearing.multiplication(turns, held) if coupling == SLIPPING else 1.0
        full = 0.0 if coupling == SHIFTING else self.torque(engine)
        train = self.gearing.train(coupling, gear, factor)
        against = self.body.drag(speed) + self.body.rolling
        mass, radius = self.gearing.rolling_mass, self.radius
        if spinning:
            slid = self.friction * self.body.vehicle.sliding_friction
            acceleration = self.body.most(slid, speed, mass)
            force = mass * acceleration + against
            torque = force * radius / train.torque_ratio if coupling == LIMITED else full
            turning = (train.torque_ratio * torque - force * radius) / train.inertia
        else:
            whole = mass + train.inertia / radius**2
            wanted = (train.torque_ratio * full / radius - against) / whole
            allowed = self.most(speed) if self.managed and coupling != SHIFTING else wanted
            if coupling == LIMITED:
                allowed = 0.0
            acceleration, torque = wanted, full
            if allowed < wanted:
                torque = max((whole * allowed + against) * radius / train.torque_ratio, 0.0)
                acceleration = (train.torque_ratio * torque / radius - against) / whole
            force, turning = mass * acceleration + against, acceleration / radius
        return Instant(acceleration, turning, force, nan, engine, torque, full, factor)

    def rates(self, phase: Phase, held: float, state: Array) -> list[float]:
        """Return how the state moves: way, speeds and energies.

        Parameters
        ----------
        phase : Phase
            What the vehicle does.
        held : float
            As of `instant` [rad/s].
        state : ndarray
            Way, speeds and `ENERGIES` [SI].

        Returns
        -------
        list of float
            Their rates [SI].
        """
        speed, wheel = float(state[SPEED]), float(state[WHEEL])
        now = self._moved(phase, held, speed, wheel)
        ratio = self.gearing.ratio(phase.gear)
        slipping = phase.coupling == SLIPPING
        engine_power = now.torque * now.engine_speed
        sent = now.torque * now.multiplication
        if phase.coupling == LOCKED:
            sent -= self.gearing.engine_inertia * ratio * now.wheel_acceleration
        lost = 0.0
        if phase.coupling != SHIFTING:
            lost = (1.0 - self.gearing.efficiency) * ratio * sent * wheel
        return [
            speed,
            now.acceleration,
            now.wheel_acceleration,
            engine_power,
            self.body.drag(speed) * speed,
            self.body.rolling * speed,
            lost,
            now.force * (wheel * self.radius - speed) if phase.spinning else 0.0,
            engine_power - ratio * sent * wheel if slipping else 0.0,
        ]

    def stored(self, speed: float, wheel: float, engine: float) -> float:
        """Return the energy of all that moves.

        Parameters
        ----------
        speed : float
            Of the vehicle [m/s].
        wheel, engine : float
            Of the driven wheels and of the crank [rad/s].

        Returns
        -------
        float
            The energy [J].
        """
        one = self.body.vehicle
        turning = self.gearing.driven_inertia + one.driveline_inertia * one.final_ratio**2
        moving = self.gearing.rolling_mass * speed**2 + turning * wheel**2
        return 0.5 * (moving + self.gearing.engine_inertia * engine**2)
