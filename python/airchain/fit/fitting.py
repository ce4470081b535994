"""Reconciling a build with measured pulls."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..chain.build import Build
from ..measured.measured import MeasuredPull
from ..measured.quantities import quantity
from ..measured.which_level import level_of_pull
from ..units.convert import to_si
from .load_drift import PARTS, Drift, drifts_of
from .odd_pulls import OddPull, odd_pull
from .reconciliation import Reconciliation
from .runs import Run, prepared
from .sensors import Sensor, sensors_of

__all__ = ["reconcile"]

Given = MeasuredPull | Sequence[MeasuredPull]
#: How a level is named.
_NAMED = 'such as {{"{0}": pull}}, or {0}=LOG after --pull'
DEFAULT: tuple[str, ...] = (
    "volumetric_efficiency",
    "indicated_efficiency",
    "compressor_head",
    "compressor_flow",
    "cooler_effectiveness",
)


def reconcile(
    build: Build,
    pulls: Given | Mapping[str, Given],
    parameters: Sequence[str] = DEFAULT,
    accuracy: Mapping[str, Mapping[str, float]] | None = None,
    rounding: Mapping[str, str | Sequence[str]] | None = None,
) -> Reconciliation:
    """Fit a chosen few of the chain's unknowns to measured pulls.

    The unknowns x least in

        r' C^-1 r + sum of ((x - mean)/width)^2,   r = reading - chain(x)

    are found, where C holds for each channel the noise of its rows and their rounding, a bias
    that is constant over a pull, the lag of slow sensors, and the chain's own error, smooth over
    engine speed, alike at neighbouring drive ratios, and growing in each part of the chain away
    from the loads that were measured. Bias and own error are nuisances with priors, integrated
    out. An error of a part of the chain moves all channels together; the others are of one channel
    each. Where several pulls are given, one that does not belong to the others is named: a channel
    that is off by a constant is left out with its factor, and a pull that is off in several
    channels as a whole.

    Parameters
    ----------
    build : Build
        The build as it is believed before the pulls; priors stand around it.
    pulls : mapping or sequence
        Pulls by the name of their drive level (one or a list). A build with at most one level, or
        on a level, takes a list of pulls too; where several levels stand, only rotor speed can
        tell the level of a pull that names none. A sweep's torque must be brought to steady running
        first (`steady`).
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
        An unknown, level, channel or pull is none, the level of a pull is not known, or the chain
        has no answer where it was measured.
    """
    sensors, drifts = sensors_of(accuracy, PARTS), drifts_of(accuracy, build.trust)
    steps = _steps(rounding)
    listed, said = [], []
    for level, pull in _listed(build, pulls):
        level, words = level_of_pull(build, level, pull, "reconcile", _NAMED)
        said += [words] * bool(words)
        at = build.level(level) if level and level != build.level_name else build
        listed.append((at, level, pull))
    build = build.with_surface()  # what is refused costs no surface
    runs = [prepared(at.with_surface(), level, pull, sensors, steps) for at, level, pull in listed]
    fit = _screened(build, runs, parameters, sensors, drifts)
    return replace(fit, remarks=(*dict.fromkeys(said), *fit.remarks))


def _screened(
    build: Build, runs: list[Run], parameters: Sequence[str],
    sensors: Mapping[str, Sensor], drifts: Sequence[Drift],
) -> Reconciliation:  # fmt: skip
    """Fit pulls, without what is odd beside the others."""
    remarks: list[str] = []
    fit = Reconciliation.fitted(build, runs, parameters, sensors, drifts)
    while len(runs) > 1:
        odd = odd_pull(fit)
        if odd is None:
            break
        remarks.append(odd.words([run.name for run in runs]))
        if not odd.named:
            break
        runs = _without(runs, odd)
        fit = Reconciliation.fitted(build, runs, parameters, sensors, drifts)
    return replace(fit, remarks=(*remarks, *fit.remarks))


def _without(runs: list[Run], odd: OddPull) -> list[Run]:
    """Return the pulls without the channel that is off, or without the pull that is."""
    kept = []
    for k, run in enumerate(runs):
        columns = {n: v for n, v in run.columns.items() if n != odd.channel}
        if k not in odd.pulls:
            kept.append(run)
        elif odd.channel and columns:
            kept.append(replace(run, columns=columns))
    return kept


def _listed(build: Build, pulls: Given | Mapping[str, Given]) -> list[tuple[str, MeasuredPull]]:
    """Return level and pull of each, in order."""
    by_level = pulls if isinstance(pulls, Mapping) else {build.level_name: pulls}
    listed = [(str(level), pull) for level, some in by_level.items() for pull in _several(some)]
    if not listed:
        raise refusal("reconcile", "pulls", quoted(pulls), "hold at least one MeasuredPull")
    return listed


def _several(pulls: Given) -> Sequence[MeasuredPull]:
    if isinstance(pulls, MeasuredPull):
        return [pulls]
    return [] if isinstance(pulls, str) else list(pulls)


def _steps(
    rounding: Mapping[str, str | Sequence[str]] | None,
) -> dict[str, NDArray[np.float64]]:
    steps = {}
    for name, texts in (rounding or {}).items():
        kind = quantity(name, "rounding").kind
        # A last digit is a difference: a degree counts without its zero, a gauge likewise.
        kind = {"temperature": "temperature_difference", "pressure": "pressure_difference"}.get(
            kind, kind
        )
        field = f"rounding.{name}"
        rows = [texts] if isinstance(texts, str) else list(texts)
        steps[name] = np.array(
            [float(to_si(t, kind, where="reconcile", field=field)) if t else 0.0 for t in rows]
        )
    return steps
