"""What a fit can and cannot tell, in sentences."""

from __future__ import annotations

from typing import Any

import numpy as np

#: Above this share of the prior's width an unknown was not learnt from the pulls.
_UNLEARNT = 0.8
_TOGETHER = 0.9
UNTOLD = "slip, a leak and a choking filter cannot be told apart without shaft speed"
#: Mean square of whitened residuals above which no smooth chain fits a pull.
_ROUGH = 2.5


def fit_words(found: Any) -> list[str]:
    """Return sentences on unknowns at bounds, not learnt, or resting on the prior."""
    said = []
    unknowns = found.unknowns
    readings = sum(c.y.size for c in found.problem.channels)
    free = found.shrinkage[~found.at_bound]
    if readings < 2 * len(unknowns) or (free.size and np.median(free) > _UNLEARNT):
        said.append(
            f"{readings} readings against {len(unknowns)} unknowns: the answer rests mostly on the "
            "build's own figures (the prior), not on the measurement"
        )
    for i, unknown in enumerate(unknowns):
        if found.at_bound[i]:
            said.append(f"{unknown.words} stands at its bound {found.values[i]:.3f}: it has no "
                        "interval, and what pushes it there is modelled elsewhere")  # fmt: skip
            if unknown.name == "cooler_effectiveness" and found.values[i] > unknown.mean:
                said.append("at that bound the charge would leave the cooler as cold as its "
                            "coolant, which no cooler does: look at the coolant's temperature and "
                            "at the lag of the charge thermocouple")  # fmt: skip
        elif found.shrinkage[i] > _UNLEARNT:
            said.append(f"{unknown.words} is not identified by these pulls: its interval is that "
                        "of the build")  # fmt: skip
        if abs(found.z[i]) > 2.5:
            said.append(f"{unknown.words} lies {abs(found.z[i]):.1f} prior widths from the build:"
                        " look for a wrong figure there first")  # fmt: skip
    asked = set(found.parameters)
    confusable = {"belt_slip", "inlet_loss", "compressor_flow"} & asked
    if "rotor_speed" not in found.channels and (len(confusable) > 1 or "belt_slip" in asked):
        said.append(UNTOLD)
    return said


def correlation_words(found: Any) -> list[str]:
    """Return a sentence for each pair that moves together."""
    said = []
    for i, a in enumerate(found.unknowns):
        for j, b in enumerate(found.unknowns[:i]):
            r = found.correlations[i, j]
            if abs(r) > _TOGETHER:
                way = "against" if r < 0 else "with"
                said.append(f"{a.words} is known only {way} {b.words} (correlation {r:+.2f})")
    return said


def roughness(found: Any) -> list[float]:
    """Mean square of each pull's residuals over what its own errors allow [dimensionless]."""
    sums, counts = np.zeros(len(found.problem.runs)), np.zeros(len(found.problem.runs))
    for c, f in zip(found.problem.channels, found.computed, strict=True):
        for k in np.unique(c.run):
            rows = c.run == k
            block = c.covariance[np.ix_(rows, rows)]
            r = c.y[rows] - f[rows]
            sums[k] += float(r @ np.linalg.solve(block, r))
            counts[k] += rows.sum()
    return [float(v) for v in sums / np.maximum(counts, 1)]


def pull_words(found: Any) -> list[str]:
    """Return a sentence for each pull that no smooth chain fits."""
    return [
        f"{run.name}: its readings scatter {np.sqrt(q):.1f} times more than sensors and chain "
        "allow: do not use it before the cause is found"
        for run, q in zip(found.problem.runs, roughness(found), strict=True)
        if q > _ROUGH
    ]


def sensor_words(found: Any) -> list[str]:
    """Return what one more sensor would pin down, the best first."""
    from ._sensing import narrowing

    gains = []
    for name, sensor in found.problem.sensors.items():
        if name not in found.channels:
            ratios = narrowing(found, name)
            best = int(np.argmin(ratios))
            if ratios[best] < 0.95:
                gains.append((float(ratios[best]), sensor.words, found.unknowns[best].words))
    return [
        f"a sensor of {words} would narrow the interval of {what} to {100 * ratio:.0f} % of what "
        "it is"
        for ratio, words, what in sorted(gains)[:3]
    ]
