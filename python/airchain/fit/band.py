"""Mean and spread of what a fitted chain says where it was not yet measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from .fitted_chain import FittedChain
from .load_drift import LOADS, PARTS, Loads, spreads
from .parameters import applied
from .problem import Channel, ambient_of, answers
from .sensors import Sensor, alike, bias_size, over_speed, structure_size

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
            slopes[name].append((ends[0][name] - ends[1][name]) / (up[j] - down[j]))
    return base, {name: np.stack(s, axis=1) for name, s in slopes.items()}


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
    return spreads(fit.problem.drifts, fitted, rpm * RPM, far, columns, answers)


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

    def own(self, rpm: Array, level: Array, structure: Array, drift: Array) -> dict[str, Array]:
        """Covariance of the chain's own error here with that of readings elsewhere, by cause."""
        here = structure_size(self.sensor, self.value, ambient_of(self.sensor, self.chain))
        levels = np.full(self.rpm.size, self.level)
        smooth = alike(self.rpm, levels, rpm, level) * np.outer(here, structure)
        over = over_speed(self.rpm, rpm)
        parts = {part: np.outer(self.drift[:, j], drift[:, j]) * over
                 for j, part in enumerate(PARTS)}  # fmt: skip
        return {"chain": smooth, **parts}


def forecast(fit: FittedChain, site: Site, channel: Channel | None,
             slopes_there: Array | None) -> tuple[Array, dict[str, Array]]:  # fmt: skip
    """Return shift of the mean, and covariances by cause: the unknowns, the chain's own error at
    the loads measured and of each part beyond them, a reading's bias.

    The chain's own error is carried over from the readings by Gaussian conditioning (universal
    kriging; Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, sec. 2.7):

        shift = K* C^-1 r,   V = K** - K* C^-1 K*' + (J - K* C^-1 J_r) V_x (J - K* C^-1 J_r)'

    A cause's share of the two first terms is its covariance with the whole error.
    """
    size, levels = site.rpm.size, np.full(site.rpm.size, site.level)
    here = structure_size(site.sensor, site.value, ambient_of(site.sensor, site.chain))
    parts = site.own(site.rpm, levels, here, site.drift)
    shift, G = np.zeros(size), np.nan_to_num(site.slopes)
    if channel is not None and slopes_there is not None:
        crosses = site.own(channel.rpm, channel.level, channel.structure, channel.drift)
        gain = channel.weighted(np.sum([*crosses.values()], axis=0).T).T
        i = fit.channels.index(channel.name)
        shift = gain @ (channel.y - fit.computed[i])
        for name, cross in crosses.items():
            told = gain @ cross.T
            parts[name] = parts[name] - 0.5 * (told + told.T)
        G = G - gain @ slopes_there
    widths = fit.problem.widths
    posterior = fit.covariance / np.outer(widths, widths)
    bias = bias_size(site.sensor, site.value)
    return shift, {"unknowns": G @ posterior @ G.T, **parts, "sensor": np.outer(bias, bias)}
