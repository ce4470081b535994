"""What a faster drive asks for: the pair, what gives first, the new cells, the pull on the way."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import degrees, isfinite
from typing import TYPE_CHECKING

from ..base.errors import refusal
from ..calibration.extension import NextRatio
from ..chain.build import Build
from ..chain.build_words import surface_words
from ..fit.reconciliation import Reconciliation
from ..plan.margins import Margin
from ..plan.order import CHECKS, Gate, gate_of, gate_table
from ..plan.plan import PlannedLevel
from ..plan.profile_shift import ShiftedPair
from ..plan.request import AS_TYPED, PlanRequest
from ..plan.trial import Trial
from ..shown.folded import Folded
from ..shown.standing_words import CAUTIONS
from ..shown.tables import Table
from ..shown.words import listed
from ..units.convert import formatted
from .aiming import Aim
from .giving import Ice, giving_table, ice_of, nearest_first
from .pairs import Offer

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["Regeared"]

#: Rejected ways that are named each; of further ones the number is told.
_NAMED = 12
_UNSEEN = "its knock margin was not looked at"


@dataclass(frozen=True, eq=False, repr=False)
class Regeared(Folded):
    """A faster drive, or why there is none. Made by `airchain.regearing.regear`.

    Attributes
    ----------
    build : Build
        The build on the fastest drive handed over.
    aim : Aim
        What was wanted.
    request : PlanRequest
        Limits, weather and engine speeds of the plan.
    ratio : float
        Drive ratio that gives what is wanted [dimensionless]; NaN where none does.
    most : float
        The most that any ratio gives of it [SI].
    offers : tuple
        Every way tried with its trial, in the order of what it takes.
    now : Trial
        The drive as handed over, judged alike.
    chosen : PlannedLevel or None
        The pair that is taken; None where nothing passes.
    mesh : ShiftedPair or None
        Geometry of its teeth where they are to be cut.
    step : PlannedLevel or None
        The pair to run on the way; None where none lies there.
    band : str
        Where the uncertainty comes from.
    fit : Reconciliation or None
        The fit whose band holds.
    new_cells : NextRatio or None
        What the calibration has not seen.
    """

    build: Build
    aim: Aim
    request: PlanRequest
    ratio: float
    most: float
    offers: tuple[tuple[Offer, Trial], ...]
    now: Trial
    chosen: PlannedLevel | None
    mesh: ShiftedPair | None
    step: PlannedLevel | None
    band: str
    fit: Reconciliation | None = None
    new_cells: NextRatio | None = None

    @property
    def found(self) -> bool:
        """Whether a drive reaches the target within every limit."""
        return self.chosen is not None

    @property
    def judged(self) -> Trial | None:
        """The trial whose margins are listed: what was taken, else the nearest to the target."""
        if self.chosen is not None:
            return self.chosen.trial
        solved = [trial for _, trial in self.offers if trial.solved]
        return min(solved, key=lambda t: self.aim.deviation(t), default=None)

    @property
    def _by_ratio(self) -> Trial | None:
        """The trial whose ratio is nearest to the one that it takes."""
        ways = [t for _, t in self.offers] if isfinite(self.ratio) else []
        return min(ways, key=lambda t: abs(t.fitting.drive_ratio - self.ratio), default=None)

    @property
    def nearest(self) -> list[Trial]:
        """What the verdict and the list of margins speak of, besides the drive handed over."""
        return [trial for trial in (self.judged, self._by_ratio) if trial is not None]

    @property
    def named(self) -> list[Trial]:
        """The ways not taken that are named each, the nearest first."""
        return sorted(self._left, key=self._far)[:_NAMED]

    @property
    def _left(self) -> list[Trial]:
        used = [level.trial for level in (self.chosen, self.step) if level is not None]
        return [trial for _, trial in self.offers if trial not in used]

    @property
    def gives_first(self) -> list[Margin]:
        """Every margin on the faster drive, that with the least room first."""
        return [] if self.judged is None else nearest_first(self.judged)

    @property
    def rejected(self) -> dict[str, tuple[str, ...]]:
        """Why each way at the target or on the way was not taken, by how it is fitted."""
        return {trial.fitting.words: self._why(trial) for trial in self._left}

    def _why(self, trial: Trial, system: str = "trade") -> tuple[str, ...]:
        if trial.objections:
            return trial.objections_in(system)
        unseen = trial.knock_open
        if self.aim.deviation(trial) > 1.0:
            gives = self.aim.shown(self.aim.reaches(trial), system)
            then = _UNSEEN if unseen else "it could be a step on the way"
            return (f"it gives {gives}; {then}",)
        easier = "another is easier to come by or nearer to the target"
        return (f"{easier}; {_UNSEEN}" if unseen else f"it would do, but {easier}",)

    @cached_property
    def _ice(self) -> tuple[Ice | None, Ice | None]:
        level = self.chosen
        return ice_of(self.build), None if level is None else ice_of(level.build)

    @cached_property
    def gates(self) -> list[Gate]:
        """What must be read before going on: on the way, then at the target."""
        if self.chosen is None:
            return []
        if self.step is not None:
            return [self.step.gate, self.chosen.gate]
        return [self._short_pull, self.chosen.gate]

    @property
    def _short_pull(self) -> Gate:
        """Where no pair lies between: the new pair, ended at the rotor speed handed over."""
        assert self.chosen is not None
        top = float(self.request.rpm[-1])
        rpm = top * self.now.fitting.drive_ratio / self.chosen.drive_ratio
        solved = self.chosen.trial.solved[AS_TYPED]
        return gate_of(f"the new pair, to {rpm:,.0f} rpm only", rpm, solved)

    @property
    def verdict(self) -> str:
        """The pair and what gives first, or what stands against the target."""
        wanted = self.aim.words()
        if self.chosen is not None:
            gives = self.aim.shown(self.aim.reaches(self.chosen.trial))
            what = f"a ratio of {gives}" if self.aim.name == "ratio" else gives
            power, rpm = self.chosen.pull.peak("power")
            return (
                f"{self.build.name}: For {wanted} fit {self.chosen.fitted}, which gives {what}. "
                f"Its power peaks at {formatted(power, 'power')}, {rpm:,.0f} rpm. "
                f"{self._first()}"
            )
        return f"{self.build.name}: No drive gives {wanted} within the limits. {self._against()}"

    def _first(self) -> str:
        first = next((m for m in self.gives_first if m.limit is not None), None)
        if first is None:
            return "No limit was typed."
        return f"First to give is {first.words}, with room of {first.room_text()}."

    def _against(self) -> str:
        """What stands against the way that comes nearest."""
        if not isfinite(self.ratio):
            trial = self.judged
            most = self.aim.shown(self.most) if isfinite(self.most) else "no answer"
            words = f"The most that any ratio gives is {most}."
            if trial is not None and trial.objections:
                stops = "; ".join(trial.objections)
                ratio = trial.fitting.drive_ratio
                words += f" At a ratio of {ratio:.3f} already this stands against it: {stops}."
            return words
        if not self.offers:
            return (
                f"It takes a ratio of {self.ratio:.3f}, and no pair that fits the centres "
                "drives near it."
            )
        trial = self._by_ratio
        assert trial is not None
        reasons = trial.objections or ("it misses the target",)
        return (
            f"It takes a ratio of {self.ratio:.3f}. Nearest comes {trial.fitting.words} "
            f"({trial.fitting.drive_ratio:.3f}); against it: {'; '.join(reasons)}."
        )

    @property
    def notes(self) -> list[str]:
        """What the figures rest on, the new cells, the way there, and the cautions."""
        return self._notes_in("trade")

    def _notes_in(self, system: str) -> list[str]:
        notes = [f"{self.band}.", *surface_words(self.build)]
        usual = [limit.quantity.words for limit in self.request.limits.values() if limit.usual]
        if usual:
            notes.append(
                f"Nobody typed limits of {listed(usual)}, so the usual ones stand. What the makers "
                "say goes before them."
            )
        if self.request.assumed and any(t.fitting.rated for _, t in self.offers):
            notes.append(f"Gears are rated with usual values of {self.request.assumed}.")
        if self.chosen is not None:
            checks = (f"Before going up: {check}" for check in CHECKS)
            notes += [*self._way(), *self._cells(), self.chosen.shut.told(system), *checks]
        return [*notes, *CAUTIONS]

    def _way(self) -> list[str]:
        if self.step is not None:
            return [
                f"On the way run {self.step.fitted} ({self.step.drive_ratio:.3f}) and go on only "
                "when its readings lie in their bands."
            ]
        return [
            "No pair lies between the drive handed over and the new one. Run the new pair first "
            "to the engine speed at which the rotor turns as fast as it has turned before, and go "
            "on only when the readings lie in their bands."
        ]

    def _cells(self) -> list[str]:
        return [] if self.new_cells is None else [self.new_cells.verdict, *self.new_cells.notes[:2]]

    def plot(self, *, system: str = "trade", title: str | None = None) -> Figure:
        """Draw the path of the faster drive over the cells of the calibration.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``; pressures are in kPa in both.
        title : str, optional
            What to write over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The picture.

        Raises
        ------
        InputError
            No drive was found, so there is no path.
        """
        if self.new_cells is None:
            raise refusal("Regeared", "plot", "no drive", "be of a drive that was found")
        return self.new_cells.plot(system=system, title=title)

    def _tables(self, system: str) -> list[Table]:
        tables = []
        if self.judged is not None:
            way = [self.judged]
            if self.step is not None:
                way = [self.step.trial, self.judged]
            shut = None if self.chosen is None else self.chosen.shut
            tables.append(giving_table(self.now, way, self._ice, shut, system))
        if self.mesh is not None:
            tables.append(_mesh_table(self.mesh, system))
        if self.gates:
            tables.append(gate_table(self.gates, system))
        if self.new_cells is not None:
            tables += self.new_cells.tables(system)
        return [*tables, self._others(system)]

    def _far(self, trial: Trial) -> tuple[float, float]:
        """How far off a way lies: those that have an answer first."""
        ratio = self.ratio if isfinite(self.ratio) else trial.fitting.drive_ratio
        return self.aim.deviation(trial), abs(trial.fitting.drive_ratio - ratio)

    def _others(self, system: str) -> Table:
        rows = []
        for trial in self.named:
            gives = self.aim.reaches(trial)
            shown = self.aim.shown(gives, system) if isfinite(gives) else "–"
            head = [trial.fitting.words, f"{trial.fitting.drive_ratio:.3f}", shown]
            for number, text in enumerate(self._why(trial, system)):
                rows.append([*(head if number == 0 else ["", "", ""]), text])
        left = len(self._left) - _NAMED
        key = f"{left} more ways lie further off." if left > 0 else ""
        return Table(["fitted", "drive ratio", "gives", "why not"], [""] * 4, rows, key=key,
                     caption="Ways that were not taken, and why", flush=(0, 3))  # fmt: skip


def _mesh_table(mesh: ShiftedPair, system: str) -> Table:
    """Return what a drawing of the teeth needs."""
    rows = [
        ["module of the tool", f"{1e3 * mesh.module:g}", "mm"],
        ["centre distance", *formatted(mesh.centre_distance, "length", system).split(" ")],
        ["centre distance without shift",
         *formatted(mesh.standard_centres, "length", system).split(" ")],
        ["working pressure angle", f"{degrees(mesh.working_angle):.2f}", "deg"],
        ["profile shift, driving gear", f"{mesh.shifts[0]:+.3f}", "modules"],
        ["profile shift, driven gear", f"{mesh.shifts[1]:+.3f}", "modules"],
        ["contact ratio", f"{mesh.contact_ratio:.2f}", ""],
        ["thinner tip", f"{mesh.tip_thickness:.2f}", "modules"],
    ]  # fmt: skip
    return Table(
        ["teeth", "value", "unit"], [""] * 3, rows, flush=(0, 2),
        caption=f"Teeth to be cut: {mesh.driving_teeth} driving {mesh.driven_teeth}",
        key="Spur teeth of the standard rack, ISO 53; geometry by ISO 21771 and DIN 3960, shifts "
        "parted as in DIN 3992. The gear maker decides on backlash, relief and tolerances.",
    )  # fmt: skip
