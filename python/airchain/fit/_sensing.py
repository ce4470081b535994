"""What another sensor would add, and how a pull fares that was left out."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ._runs import Run
from .parameters import applied
from .problem import Before, channels, covariance_of
from .sensors import Sensor, noise_size

Array = NDArray[np.float64]


def narrowing(found: Any, name: str) -> Array:
    """Return each unknown's interval with one more sensor over that without it."""
    problem = found.problem
    if name not in problem.sensors:
        rule = "be a channel that a fit uses"
        raise refusal("gain_of", "channel", quoted(name), rule, ", ".join(problem.sensors))
    sensor: Sensor = problem.sensors[name]
    chains = [applied(run.chain, problem.unknowns, found.values) for run in problem.runs]
    before = Before.of(problem.runs, chains, [sensor.column], problem.drifts)
    runs = []
    for run, values in zip(problem.runs, before.answers, strict=True):
        y = values[sensor.column]
        runs.append(replace(run, columns={name: y}, noise={name: noise_size(sensor, y)}))
    more = replace(problem, runs=runs, channels=channels(runs, {name: sensor}, before))
    if not more.channels:
        return np.ones(len(problem.unknowns))
    added = np.concatenate(
        [-c.whitened(s) for c, s in zip(more.channels, more.slopes(found.z), strict=True)]
    )
    had = [-c.whitened(s) for c, s in zip(problem.channels, found.slopes, strict=True)]
    whole = np.concatenate([*had, added, np.eye(found.z.size)])
    now = np.sqrt(np.diag(found.covariance)) / problem.widths
    then = np.sqrt(np.diag(covariance_of(whole, ~found.at_bound)))
    return np.where(now > 0.0, then / np.where(now > 0.0, now, 1.0), 1.0)


def left_out(found: Any) -> dict[str, Any]:
    """Return the comparison of each pull with a fit to the others."""
    from .comparison import compared
    from .fitting import fitted
    from .prediction import predicted

    problem = found.problem
    runs = problem.runs
    if len(runs) < 2:
        rule = "be at least 2, to leave one out"
        raise refusal("leave_one_out", "pulls", str(len(runs)), rule)
    told = {}
    for k, run in enumerate(runs):
        rest: list[Run] = [other for i, other in enumerate(runs) if i != k]
        fit = fitted(found.build, rest, found.parameters, problem.sensors, problem.drifts)
        made = predicted(fit, run.build, run.rpm)
        told[f"{k + 1} {run.name}"] = compared(made, run)
    return told
