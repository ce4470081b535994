"""From prepared pulls to the unknowns that fit them best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..base.extras import extra
from ..chain.build import Build
from .load_drift import Drift
from .parameters import applied, chosen
from .problem import Before, Problem, answers, channels
from .runs import Run
from .sensors import Sensor


def problem_of(build: Build, runs: Sequence[Run], parameters: Sequence[str],
               sensors: Mapping[str, Sensor], drifts: Sequence[Drift],
               ) -> tuple[Problem, list[str]]:  # fmt: skip
    """Return the fit as numbers, and notes on what was left out."""
    rpm = np.concatenate([run.rpm for run in runs])
    unknowns = chosen(parameters, [run.chain for run in runs], rpm, build.links, build.trust)
    notes: list[str] = []
    means = np.array([u.mean for u in unknowns])
    columns = [*dict.fromkeys(s.column for s in sensors.values())]
    chains = [applied(run.chain, unknowns, means) for run in runs]
    for run, chain in zip(runs, chains, strict=True):
        solved = np.isfinite(answers(chain, run.speeds, ["torque"])["torque"])
        if not solved.any():
            hint = "pull the build there and see its status"
            raise refusal(run.name, "pull", "no point solved", "lie where the chain answers", hint)
        if not solved.all():
            notes.append(
                f"{run.name}: {np.sum(~solved)} points are left out, because the chain has no "
                "answer there."
            )
        notes += run.notes
    before = Before.of(runs, chains, columns, drifts, parameters)
    return Problem(runs, unknowns, sensors, drifts, channels(runs, sensors, before)), notes


def solution(problem: Problem) -> NDArray[np.float64]:
    """Return the unknowns that fit best, in prior widths off the prior mean [dimensionless]."""
    low, high = problem.bounds
    start = np.clip(np.zeros(len(problem.unknowns)), low + 1e-3, high - 1e-3)
    solved = extra("scipy.optimize").least_squares(
        problem.residuals, start, problem.jacobian, (low, high), method="trf",
        x_scale="jac", xtol=1e-9, ftol=1e-9, gtol=1e-7, max_nfev=60,
    )  # fmt: skip
    return np.asarray(solved.x)
