"""Reconciling a build with measured pulls."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..measured.measured import MeasuredPull
from ..measured.quantities import quantity
from ..units.convert import to_si
from ._drift import PARTS, Drift, drifts_of
from ._runs import Run, prepared
from ._sensing import left_out
from .parameters import applied, chosen
from .problem import Before, Problem, answers, channels
from .reconciliation import Reconciliation
from .sensors import sensors_of

__all__ = ["reconcile"]

#: Chance below which a pull does not belong to the others.
_ODD = 1e-3
DEFAULT: tuple[str, ...] = (
    "volumetric_efficiency",
    "indicated_efficiency",
    "compressor_head",
    "compressor_flow",
    "cooler_effectiveness",
)


def reconcile(
    build: Any,
    pulls: Any,
    parameters: Sequence[str] = DEFAULT,
    accuracy: Mapping[str, Mapping[str, float]] | None = None,
    rounding: Mapping[str, str | Sequence[str]] | None = None,
) -> Reconciliation:
    """Fit a chosen few of the chain's unknowns to measured pulls.

    The unknowns x least in

        sum over channels of r' C^-1 r + sum of ((x - mean)/width)^2,   r = reading - chain(x)

    are found, where C holds for each channel the noise of its rows and their rounding, a bias
    that is constant over a pull, the lag of slow sensors, and the chain's own error, smooth over
    engine speed, alike at neighbouring drive ratios, and growing in each part of the chain away
    from the loads that were measured. Bias and own error are nuisances with
    priors, integrated out. Errors of different channels are taken as independent. A pull that
    no chain fits which fits the others is left out and named, where three or more are given.

    Parameters
    ----------
    build : Build
        The build as it is believed before the pulls; priors stand around it.
    pulls : mapping or sequence
        Pulls by the name of their drive level (one or a list), or a list of pulls of the build
        as it stands. A sweep's torque must be brought to steady running first (`steady`).
    parameters : sequence of str
        Unknowns, from ``volumetric_efficiency``, ``volumetric_efficiency_shape``,
        ``indicated_efficiency``, ``friction``, ``compressor_head``, ``compressor_flow``,
        ``compressor_efficiency``, ``cooler_effectiveness``, ``cooler_loss``, ``exhaust_loss``,
        ``inlet_loss`` (factors on the build), and ``belt_slip``.
    accuracy : mapping, optional
        Figures of sensors by channel, such as ``{"torque": {"bias": 0.02}}``: standard deviations
        as shares of the reading [dimensionless] or floors and lags [SI]. And by part of the
        chain, such as ``{"indicated_efficiency": {"drift": 0.02}}``: what it errs by at half as
        much load again as was measured [dimensionless].
    rounding : mapping, optional
        Last digit of a channel with unit, such as ``{"plenum_pressure": "1 psi"}``; or a list,
        one for each row of a pull, ``""`` for none. It goes before what a pull says itself
        (`MeasuredPull.rounding`), which suits pulls of different lengths. Found from the readings
        where neither tells and twenty or more show it.

    Returns
    -------
    Reconciliation
        Values with 90 % intervals, and what can and cannot be said of them.

    Raises
    ------
    InputError
        An unknown, level, channel or pull is none, or the chain has no answer where it was
        measured.
    """
    sensors, drifts = sensors_of(accuracy, PARTS), drifts_of(accuracy)
    steps = _steps(rounding)
    runs = []
    for level, pull in _listed(build, pulls):
        at = build.level(level) if level and level != build.level_name else build
        runs.append(prepared(at, level, pull, sensors, steps))
    return _screened(build, runs, parameters, sensors, drifts)


def fitted(build: Any, runs: Sequence[Run], parameters: Sequence[str],
           sensors: Mapping[str, Any], drifts: Sequence[Drift]) -> Reconciliation:  # fmt: skip
    """Fit prepared pulls."""
    problem, notes = problem_of(build, runs, parameters, sensors, drifts)
    return Reconciliation.of(build, problem, tuple(parameters), _solution(problem), notes)


def _screened(build: Any, runs: list[Run], parameters: Sequence[str],
              sensors: Mapping[str, Any], drifts: Sequence[Drift]) -> Reconciliation:  # fmt: skip
    """Fit pulls, without those that no chain fits which fits their neighbours."""
    out: list[str] = []
    found = fitted(build, runs, parameters, sensors, drifts)
    while len(runs) > 1:
        told = list(left_out(found).values())
        chances = [min(c.chance.values()) * len(c.chance) * len(runs) for c in told]
        worst = int(np.argmin(chances))
        if chances[worst] > _ODD:
            break
        if len(runs) == 2:
            out.append(f"{runs[0].name} and {runs[1].name} do not belong to one engine within "
                       "their errors; which of them is wrong two pulls cannot tell")  # fmt: skip
            break
        out.append(f"{runs[worst].name} (pull {worst + 1} of {len(runs)}) was left out: no chain "
                   "that fits the other pulls fits it; find the cause")  # fmt: skip
        runs = [run for k, run in enumerate(runs) if k != worst]
        found = fitted(build, runs, parameters, sensors, drifts)
    return replace(found, remarks=(*out, *found.remarks))


def problem_of(build: Any, runs: Sequence[Run], parameters: Sequence[str],
               sensors: Mapping[str, Any], drifts: Sequence[Drift],
               ) -> tuple[Problem, list[str]]:  # fmt: skip
    """Return the fit as numbers, and what was left out."""
    rpm = np.concatenate([run.rpm for run in runs])
    unknowns = chosen(parameters, [run.chain for run in runs], rpm, build.links)
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
            notes.append(f"{run.name}: {np.sum(~solved)} points left out, the chain has no answer")
        notes += run.notes
    before = Before.of(runs, chains, columns, drifts)
    found = channels(runs, sensors, before)
    return Problem(runs, unknowns, sensors, drifts, found), notes


def _solution(problem: Problem) -> NDArray[np.float64]:
    from scipy.optimize import least_squares

    low, high = problem.bounds
    start = np.clip(np.zeros(len(problem.unknowns)), low + 1e-3, high - 1e-3)
    found = least_squares(problem.residuals, start, problem.jacobian, (low, high), method="trf",
                          x_scale="jac", xtol=1e-9, ftol=1e-9, gtol=1e-7, max_nfev=60)  # fmt: skip
    return np.asarray(found.x)


def _listed(build: Any, pulls: Any) -> list[tuple[str, MeasuredPull]]:
    """Return level and pull of each, in order."""
    if isinstance(pulls, MeasuredPull):
        return [(build.level_name, pulls)]
    if hasattr(pulls, "pulls"):
        pulls = list(pulls.pulls)
    found: list[tuple[str, MeasuredPull]] = []
    some: Any
    if isinstance(pulls, Mapping):
        for level, some in pulls.items():
            log = getattr(some, "pulls", some)
            several = [log] if isinstance(log, MeasuredPull) else list(log)
            found += [(str(level), pull) for pull in several]
    elif isinstance(pulls, Sequence) and not isinstance(pulls, str):
        found = [(build.level_name, pull) for pull in pulls]
    if not found:
        raise refusal("reconcile", "pulls", quoted(pulls), "hold at least one MeasuredPull")
    return found


def _steps(
    rounding: Mapping[str, str | Sequence[str]] | None,
) -> dict[str, NDArray[np.float64]]:
    found = {}
    for name, texts in (rounding or {}).items():
        kind = quantity(name, "rounding").kind
        # A last digit is a difference: a degree counts without its zero, a gauge likewise.
        kind = {"temperature": "temperature_difference", "pressure": "pressure_difference"}.get(
            kind, kind
        )
        field = f"rounding.{name}"
        rows = [texts] if isinstance(texts, str) else list(texts)
        found[name] = np.array(
            [float(to_si(t, kind, where="reconcile", field=field)) if t else 0.0 for t in rows]
        )
    return found
