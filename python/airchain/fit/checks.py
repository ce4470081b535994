"""What another sensor would add, and how a pull fares that was left out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..chain.build import Build
from .comparison import Comparison, compared
from .fitted_chain import FittedChain
from .load_drift import Drift
from .parameters import applied
from .prediction import predicted
from .problem import Before, channels, covariance_of
from .runs import Run
from .sensors import Sensor, noise_size

Array = NDArray[np.float64]
Fitting = Callable[
    [Build, Sequence[Run], Sequence[str], Mapping[str, Sensor], Sequence[Drift]],
    FittedChain,
]


def narrowing(fit: FittedChain, name: str) -> Array:
    """Return each unknown's interval with one more sensor over that without it."""
    problem = fit.problem
    if name not in problem.sensors:
        rule = "be a channel that a fit uses"
        raise refusal("gain_of", "channel", quoted(name), rule, ", ".join(problem.sensors))
    sensor: Sensor = problem.sensors[name]
    chains = [applied(run.chain, problem.unknowns, fit.values) for run in problem.runs]
    before = Before.of(problem.runs, chains, [sensor.column], problem.drifts, fit.parameters)
    runs = []
    for run, values in zip(problem.runs, before.answers, strict=True):
        y = values[sensor.column]
        runs.append(replace(run, columns={name: y}, noise={name: noise_size(sensor, y)}))
    more = replace(problem, runs=runs, channels=channels(runs, {name: sensor}, before))
    if not more.channels:
        return np.ones(len(problem.unknowns))
    added = more.whitened(more.slopes(fit.z))
    whole = np.concatenate([problem.whitened(fit.slopes), added, np.eye(fit.z.size)])
    now = np.sqrt(np.diag(fit.covariance)) / problem.widths
    then = np.sqrt(np.diag(covariance_of(whole)))
    return then / now


def left_out(fit: FittedChain, fitted: Fitting) -> dict[str, Comparison]:
    """Return the comparison of each pull with a fit, made by `fitted`, to the others."""
    problem = fit.problem
    runs = problem.runs
    if len(runs) < 2:
        rule = "be at least 2, to leave one out"
        raise refusal("leave_one_out", "pulls", str(len(runs)), rule)
    comparisons = {}
    for k, run in enumerate(runs):
        others = [other for i, other in enumerate(runs) if i != k]
        rest = fitted(fit.build, others, fit.parameters, problem.sensors, problem.drifts)
        there = predicted(rest, run.build, run.rpm)
        comparisons[f"{k + 1} {run.name}"] = compared(there, run)
    return comparisons
