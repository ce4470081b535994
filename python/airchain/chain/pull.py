"""One pull: the chain solved at full throttle over engine speed, with its verdict first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..base.speeds import RPM
from ..shown import statuses
from ..shown.columns import column, peak_of, shown
from ..shown.tables import Shown, Table
from ..units.convert import from_si
from .air_power import air_power_notes
from .drive_loads import DriveLoads
from .frames import frame_of
from .matched_cycles import MatchedCycles
from .plot_map import draw_on_map
from .plots import by_name, draw_pulls
from .pull_knock import PullKnock
from .pull_table import table_of
from .solving import default_speeds, solve
from .station_table import StationTable

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike
    from pandas import DataFrame

    from .build import Build

__all__ = ["Pull"]

Array = NDArray[np.float64]

_TABLE = (
    "power",
    "torque",
    "boost",
    "charge_temperature",
    "air_flow",
    "fuel_flow",
    "drive_power",
    "isentropic_efficiency",
    "surge_margin",
    "speed_margin",
    "knock_margin",
)


@dataclass(frozen=True, eq=False, repr=False)
class Pull(Shown):
    """A computed pull at full throttle. Made by `Build.pull`.

    ``pull["power"]`` is an array in SI along `rpm`, ``pull.get("power", "hp")`` the same in a unit.
    A point without an answer holds NaN, and `status` says why.

    Attributes
    ----------
    build : Build
        What was pulled.
    columns : mapping
        Every column of the result by name, SI.
    """

    build: Build
    columns: Mapping[str, Array]

    @classmethod
    def run(cls, build: Build, rpm: ArrayLike | None = None, *, threads: int = 0) -> Pull:
        """Solve the build's chain over engine speed.

        Parameters
        ----------
        build : Build
            The build.
        rpm : array_like, optional
            Engine speeds [rpm]; without it every 200 rpm from 3000 rpm (or 40 % of redline,
            where that is lower) to redline.
        threads : int
            Threads, dimensionless; 0 for as many as there are processors.

        Returns
        -------
        Pull
            The solved points.
        """
        speeds = default_speeds(build) if rpm is None else rpm
        return cls(build, solve(build.chain, speeds, threads=threads))

    @property
    def _names(self) -> tuple[str, ...]:
        """Columns of the table."""
        return _TABLE

    def __getitem__(self, name: str) -> Array:
        column(name)
        if name == "knock_margin":
            return self.knock.margin
        if name not in self.columns:
            rule = "be a column of a pull at held speeds"
            raise refusal("Pull", "column", quoted(name), rule, "build.timed_pull has it")
        return self.columns[name]

    def __len__(self) -> int:
        return int(self.columns["engine_speed"].size)

    def get(self, name: str, unit: str | None = None) -> Array:
        """Return a column, in a unit where one is named.

        Parameters
        ----------
        name : str
            The column, such as ``"power"``.
        unit : str, optional
            The unit, such as ``"hp"``; SI without it.

        Returns
        -------
        ndarray
            The values [`unit` or SI] along `rpm`.
        """
        return self._in_unit(self[name], name, unit)

    def _in_unit(self, values: Array, name: str, unit: str | None) -> Array:
        kind = column(name).kind
        return values if unit is None else np.asarray(from_si(values, unit, kind, name))

    @property
    def rpm(self) -> Array:
        """Engine speed [rpm]."""
        return self.columns["engine_speed"] / RPM

    @property
    def matched(self) -> NDArray[np.bool_]:
        """Which points were solved [dimensionless]."""
        solved: NDArray[np.bool_] = np.asarray(self.columns["status"]) == 0
        return solved

    @property
    def extrapolated(self) -> NDArray[np.bool_]:
        """Which solved points lie outside measured or typed-in data [dimensionless]."""
        outside = statuses.has(self.columns["flags"], *statuses.EXTRAPOLATED)
        return np.logical_and(self.matched, outside)

    @property
    def status(self) -> list[str]:
        """Status of each point."""
        names = statuses.status_names()
        return [names[int(code)] for code in self.columns["status"]]

    @property
    def supercharged(self) -> bool:
        """Whether the chain has a compressor."""
        return self.build.chain.compressor is not None

    @cached_property
    def summary(self) -> str:
        """How many points were solved, what became of the others, and what passes a limit."""
        return statuses.outcome(self.columns["status"], self.columns["flags"])

    @cached_property
    def knock(self) -> PullKnock:
        """Knock margins, searched when they are first asked for; not known without cams."""
        return PullKnock.of(self)

    @property
    def notes(self) -> list[str]:
        """What to do about unsolved points and knock, cautions on the solved ones, air's power."""
        notes = statuses.notes(self.columns["status"], self.columns["flags"])
        notes += [*self.knock.notes(self.matched), *air_power_notes(self)]
        return [*notes, *self.build.cautions]

    def peak(self, name: str, unit: str | None = None) -> tuple[float, float]:
        """Return the largest value of a column and its engine speed.

        Parameters
        ----------
        name : str
            The column.
        unit : str, optional
            Unit of the value; SI without it.

        Returns
        -------
        tuple of float
            The value [`unit` or SI] and the engine speed [rpm]; NaN when nothing was solved.
        """
        return peak_of(self.get(name, unit), self.rpm)

    def shown(self, name: str, index: int, system: str = "trade") -> str:
        """Return one value as text without its unit.

        A margin whose limit the map does not tell reads 'not known', never as a good one, and one
        whose limit was predicted begins with 'est.'; a knock margin stands with its doubt.

        Parameters
        ----------
        name : str
            The column.
        index : int
            Number of the point from 0, dimensionless.
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            The value, a dash where there is none.
        """
        if name == "knock_margin":
            return self.knock.text(index) if self.matched[index] else "–"
        flags = self.columns["flags"][index]
        limit = name.replace("_margin", "_not_known")
        if name.endswith("_margin") and statuses.standing(flags, limit):
            return "not known"
        before = statuses.estimate(name, flags) if self.matched[index] else ""
        return before + shown(name, float(self[name][index]), system)

    def at(self, rpm: float, name: str, unit: str | None = None) -> float:
        """Return a column solved at one engine speed.

        Parameters
        ----------
        rpm : float
            Engine speed [rpm].
        name : str
            The column.
        unit : str, optional
            Unit of the value; SI without it.

        Returns
        -------
        float
            The value [`unit` or SI], NaN when the point has no answer.
        """
        column(name)
        values = Pull.run(self._build_at(rpm), rpm)[name]
        return float(self._in_unit(values, name, unit)[0])

    def _build_at(self, rpm: float) -> Build:
        """Return the build as it is at one engine speed of the pull."""
        return self.build

    def plot(
        self,
        axes: Axes | Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Mapping[str, Pull] | Sequence[Pull] = (),
        columns: Sequence[str] = (),
        label: str = "",
    ) -> Figure:
        """Draw columns of the pull over engine speed, one panel a column.

        Parameters
        ----------
        axes : matplotlib.axes.Axes or sequence of them, optional
            Where to draw, one for each of `columns`.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : mapping or sequence of Pull
            Further pulls, laid over this one; a mapping names them.
        columns : sequence of str
            Columns to draw; power, torque and boost without them, of a pull against time those
            that move.
        label : str
            What this pull is called; its build's title without it.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. Hollow markers are extrapolated points, gaps have no answer.
        """
        named = by_name(label, self, beside, lambda pull: pull.label)
        return draw_pulls(named, axes, system, title, columns or self._panels)

    def plot_map(
        self,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Mapping[str, Pull] | Sequence[Pull] = (),
        label: str = "",
    ) -> Figure:
        """Draw the compressor's map with the pull's operating line.

        Speed lines, efficiency islands and both ends of the map stand as measured, in corrected
        quantities at the map's reference state. An end that was not measured as surge or choke
        says so.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : mapping or sequence of Pull
            Further pulls, laid over this one; those without compressor are passed over.
        label : str
            What this pull is called; its build's title without it.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. An `InputError` says where no pull has a compressor, or where they have
            different ones. Hollow markers are extrapolated points.
        """
        named = by_name(label, self, beside, lambda pull: pull.label)
        return draw_on_map(named, axes, system, title)

    @property
    def label(self) -> str:
        """What pictures call the pull."""
        return self.build.title

    @property
    def _panels(self) -> tuple[str, ...]:
        """Columns that are drawn unless others are asked for."""
        return ("power", "torque", "boost")

    def stations(self, rpm: float) -> StationTable:
        """Return the state of the air at every station at one engine speed.

        Parameters
        ----------
        rpm : float
            Engine speed [rpm].

        Returns
        -------
        StationTable
            The stations in the order the air meets them.
        """
        return StationTable(Pull.run(self._build_at(rpm), [rpm]))

    def drive_loads(self, rpm: float) -> DriveLoads:
        """Return what every mesh and belt of the drive carries at one engine speed.

        Parameters
        ----------
        rpm : float
            Engine speed [rpm].

        Returns
        -------
        DriveLoads
            The links of the drive, crank first.
        """
        return DriveLoads.at(self._build_at(rpm), rpm)

    def cycles(self) -> MatchedCycles:
        """Run the crank-resolved cycle at every solved point; the build has cams.

        Returns
        -------
        MatchedCycles
            Residual gas, peak pressure, exhaust temperature, knock integral and more.

        Raises
        ------
        InputError
            The build's volumetric efficiency is typed, or no point was solved.
        """
        return MatchedCycles.of(self)

    def to_frame(self, system: str | None = None) -> DataFrame:
        """Return the columns as a pandas frame along engine speed.

        Parameters
        ----------
        system : str, optional
            ``"trade"`` or ``"si"`` for display units, named in the headings; SI without it.

        Returns
        -------
        pandas.DataFrame
            One row a point, status in words.
        """
        return frame_of(self, system)

    @property
    def verdict(self) -> str:
        """What was pulled, the summary, and what knocks."""
        return f"{self.build.title}: {self.summary} {self.knock.verdict}".rstrip()

    def _tables(self, system: str) -> list[Table]:
        return [table_of(self, self._names, system)]
