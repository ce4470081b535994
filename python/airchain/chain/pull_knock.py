"""Knock along a pull: how much earlier the charge may burn before its unburned gas ignites."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.progress import relay, telling
from ..cylinder.knock_words import BOUND, DOUBT, NO_PERMISSION, doubt_words, margin_text
from ..cylinder.spark_searches import bounds_of, margin_of, searched, with_worst
from ..cylinder.spread import SPREAD_NOTE, held_note, told_apart
from ..shown import statuses
from ..shown.words import listed
from .matched_cycles import matched_points

if TYPE_CHECKING:
    from .pull import Pull

__all__ = ["PullKnock", "worth_words"]

Array = NDArray[np.float64]
#: How many levels a verdict names.
_NAMED = 4
_NOT_KNOWN = (
    "Knock is not known: volumetric efficiency is typed, so nothing is known of the cylinder. "
    "Camshaft, ports and runners under [engine] make it known."
)
_KNOCKS = (
    "The unburned gas knocks by the estimate. Do not run it so: knock breaks an engine within "
    "seconds. Later spark, more octane, less boost or less compression come first."
)
_MAY_KNOCK = (
    "The knock margin is smaller than its doubt, so the engine may knock. Begin with later spark."
)
_WORTH = (
    "Knock margins are estimates for the mean cycle, {doubt}. A lean or hot cylinder knocks first. "
    + NO_PERMISSION
)
_WORTH_OF_WORST = (
    "Knock margins are estimates for the mean cycle of the worst cylinder, {doubt}. {spread} "
    + NO_PERMISSION
)


@dataclass(frozen=True, eq=False)
class PullKnock:
    """The knock margin at every engine speed of a pull.

    Attributes
    ----------
    known : bool
        Whether the build has cams, and so a cylinder whose cycle can be searched.
    rpm : ndarray
        Engine speeds [rpm].
    margin : ndarray
        By how much earlier half of the charge may burn before knock [rad], negative where it
        knocks; NaN where the point has no answer, the search did not settle, or nothing is known.
    bound : ndarray
        Where no knock was found at the earliest phasing tried, so that the margin is at least that
        [dimensionless].
    octane : float
        Research octane number of the fuel, dimensionless; NaN where nothing is known.
    cylinder : ndarray
        Number of the worst cylinder, whose margin it is [dimensionless]; 0 where one cylinder
        stands for all, or all are as one.
    held : ndarray
        Where the worst cylinder is that of the nearest state that was solved [dimensionless].
    apart : bool
        Whether the engine's geometry tells its cylinders apart.
    """

    known: bool
    rpm: Array
    margin: Array
    bound: NDArray[np.bool_]
    octane: float
    cylinder: NDArray[np.int64]
    held: NDArray[np.bool_]
    apart: bool = False

    @classmethod
    def of(cls, pull: Pull) -> PullKnock:
        """Search the knock limit at every solved point of a pull, in its worst cylinder.

        Parameters
        ----------
        pull : Pull
            The pull.

        Returns
        -------
        PullKnock
            The margins. Points that were searched before cost nothing; long work tells how far it
            is on standard error.
        """
        rpm = np.asarray(pull.rpm)
        margin, bound = np.full(rpm.size, np.nan), np.zeros(rpm.size, dtype=bool)
        number, held = np.zeros(rpm.size, dtype=np.int64), np.zeros(rpm.size, dtype=bool)
        cylinder = pull.build.cylinder
        if cylinder is None:
            return cls(False, rpm, margin, bound, float("nan"), number, held)
        octane = float(cylinder.setup.octane)
        solved = np.asarray(pull.matched)
        if solved.any():
            points = matched_points(pull)
            best = pull.build.chain.combustion.best_phasing
            with telling("knock limits") as told:
                tell = relay(told, 0, int(solved.sum()))
                search = searched(cylinder.setup, points, tell, best_phasing=best)
            search = with_worst(cylinder, search, points)
            margin[solved] = margin_of(search, points["half_burned"])
            bound[solved] = bounds_of(search)
            number[solved] = search.get("worst_cylinder", number[solved])
            held[solved] = search.get("held", held[solved])
        return cls(True, rpm, margin, bound, octane, number, held, told_apart(cylinder))

    @property
    def knocks(self) -> NDArray[np.bool_]:
        """Where the unburned gas knocks by the estimate [dimensionless]."""
        return np.asarray(self.margin < 0.0)

    @property
    def may_knock(self) -> NDArray[np.bool_]:
        """Where it does not, but the margin is smaller than its doubt [dimensionless]."""
        return np.asarray((self.margin >= 0.0) & (self.margin < DOUBT) & ~self.bound)

    @property
    def least(self) -> int | None:
        """Number of the point with the least margin [dimensionless]; None where none is known."""
        return int(np.nanargmin(self.margin)) if np.isfinite(self.margin).any() else None

    def text(self, index: int) -> str:
        """Return the margin of one point in degrees with its doubt.

        Parameters
        ----------
        index : int
            Number of the point from 0, dimensionless.

        Returns
        -------
        str
            Such as ``"est. +7 ± 5"``; 'not known' where it is not.
        """
        return margin_text(float(self.margin[index]), bool(self.bound[index]))

    def place(self, index: int) -> str:
        """Return engine speed and worst cylinder of one point.

        Parameters
        ----------
        index : int
            Number of the point from 0, dimensionless.

        Returns
        -------
        str
            Such as ``"7,000 rpm in cylinder 7"``.
        """
        number = int(self.cylinder[index])
        return f"{self.rpm[index]:,.0f} rpm" + (f" in cylinder {number}" if number else "")

    @property
    def verdict(self) -> str:
        """What knocks, or the least margin, in one sentence."""
        if not self.known:
            return "Knock not known."
        at = self.least
        if at is None:
            return "Knock not known." if self.rpm.size else ""
        where = f"{self.text(at)} deg at {self.place(at)}"
        count = int(np.count_nonzero(self.knocks))
        if count:
            total = int(np.count_nonzero(np.isfinite(self.margin)))
            many = f"{count:,} of {total:,} points knock" if total > 1 else "The point knocks"
            return f"{many} by the estimate: knock margin {where}."
        return f"Least knock margin {where}."

    def notes(self, matched: NDArray[np.bool_]) -> list[str]:
        """Return what to do, and what the margins are worth.

        Parameters
        ----------
        matched : ndarray
            Which points were solved [dimensionless].

        Returns
        -------
        list of str
            Whole sentences.
        """
        total = int(np.count_nonzero(matched))
        if not total:
            return []
        if not self.known:
            return [_NOT_KNOWN]
        sentences = []
        lost = int(np.count_nonzero(~np.isfinite(self.margin[matched])))
        for number, words in (
            (int(np.count_nonzero(self.knocks)), _KNOCKS),
            (int(np.count_nonzero(self.may_knock)), _MAY_KNOCK),
            (lost, "The knock margin is not known: its search did not settle."),
        ):
            if number:
                sentences.append(statuses.at_points(words, number, total))
        if self.bound.any():
            sentences.append(BOUND)
        return [*sentences, *held_note(self.held[matched]), worth_words(self.octane, self.apart)]


def worth_words(octane: float, apart: bool) -> str:
    """Return what knock margins are worth.

    Parameters
    ----------
    octane : float
        Of the fuel [dimensionless].
    apart : bool
        Whether the engine's geometry tells its cylinders apart.

    Returns
    -------
    str
        Whole sentences.
    """
    worth = _WORTH_OF_WORST if apart else _WORTH
    return worth.format(doubt=doubt_words(octane), spread=SPREAD_NOTE)


def of_levels(knock: Mapping[str, PullKnock]) -> str:
    """Return what knocks among the levels of a ladder, or the least margin, in one sentence.

    Parameters
    ----------
    knock : mapping
        Knock of each level's pull by its name.

    Returns
    -------
    str
        The sentence.
    """
    if not any(one.known for one in knock.values()):
        return "Knock not known."
    knocking = [name for name, one in knock.items() if one.knocks.any()]
    known = {name: one for name, one in knock.items() if one.least is not None}
    if not known:
        return "Knock not known."
    worst = min(known, key=lambda name: float(np.nanmin(known[name].margin)))
    one = known[worst]
    at = one.least
    assert at is not None
    where = f"{one.text(at)} deg, {worst} at {one.place(at)}"
    if len(knocking) > _NAMED:
        return f"{len(knocking)} of {len(knock)} knock by the estimate: knock margin {where}."
    if knocking:
        who = listed(knocking)
        return f"By the estimate {who} knock{'s' * (len(knocking) == 1)}: knock margin {where}."
    return f"Least knock margin {where}."
