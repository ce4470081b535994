"""What gives first on a faster drive: every margin of the plan in one list, least room first.

Nothing is reckoned here: margins are the plan's, of the drive as handed over, of the pair on the
way and of the new one. Where a limit is met between them is read off straight lines of its use.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ..base.speeds import RPM
from ..chain.build import Build
from ..cylinder.knock_words import BOUND
from ..plan.margins import Margin
from ..plan.throttle_shut import ThrottleShut
from ..plan.trial import Trial
from ..shown.columns import label, shown
from ..shown.tables import Table


@dataclass(frozen=True)
class Ice:
    """What one pull leaves of the tank's ice.

    Attributes
    ----------
    before, after : float
        Ice at its start and end [kg].
    """

    before: float
    after: float

    @property
    def room(self) -> float:
        """Share that is left [dimensionless]."""
        return self.after / self.before if self.before > 0.0 else 0.0


def ice_of(build: Build) -> Ice | None:
    """Return what a pull at the build's own rate leaves of its ice; None without a tank."""
    if build.ice_tank is None:
        return None
    timed = build.timed_pull(rpm_per_second=build.pull_rate / RPM)
    ice = timed["ice_mass"]
    return Ice(float(build.ice_tank.ice_mass), float(ice[-1]))


def nearest_first(trial: Trial) -> list[Margin]:
    """Return the margins of a trial in its worst weather, that with the least room first.

    What is not known comes first, for nobody can show that it holds; what has no limit comes last,
    after what is only known to have some room.
    """
    return sorted(trial.worst_margins(), key=_order)


def _order(margin: Margin) -> tuple[int, float]:
    if margin.limit is None:
        return 2, 0.0
    if not margin.known:
        return (1, 1.0) if margin.limit.usual else (0, -np.inf)
    if margin.open_ended:
        return 1, 0.0
    return 0, margin.room if np.isfinite(margin.room) else -np.inf


def meets_at(name: str, trials: Sequence[Trial]) -> float:
    """Return the drive ratio at which a limit is met [dimensionless].

    Parameters
    ----------
    name : str
        The margin.
    trials : sequence of Trial
        From the drive handed over on, in the order of their ratio.

    Returns
    -------
    float
        The ratio; the first one where it is over already, NaN where it is not met up to the last.
    """
    places: list[tuple[float, float]] = []
    for number, trial in enumerate(trials):
        if number and not places:
            return float("nan")  # nothing is known of where it begins
        shares = [m.used for m in trial.worst_margins() if m.name == name and m.known]
        if shares and np.isfinite(shares[0]):
            places.append((trial.fitting.drive_ratio, shares[0]))
    for i, (ratio, used) in enumerate(places):
        if used >= 1.0:
            if not i:
                return ratio
            before, less = places[i - 1]
            return before + (ratio - before) * (1.0 - less) / (used - less)
    return float("nan")


def giving_table(now: Trial, way: Sequence[Trial], ice: tuple[Ice | None, Ice | None],
                 shut: ThrottleShut | None, system: str) -> Table:  # fmt: skip
    """Return everything that gives, with its room now and on the last of the ways."""
    before = {m.name: m for m in now.worst_margins()}
    last = way[-1]
    rows = []
    for margin in nearest_first(last):
        met = meets_at(margin.name, [now, *way])
        at = f" at {margin.rpm:,.0f}" if np.isfinite(margin.rpm) else ""
        day = margin.weather if margin.known else "–"
        limit = margin.limit
        rows.append([
            margin.words,
            limit.text(system, signs=True) if limit is not None else "–",
            margin.value_text(system) + at,
            day,
            before[margin.name].room_text() if margin.name in before else "–",
            margin.room_text(),
            _met(met, now, margin, before),
            limit.source if limit is not None else "",
        ])  # fmt: skip
    if shut is not None:
        rows.append(["bypass, throttle shut", "–", shut.judgement, shut.weather, "–", "–", "–", ""])
    key = (
        "Each value stands in the weather and at the engine speed [rpm] where it is worst, ± half "
        "its 90 % band. Room is what is left of the limit with the band taken off. 'Met at' is "
        "the drive ratio at which nothing is left, by straight lines between the drives solved."
    )
    if any(margin.floor for trial in (now, last) for margin in trial.worst_margins()):
        key += f" {BOUND}"
    if ice[0] is not None and ice[1] is not None:
        key += " Ice is that of the weather as typed."
        kept = [f"{100.0 * one.room:.0f} %" for one in ice if one is not None]
        left = f"{shown('ice_mass', ice[1].after, system)} {label('ice_mass', system)} after a pull"
        rows.append(["ice", "–", left, "as typed", *kept, "–", ""])
    return Table(
        ["", "limit", "value at rpm", "weather", "room now", "room then", "met at", "source"],
        [""] * 8, rows, caption="What gives first on the faster drive", flush=(0, 1, 3, 7), key=key,
    )  # fmt: skip


def _met(ratio: float, now: Trial, margin: Margin, before: Mapping[str, Margin]) -> str:
    known = margin.name in before and before[margin.name].known
    if margin.limit is None or not margin.known or not known:
        return "–"
    if not np.isfinite(ratio):
        return "beyond"
    if ratio <= now.fitting.drive_ratio:
        return "passed now"
    # From a floor the line rises too early.
    return f"{'≥' * before[margin.name].floor}{ratio:.3f}"
