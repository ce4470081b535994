"""What the driven tyres take: loads of the axles while the vehicle speeds up, and friction.

Moments about the ground, with the inertia force and the air's drag at the height of the centre of
mass, give the load of the driven axle (any text on vehicle dynamics; Gillespie, Fundamentals of
Vehicle Dynamics, ch. 1, from memory):

    N = N0 + s (m a + D) h / L,   0 <= N <= m g,   s = 1 rear, -1 front, 0 both axles
    D = rho A_d v^2 / 2,   F <= mu N

Left out: lift, the wheels' own moment of inertia in the load transfer (some 2 % of it), the load
that the engine's torque takes from one wheel to the other, springs, wind and slopes. Tyres take a
friction that does not change with load, speed or heat.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from .. import _core
from ..buildfile.vehicle import Vehicle

__all__ = ["Body"]

_GRAVITY = 9.80665  # m/s^2, standard
_SIGNS = {"rear": 1.0, "front": -1.0, "both": 0.0}


@dataclass(frozen=True)
class Body:
    """The vehicle on the road, without engine and gears.

    Attributes
    ----------
    vehicle : Vehicle
        The vehicle.
    density : float
        Of the air [kg/m^3].
    """

    vehicle: Vehicle
    density: float

    @classmethod
    def of(cls, vehicle: Vehicle, air: _core.Ambient) -> Body:
        """Return the vehicle in the air of a day.

        Parameters
        ----------
        vehicle : Vehicle
            The vehicle.
        air : Ambient
            The air.

        Returns
        -------
        Body
            Both.
        """
        return cls(vehicle, float(_core.air_report(air).density))

    @cached_property
    def weight(self) -> float:
        """Of the whole vehicle [N]."""
        return self.vehicle.mass * _GRAVITY

    @cached_property
    def rolling(self) -> float:
        """Force of rolling resistance [N]."""
        return self.vehicle.rolling_resistance * self.weight

    def drag(self, speed: float) -> float:
        """Return the air's drag.

        Parameters
        ----------
        speed : float
            Of the vehicle [m/s].

        Returns
        -------
        float
            The force [N].
        """
        return self._half_drag * speed * speed

    def load(self, acceleration: float, speed: float) -> float:
        """Return the load of the driven axle, or of both where both drive.

        Parameters
        ----------
        acceleration : float
            Of the vehicle [m/s^2].
        speed : float
            Of the vehicle [m/s].

        Returns
        -------
        float
            The load [N], at least 0 and at most the weight: then the other axle has lifted.
        """
        moved = (self.vehicle.mass * acceleration + self.drag(speed)) * self._lever
        return min(max(self._standing + self._sign * moved, 0.0), self.weight)

    def lifts(self, acceleration: float, speed: float) -> bool:
        """Return whether the axle that does not drive, or the front one, has left the ground.

        Parameters
        ----------
        acceleration : float
            Of the vehicle [m/s^2].
        speed : float
            Of the vehicle [m/s].

        Returns
        -------
        bool
            Whether the front wheels carry nothing.
        """
        one = self.vehicle
        moved = (one.mass * acceleration + self.drag(speed)) * self._lever
        return moved >= one.front_share * self.weight

    def most(self, friction: float, speed: float, mass: float) -> float:
        """Return the acceleration at which the tyres give all they can.

        Parameters
        ----------
        friction : float
            Of the driven tyres [dimensionless].
        speed : float
            Of the vehicle [m/s].
        mass : float
            What the tyres' force speeds up: the vehicle's, and what its rolling wheels add [kg].

        Returns
        -------
        float
            The acceleration [m/s^2]; the force is then friction times load.
        """
        drag, lever = self.drag(speed), self._sign * self._lever
        against = drag + self.rolling
        left = mass - friction * self.vehicle.mass * lever
        lifted = (friction * self.weight - against) / mass
        if left <= 0.0:
            return lifted
        gripping = (friction * (self._standing + drag * lever) - against) / left
        return min(gripping, lifted)

    # What does not move is worked out once: a run asks for it some thousand times.
    @cached_property
    def _half_drag(self) -> float:
        return 0.5 * self.density * self.vehicle.drag_area

    @cached_property
    def _lever(self) -> float:
        return self.vehicle.centre_of_mass_height / self.vehicle.wheelbase

    @cached_property
    def _sign(self) -> float:
        return _SIGNS[self.vehicle.driven_axle]

    @cached_property
    def _standing(self) -> float:
        """Load of what drives, standing [N]."""
        front = self.vehicle.front_share
        share = {"rear": 1.0 - front, "front": front, "both": 1.0}[self.vehicle.driven_axle]
        return share * self.weight
