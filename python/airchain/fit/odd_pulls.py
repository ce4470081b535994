"""Which pull does not belong to the others, or which of its channels: told from one fit.

A candidate says that one channel of one pull is off by a constant: by a pattern v (in proportion to
the reading, or the same at every speed) times an unknown of standard deviation 1. With r what the
fit leaves of the readings, C their covariance, S their slopes and H^-1 the fit's posterior, the
logarithm of its Bayes factor against no offset is (Kass and Raftery, J. Am. Stat. Assoc. 90, 1995,
for a linear model worked out)

    ln B = g^2/(2 (1 + D)) - ln(1 + D)/2,   g = v' C^-1 r,
    D = v' (C^-1 - C^-1 S H^-1 S' C^-1) v,   offset = g/(1 + D)

so that no pull need be left out and fitted again. A pull that is off in all its channels, each by
its own constant, is one more candidate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..measured.quantities import QUANTITIES
from ..units.convert import formatted
from .fitted_chain import FittedChain

Array = NDArray[np.float64]
#: What a channel may be off by where something is wrong, a standard deviation: as a share of the
#: reading, and in SI (common practice, no source).
_SHARES = {"torque": 0.1, "air_flow": 0.1, "fuel_flow": 0.1, "rotor_speed": 0.02}
_FAULTS = {
    "plenum_pressure": 8e3, "compressor_outlet_pressure": 8e3, "compressor_inlet_pressure": 2e3,
    "plenum_temperature": 12.0, "compressor_outlet_temperature": 15.0,
}  # fmt: skip
#: Chance that a pull is odd before it was looked at, and from which it is called so after.
_BEFORE, _SURE = 0.1, 0.9
_WHOLE = ""
#: Beyond this a Bayes factor's logarithm is as good as certain.
_CERTAIN = 600.0


@dataclass(frozen=True)
class Candidate:
    """One channel of one pull (or the whole pull) that may be off.

    `log_odds` is the logarithm of its Bayes factor; `offset` what it would be off by, as a share of
    the reading for torque, flows and speed, else in SI.
    """

    pull: int
    channel: str
    log_odds: float
    offset: float


@dataclass(frozen=True)
class OddPull:
    """What does not belong: the pulls that may be it (one where it is sure), and the channel.

    `channel` is empty where the pull is off in several ways.
    """

    pulls: tuple[int, ...]
    channel: str
    offset: float

    @property
    def named(self) -> bool:
        """Whether one pull is sure to be it."""
        return len(self.pulls) == 1

    def words(self, names: Sequence[str]) -> str:
        """Return a sentence on it, for the names of all pulls."""
        pull_names = [f"{names[k]} (pull {k + 1} of {len(names)})" for k in self.pulls]
        if not self.named:
            return (f"One of {' and '.join(pull_names)} does not belong to the others within their "
                    "errors. These pulls cannot tell which; run one of them again.")  # fmt: skip
        if not self.channel:
            return (f"{pull_names[0]} does not belong to the other pulls in more than one channel. "
                    "It was left out; find the cause.")  # fmt: skip
        words = QUANTITIES[self.channel].words
        return (f"The {words} of {pull_names[0]} reads {self._size()} what the other pulls say. "
                "It was left out of the fit; find the cause.")  # fmt: skip

    def _size(self) -> str:
        if self.channel in _SHARES:
            return f"{1.0 + self.offset:.2f} times"
        kind = f"{QUANTITIES[self.channel].kind}_difference"
        way = "more than" if self.offset > 0.0 else "less than"
        return f"{formatted(abs(self.offset), kind)} {way}"


def odd_pull(fit: FittedChain) -> OddPull | None:
    """Return what does not belong to the other pulls of a fit, None where all do."""
    suspects = candidates(fit)
    pulls = len(fit.problem.runs)
    weights = np.zeros(pulls)
    for k in range(pulls):
        own = [c for c in suspects if c.pull == k]
        weights[k] = sum(_BEFORE / len(own) * np.exp(c.log_odds) for c in own)
    odd = weights.sum()
    if odd / (1.0 + odd) < _SURE:
        return None
    ranked = np.argsort(-weights)
    best = int(ranked[0])
    if weights[best] < _SURE * odd:
        enough = int(np.searchsorted(np.cumsum(weights[ranked]), _SURE * odd)) + 1
        return OddPull(tuple(sorted(int(k) for k in ranked[:enough])), _WHOLE, 0.0)
    own = sorted((c for c in suspects if c.pull == best), key=lambda c: -c.log_odds)
    shares = np.exp([c.log_odds - own[0].log_odds for c in own])
    sure = own[0].channel and _SURE * shares.sum() <= 1.0
    return OddPull((best,), own[0].channel if sure else _WHOLE, own[0].offset)


def candidates(fit: FittedChain) -> list[Candidate]:
    """Return every channel of every pull, and every whole pull, as a candidate."""
    suspects = []
    for k in range(len(fit.problem.runs)):
        patterns = [
            (i, _pattern(fit, k, i))
            for i, c in enumerate(fit.problem.channels)
            if (c.run == k).any()
        ]
        for i, v in patterns:
            log_odds, offset = _evidence(fit, [(i, v)])
            name = fit.problem.channels[i].name
            size = _SHARES.get(name) or _FAULTS[name]
            suspects.append(Candidate(k, name, log_odds, offset * size))
        if len(patterns) > 1:
            suspects.append(Candidate(k, _WHOLE, _evidence(fit, patterns)[0], 0.0))
    return suspects


def _pattern(fit: FittedChain, k: int, i: int) -> Array:
    """Return what one standard deviation of a fault adds to the rows of a channel [SI]."""
    channel = fit.problem.channels[i]
    if channel.name in _SHARES:
        size = _SHARES[channel.name] * np.abs(np.nan_to_num(fit.computed[i]))
    else:
        size = np.full(channel.y.size, _FAULTS[channel.name])
    return np.where(channel.run == k, size, 0.0)


def _evidence(fit: FittedChain, patterns: Sequence[tuple[int, Array]]) -> tuple[float, float]:
    """Return the logarithm of the Bayes factor of offsets in these patterns, and the first one."""
    channels, size = fit.problem.channels, len(patterns)
    by_channel = [np.zeros((c.y.size, size)) for c in channels]
    for j, (i, v) in enumerate(patterns):
        by_channel[i][:, j] = v
    V = np.concatenate(by_channel)
    weighted = fit.problem.weighted(V)
    left = [np.nan_to_num(c.y - f) for c, f in zip(channels, fit.computed, strict=True)]
    g = weighted.T @ np.concatenate(left)
    slopes = weighted.T @ np.concatenate(fit.slopes)
    D = V.T @ weighted
    posterior = fit.covariance / np.outer(fit.problem.widths, fit.problem.widths)
    whole = np.eye(size) + D - slopes @ posterior @ slopes.T
    offsets = np.linalg.solve(whole, g)
    log_odds = 0.5 * float(g @ offsets) - 0.5 * float(np.linalg.slogdet(whole)[1])
    return min(log_odds, _CERTAIN), float(offsets[0])
