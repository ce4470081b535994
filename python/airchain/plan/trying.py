"""Trying ways of fitting parts: in every weather, with the room to knock, and as one level."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.changes import LinksFitted
from ..chain.pull import Pull
from ..cylinder.knock_words import IT_KNOCKS
from ..cylinder.spread import spread_of
from ..fit.prediction import predicted
from ..fit.reconciliation import Reconciliation
from ._doubt import Doubt
from ._solving import Solved, solve_all
from .knock import Knock, knock_of
from .order import gate_of
from .parts import Fitting
from .plan import PlannedLevel
from .request import AS_TYPED, PlanRequest, Progress, Target
from .throttle_shut import ThrottleShut, throttle_shut
from .trial import Trial, overspeed

__all__ = ["planned_level", "tried", "with_knock"]


def tried(
    build: Build,
    fit: Reconciliation | None,
    request: PlanRequest,
    ways: Sequence[Fitting],
    progress: Progress | None = None,
) -> tuple[list[Trial], str]:
    """Solve every way of fitting the parts, unless it is ruled out at once.

    Parameters
    ----------
    build : Build
        The build, on a surface where it has cams; before the factors of a fit.
    fit : Reconciliation or None
        The fit whose band holds.
    request : PlanRequest
        Limits, weather and engine speeds.
    ways : sequence of Fitting
        What is tried.
    progress : callable, optional
        Called with the pulls done and all of them [dimensionless].

    Returns
    -------
    tuple
        The trials in the order of the whole ratio, and where their band comes from.
    """
    ways = sorted(ways, key=lambda way: (way.drive.speed_ratio, way.words))
    doubt = Doubt(build, request.rpm, fit)
    ruled = [(*way.obstacles, *overspeed(way, request, build.chain.compressor)) for way in ways]
    left = [way for way, why in zip(ways, ruled, strict=True) if not why]
    drives = [way.drive for way in left]
    answers = solve_all(build.chain, drives, request.weather, request.rpm, doubt, progress)
    if (apart := request.cylinders.apart) is not None and answers:
        # All at once, so that whole engines are told as one work.
        states = [one.states for by_day in answers for one in by_day.values()]
        spread_of(apart, {name: np.concatenate([s[name] for s in states]) for name in states[0]})
    solved = iter(answers)
    knock: dict[str, Knock] | None = None if build.cylinder is None else {}
    trials = []
    for way, why in zip(ways, ruled, strict=True):
        by_day = {} if why else next(solved)
        judged = bool(by_day) and request.valve is not None
        shut = _shut(request, by_day[AS_TYPED]) if judged else None
        trials.append(Trial(way, request, by_day, why, knock, shut))
    return trials, doubt.words


def _shut(request: PlanRequest, solved: Solved) -> ThrottleShut:
    """What must open as the throttle shuts, beside the valve fitted."""
    return throttle_shut(
        solved.chain, request.weather, float(request.rpm[-1]), request.lift_off.how,
        request.flow_over_surge, request.discharge_coefficient, request.valve,
    )  # fmt: skip


def with_knock(
    build: Build,
    request: PlanRequest,
    trials: Sequence[Trial],
    asked: Sequence[Trial],
    progress: Progress | None = None,
) -> list[Trial]:
    """Search the knock limit, in one batch, of trials that are asked for.

    Parameters
    ----------
    build : Build
        The build, with the factors of a fit where it has one.
    request : PlanRequest
        Weather and engine speeds.
    trials : sequence of Trial
        All of them.
    asked : sequence of Trial
        Those of them that are searched.
    progress : callable, optional
        Called with the points searched and all of them [dimensionless].

    Returns
    -------
    list of Trial
        All, those asked for with their room to knock.
    """
    wanted = list(dict.fromkeys(asked))
    margins = dict(zip(wanted, knock_of(build, request, wanted, progress), strict=True))
    return [replace(t, knock=margins[t]) if t in margins else t for t in trials]


def planned_level(build: Build, fit: Reconciliation | None, request: PlanRequest,
                  target: Target, trial: Trial, next_step: str) -> PlannedLevel:  # fmt: skip
    """Return a trial as a level: its build, pull, what it must read, and its bypass.

    Parameters
    ----------
    build : Build
        The build, before the factors of a fit.
    fit : Reconciliation or None
        The fit.
    request : PlanRequest
        What was asked.
    target : Target
        What the level is to give.
    trial : Trial
        What is fitted.
    next_step : str
        What stops the next higher ratio.

    Returns
    -------
    PlannedLevel
        The level.
    """
    solved = trial.solved[AS_TYPED]
    on_links = build.changed(LinksFitted(target.level, trial.fitting.links))
    fitted = on_links if fit is None else on_links.changed(fit.factors)
    reference = float(build.reference_speed) / RPM
    prediction = None if fit is None else predicted(fit, on_links, request.rpm)
    gate = gate_of(target.level, reference, solved, prediction)
    return PlannedLevel(
        target,
        trial,
        fitted,
        Pull.run(fitted, request.rpm),
        replace(gate, barred=IT_KNOCKS) if trial.knocks else gate,
        trial.shut or _shut(request, solved),
        next_step,
    )
