"""The state of the air at every station at one engine speed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from ..base.speeds import RPM
from ..shown import statuses
from ..shown.columns import columns, heading, label, shown_as
from ..shown.tables import Shown, Table
from ..units.convert import unit_label
from .plots import by_name, draw_stations

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .pull import Pull

__all__ = ["StationTable"]

#: What is told of every station: its heading and quantity kind.
_QUANTITIES = {
    "pressure": ("pressure", "pressure"),
    "temperature": ("temperature", "temperature"),
    "density": ("density", "density"),
    "dry_air_flow": ("dry air", "mass_flow"),
    "mass_flow": ("all flow", "mass_flow"),
    "vapour": ("vapour", "mass_ratio"),
    "liquid_water": ("water", "mass_ratio"),
    "fuel_vapour": ("fuel vapour", "mass_ratio"),
    "fuel_liquid": ("fuel liquid", "mass_ratio"),
}
_KEY = (
    "Pressures and temperatures are total. Vapour, water and fuel are grams per kilogram of dry "
    "air; the exhaust's are burned."
)
_POINT = (
    "boost",
    "compressor_flow",
    "air_flow",
    "bypass_flow",
    "fuel_flow",
    "condensed_water",
    "rotor_speed",
    "tip_speed",
    "pressure_ratio",
    "isentropic_efficiency",
    "surge_margin",
    "choke_margin",
    "speed_margin",
    "belt_margin",
    "knock_margin",
    "compressor_power",
    "drive_power",
    "cooler_effectiveness",
    "cooler_heat",
    "coolant_temperature",
    "volumetric_efficiency",
    "brake_pressure",
    "pumping_pressure",
    "friction_pressure",
    "peak_pressure",
    "torque",
    "power",
    "brake_specific_fuel",
    "air_per_power",
)
_FORCED = _POINT[_POINT.index("rotor_speed") : _POINT.index("volumetric_efficiency")]


@dataclass(frozen=True, eq=False, repr=False)
class StationTable(Shown):
    """The stations in order with state, flow and contents of the air, then powers and margins.

    Attributes
    ----------
    pull : Pull
        A pull of one point.
    """

    pull: Pull

    def __getitem__(self, name: str) -> float:
        return float(self.pull[name][0])

    def get(self, name: str, unit: str | None = None) -> float:
        """Return a column of the point, in a unit where one is named.

        Parameters
        ----------
        name : str
            The column, such as ``"power"``.
        unit : str, optional
            The unit, such as ``"hp"``; SI without it.

        Returns
        -------
        float
            The value [`unit` or SI].
        """
        return float(self.pull.get(name, unit)[0])

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Mapping[str, StationTable] | Sequence[StationTable] = (),
        label: str = "",
    ) -> Figure:
        """Draw total pressure and temperature along the stations.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw: one for pressure and one for temperature.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : mapping or sequence of StationTable
            Further points, laid over this one; a mapping names them.
        label : str
            What this point is called; build and engine speed without it.

        Returns
        -------
        matplotlib.figure.Figure
            The figure; the exhaust is left out, being far hotter than the rest.
        """
        named = by_name(label, self, beside, lambda table: table.verdict.split(":")[0])
        return draw_stations(named, axes, system, title)

    @property
    def rpm(self) -> float:
        """Engine speed [rpm]."""
        return float(self.pull.columns["engine_speed"][0]) / RPM

    @property
    def status(self) -> str:
        """Status of the point."""
        return self.pull.status[0]

    @property
    def names(self) -> list[str]:
        """The stations this build has, in order; ambient first."""
        return list(self.states)

    @cached_property
    def states(self) -> dict[str, dict[str, float]]:
        """State, flow and contents of the air at each station, by quantity.

        Total pressure [Pa], total temperature [K], density at total state [kg/m^3], dry-air flow
        and mass flow of everything [kg/s]; water vapour, liquid water, fuel vapour and liquid fuel
        per dry air [kg/kg]. NaN where there is none to tell.
        """
        from .. import _core

        operation = _core.Operation(engine_speed=float(self.pull.columns["engine_speed"][0]))
        states = _core.station_states(self.pull.build.chain.replace(operation=operation))
        return {s.name: {name: getattr(s, name) for name in _QUANTITIES} for s in states}

    @property
    def verdict(self) -> str:
        """The build, the engine speed, the status with what to do, and what passes a limit."""
        passed = statuses.passed(self.pull.columns["status"], self.pull.columns["flags"])
        said = f"{self.pull.build.title} at {self.rpm:,.0f} rpm: {statuses.advice(self.status)}"
        return f"{said} {passed}".rstrip()

    @property
    def notes(self) -> list[str]:
        """Limits passed and figures that are extrapolated, estimated or not known."""
        flags = self.pull.columns["flags"]
        standing = [name for name in statuses.flag_bits() if statuses.standing(flags, name)]
        knock = self.pull.knock.notes(self.pull.matched)
        return [*map(statuses.caution, standing), *knock]

    def _tables(self, system: str) -> list[Table]:
        rows = [
            [
                heading(station),
                *(shown_as(kind, state[name], system) for name, (_, kind) in _QUANTITIES.items()),
            ]
            for station, state in self.states.items()
        ]
        headings = ["station", *(words for words, _ in _QUANTITIES.values())]
        units = ["", *(unit_label(kind, system) for _, kind in _QUANTITIES.values())]
        point = Table(
            ["quantity", "value", "unit"], ["", "", ""], self._point(system), "Powers and margins"
        )
        return [Table(headings, units, rows, key=_KEY), point]

    def _point(self, system: str) -> list[list[str]]:
        rows = []
        for name in _POINT:
            if name in columns() and (self.pull.supercharged or name not in _FORCED):
                value = self.pull.shown(name, 0, system)
                unit = label(name, system) if value[-1].isdigit() else ""
                rows.append([heading(name), value, unit])
        return rows
