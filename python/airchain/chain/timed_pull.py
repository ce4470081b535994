"""A pull against the clock: the cooler's tank warms and the rotor speeds up on the way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from .. import _core
from ..base.errors import quoted, refusal
from ..base.speeds import RPM, checked_speeds
from ..shown.columns import label, shown
from .changes import Instant
from .pull import Pull
from .solving import default_speeds

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from .build import Build

__all__ = ["TimedPull"]

_TABLE = (
    *("time", "power", "torque", "boost", "charge_temperature", "coolant_temperature"),
    *(
        "ice_mass",
        "cooler_heat",
        "drive_power",
        "acceleration_power",
        "surge_margin",
        "knock_margin",
    ),
)
_OF_TANK = ("ice_mass",)
_OF_COMPRESSOR = ("coolant_temperature", "cooler_heat", "acceleration_power")
_BOILING = 373.15
#: Rise of a speed that is held, over itself, and the instants told of it.
HELD = 1e-6
_INSTANTS = 13


@dataclass(frozen=True, eq=False, repr=False)
class TimedPull(Pull):
    """A pull at a constant rise of engine speed; the columns of `Pull` and three of its own.

    ``pull["time"]`` counts from the first engine speed [s]; ``pull["ice_mass"]`` and
    ``pull["water_mass"]`` are what the tank holds [kg], NaN where the build has none. At every
    instant the cooler is fed with the tank's water of that instant. Power and torque are net of
    what speeds up the rotor; the inertia of engine and dyno is not in them.

    Attributes
    ----------
    build : Build
        What was pulled.
    columns : mapping
        Every column by name, SI.
    rate : float
        Rise of engine speed [rpm/s].
    """

    rate: float = 0.0

    @classmethod
    def at_rate(
        cls, build: Build, rpm: ArrayLike | None = None, *, rpm_per_second: float
    ) -> TimedPull:
        """Solve the build's chain over rising engine speed against time.

        Parameters
        ----------
        build : Build
            The build.
        rpm : array_like, optional
            Rising engine speeds [rpm]; those of `Pull.run` without it.
        rpm_per_second : float
            Rise of engine speed [rpm/s], above 0.

        Returns
        -------
        TimedPull
            The solved instants.

        Raises
        ------
        InputError
            The rate is not above 0, speeds do not rise, or the pull would last over an hour.
        """
        number = isinstance(rpm_per_second, int | float) and not isinstance(rpm_per_second, bool)
        if not number or not 0.0 < float(rpm_per_second) < np.inf:
            rule = "be a number above 0, in rpm per second"
            raise refusal("timed_pull", "rpm_per_second", quoted(rpm_per_second), rule)
        speeds = checked_speeds(default_speeds(build) if rpm is None else rpm)
        return cls.from_tank(build, build.ice_tank, speeds * RPM, float(rpm_per_second) * RPM)

    @classmethod
    def from_tank(cls, build: Build, tank: _core.IceTank | None, engine_speed: ArrayLike,
                  acceleration: float) -> TimedPull:  # fmt: skip
        """Solve the build's chain from a tank that is told, in SI and unchecked.

        Parameters
        ----------
        build : Build
            The build.
        tank : IceTank or None
            What feeds the cooler, as it stands at the start.
        engine_speed : array_like
            Rising crank speeds [rad/s].
        acceleration : float
            Their rise [rad/s^2].

        Returns
        -------
        TimedPull
            The solved instants.

        Raises
        ------
        InputError
            The core refuses a number.
        """
        crank = np.asarray(engine_speed, dtype=float).tolist()
        # The core takes a build without tank too; its stub cannot say so.
        columns = _core.timed_pull(build.chain, tank, crank, acceleration)  # type: ignore[arg-type]
        return cls(build, columns, acceleration / RPM)

    @classmethod
    def held(cls, build: Build, rpm: float, seconds: float) -> TimedPull:
        """Solve the build's chain at one engine speed against time, while its tank warms.

        Parameters
        ----------
        build : Build
            The build.
        rpm : float
            Engine speed that is held [rpm].
        seconds : float
            For how long, up to an hour [s].

        Returns
        -------
        TimedPull
            The solved instants. Their engine speeds rise by a millionth in all.

        Raises
        ------
        InputError
            Speed or time is out of range.
        """
        number = isinstance(seconds, int | float) and not isinstance(seconds, bool)
        if not number or not 0.0 < float(seconds) <= 3600.0:
            rule = "be above 0 and at most 3600, in seconds"
            raise refusal("timed_pull", "seconds", quoted(seconds), rule)
        if np.ndim(rpm):
            raise refusal("timed_pull", "rpm", quoted(rpm), "be one speed where it is held")
        (speed,) = checked_speeds(np.atleast_1d(rpm))
        speeds = np.linspace(speed * (1.0 - HELD), speed, _INSTANTS)
        return cls.at_rate(build, speeds, rpm_per_second=speed * HELD / float(seconds))

    @property
    def _is_held(self) -> bool:
        return bool(self.rpm[-1] <= self.rpm[0] * (1.0 + 2.0 * HELD)) and len(self.rpm) > 1

    @property
    def label(self) -> str:
        """What pictures call the pull."""
        how = f"{self.rpm[-1]:,.0f} rpm held" if self._is_held else f"{self.rate:,.0f} rpm/s"
        return f"{self.build.title}, {how}"

    @property
    def _panels(self) -> tuple[str, ...]:
        if self.build.ice_tank is None:
            return super()._panels
        return ("coolant_temperature", "ice_mass", "charge_temperature", "power")

    @property
    def _names(self) -> tuple[str, ...]:
        left_out = () if self.build.ice_tank else _OF_TANK
        if not self.supercharged:
            left_out = (*left_out, *_OF_COMPRESSOR)
        return tuple(name for name in _TABLE if name not in left_out)

    @property
    def summary(self) -> str:
        """How fast, how long, how many points were solved, and what is left of the ice."""
        how = f"{self.rpm[-1]:,.0f} rpm held" if self._is_held else f"{self.rate:,.0f} rpm/s"
        text = f"{how} for {self['time'][-1]:.1f} s. {super().summary}"
        if self.build.ice_tank is None:
            return text
        left = shown("ice_mass", float(self["ice_mass"][-1]))
        return f"{text} Ice left: {left} {label('ice_mass')}."

    @property
    def notes(self) -> list[str]:
        """Those of the points, and what the tank's balance left open."""
        notes = super().notes
        if self.build.ice_tank is None:
            return notes
        lost = int(np.count_nonzero(~self.matched))
        if lost:
            notes.append(f"{lost} points without an answer put no heat in the tank")
        if np.nanmax(self["coolant_temperature"], initial=0.0) > _BOILING:
            notes.append("the tank's water passes 100 degC: it would boil, which is left out")
        return notes

    def _build_at(self, rpm: float) -> Build:
        """Return the build with its tank's water as it is at one engine speed, speeding up."""
        speeds = self.rpm
        if not speeds[0] <= rpm <= speeds[-1]:
            rule = f"lie within the pull, {speeds[0]:,.0f} to {speeds[-1]:,.0f} rpm"
            raise refusal("TimedPull", "rpm", quoted(rpm), rule)
        water = None
        if self.build.ice_tank is not None:
            water = float(np.interp(rpm, speeds, self["coolant_temperature"]))
        return self.build.changed(Instant(rpm * RPM, self.rate * RPM, water))
