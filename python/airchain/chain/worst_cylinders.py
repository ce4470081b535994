"""Which cylinder of a pull is fullest, peaks highest and is nearest to knock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..base.speeds import RPM
from ..cylinder.knock_words import DOUBT_TEXT
from ..cylinder.parts import cylinder_of
from ..cylinder.spread import ALIKE, ONE, SPREAD_NOTE, Spread, held_note, spread_of, told_apart
from ..cylinder.together import together_of
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..units.convert import unit_label
from .cylinders_held import CylindersHeld
from .matched_cycles import matched_points

if TYPE_CHECKING:
    from .build import Build
    from .pull import Pull

__all__ = ["WorstCylinders", "one_for_all", "worst_cylinders"]

Array = NDArray[np.float64]
_KEY = (
    "Air is against the mean of all. All against one: by how much all together fill more than the "
    "one whose cycles make the breathing; the chain's air has it. Margins are estimates, "
    f"{DOUBT_TEXT} degrees at best; ≥: nothing knocked at the earliest phasing tried; any: all "
    "cylinders are as one."
)


@dataclass(frozen=True, eq=False, repr=False)
class WorstCylinders(Shown):
    """The cylinders of a pull at every solved speed. Made by `worst_cylinders`.

    Attributes
    ----------
    pull : Pull
        The pull.
    points : mapping
        The states that it was matched at, SI.
    spread : Spread
        Every cylinder there.
    """

    pull: Pull
    points: Mapping[str, Array]
    spread: Spread

    @property
    def rpm(self) -> Array:
        """Engine speeds [rpm] of the solved points."""
        return self.points["speed"] / RPM

    @property
    def mixture(self) -> Array:
        """Lambda of each cylinder with as much fuel in each, over speeds and cylinders."""
        return np.asarray(self.spread.air * float(self.pull.build.chain.injection.lambda_))

    @property
    def peak_pressure(self) -> Array:
        """Peak pressure of each cylinder's mean cycle [Pa], over speeds and cylinders."""
        of_chain = np.asarray(self.pull["peak_pressure"])[np.asarray(self.pull.matched)]
        return np.asarray(self.spread.peak_over_chain * of_chain[:, None])

    @cached_property
    def knock_margin(self) -> Array:
        """Knock margin of each cylinder [rad], over speeds and cylinders; a bound as the pull's."""
        least = np.asarray(self.pull.knock.margin)[np.asarray(self.pull.matched)]
        behind = self.spread.most_later[:, None] - self.spread.later
        return np.asarray(least[:, None] + behind)

    @property
    def telling(self) -> list[int]:
        """Places of the speeds that tell most, every 1000 rpm and the worst [dimensionless]."""
        worst = [np.ptp(self.spread.air, axis=1), np.max(self.peak_pressure, axis=1),
                 -np.min(self.knock_margin, axis=1)]  # fmt: skip
        places = {int(np.nanargmax(v)) for v in worst if np.isfinite(v).any()}
        thousands = np.arange(1000.0 * np.ceil(self.rpm[0] / 1000.0), self.rpm[-1], 1000.0)
        places |= {int(np.argmin(np.abs(self.rpm - rpm))) for rpm in thousands}
        return sorted({0, *places, self.rpm.size - 1})

    @property
    def verdict(self) -> str:
        """Where the cylinders lie furthest apart, and which is nearest to knock."""
        apart = np.ptp(self.spread.air, axis=1)
        head = f"{self.pull.build.title}: "
        if not np.isfinite(apart).any():
            return f"{head}The cylinders are not told apart: no whole engine has an answer."
        at = int(np.nanargmax(apart))
        if apart[at] < ALIKE:
            return f"{head}The cylinders' air is the same within 0.1 %. {self.pull.knock.verdict}"
        most, least = (self.spread.number("air", least=way)[at] for way in (False, True))
        knock = self.pull.knock
        return (
            f"{head}The cylinders' air differs by {100.0 * apart[at]:.1f} % at most, at "
            f"{self.rpm[at]:,.0f} rpm between cylinders {most} and {least}. {knock.verdict}"
        )

    @property
    def notes(self) -> list[str]:
        """What the figures are worth."""
        notes = [
            "With as much fuel in each, the fullest cylinder is the leanest. Peak pressures are "
            "those of mean cycles.",
            SPREAD_NOTE,
        ]
        notes += self._swept
        if not self.spread.settled.all():
            notes.append("Some whole engines did not settle: their last round was taken.")
        return [*notes, *held_note(self.spread.held)]

    @property
    def _swept(self) -> list[str]:
        """Say why cylinders that take more air can be farther from knock than the one."""
        spread = self.spread
        nearest = np.argmax(np.where(np.isfinite(spread.later), spread.later, -np.inf), axis=1)
        at = np.arange(self.rpm.size), nearest
        charge, later, residual = spread.charge[at], spread.later[at], spread.residual[at]
        clear = np.where((charge > 1.0) & (residual < 0.0), later, np.nan)
        if not np.any(clear < 0.0):
            return []
        i = int(np.nanargmin(clear))
        return [
            "All cylinders can take more air than the one and yet be farther from knock: where "
            "their pipes leave less burned gas in them, the charge is cooler and burns faster. At "
            f"{self.rpm[i]:,.0f} rpm they take {100.0 * (charge[i] - 1.0):.1f} % more, hold "
            f"{-100.0 * residual[i]:.1f} % of the charge less burned gas, and may burn "
            f"{-np.degrees(later[i]):.1f} degrees earlier."
        ]

    def _tables(self, system: str) -> list[Table]:
        spread, mixture = self.spread, self.mixture
        names = ("air", "peak", "later")
        full, high = (np.argmax(values, axis=1) for values in (spread.air, spread.peak))
        of_full, of_high, of_near = (
            [str(number) if number else "any" for number in spread.number(name)] for name in names
        )
        solved, knock = np.flatnonzero(np.asarray(self.pull.matched)), self.pull.knock
        rows = []
        for i, rpm in enumerate(self.rpm):
            if not np.isfinite(spread.air[i]).all():
                rows.append([f"{rpm:,.0f}", *["–"] * 9])
                continue
            peak = float(self.peak_pressure[i, high[i]])
            degrees = float(np.degrees(knock.margin[solved[i]]))
            told = f"≥{degrees:.1f}" if knock.bound[solved[i]] else f"{degrees:+.1f}"
            margin = told if np.isfinite(degrees) else "–"
            rows.append([
                f"{rpm:,.0f}",
                of_full[i], f"{100.0 * (spread.air[i, full[i]] - 1.0):+z.1f}",
                f"{mixture[i, full[i]]:.3f}", f"{100.0 * (np.min(spread.air[i]) - 1.0):+z.1f}",
                of_high[i], shown_as("pressure", peak, system),
                of_near[i], margin,
                f"{100.0 * (spread.filling[i] - 1.0):+z.1f}",
            ])  # fmt: skip
        headings = ["engine", "fullest", "its air", "its lambda", "least air", "highest peak",
                    "its pressure", "nearest to knock", "its margin",
                    "all against one"]  # fmt: skip
        units = ["rpm", "", "%", "", "%", "", unit_label("pressure", system), "", "deg", "%"]
        caption = f"The worst cylinders, {self.pull.build.title}"
        return [Table(headings, units, rows, caption, key=_KEY)]


