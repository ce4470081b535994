"""What is asked of a plan: targets, parts to choose from, limits and weather."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isnan, nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..buildfile.bypass import BypassValve
from ..buildfile.lift_off import LiftOffSetting
from ..chain.changes import Weather
from ..cylinder.parts import Cylinder
from ..cylinder.spread import spread_of
from .cost import Cost
from .limits import Limit, with_unit
from .parts import Part, Shafts

__all__ = ["AS_TYPED", "HIGH_CYCLE", "WORST_CYLINDER", "Cylinders", "Day", "PlanRequest", "Target"]

#: Called with how much of some work is done, and all of it.
Progress = Callable[[int, int], None]
#: The day that the build file itself has.
AS_TYPED = "as typed"
#: Peak pressure of a high cycle over the mean of cycles, the upper end of 25 to 30 % (common
#: practice, no source) [dimensionless].
HIGH_CYCLE = 1.30
#: Peak pressure of the lean or hot cylinder over the mean of cylinders, the upper end of 3 to 5 %
#: (common practice, no source) [dimensionless].
WORST_CYLINDER = 1.05
_KINDS = {"power": "power", "torque": "torque", "boost": "pressure_difference"}


@dataclass(frozen=True)
class Target:
    """What a level is to give.

    Attributes
    ----------
    level : str
        Name of the level.
    name : str
        ``"power"``, ``"torque"`` or ``"boost"``.
    value, tolerance : float
        Wanted, and how far off it may lie either way [SI].
    rpm : float
        Engine speed it is wanted at [rpm]; 0 for the peak of the pull.
    """

    level: str
    name: str
    value: float
    tolerance: float
    rpm: float

    def text(self, system: str = "trade") -> str:
        """Return the target in words.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            Such as ``"power 900.0 ± 30.0 hp at its peak"``.
        """
        kind = _KINDS[self.name]
        value = with_unit(kind, self.value, system).split(" ")[0]
        place = f"at {self.rpm:,.0f} rpm" if self.rpm else "at its peak"
        return f"{self.name} {value} ± {with_unit(kind, self.tolerance, system)} {place}"

    def shown(self, value: float, system: str = "trade") -> str:
        """Return a value of the target's quantity with its unit.

        Parameters
        ----------
        value : float
            The value [SI].
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            The text.
        """
        return with_unit(_KINDS[self.name], value, system)


@dataclass(frozen=True)
class Cylinders:
    """By how much single cycles and cylinders exceed the mean.

    Attributes
    ----------
    high_cycle : float
        Peak pressure of a high cycle over that of the mean cycle [dimensionless].
    worst_cylinder : float
        Peak pressure of the lean or hot cylinder over the mean of cylinders [dimensionless], where
        the engine's geometry does not tell its cylinders apart.
    apart : Cylinder or None
        The cylinder of an engine whose geometry does, by firing order and collectors.
    """

    high_cycle: float = HIGH_CYCLE
    worst_cylinder: float = WORST_CYLINDER
    apart: Cylinder | None = None

    def peak_factor(self, states: Mapping[str, NDArray[np.float64]]) -> NDArray[np.float64]:
        """Return the peak pressure of a high cycle in the worst cylinder over the mean's.

        Parameters
        ----------
        states : mapping
            States of the chain [SI], as `airchain.cylinder.spread.spread_of` takes them.

        Returns
        -------
        ndarray
            Over the states [dimensionless]; NaN where they or the cylinders have no answer.
        """
        if self.apart is None:
            worst = np.full(np.shape(states["speed"]), self.worst_cylinder)
        else:
            worst = spread_of(self.apart, states).most_peak
        return self.high_cycle * worst


class Day(NamedTuple):
    """The weather of a day, and the coolant it gives.

    Attributes
    ----------
    ambient : Ambient
        The air.
    coolant : float
        Temperature of the cooler's coolant [K]; NaN where it stays as the build has it.
    """

    ambient: _core.Ambient
    coolant: float = nan

    @property
    def weather(self) -> Weather:
        """The day as a change of a build."""
        return Weather.of(self.ambient, None if isnan(self.coolant) else self.coolant)

    def on(self, chain: _core.Chain) -> _core.Chain:
        """Return a chain on that day.

        Parameters
        ----------
        chain : Chain
            The stations.

        Returns
        -------
        Chain
            The same in this weather.
        """
        there = chain.replace(ambient=self.ambient)
        if isnan(self.coolant):
            return there
        return there.replace(cooler=chain.cooler.replace(coolant_temperature=self.coolant))


@dataclass(frozen=True)
class PlanRequest:
    """Everything a [plan] table says.

    Attributes
    ----------
    targets : tuple of Target
        One a level, in the order the levels are run.
    gears, pulleys : tuple of Part
        What there is to choose from.
    shafts : Shafts
        What the parts go on.
    limits : mapping
        Limits by name.
    weather : mapping
        A `Day` by name, the build's own first, under ``"as typed"``.
    cylinders : Cylinders
        Factors from the mean cycle to the worst.
    head : HeadJoint or None
        Clamp of the head, where it was typed.
    supply : Supply or None
        Injectors, pumps and lines of the build, where it has a fuel system.
    flow_over_surge : float
        Flow wanted over surge flow when the throttle shuts [dimensionless].
    discharge_coefficient : float
        Of a bypass that is still to be fitted [dimensionless].
    valve : BypassValve or None
        The bypass that is fitted.
    lift_off : LiftOffSetting
        How the throttle shuts.
    cost : Cost or None
        Hours and rates, where they were typed.
    rpm : ndarray
        Engine speeds of every pull [rpm].
    runners_up : int
        How many further plans are shown [dimensionless].
    currency : str
        What prices are in.
    teeth : GearTeeth or None
        Teeth as the plan has them, with usual values where nobody typed them.
    assumed : str
        Which values of them those are.
    """

    targets: tuple[Target, ...]
    gears: tuple[Part, ...]
    pulleys: tuple[Part, ...]
    shafts: Shafts
    limits: Mapping[str, Limit]
    weather: Mapping[str, Day]
    cylinders: Cylinders
    head: _core.HeadJoint | None
    supply: _core.Supply | None
    flow_over_surge: float
    discharge_coefficient: float
    lift_off: LiftOffSetting
    rpm: NDArray[np.float64]
    runners_up: int
    currency: str
    teeth: _core.GearTeeth | None = None
    assumed: str = ""
    valve: BypassValve | None = None
    cost: Cost | None = None

    @property
    def days(self) -> list[str]:
        """The weathers that judge: the days named, or the build's own without any."""
        own, *named = self.weather
        return named or [own]

    @property
    def parts(self) -> tuple[Part, ...]:
        """Everything there is to choose from."""
        return (*self.gears, *self.pulleys)
