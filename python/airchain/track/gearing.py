"""From the engine to the tyres: gears, inertias and losses, in each state of the coupling.

With the whole ratio G of a gear, F that of the axle, efficiency e = 1 - loss, and inertias of
engine, driveline and driven wheels J,

    locked     w_engine = G w,   e G (T - J_e G w') - (J_d F^2 + J_w) w' = f r
    slipping   w_engine held,    e G k T - (J_d F^2 + J_w) w' = f r,   k = 1 for a clutch,
               k = k0 - (k0 - 1) G w / w_engine for a converter
    shifting   no torque,        -(J_d F^2 + J_w) w' = f r

where f is the force that the road feels. Left out: torsion of shafts, slip of a converter once the
gearbox turns as fast as the engine was held, and oil drag that grows with speed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from ..buildfile.vehicle import Vehicle

__all__ = ["LIMITED", "LOCKED", "SHIFTING", "SLIPPING", "Gearing", "Train"]

#: States of the coupling. Limited is locked, with the engine held at its highest speed.
SLIPPING, LOCKED, SHIFTING, LIMITED = "slipping", "locked", "shifting", "held by the redline"


class Train(NamedTuple):
    """What turns with the driven wheels in one state and gear.

    Attributes
    ----------
    torque_ratio : float
        Torque at the wheels over torque of the engine, held still [dimensionless].
    inertia : float
        What turns with the driven wheels, as felt at them [kg m^2].
    speed_ratio : float
        Speed of the gearbox's input over that of the wheels [dimensionless].
    """

    torque_ratio: float
    inertia: float
    speed_ratio: float


@dataclass(frozen=True)
class Gearing:
    """Gears and inertias of a vehicle with one engine.

    Attributes
    ----------
    vehicle : Vehicle
        The vehicle.
    engine_inertia : float
        Of the engine and of the rotor that it drives, at the crank [kg m^2].
    """

    vehicle: Vehicle
    engine_inertia: float

    @property
    def gears(self) -> int:
        """How many there are [dimensionless]."""
        return len(self.vehicle.gear_ratios)

    def ratio(self, gear: int) -> float:
        """Return the whole ratio of a gear.

        Parameters
        ----------
        gear : int
            From 1 [dimensionless].

        Returns
        -------
        float
            Engine speed over wheel speed [dimensionless].
        """
        return self._ratios[gear - 1]

    @cached_property
    def _ratios(self) -> tuple[float, ...]:
        return tuple(one * self.vehicle.final_ratio for one in self.vehicle.gear_ratios)

    @cached_property
    def efficiency(self) -> float:
        """Torque that arrives over torque that is sent, without inertia [dimensionless]."""
        return 1.0 - self.vehicle.driveline_loss

    @cached_property
    def driven_inertia(self) -> float:
        """Of the driven wheels: all of them, or one axle's half [kg m^2]."""
        every = self.vehicle.wheel_inertia
        return every if self.vehicle.driven_axle == "both" else 0.5 * every

    @cached_property
    def rolling_mass(self) -> float:
        """The vehicle's mass, and what its wheels that do not drive add to it [kg]."""
        rest = self.vehicle.wheel_inertia - self.driven_inertia
        return self.vehicle.mass + rest / self.vehicle.tyre_radius**2

    def held_speed(self) -> float:
        """Return the engine speed below which clutch or converter slips once it is under way.

        Returns
        -------
        float
            The launch speed, or for a clutch that of the lowest change of gear [rad/s].
        """
        one = self.vehicle
        if one.coupling == "converter":
            return one.launch_speed
        steps = zip(one.shift_speeds, one.gear_ratios, one.gear_ratios[1:], strict=False)
        return min([one.launch_speed, *(speed * low / high for speed, high, low in steps)])

    def multiplication(self, turns: float, held: float) -> float:
        """Return the torque behind the coupling over that of the engine while it slips.

        Parameters
        ----------
        turns : float
            Speed of the gearbox's input [rad/s].
        held : float
            Engine speed [rad/s].

        Returns
        -------
        float
            1 for a clutch [dimensionless].
        """
        most = self.vehicle.torque_multiplication
        return most - (most - 1.0) * min(turns / held, 1.0)

    def train(self, coupling: str, gear: int, multiplication: float = 1.0) -> Train:
        """Return what turns with the driven wheels.

        Parameters
        ----------
        coupling : str
            State of the coupling.
        gear : int
            From 1 [dimensionless].
        multiplication : float
            Of a slipping converter [dimensionless].

        Returns
        -------
        Train
            Ratios and inertia.
        """
        if coupling == SLIPPING:
            ratio = self._ratios[gear - 1]
            return Train(self.efficiency * ratio * multiplication, self._driven, ratio)
        return self._trains[coupling == SHIFTING][gear - 1]

    @cached_property
    def _driven(self) -> float:
        """Inertia behind the coupling, as felt at the wheels [kg m^2]."""
        line = self.vehicle.driveline_inertia * self.vehicle.final_ratio**2
        return self.driven_inertia + line

    @cached_property
    def _trains(self) -> tuple[list[Train], list[Train]]:
        """By gear, with the engine and while the gear is changed."""
        e, engine = self.efficiency, self.engine_inertia
        whole = [Train(e * k, self._driven + e * k**2 * engine, k) for k in self._ratios]
        return whole, [Train(0.0, self._driven, k) for k in self._ratios]
