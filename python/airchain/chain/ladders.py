"""The ladder: what each drive level of a build gives, beside the naturally aspirated engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from ..base.speeds import RPM
from ..shown import statuses
from ..shown.columns import label, shown
from ..shown.tables import Shown, Table, by_note
from ..shown.words import counted
from .air_power import air_power_notes
from .plot_map import draw_on_map
from .plots import draw_pulls
from .pull import Pull
from .pull_knock import of_levels

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike

    from .build import Build

__all__ = ["Ladder", "Step", "ladder"]

_KEY = "Charge temperature to fuel flow are those at peak power."


@dataclass(frozen=True, eq=False)
class Step:
    """One level of a ladder.

    Attributes
    ----------
    name : str
        Name of the level.
    pull : Pull
        Its pull.
    """

    name: str
    pull: Pull

    @property
    def supercharged(self) -> bool:
        """Whether the level has a compressor."""
        return self.pull.supercharged

    @property
    def drive_ratio(self) -> float:
        """Compressor input shaft over crank speed, dimensionless; NaN without compressor."""
        return float(self.pull.build.chain.drive.drive_ratio) if self.supercharged else np.nan

    def at_peak_power(self, name: str) -> float:
        """Return a column at the engine speed of peak power.

        Parameters
        ----------
        name : str
            The column.

        Returns
        -------
        float
            The value [SI]; NaN when nothing was solved.
        """
        power = self.pull["power"]
        if not np.any(np.isfinite(power)):
            return float("nan")
        return float(self.pull[name][int(np.nanargmax(power))])

    def margin(self, name: str) -> str:
        """Return the least margin over the pull in words.

        'not known' where the map does not say where its limit is, 'est.' before one from a
        predicted limit, and 'none' where points lie beyond it: a margin without data never reads
        as a good one.

        Parameters
        ----------
        name : str
            ``"surge_margin"``, ``"choke_margin"``, ``"speed_margin"`` or ``"belt_margin"``.

        Returns
        -------
        str
            The margin.
        """
        if not self.supercharged:
            return "–"
        status = np.asarray(self.pull.columns["status"])
        beyond = {
            "left_of_surge_line": ("surge_margin", "none"),
            "left_of_estimated_surge_line": ("surge_margin", "est. none"),
            "beyond_choke": ("choke_margin", "none"),
            "outside_map": ("speed_margin", "none"),
        }
        for code, (margin, words) in beyond.items():
            if margin == name and np.any(status == statuses.status_names().index(code)):
                return words
        flags = np.asarray(self.pull.columns["flags"])[self.pull.matched]
        if name == "choke_margin" and statuses.standing(flags, "on_choke_line"):
            return "none"
        if not flags.size or statuses.standing(flags, name.replace("_margin", "_not_known")):
            return "not known"
        values = self.pull[name][self.pull.matched]
        known = values[~np.isnan(values)]
        if not known.size:
            return "not known"
        return statuses.estimate(name, flags) + _percent(name, float(known.min()))

    @property
    def knock_margin(self) -> str:
        """The least knock margin over the pull in words, degrees with their doubt."""
        at = self.pull.knock.least
        return "not known" if at is None else self.pull.knock.text(at)


@dataclass(frozen=True, eq=False, repr=False)
class Ladder(Shown):
    """The levels of a build side by side.

    Attributes
    ----------
    build : Build
        The build.
    reference_rpm : float
        Engine speed at which boost is compared [rpm].
    steps : sequence of Step
        The naturally aspirated engine first, then the levels.
    """

    build: Build
    reference_rpm: float
    steps: Sequence[Step]

    def __getitem__(self, name: str) -> Step:
        return {step.name: step for step in self.steps}[name]

    @property
    def pulls(self) -> dict[str, Pull]:
        """The pull of every level by its name."""
        return {step.name: step.pull for step in self.steps}

    @cached_property
    def boosts(self) -> dict[str, float]:
        """Boost at the reference engine speed by level [Pa]; NaN without compressor."""
        rpm = self.reference_rpm
        return {
            step.name: step.pull.at(rpm, "boost") if step.supercharged else float("nan")
            for step in self.steps
        }

    @property
    def summary(self) -> str:
        """How many levels there are, how many points were solved, and what passes a limit."""
        status, flags = (
            np.concatenate([step.pull.columns[name] for step in self.steps])
            for name in ("status", "flags")
        )
        levels = counted(len(self.steps), "level")
        return f"{self.build.name}: {levels}. {statuses.outcome(status, flags)}"

    @property
    def notes(self) -> list[str]:
        """What to do about unsolved points and cautions, each with the levels it is said of."""
        told = [(step.name, note) for step in self.steps for note in step.pull.notes]
        # What power costs of the air is much the same on every level: the last one tells it.
        again = {note for step in self.steps[:-1] for note in air_power_notes(step.pull)}
        again -= {*air_power_notes(self.steps[-1].pull)}
        return by_note((one for one in told if one[1] not in again), len(self.steps))

    def plot(
        self,
        axes: Axes | Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Ladder] = (),
        columns: Sequence[str] = ("power", "torque", "boost"),
    ) -> Figure:
        """Draw columns of every level over engine speed, one panel a column.

        Parameters
        ----------
        axes : matplotlib.axes.Axes or sequence of them, optional
            Where to draw, one for each of `columns`.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of Ladder
            Further ladders, laid over this one.
        columns : sequence of str
            Columns to draw.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. Hollow markers are extrapolated points, gaps have no answer.
        """
        return draw_pulls(self._with(beside), axes, system, title, columns)

    def plot_map(
        self,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Ladder] = (),
    ) -> Figure:
        """Draw the compressor's map with the operating line of every level.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of Ladder
            Further ladders with the same compressor, laid over this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. An `InputError` says where there is no compressor, or several.
        """
        return draw_on_map(self._with(beside), axes, system, title)

    def _with(self, beside: Sequence[Ladder]) -> dict[str, Pull]:
        """Pulls of this ladder by level, then those of others by build and level."""
        named = dict(self.pulls)
        for number, other in enumerate(beside, 2):
            named |= {f"{other.build.name} ({number}), {n}": p for n, p in other.pulls.items()}
        return named

    def rows(self, system: str = "trade") -> dict[str, list[str]]:
        """Return the ladder row by row.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        dict
            For each quantity, with its unit, one text a level.
        """
        reference = f"boost at {self.reference_rpm:,.0f} rpm [{label('boost', system)}]"
        rows = {
            "drive ratio": [_number(step.drive_ratio) for step in self.steps],
            reference: [shown("boost", boost, system) for boost in self.boosts.values()],
        }
        for name in ("power", "torque"):
            peaks = [step.pull.peak(name) for step in self.steps]
            unit = label(name, system)
            rows[f"peak {name} [{unit}]"] = [shown(name, value, system) for value, _ in peaks]
            rows[f"peak {name} at [rpm]"] = [
                "–" if np.isnan(rpm) else f"{rpm:,.0f}" for _, rpm in peaks
            ]
        at_peak = {
            "charge_temperature": "charge temperature",
            "drive_power": "drive power",
            "isentropic_efficiency": "compressor efficiency",
            "fuel_flow": "fuel flow",
        }
        for name, words in at_peak.items():
            unit = f" [{label(name, system)}]" if label(name, system) else ""
            of_compressor = name in ("drive_power", "isentropic_efficiency")
            rows[words + unit] = [
                "–"
                if of_compressor and not step.supercharged
                else shown(name, step.at_peak_power(name), system)
                for step in self.steps
            ]
        rows["least surge margin"] = [step.margin("surge_margin") for step in self.steps]
        rows["least speed margin"] = [step.margin("speed_margin") for step in self.steps]
        rows["least knock margin [deg]"] = [step.knock_margin for step in self.steps]
        return rows

    @property
    def verdict(self) -> str:
        """The summary, and what knocks."""
        return f"{self.summary} {of_levels({s.name: s.pull.knock for s in self.steps})}"

    def _tables(self, system: str) -> list[Table]:
        rows = [[words, *cells] for words, cells in self.rows(system).items()]
        headings = ["level", *(step.name for step in self.steps)]
        return [Table(headings, [""] * len(headings), rows, key=_KEY)]


def ladder(build: Build, rpm: ArrayLike | None = None) -> Ladder:
    """Pull every drive level of a build side by side, and the engine without its compressor.

    Parameters
    ----------
    build : Build
        The build. Where it names no levels, its own drive is the one level, called "as built".
    rpm : array_like, optional
        Engine speeds [rpm]; without it those of `Build.pull`.

    Returns
    -------
    Ladder
        The naturally aspirated engine first, then the levels as the build file orders them.

    Examples
    --------
    >>> [step.name for step in ladder(build, [5000.0, 6000.0]).steps]
    ['naturally aspirated', 'tame', 'middle', 'full']
    """
    steps = [Step("naturally aspirated", build.naturally_aspirated().pull(rpm))]
    for name in build.levels:
        steps.append(Step(str(name), build.level(name).pull(rpm)))
    if not build.levels and build.chain.compressor is not None:
        steps.append(Step("as built", build.pull(rpm)))
    return Ladder(build, float(build.reference_speed / RPM), steps)


def _number(value: float) -> str:
    return "–" if np.isnan(value) else f"{value:.3f}"


def _percent(name: str, value: float) -> str:
    text = shown(name, value)
    return f"{text} %" if text[-1].isdigit() else text
