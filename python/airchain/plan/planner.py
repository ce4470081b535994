"""Planning: every way of fitting the parts is tried, and the fewest parts to buy are chosen."""

from __future__ import annotations

import os
from collections.abc import Sequence

from ..base.progress import telling
from ..chain.build import Build
from ..fit.reconciliation import Reconciliation
from .cover import Candidate, Choice, cheapest
from .parts import fittings
from .plan import Plan, PlannedLevel
from .reading import read_plan
from .request import PlanRequest, Progress
from .tables import nearest_trials
from .trial import Trial
from .trying import planned_level, tried, with_knock

__all__ = ["plan_levels"]


def plan_levels(
    build: Build | Reconciliation,
    file: str | os.PathLike[str] | None = None,
    *,
    progress: Progress | None = None,
) -> Plan:
    """Choose gears or pulleys for every drive level: the fewest parts that meet all targets.

    Every gear pair, both ways round, and every two pulleys are tried in every weather of the plan.
    A fitting passes if it keeps every limit in each weather. The computed figure is in doubt by
    its 90 % band, so the worse end of the band must keep the limit. In the build's own weather
    the fitting must also meet its level's target within the tolerance.

    Among those that pass the choice is exact. Fewest parts to buy come first, then the lower
    price, then the smaller distance from the targets.

    Parameters
    ----------
    build : Build or Reconciliation
        The build; of one fitted to measured pulls the fit's own band is used. A build that
        breathes by its cycles gets a breathing surface first.
    file : str or path, optional
        A plan file; the ``[plan]`` table of the build file without it.
    progress : callable, optional
        Called with the pulls and knock searches done, and all of the work that is
        under way [dimensionless]. Without it, work that lasts tells on standard error how far it
        is.

    Returns
    -------
    Plan
        Levels, room left, runners-up, and why every other way was rejected; without levels where
        a target is out of reach, saying what comes nearest.

    Raises
    ------
    InputError
        The plan is missing, empty, contradictory or refused; before anything is solved.

    Examples
    --------
    >>> plan_levels(build).found
    True
    """
    fit = build if isinstance(build, Reconciliation) else None
    whole = build.build if isinstance(build, Reconciliation) else build
    request = read_plan(whole, file)
    whole = whole.with_surface()  # what is refused costs no surface
    ways = fittings(whole.links, whole.chain.drive, request.gears, request.pulleys, request.shafts)
    fitted = whole if fit is None else whole.changed(fit.factors)
    with telling("plan") as told:
        tell = told if progress is None else progress
        trials, band = tried(whole, fit, request, ways, tell)
        trials = _with_knock(fitted, request, trials, tell)
        choices = _chosen(trials, request)
        if not choices:
            near = [best for _, best in nearest_trials(request, trials) if best is not None]
            trials = _told_with_knock(fitted, request, trials, near, tell)
    levels: tuple[PlannedLevel, ...] = ()
    if choices:
        rows = zip(request.targets, choices[0].fittings, strict=True)
        levels = tuple(
            planned_level(whole, fit, request, t, trials[i], _next_step(trials[i], trials))
            for t, i in rows
        )
    return Plan(whole, request, tuple(trials), tuple(choices), levels, band)


def _with_knock(build: Build, request: PlanRequest, trials: list[Trial],
                progress: Progress | None) -> list[Trial]:  # fmt: skip
    """Search the knock limit of whatever nothing else stands against.

    Without a limit of knock only the levels of the plan need it.
    """
    if build.cylinder is None:
        return trials
    choices = _chosen(trials, request)
    wanted = [trials[i] for i in choices[0].fittings] if choices else []
    if "knock" in request.limits:
        suits = [t for t in trials if any(t.deviation(x) <= 1.0 for x in request.targets)]
        wanted = suits + [above for t in suits if (above := _above(t, trials)) is not None]
    asked = [t for t in wanted if not t.objections]
    trials = with_knock(build, request, trials, asked, progress)
    choices = _chosen(trials, request)
    running = [trials[i] for i in choices[0].fittings] if choices else []
    higher = (_above(one, trials) for one in running)
    return _told_with_knock(build, request, trials, [t for t in higher if t is not None], progress)


def _told_with_knock(build: Build, request: PlanRequest, trials: list[Trial],
                     told: Sequence[Trial], progress: Progress | None) -> list[Trial]:  # fmt: skip
    """Search the knock limit of what is told by name too, though something else stops it."""
    asked = [t for t in told if t.knock_open and "knock" in request.limits]
    return with_knock(build, request, trials, asked, progress) if asked else trials


def _chosen(trials: Sequence[Trial], request: PlanRequest) -> list[Choice]:
    candidates = []
    for target in request.targets:
        passing = [
            Candidate(i, trial.fitting.to_buy, trial.deviation(target))
            for i, trial in enumerate(trials)
            if trial.deviation(target) <= 1.0 and not trial.objections
        ]
        candidates.append(passing)
    prices = {part.name: part.price for part in request.parts if not part.owned}
    return cheapest(candidates, prices, 1 + request.runners_up)


def _above(trial: Trial, trials: Sequence[Trial]) -> Trial | None:
    """The next higher ratio that the shafts take."""
    ratio = trial.fitting.drive.speed_ratio
    above = [t for t in trials if t.fitting.drive.speed_ratio > ratio and not t.fitting.obstacles]
    return min(above, key=lambda t: t.fitting.drive.speed_ratio) if above else None


def _next_step(trial: Trial, trials: Sequence[Trial]) -> str:
    """What stops the next higher ratio that the shafts take, and the limit nearest at hand."""
    tightest = trial.tightest
    near = ""
    if tightest is not None:
        near = f" The nearest limit here is {tightest.words}, with room of {tightest.room_text()}."
    following = _above(trial, trials)
    if following is None:
        return f"No part on the list drives faster.{near}"
    name = f"{following.fitting.words} ({following.fitting.drive_ratio:.3f})"
    if not following.objections:
        return f"The next ratio, {name}, keeps every limit too.{near}"
    return f"The next ratio, {name}, is stopped by {'; '.join(following.objections)}.{near}"
