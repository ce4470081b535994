"""Mean and spread of what a fitted chain says where it was not yet measured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ._parameters import applied
from ._problem import Channel, ambient_of, answers
from ._sensors import Sensor, alike, bias_size, structure_size

Array = NDArray[np.float64]
_STEP = 1e-4


def sensitivities(found: Any, chain: Any, speeds: Array, columns: Sequence[str]) -> Any:
    """Return the fitted chain's columns and their change a prior width of each unknown."""
    problem = found._problem
    low, high = problem.bounds
    z = found._z
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


def forecast(found: Any, sensor: Sensor, channel: Channel | None, slopes_there: Array | None,
             f: Array, J: Array, rpm: Array, level: float, chain: Any) -> Any:  # fmt: skip
    """Return shift of the mean, and covariances: of unknowns, of the chain's own error, of a
    reading's bias.

    The chain's own error is carried over from the readings by Gaussian conditioning (universal
    kriging; Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, sec. 2.7):

        shift = K* C^-1 r,   V = K** - K* C^-1 K*' + (J - K* C^-1 J_r) V_x (J - K* C^-1 J_r)'
    """
    s = structure_size(sensor, f, ambient_of(sensor, chain))
    levels = np.full(rpm.size, level)
    own = alike(rpm, levels, rpm, levels) * np.outer(s, s)
    shift = np.zeros(rpm.size)
    G = np.nan_to_num(J)
    if channel is not None and slopes_there is not None:
        cross = alike(rpm, levels, channel.rpm, channel.level) * np.outer(s, channel.structure)
        gain = channel.weighted(cross.T).T
        i = found.channels.index(channel.name)
        shift = gain @ (channel.y - found._computed[i])
        own = own - gain @ cross.T
        G = G - gain @ slopes_there
    widths = found._problem.widths
    posterior = found.covariance / np.outer(widths, widths)
    bias = bias_size(sensor, f)
    return shift, G @ posterior @ G.T, own, np.outer(bias, bias)
