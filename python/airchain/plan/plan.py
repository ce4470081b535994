"""The plan: parts, levels, room left, and why the other ways were rejected."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..base.errors import quoted, refusal, suggestion
from ..chain.build import Build
from ..chain.build_words import surface_words
from ..chain.pull import Pull
from ..shown.folded import Folded
from ..shown.standing_words import CAUTIONS
from ..shown.statuses import caution
from ..shown.tables import Table
from ..shown.words import listed
from ..units.convert import formatted
from . import tables
from .cost import cost_table
from .cover import Choice
from .knock import NO_CYLINDER, words_of
from .limits import limits_table
from .margins import Margin
from .order import CHECKS, Gate, gate_table
from .plots import draw_knock_room, draw_plan, draw_room
from .request import AS_TYPED, PlanRequest, Target
from .throttle_shut import ThrottleShut, bypass_words, shut_table
from .trial import Trial

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["Plan", "PlannedLevel"]


@dataclass(frozen=True, eq=False, repr=False)
class PlannedLevel:
    """One level of a plan.

    Attributes
    ----------
    target : Target
        What it was to give.
    trial : Trial
        What is fitted, with its margins.
    build : Build
        The build on this drive, of a fitted build with the fit's factors.
    pull : Pull
        Its pull in the build's own weather.
    gate : Gate
        What it must read before the next level is run.
    shut : ThrottleShut
        The bypass it needs when the throttle shuts.
    next_step : str
        What stops the next higher ratio.
    """

    target: Target
    trial: Trial
    build: Build
    pull: Pull
    gate: Gate
    shut: ThrottleShut
    next_step: str

    @property
    def name(self) -> str:
        """Name of the level."""
        return self.target.level

    @property
    def fitted(self) -> str:
        """Parts and which way round."""
        return self.trial.fitting.words

    @property
    def drive_ratio(self) -> float:
        """Compressor input shaft over crank speed [dimensionless]."""
        return self.trial.fitting.drive_ratio

    def __repr__(self) -> str:
        tightest = self.trial.tightest
        power, rpm = self.pull.peak("power")
        lines = [
            f"{self.name}: {self.fitted}, drive ratio {self.drive_ratio:.3f}",
            f"It is to give {self.target.text()}, and it gives "
            f"{self.target.shown(self.trial.reaches(self.target))}. "
            f"Its power peaks at {formatted(power, 'power')}, {rpm:,.0f} rpm.",
        ]
        if tightest is not None:
            lines.append(f"Its nearest limit is {tightest.reason()}; room: {tightest.room_text()}.")
        return "\n".join(lines)

    @property
    def margins(self) -> Mapping[str, Sequence[Margin]]:
        """Margins by weather."""
        return self.trial.margins


@dataclass(frozen=True, eq=False, repr=False)
class Plan(Folded):
    """Levels that meet their targets and keep every limit, with the fewest parts to buy.

    Attributes
    ----------
    build : Build
        The build it was made for.
    request : PlanRequest
        Targets, parts, limits and weather.
    trials : tuple of Trial
        Every way to fit the parts, in the order of drive ratio.
    choices : tuple of Choice
        The best way first, then runners-up with other parts; empty where no plan was found.
    levels : tuple of PlannedLevel
        The levels of the best way, in the order they are run.
    band : str
        Where the uncertainty comes from.
    """

    build: Build
    request: PlanRequest
    trials: tuple[Trial, ...]
    choices: tuple[Choice, ...]
    levels: tuple[PlannedLevel, ...]
    band: str

    @property
    def found(self) -> bool:
        """Whether every level can be run within the limits."""
        return bool(self.choices)

    @property
    def pulls(self) -> dict[str, Pull]:
        """The pull of every level by its name."""
        return {level.name: level.pull for level in self.levels}

    @property
    def limits(self) -> Table:
        """The limits with who says so."""
        return limits_table(list(self.request.limits.values()))

    @property
    def cautions(self) -> tuple[str, ...]:
        """What goes with the work, whatever the figures."""
        return CAUTIONS

    @property
    def rejected(self) -> dict[str, tuple[str, ...]]:
        """Why each way that runs no level was rejected, by how it is fitted."""
        used = {level.trial for level in self.levels}
        return {t.fitting.words: self.why(t) for t in self.trials if t not in used}

    def __getitem__(self, name: str) -> PlannedLevel:
        for level in self.levels:
            if level.name == name:
                return level
        known = [level.name for level in self.levels]
        rule = f"be a level of the plan: {', '.join(known) or 'none was found'}"
        raise refusal("Plan", "level", quoted(name), rule, suggestion(name, known))

    def why(self, trial: Trial, system: str = "trade") -> tuple[str, ...]:
        """Return what stands against a way of fitting the parts.

        Parameters
        ----------
        trial : Trial
            One of `trials`.
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        tuple of str
            Limits and misses; that others need fewer parts where it is well in itself.
        """
        if trial.objections:
            return trial.objections_in(system)
        missed = [trial.misses(target, system) for target in self.request.targets]
        if all(missed):
            return tuple(missed)
        fits = [t.level for t, m in zip(self.request.targets, missed, strict=True) if not m]
        rule = ", but the plan buys fewer parts, or cheaper ones, or comes nearer to its targets"
        return (f"it would do for {listed(fits)}{rule if self.found else ''}",)

    @property
    def verdict(self) -> str:
        """The plan in one line, or which level cannot be had."""
        if not self.found:
            lost = [t.level for t in self.request.targets if not self._runs(t)]
            reason = f"Nothing on the list runs {listed(lost)}."
            return f"{self.build.name}: There is no plan. {reason}"
        bought = listed(sorted(self.choices[0].to_buy)) or "nothing"
        ratios = [f"{level.drive_ratio:.3f} for {level.name}" for level in self.levels]
        word = "ratios are" if len(ratios) > 1 else "ratio is"
        gates = [level.gate for level in self.levels]
        barred = "".join(f" {one.level}: {one.barred}" for one in gates if one.barred)
        return f"{self.build.name}: Buy {bought}. The drive {word} {listed(ratios)}.{barred}"

    def _runs(self, target: Target) -> bool:
        return any(not t.objections and t.deviation(target) <= 1.0 for t in self.trials)

    @property
    def notes(self) -> list[str]:
        """What is not known, what stops the next step, what the bypass must pass, what to check."""
        return self._notes_in("trade")

    def _notes_in(self, system: str) -> list[str]:
        notes = [f"{self.band}.", *surface_words(self.build)]
        if len(self.request.weather) < 2:
            notes.append("Only the weather as typed was tried. Give a coldest and a hottest day.")
        notes += self._assumed()
        if not self.found:
            return [*notes, *tables.nearest(self.request, self.trials)]
        notes += [f"{level.name}: {level.next_step}" for level in self.levels]
        unknown = dict.fromkeys(
            m.words for level in self.levels for row in level.margins.values() for m in row
            if not m.known
        )  # fmt: skip
        if unknown:
            notes.append(
                f"Not known: {listed(list(unknown))}. A margin without data is no good margin."
            )
        notes += self.knock_notes
        if any(m.estimated for level in self.levels for m in level.margins[AS_TYPED]):
            notes.append(caution("surge_estimated"))
        notes += bypass_words(self.request, {one.name: one.shut for one in self.levels}, system)
        return [*notes, *(f"Before going up: {check}" for check in CHECKS)]

    def _assumed(self) -> list[str]:
        """Say which limits and teeth nobody typed."""
        if not self.request.limits:
            return ["No limits were typed, so nothing but targets, parts and rotation was checked."]
        notes = []
        usual = [limit.quantity.words for limit in self.request.limits.values() if limit.usual]
        if usual:
            notes.append(
                f"Nobody typed limits of {listed(usual)}, so the usual ones stand. What the makers "
                "say goes before them."
            )
        teeth = dict.fromkeys(part.assumed for part in self.request.gears if part.assumed)
        notes += [f"Gears are rated with usual values of {words}." for words in teeth]
        return notes

    @property
    def knock_notes(self) -> list[str]:
        """What knock margins are worth, or why there are none."""
        cylinder = self.build.cylinder
        if cylinder is None:
            return [NO_CYLINDER]
        searched = [k for level in self.levels for k in (level.trial.knock or {}).values()]
        octane = float(cylinder.setup.octane)
        notes = words_of(octane, self.request.cylinders.apart is not None) if searched else []
        worst = [m for level in self.levels for m in level.trial.worst_margins()]
        if "hottest" in self.request.weather and any(
            m.name == "knock" and m.known and m.weather != "hottest" for m in worst
        ):
            notes.append(
                "At one boost the hotter charge knocks first. Where a colder day leaves less knock "
                "margin, its greater boost outweighs that in this model."
            )
        if any(knock.band is None for knock in searched):
            notes.append("The knock margin is not known where a search did not settle.")
        return notes

    @property
    def knock(self) -> Table | None:
        """Knock margin of the worst cylinder at every level, weather and engine speed.

        None where nothing is known of it.
        """
        rows = {
            (level.name, weather): knock
            for level in self.levels
            for weather, knock in (level.trial.knock or {}).items()
        }
        return tables.knock_table(rows) if rows else None

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Plan] = (),
    ) -> Figure:
        """Draw power, torque and boost of every level, with 90 % bands and targets.

        Parameters
        ----------
        axes : sequence of Axes, optional
            Three panels to draw in; a figure of its own without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture.
        beside : sequence of Plan
            Further plans whose levels are laid over these.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. Black bars are the targets with their tolerances.

        Raises
        ------
        InputError
            There is no plan, or the number of panels is another.
        """
        return draw_plan((self, *beside), axes, system, title)

    def plot_room(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Plan] = (),
    ) -> Figure:
        """Draw the limits that each level comes nearest to, six at most, in the worst weather.

        Parameters
        ----------
        axes : sequence of Axes, optional
            One panel a level; a figure of its own without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture.
        beside : sequence of Plan
            Further plans; their levels follow in panels of their own.

        Returns
        -------
        matplotlib.figure.Figure
            The figure, the nearest limit of every level on top. What is not known comes first. The
            thick tick on a bar is the value without its band, rings are the other weathers.

        Raises
        ------
        InputError
            There is no plan or no limit, or the number of panels is another.
        """
        return draw_room((self, *beside), axes, system, title)

    def plot_knock_room(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Plan] = (),
    ) -> Figure:
        """Draw the knock margin of every level over engine speed, in each weather.

        Parameters
        ----------
        axes : sequence of Axes, optional
            One panel for each level whose margin is known; without them a figure of its own.
        system, title : str
            Units, which are degrees in both systems here, and what to write over the picture.
        beside : sequence of Plan
            Further plans, with panels of their own that follow these.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. The band is that of the weather that leaves least.

        Raises
        ------
        InputError
            There is no plan, nothing is known of the cylinder, or the number of panels is another.
        """
        return draw_knock_room((self, *beside), axes, title)

    def _tables(self, system: str) -> list[Table]:
        limits = list(self.request.limits.values())
        bounds = [limits_table(limits, system)] if limits else []
        rejected = tables.rejected_table(self, system)
        if not self.found:
            return [rejected, *bounds]
        return [
            tables.levels_table(self, system),
            tables.parts_table(self),
            cost_table(self.levels, self.request.cost, self.request.currency),
            *(tables.room_table(level, system) for level in self.levels),
            *([self.knock] if self.knock is not None else []),
            gate_table([level.gate for level in self.levels], system),
            shut_table({level.name: level.shut for level in self.levels}, system),
            *bounds,
            rejected,
        ]
