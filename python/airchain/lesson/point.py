"""One operating point that is asked about, with its numbers as text in one unit system."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi

from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.station_table import StationTable
from ..units.convert import display, formatted

#: Of dry air, for sums by hand: gas constant and specific heat [J/(kg K)], and (gamma - 1)/gamma.
GAS, HEAT, POWER_OF_RATIO = 287.05, 1005.0, 0.2857


@dataclass(frozen=True, eq=False)
class Point:
    """A build at one engine speed.

    Attributes
    ----------
    build : Build
        The build.
    rpm : float
        Engine speed [rpm].
    system : str
        ``"trade"`` or ``"si"``.
    """

    build: Build
    rpm: float
    system: str

    @cached_property
    def table(self) -> StationTable:
        """The stations."""
        return self.build.pull([self.rpm]).stations(self.rpm)

    def __getitem__(self, name: str) -> float:
        return self.table[name]

    def pressure(self, station: str) -> float:
        """Total pressure at a station [Pa]."""
        return self.table.states[station]["pressure"]

    def temperature(self, station: str) -> float:
        """Total temperature at a station [K]."""
        return self.table.states[station]["temperature"]

    @property
    def before_filter(self) -> str:
        """The last station before the filter."""
        return "scoop" if "scoop" in self.table.states else "ambient"

    @property
    def swept(self) -> float:
        """What the pistons sweep in the inlet strokes of a second [m^3/s]."""
        return float(self.build.chain.engine.displacement) * self.rpm * RPM / (4.0 * pi)

    def text(self, value: float, kind: str) -> str:
        """A value with its unit."""
        return formatted(value, kind, self.system)

    def at(self, station: str, quantity: str = "temperature") -> str:
        """Pressure or temperature of a station with its unit."""
        return self.text(self.table.states[station][quantity], quantity)

    def absolute(self, temperature: float) -> str:
        """A temperature counted from absolute zero, in degrees of the unit system."""
        number, unit = display(temperature, "temperature", self.system)
        zero = 459.67 if unit == "degF" else 273.15
        return f"{number + zero:,.0f}"

    @property
    def zero(self) -> str:
        """What makes a temperature absolute in the unit system."""
        return "add 460 to degF" if self.system == "trade" else "add 273 to degC"


def per_cent(share: float, decimals: int = 0) -> str:
    """A share as text."""
    return f"{100.0 * share:.{decimals}f} %"


def air_density(pressure: float, temperature: float) -> float:
    """Of dry air [kg/m^3]."""
    return pressure / (GAS * temperature)
