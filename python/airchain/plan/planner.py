"""Planning: every way of fitting the parts is tried, and the fewest parts to buy are chosen."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace

from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.changes import LinksFitted
from ..chain.pull import Pull
from ..fit.prediction import predicted
from ..fit.reconciliation import Reconciliation
from ._doubt import Doubt
from ._solving import solve_all
from .cover import Candidate, Choice, cheapest
from .knock import Knock, knock_of
from .order import gate_of
from .parts import fittings
from .plan import Plan, PlannedLevel
from .reading import read_plan
from .request import AS_TYPED, PlanRequest, Progress, Target
from .throttle_shut import throttle_shut
from .trial import Trial, overspeed

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
        under way [dimensionless].

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
    doubt = Doubt(whole, request.rpm, fit)
    trials = _tried(whole, request, doubt, progress)
    fitted = whole if fit is None else whole.changed(fit.factors)
    trials = _with_knock(fitted, request, trials, progress)
    choices = _chosen(trials, request)
    levels: tuple[PlannedLevel, ...] = ()
    if choices:
        rows = zip(request.targets, choices[0].fittings, strict=True)
        levels = tuple(_level(whole, fit, request, trials, t, trials[i]) for t, i in rows)
    return Plan(whole, request, tuple(trials), tuple(choices), levels, doubt.words)


def _tried(
    build: Build, request: PlanRequest, doubt: Doubt, progress: Progress | None
) -> list[Trial]:
    """Every way of fitting the parts, solved unless it is ruled out at once."""
    ways = fittings(build.links, build.chain.drive, request.gears, request.pulleys, request.shafts)
    ways.sort(key=lambda way: (way.drive.speed_ratio, way.words))
    ruled = [(*way.obstacles, *overspeed(way, request, build.chain.compressor)) for way in ways]
    left = [way for way, why in zip(ways, ruled, strict=True) if not why]
    drives = [way.drive for way in left]
    solved = iter(solve_all(build.chain, drives, request.weather, request.rpm, doubt, progress))
    knock: dict[str, Knock] | None = None if build.cylinder is None else {}
    return [
        Trial(way, request, {} if why else next(solved), why, knock)
        for way, why in zip(ways, ruled, strict=True)
    ]


def _with_knock(build: Build, request: PlanRequest, trials: list[Trial],
                progress: Progress | None) -> list[Trial]:  # fmt: skip
    """Search the knock limit, in one batch, of whatever nothing else stands against.

    Without a limit of knock only the levels of the plan need it.
    """
    if build.cylinder is None:
        return trials
    choices = _chosen(trials, request)
    wanted = [trials[i] for i in choices[0].fittings] if choices else []
    if "knock" in request.limits:
        suits = [t for t in trials if any(t.deviation(x) <= 1.0 for x in request.targets)]
        wanted = suits + [above for t in suits if (above := _above(t, trials)) is not None]
    asked = list(dict.fromkeys(t for t in wanted if not t.objections))
    margins = dict(zip(asked, knock_of(build, request, asked, progress), strict=True))
    return [replace(t, knock=margins[t]) if t in margins else t for t in trials]


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


def _level(build: Build, fit: Reconciliation | None, request: PlanRequest, trials: Sequence[Trial],
           target: Target, trial: Trial) -> PlannedLevel:  # fmt: skip
    solved = trial.solved[AS_TYPED]
    on_links = build.changed(LinksFitted(target.level, trial.fitting.links))
    fitted = on_links if fit is None else on_links.changed(fit.factors)
    reference = float(build.reference_speed) / RPM
    prediction = None if fit is None else predicted(fit, on_links, request.rpm)
    return PlannedLevel(
        target,
        trial,
        fitted,
        Pull.run(fitted, request.rpm),
        gate_of(target.level, reference, solved, prediction),
        throttle_shut(
            solved.chain, request.weather, float(request.rpm[-1]), request.flow_over_surge,
            request.discharge_coefficient,
        ),
        _next_step(trial, trials),
    )  # fmt: skip


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
