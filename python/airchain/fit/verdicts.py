"""What a fit can and cannot tell, in sentences."""

from __future__ import annotations

import numpy as np

from .checks import narrowing
from .comparison import UNTOLD
from .fitted_chain import FittedChain

#: Above this share of the prior's width an unknown was not learnt from the pulls.
_UNLEARNT = 0.8
_TOGETHER = 0.9
#: Mean square of whitened residuals above which no smooth chain fits a pull.
_ROUGH = 2.5


def fit_words(fit: FittedChain) -> list[str]:
    """Return sentences on unknowns at bounds, not learnt, or resting on the prior."""
    sentences = []
    readings = sum(c.y.size for c in fit.problem.channels)
    free = fit.shrinkage[~fit.at_bound]
    if readings < 2 * len(fit.unknowns) or (free.size and np.median(free) > _UNLEARNT):
        sentences.append(
            f"{readings} readings stand against {len(fit.unknowns)} unknowns: the answer rests "
            "mostly on the build's own figures (the prior), not on the measurement."
        )
    for i, unknown in enumerate(fit.unknowns):
        words = unknown.words.capitalize()
        if fit.at_bound[i]:
            sentences += _bound_words(fit, i)
        elif fit.shrinkage[i] > _UNLEARNT:
            sentences.append(f"{words} is not identified by these pulls: its interval is that of "
                             "the build.")  # fmt: skip
        if abs(fit.z[i]) > 2.5:
            sentences.append(f"{words} lies {abs(fit.z[i]):.1f} prior widths from the build. "
                             "Look for a wrong figure there first.")  # fmt: skip
    asked = set(fit.parameters)
    confusable = {"belt_slip", "inlet_loss", "compressor_flow"} & asked
    if "rotor_speed" not in fit.channels and (len(confusable) > 1 or "belt_slip" in asked):
        sentences.append(UNTOLD)
    return sentences


def _bound_words(fit: FittedChain, i: int) -> list[str]:
    unknown = fit.unknowns[i]
    sentences = [
        f"{unknown.words.capitalize()} stands at its bound {fit.values[i]:.3f}. It has no "
        "interval, and what pushes it there lies elsewhere in the model."
    ]
    if unknown.name == "cooler_effectiveness" and fit.values[i] > unknown.mean:
        sentences.append(
            "At that bound the charge would leave the cooler as cold as its coolant, which no "
            "cooler does. Look at the coolant's temperature and at the lag of the charge "
            "thermocouple."
        )
    return sentences


def correlation_words(fit: FittedChain) -> list[str]:
    """Return a sentence for each pair that moves together."""
    sentences = []
    for i, a in enumerate(fit.unknowns):
        for j, b in enumerate(fit.unknowns[:i]):
            r = fit.correlations[i, j]
            if abs(r) > _TOGETHER:
                way = "against" if r < 0 else "with"
                sentences.append(f"{a.words.capitalize()} is known only {way} {b.words} "
                                 f"(correlation {r:+.2f}).")  # fmt: skip
    return sentences


def roughness(fit: FittedChain) -> list[float]:
    """Mean square of each pull's residuals over what its own errors allow [dimensionless]."""
    sums, counts = np.zeros(len(fit.problem.runs)), np.zeros(len(fit.problem.runs))
    for c, f in zip(fit.problem.channels, fit.computed, strict=True):
        for k in np.unique(c.run):
            rows = c.run == k
            block = c.covariance[np.ix_(rows, rows)]
            r = c.y[rows] - f[rows]
            sums[k] += float(r @ np.linalg.solve(block, r))
            counts[k] += rows.sum()
    return [float(v) for v in sums / np.maximum(counts, 1)]


def pull_words(fit: FittedChain) -> list[str]:
    """Return a sentence for each pull that no smooth chain fits."""
    return [
        f"The readings of {run.name} scatter {np.sqrt(square):.1f} times more than sensors and "
        "chain allow. Do not use this pull before the cause is found."
        for run, square in zip(fit.problem.runs, roughness(fit), strict=True)
        if square > _ROUGH
    ]


def sensor_words(fit: FittedChain) -> list[str]:
    """Return what one more sensor would pin down, the best first."""
    gains = []
    for name, sensor in fit.problem.sensors.items():
        if name not in fit.channels:
            ratios = narrowing(fit, name)
            best = int(np.argmin(ratios))
            if ratios[best] < 0.95:
                gains.append((float(ratios[best]), sensor.words, fit.unknowns[best].words))
    return [
        f"A sensor of {words} would narrow the interval of {what} to {100 * ratio:.0f} % of what "
        "it is."
        for ratio, words, what in sorted(gains)[:3]
    ]
