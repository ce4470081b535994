"""From prepared pulls to the unknowns that fit them best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..base.extras import extra
from ..chain.build import Build
from .load_drift import Drift
from .parameters import applied, chosen
from .problem import Before, Problem, answers, channels
from .runs import Run, thinned
from .sensors import Sensor

#: Rows of a pull that tell nearly all of it: its errors are alike over more than its speeds apart.
_SOME_ROWS = 34


def problem_of(build: Build, runs: Sequence[Run], parameters: Sequence[str],
               sensors: Mapping[str, Sensor], drifts: Sequence[Drift],
               ) -> tuple[Problem, list[str]]:  # fmt: skip
    """Return the fit as numbers, but without its channels (`about`), and what was left out."""
    rpm = np.concatenate([run.rpm for run in runs])
    unknowns = chosen(parameters, [run.chain for run in runs], rpm, build.links, build.trust)
    notes: list[str] = []
    means = np.array([u.mean for u in unknowns])
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
    return Problem(runs, unknowns, sensors, drifts, []), notes


def about(problem: Problem, z: NDArray[np.float64]) -> Problem:
    """Return a problem with its channels, their errors as the chain at unknowns has them.

    How a part's error shows, and how far a slow sensor lags, follow the chain: at the figures of
    the build they may be half of what they are at a solution far off. They follow its answers, not
    the readings: a common error in proportion to noisy readings would draw the fit below them.
    """
    columns = [*dict.fromkeys(s.column for s in problem.sensors.values())]
    values, runs = problem.values(z), problem.runs
    chains = [applied(run.chain, problem.unknowns, values) for run in runs]
    names = [unknown.name for unknown in problem.unknowns]
    before = Before.of(runs, chains, columns, problem.drifts, names)
    return replace(problem, channels=channels(runs, problem.sensors, before))


def settled(problem: Problem) -> tuple[Problem, NDArray[np.float64]]:
    """Return the unknowns that fit best, and the problem with its errors close to them."""
    start = close(problem)
    problem = about(problem, start)
    return problem, solution(problem, start)


def close(problem: Problem) -> NDArray[np.float64]:
    """Return unknowns so close to those that fit best that the errors are as there.

    They fit some of the rows best, first with the errors of the build's own figures, then with
    those of what fits best with them. The joint covariance of all rows is factored only once.
    """
    some = replace(problem, runs=[thinned(run, _SOME_ROWS) for run in problem.runs])
    z = np.zeros(len(problem.unknowns))
    for _ in range(2):
        z = solution(about(some, z), z)
    return z


def solution(problem: Problem, start: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the unknowns that fit best, in prior widths off the prior mean [dimensionless]."""
    low, high = problem.bounds
    start = np.clip(start, low + 1e-3, high - 1e-3)
    found = extra("scipy.optimize").least_squares(
        problem.residuals, start, problem.jacobian, (low, high), method="trf",
        x_scale="jac", xtol=1e-9, ftol=1e-9, gtol=1e-7, max_nfev=60,
    )  # fmt: skip
    return np.asarray(found.x)