def worst_cylinders(pull: Pull) -> WorstCylinders:
    """Return which cylinder is fullest, peaks highest and is nearest to knock at every speed.

    Whole engines are solved at the places that the pull needs, each once. They tell on standard
    error how far they are, and are kept; Ctrl-C keeps those that are done.

    Parameters
    ----------
    pull : Pull
        The pull.

    Returns
    -------
    WorstCylinders
        Cylinders by engine speed, the same that limits, plan and calibration count with.

    Raises
    ------
    InputError
        The build has no firing order or no collectors, its volumetric efficiency is typed, or no
        point was solved.
    """
    cylinder = cylinder_of(pull.build)
    if not told_apart(cylinder):
        rule = "have a firing_order and a table [engine.collectors]"
        hint = f'without them, or with spread = "{ONE}", one cylinder stands for all'
        raise refusal(pull.build.title, "engine", "one cylinder", rule, hint)
    points = matched_points(pull)
    return WorstCylinders(pull, points, spread_of(cylinder, points))


def one_for_all(build: Build) -> Build:
    """Return a build in which one cylinder stands for all, for what tries many engines.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    Build
        The build with ``spread = "one cylinder"`` under ``[engine]``; itself where its cylinders
        are not told apart. By how much all cylinders fill more than the one is held as it is now,
        whatever is replaced later. Knock margins are those of the mean cycle, and say so.
    """
    if not told_apart(build.cylinder):
        return build
    held = CylindersHeld(together_of(cylinder_of(build)).table)
    return build.replace({"engine.spread": ONE}).changed(held)
