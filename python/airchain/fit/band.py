"""Mean and spread of what a fitted chain says where it was not yet measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from .fitted_chain import FittedChain
from .load_drift import LOADS, Loads, spreads
from .own_error import OwnError
from .parameters import applied
from .problem import Channel, ambient_of, answers
from .sensors import Sensor, bias_size

Array = NDArray[np.float64]
_STEP = 1e-4


def sensitivities(
    fit: FittedChain, chain: _core.Chain, speeds: Array, columns: Sequence[str]
) -> tuple[dict[str, Array], dict[str, Array]]:
    """Return the fitted chain's columns and their change a prior width of each unknown."""
    problem = fit.problem
    low, high = problem.bounds
    z = fit.z
    base = answers(applied(chain, problem.unknowns, problem.values(z)), speeds, columns)
    slopes: dict[str, list[Array]] = {name: [] for name in columns}
    for j in range(z.size):
        up, down = z.copy(), z.copy()
        up[j], down[j] = min(z[j] + _STEP, high[j]), max(z[j] - _STEP, low[j])
        ends = [
            answers(applied(chain, problem.unknowns, problem.values(x)), speeds, columns)
            for x in (up, down)
        ]
        for name in columns:
            slopes[name].append(_slope(base[name], ends, (z[j], up[j], down[j]), name))
    return base, {name: np.stack(s, axis=1) for name, s in slopes.items()}


def _slope(base: Array, ends: list[dict[str, Array]], at: tuple[float, float, float],
           name: str) -> Array:  # fmt: skip
    """Return the slope between both ends, or from one where the other has no answer."""
    (here, up, down), (high, low) = at, (end[name] for end in ends)
    slope = (high - low) / (up - down)
    for end, place in ((high, up), (low, down)):
        if place != here:
            slope = np.where(np.isfinite(slope), slope, (end - base) / (place - here))
    return slope


def drifts(
    fit: FittedChain, chain: _core.Chain, rpm: Array, columns: Sequence[str]
) -> dict[str, Array]:
    """Return each column's standard deviation by each part's drift away from the measured loads.

    How far that is, is judged with the fitted chain, there and at the pulls.
    """
    runs, unknowns = fit.problem.runs, fit.problem.unknowns
    fitted = applied(chain, unknowns, fit.values)
    seen = [answers(applied(r.chain, unknowns, fit.values), r.speeds, LOADS) for r in runs]
    far = Loads.of(runs, seen).distance(rpm, answers(fitted, rpm * RPM, LOADS))
    return spreads(fit.problem.drifts, fitted, rpm * RPM, far, columns, answers, fit.parameters)


@dataclass(frozen=True)
class Site:
    """Where a channel is to be predicted: what the chain says there, how that moves, how it errs.

    `value` is the fitted chain's answer, `slopes` its change a prior width of each unknown,
    `drift` its standard deviation by each part's drift.
    """

    sensor: Sensor
    value: Array
    slopes: Array
    drift: Array
    rpm: Array
    level: float
    chain: _core.Chain

    @property
    def own(self) -> OwnError:
        """The chain's own error here."""
        levels = np.full(self.rpm.size, self.level)
        ambient = ambient_of(self.sensor, self.chain)
        # A pull that is none of those that were fitted.
        new = np.full(self.rpm.size, -1)
        return OwnError.of(self.sensor, self.value, ambient, self.rpm, levels, new, self.drift)


def forecast(fit: FittedChain, site: Site, channel: Channel | None,
             slopes_there: Array | None) -> tuple[Array, dict[str, Array]]:  # fmt: skip
    """Return shift of the mean, and covariances by cause: the unknowns, the chain's own error at
    the loads measured and of each part beyond them, a reading's bias.

    Speeds at which the chain has no answer say nothing of the others, and get NaN.
    """
    solved = np.isfinite(site.value) & np.isfinite(site.slopes).all(axis=1)
    where = replace(site, value=site.value[solved], slopes=site.slopes[solved],
                    drift=site.drift[solved], rpm=site.rpm[solved])  # fmt: skip
    some_shift, some_causes = _forecast(fit, where, channel, slopes_there)
    shift = np.full(solved.size, np.nan)
    shift[solved] = some_shift
    causes = {}
    for cause, covariance in some_causes.items():
        causes[cause] = np.full((solved.size, solved.size), np.nan)
        causes[cause][np.ix_(solved, solved)] = covariance
    return shift, causes


def _forecast(fit: FittedChain, site: Site, channel: Channel | None,
              slopes_there: Array | None) -> tuple[Array, dict[str, Array]]:  # fmt: skip
    """Return it where the chain has answers.

    The chain's own error is carried over from the readings by Gaussian conditioning (universal
    kriging; Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, sec. 2.7):

        shift = K* C^-1 r,   V = K** - K* C^-1 K*' + (J - K* C^-1 J_r) V_x (J - K* C^-1 J_r)'

    A cause's share of the two first terms is its covariance with the whole error.
    """
    own = site.own
    parts = own.shared(own)
    shift, G = np.zeros(site.rpm.size), site.slopes
    if channel is not None and slopes_there is not None:
        residual = channel.y - fit.computed[fit.channels.index(channel.name)]
        rows = np.isfinite(residual)
        crosses = {cause: cross[:, rows] for cause, cross in own.shared(channel.own).items()}
        gain = channel.weighted(np.sum([*crosses.values()], axis=0).T, rows).T
        shift = gain @ residual[rows]
        for name, cross in crosses.items():
            known = gain @ cross.T
            parts[name] = parts[name] - 0.5 * (known + known.T)
        G = G - gain @ slopes_there[rows]
    widths = fit.problem.widths
    posterior = fit.covariance / np.outer(widths, widths)
    bias = bias_size(site.sensor, site.value)
    return shift, {"unknowns": G @ posterior @ G.T, **parts, "sensor": np.outer(bias, bias)}
