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
from .odd_pulls import OddPull, odd_pull, only_suspect
from .reconciliation import Reconciliation
from .runs import Run, checked_pull, prepared
from .sensors import BESIDE, Sensor, sensors_of

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
    """Bring a build into agreement with measured pulls, and say how surely it is known.

    A computed engine differs from the one on the dyno. This changes a few of the build's figures,
    called unknowns, until the computed pulls agree best with the readings. Each unknown gets a
    90 % interval: the true value lies in it nine times out of ten.

    The chain is the model of the air's way from the weather to the cylinder. The fit weighs the
    readings against what was believed before them. That belief is the prior of
    an unknown: a mean, and a width that says how far the mean is trusted. The unknowns x that are
    found make this sum least:

        r' C^-1 r + sum of ((x - mean)/width)^2,   r = reading - chain(x)

    C is the covariance of the errors. It says how large each reading's error is expected to be,
    and which errors go together. It holds four kinds of error:

    - Each reading scatters, and is rounded to its last digit.
    - A sensor has a bias: it reads too high or too low all through a pull.
    - A slow sensor lags behind.
    - The chain has an error of its own. It changes smoothly with engine speed, is alike at
      neighbouring drive ratios, and grows away from the loads that were measured. An error in
      one part of the chain, such as the compressor, moves all channels together.

    Nobody has to say how large a bias or the chain's own error was. The fit counts every size by
    how likely it is, which makes the intervals as wide as they have to be.

    Where several pulls are given, the fit looks for one that disagrees with the others. If a
    single channel of a pull is off by a constant factor, that channel is left out. If several
    channels are off, the whole pull is left out. The notes name it.

    Parameters
    ----------
    build : Build
        The build as it is believed to be before the pulls. The priors stand around its values.
    pulls : mapping or sequence
        Pulls by the name of their drive level (one or a list). A build with at most one level, or
        on a level, takes a list of pulls too; where several levels stand, only rotor speed can
        tell the level of a pull that names none. A sweep's torque must be brought to steady running
        first (`MeasuredPull.steady`).
    parameters : sequence of str
        Which figures of the build are unknown, from ``volumetric_efficiency``,
        ``volumetric_efficiency_shape``, ``indicated_efficiency``, ``friction``,
        ``compressor_head``, ``compressor_flow``, ``compressor_efficiency``,
        ``cooler_effectiveness``, ``cooler_loss``, ``exhaust_loss``, ``inlet_loss`` and
        ``belt_slip``. All but the slip are factors on what the build says [dimensionless]: 1
        leaves it as it is. The slip is a share of the belt's speed [dimensionless].
    accuracy : mapping, optional
        How good the sensors are, where that is known better than the usual figures. For a
        channel, ``{"torque": {"bias": 0.02}}`` says that the sensor's bias is some 2 % of the
        reading: a standard deviation, within which two sensors of three stay [dimensionless].
        A floor, which is the least error near zero, and a lag are in SI. For a part of the chain,
        ``{"indicated_efficiency": {"drift": 0.02}}`` says that it errs by some 2 % where the load
        is half as high again as any that was measured [dimensionless].
    rounding : mapping, optional
        The step that a channel's readings are rounded to, with its unit, such as
        ``{"plenum_pressure": "1 psi"}``; or a list with one for each row of a pull, ``""`` for
        none. It goes before what the pull itself says (`MeasuredPull.rounding`). Where neither
        tells, the step is found from the readings, if there are twenty or more that show it.

    Returns
    -------
    Reconciliation
        The unknowns with their 90 % intervals, and what can and cannot be said of them.

    Raises
    ------
    InputError
        An unknown, a level or a channel has no such name, or the level of a pull is not known. A
        pull is no measured pull, or the chain has no answer where it was measured.
    """
    sensors, drifts = sensors_of(accuracy, PARTS), drifts_of(accuracy, build.trust)
    steps = _steps(rounding)
    listed, said = [], []
    for level, pull in _listed(build, pulls):
        checked_pull(pull, "reconcile", "pulls")
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
        names = [run.name for run in runs]
        if not odd.named:
            remarks.append(odd.words(names))
            break
        trial = replace(odd, channel=odd.channel or odd.suspect)
        fit = Reconciliation.fitted(build, _without(runs, trial), parameters, sensors, drifts)
        if not odd.channel:
            alone = only_suspect(odd, runs[odd.pulls[0]], fit) if fit.fits else None
            odd = alone or odd
            if alone is None:
                left = _without(runs, odd)
                fit = Reconciliation.fitted(build, left, parameters, sensors, drifts)
        remarks.append(odd.words(names))
        runs = list(fit.problem.runs)
    return replace(fit, remarks=(*remarks, *fit.remarks))


def _without(runs: list[Run], odd: OddPull) -> list[Run]:
    """Return the pulls without the channel that is off, or without the pull that is."""
    kept = []
    for k, run in enumerate(runs):
        columns = {n: v for n, v in run.columns.items() if n != odd.channel}
        if k not in odd.pulls:
            kept.append(run)
        elif odd.channel and columns.keys() - BESIDE.keys():
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
