"""The levels of a build on several days: what the weather moves, and by how much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..chain.air_power import air_power_notes
from ..chain.build import Build
from ..chain.build_words import weather_words
from ..chain.changes import Weather
from ..chain.ladders import Ladder, ladder
from ..measured.bases import outside_words, standard_words
from ..measured.correct import reference_weather
from ..shown import statuses
from ..shown.columns import column
from ..shown.tables import Shown, Table, by_note
from ..typed.place import TypedByName
from .days import asked_day
from .plots import draw_weather
from .reading import read_plan
from .request import AS_TYPED, Day, Progress
from .weather_tables import correction_table, day_table, dry_air, level_table

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike

__all__ = ["WeatherBands", "weather_bands"]


@dataclass(frozen=True, eq=False, repr=False)
class WeatherBands(Shown):
    """Every level on every day. Made by `weather_bands`.

    Attributes
    ----------
    build : Build
        The build in its own weather.
    days : mapping
        The ladder of each day by its name, the day as typed first.
    standard : str
        The power standard that the levels are set beside.
    """

    build: Build
    days: Mapping[str, Ladder]
    standard: str

    @property
    def levels(self) -> list[str]:
        """Names of the levels, the naturally aspirated engine first."""
        return [step.name for step in self.days[AS_TYPED].steps]

    @property
    def rpm(self) -> NDArray[np.float64]:
        """Engine speeds [rpm]."""
        rpm: NDArray[np.float64] = self.days[AS_TYPED].steps[0].pull.rpm
        return rpm

    def values(self, level: str, name: str) -> dict[str, NDArray[np.float64]]:
        """Return a column of one level on every day.

        Parameters
        ----------
        level : str
            The level.
        name : str
            The column.

        Returns
        -------
        dict
            By day, the values [SI] over `rpm`, NaN where there is no answer.
        """
        column(name, "WeatherBands")
        return {day: np.asarray(steps[level].pull[name]) for day, steps in self.days.items()}

    def band(self, level: str, name: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return the lowest and the highest value of a column over the days.

        Parameters
        ----------
        level : str
            The level.
        name : str
            The column.

        Returns
        -------
        tuple of ndarray
            Lowest and highest [SI] over `rpm`; NaN where a day has no answer.
        """
        whole = np.array(list(self.values(level, name).values()))
        return whole.min(axis=0), whole.max(axis=0)

    def weather(self, day: str) -> str:
        """Return barometer, air temperature and humidity of a day in words, trade units.

        Parameters
        ----------
        day : str
            The day.

        Returns
        -------
        str
            The words.
        """
        return weather_words(self.days[day].build.chain.ambient)

    @property
    def verdict(self) -> str:
        """How many levels and days, and how many points were solved."""
        pulls = [step.pull for steps in self.days.values() for step in steps.steps]
        status, flags = (
            np.concatenate([pull.columns[name] for pull in pulls]) for name in ("status", "flags")
        )
        return (
            f"{self.build.name}: {len(self.levels)} levels on {len(self.days)} days. "
            f"{statuses.outcome(status, flags)}"
        )

    @property
    def notes(self) -> list[str]:
        """What differs from day to day, what does not hold, and cautions of single days."""
        usual = set(self.days[AS_TYPED].notes)
        notes = by_note(
            (day, note)
            for day, steps in self.days.items()
            for note in [*self._outside(steps), *(n for n in _of_day(steps) if n not in usual)]
        )
        cooled = self.build.chain.cooler
        if self.build.supercharged and cooled.effectiveness > 0.0 and not cooled.ambient_cooled:
            notes.append(
                "The coolant is as each day gives it. By itself it does not follow the air."
            )
        return notes

    def _outside(self, steps: Ladder) -> list[str]:
        dry, temperature = dry_air(steps.build.chain.ambient)
        words = outside_words(self.standard, dry, temperature)
        name = standard_words(self.standard)
        return [f"{name} does not hold there: {words}."] if words else []

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        columns: Sequence[str] = ("power", "boost", "charge_temperature"),
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[WeatherBands] = (),
    ) -> Figure:
        """Draw columns of every level over engine speed, with a band over the days.

        Parameters
        ----------
        axes : sequence of Axes, optional
            Panels to draw in, one a column; a figure of its own without them.
        columns : sequence of str
            Columns, one panel each.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture.
        beside : sequence of WeatherBands
            Further bands, laid over these.

        Returns
        -------
        matplotlib.figure.Figure
            The figure: a line for the day as typed, a band from the lowest to the highest day.
            Where a day has no answer the band has a gap.

        Raises
        ------
        InputError
            There is no such column, or the number of panels is another.
        """
        return draw_weather((self, *beside), axes, columns, system, title)

    def _tables(self, system: str) -> list[Table]:
        return [day_table(self, system), level_table(self, system), correction_table(self, system)]


