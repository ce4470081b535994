"""The plan: parts, levels, room left, and why the other ways were rejected."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..base.errors import quoted, refusal, suggestion
from ..chain.pull import Pull
from ..shown.standing_words import CAUTIONS
from ..shown.statuses import caution
from ..shown.tables import Shown, Table
from . import tables
from .cover import Choice
from .knock import NO_CYLINDER, words_of
from .limits import limits_table
from .margins import Margin
from .order import CHECKS, Gate, gate_table
from .request import AS_TYPED, PlanRequest, Target
from .throttle_shut import ThrottleShut, shut_table
from .trial import Trial

__all__ = ["Plan", "PlannedLevel"]


@dataclass(frozen=True, eq=False)
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
    build: Any
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

    @property
    def margins(self) -> Mapping[str, Sequence[Margin]]:
        """Margins by weather."""
        return self.trial.margins


@dataclass(frozen=True, eq=False, repr=False)
class Plan(Shown):
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

    build: Any
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
        """Why each way that runs no level was rejected, by its words."""
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
        rule = ", but the plan comes before it: fewest parts to buy, then price, then deviation"
        return (f"would do for {', '.join(fits)}{rule if self.found else ''}",)

    @property
    def verdict(self) -> str:
        """The plan in one line, or which level cannot be had."""
        title = f"{self.build.name}, plan"
        if not self.found:
            lost = [t.level for t in self.request.targets if not self._runs(t)]
            return f"{title}: none; nothing on the list runs {', '.join(lost)}"
        best = self.choices[0]
        bought = ", ".join(sorted(best.to_buy)) or "nothing"
        fitted = ", ".join(f"{level.name} {level.drive_ratio:.3f}" for level in self.levels)
        return f"{title}: buy {bought}; drive ratios {fitted}"

    def _runs(self, target: Target) -> bool:
        return any(not t.objections and t.deviation(target) <= 1.0 for t in self.trials)

    @property
    def notes(self) -> list[str]:
        """What is not known, what stops the next step, what the bypass must pass, what to check."""
        found = [f"uncertainty: {self.band}"]
        if len(self.request.weather) < 2:
            found.append(
                "only the weather as typed was looked at: give a coldest and a hottest day"
            )
        if not self.request.limits:
            found.append(
                "no limits were typed: nothing but targets, parts and rotation was checked"
            )
        if not self.found:
            return [*found, *tables.nearest(self.request, self.trials)]
        found += [f"{level.name}: {level.next_step}" for level in self.levels]
        unknown = dict.fromkeys(
            m.words for level in self.levels for row in level.margins.values() for m in row
            if not m.known
        )  # fmt: skip
        if unknown:
            found.append(
                f"not known: {', '.join(unknown)}; a margin without data is no good margin"
            )
        found += self.knock_notes
        if any(m.estimated for level in self.levels for m in level.margins[AS_TYPED]):
            found.append(caution("surge_estimated"))
        found.append(self.levels[-1].shut.verdict)
        return [*found, *(f"before going up: {check}" for check in CHECKS)]

    @property
    def knock_notes(self) -> list[str]:
        """What knock margins are worth, or why there are none."""
        cylinder = self.build.cylinder
        if cylinder is None:
            return [NO_CYLINDER]
        seen = [k for level in self.levels for k in (level.trial.knock or {}).values()]
        found = [words_of(seen[0].formula, float(cylinder.setup.octane))] if seen else []
        worst = [m for level in self.levels for m in level.trial.worst_margins()]
        if "hottest" in self.request.weather and any(
            m.name == "knock" and m.known and m.weather != "hottest" for m in worst
        ):
            found.append(
                "knock margin: at one boost the hotter charge knocks first; where a colder day "
                "leaves less, its greater boost outweighs that in this model"
            )
        if any(knock.band is None for knock in seen):
            found.append("knock margin: not known where a search did not settle")
        return found

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

    def _tables(self, system: str) -> list[Table]:
        limits = list(self.request.limits.values())
        bounds = [limits_table(limits, system)] if limits else []
        rejected = tables.rejected_table(self, system)
        if not self.found:
            return [rejected, *bounds]
        return [
            tables.levels_table(self, system),
            tables.parts_table(self),
            *(tables.room_table(level, system) for level in self.levels),
            *([self.knock] if self.knock is not None else []),
            gate_table([level.gate for level in self.levels], system),
            shut_table({level.name: level.shut for level in self.levels}, system),
            *bounds,
            rejected,
        ]