def weather_bands(
    build: Build,
    days: Mapping[str, _core.Ambient | Day | TypedByName] | None = None,
    rpm: ArrayLike | None = None,
    standard: str = "sae_j1349",
    steps: Ladder | None = None,
    *,
    progress: Progress | None = None,
) -> WeatherBands:
    """Say what the weather does to every drive level: cold days and hot days side by side.

    Every level is pulled on each day, beside the day of the build file.

    Parameters
    ----------
    build : Build
        The build.
    days : mapping, optional
        By name, a day as ``[plan.weather]`` types one: ``{"the pass": {"altitude": "6000 ft",
        "temperature": "85 degF", "humidity": "20 %"}}``, where an altitude alone stands for the
        pressure of the standard atmosphere there. Or what the day changes, by dotted path in the
        build file: ``{"coldest": {"ambient.temperature": "35 degF"}}``; an `Ambient`; or a `Day`,
        as `airchain.plan.read_days` reads them from a table. Without it the days of the file's
        ``[plan.weather]``.
    rpm : array_like, optional
        Engine speeds [rpm]; without it those of `Build.pull`.
    standard : str
        The power standard whose correction is set beside the levels: ``"sae_j1349"``,
        ``"std_29_92"`` or ``"iso_1585"``.
    steps : Ladder, optional
        The ladder of the build where it was made already, at the same engine speeds.
    progress : callable, optional
        Called with the days done and all of them [dimensionless].

    Returns
    -------
    WeatherBands
        The levels day by day.

    Raises
    ------
    InputError
        No day is given, one is called as the file's own, or a value is refused.

    Notes
    -----
    Every day is held: the engine breathes its air for as long as it takes to settle. Left out is
    what else a day moves: oil and fuel temperature, tyres, and the coolant unless it is given.
    """
    reference_weather(standard, "weather_bands")
    if days is None:
        days = {day: air for day, air in read_plan(build).weather.items() if day != AS_TYPED}
    if not days:
        hint = 'such as {"hottest": {"ambient.temperature": "100 degF"}}'
        raise refusal("weather_bands", "days", "{}", "hold at least one day", hint)
    if AS_TYPED in days:
        raise refusal("weather_bands", "days", quoted(AS_TYPED), "not be called as the file's own")
    builds = {day: _on(build, day, change) for day, change in days.items()}
    own = ladder(build, rpm) if steps is None else steps
    by_day = {AS_TYPED: own}
    for day, one in builds.items():
        if progress is not None:
            progress(len(by_day), len(builds) + 1)
        by_day[day] = ladder(one, own.steps[0].pull.rpm)
    if progress is not None:
        progress(len(by_day), len(by_day))
    return WeatherBands(build, by_day, standard)


def _on(build: Build, day: str, change: _core.Ambient | Day | TypedByName) -> Build:
    """The build on a day: a plan's day, another ambient, or other values typed."""
    if isinstance(change, Mapping) and change and all("." not in str(key) for key in change):
        change = asked_day(build, day, change)
    if isinstance(change, _core.Ambient):
        return build.changed(Weather.of(change))
    if isinstance(change, Day):
        return build.changed(change.weather)
    return build.replace(change)


def _of_day(steps: Ladder) -> list[str]:
    """Return a day's notes without what power costs of the air, which hardly differs by day."""
    power = [note for step in steps.steps for note in air_power_notes(step.pull)]
    return [note for note in steps.notes if not any(one in note for one in power)]
