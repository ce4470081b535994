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
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..measured.quantities import QUANTITIES
from ..shown.words import listed
from ..units.convert import formatted
from .fault_words import size
from .fitted_chain import FittedChain
from .parameters import applied
from .problem import answers
from .runs import Run

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
#: How often an offset of the size told is found, as the normal distribution's quantile; the largest
#: that is told, in standard deviations of a fault; and the channels that are told of.
_NINE_IN_TEN, _MOST = 1.2816, 10.0
_TOLD = ("torque", "plenum_pressure", "plenum_temperature", "air_flow")
#: Up to what offset [share] torque reads like another power standard, from what pressure [Pa] on
#: like another footing (common practice, no source).
_STANDARD, _FOOTING = 0.06, 6e4


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

    `channel` is empty where the pull is off in several ways; `suspect` is then the channel that
    would explain most alone.
    """

    pulls: tuple[int, ...]
    channel: str
    offset: float
    suspect: str = ""

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
                f"It was left out of the fit. {self._look()}")  # fmt: skip

    def _look(self) -> str:
        """Return where to look first."""
        if self.channel == "torque" and abs(self.offset) <= _STANDARD:
            return "Another power standard reads so: look at the correction first."
        if self.channel.endswith("pressure"):
            if abs(self.offset) > _FOOTING:
                return "That is about one atmosphere: was a gauge taken for absolute?"
            return "Look at the barometer of that day, and at the sensor's zero."
        if self.channel.endswith("temperature"):
            return "Look at the probe: it is off by as much at all speeds."
        return "Look at the calibration of its sensor."

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
    # In logarithms: what is off by an atmosphere has odds that no number holds.
    odds = np.full(pulls, -np.inf)
    for k in range(pulls):
        own = [c for c in suspects if c.pull == k]
        if own:
            each = np.array([c.log_odds for c in own])
            odds[k] = np.logaddexp.reduce(each) + np.log(_BEFORE / len(own))
    whole = float(np.logaddexp.reduce(odds))
    if whole < np.log(_SURE / (1.0 - _SURE)):
        return None
    weights = np.exp(odds - whole)
    ranked = np.argsort(-weights)
    best = int(ranked[0])
    if weights[best] < _SURE:
        enough = int(np.searchsorted(np.cumsum(weights[ranked]), _SURE)) + 1
        return OddPull(tuple(sorted(int(k) for k in ranked[:enough])), _WHOLE, 0.0)
    own = sorted((c for c in suspects if c.pull == best), key=lambda c: -c.log_odds)
    shares = np.exp([c.log_odds - own[0].log_odds for c in own])
    sure = own[0].channel and _SURE * shares.sum() <= 1.0
    suspect = next(c.channel for c in own if c.channel)
    return OddPull((best,), own[0].channel if sure else _WHOLE, own[0].offset, suspect)


def only_suspect(odd: OddPull, run: Run, without: FittedChain) -> OddPull | None:
    """Return the odd pull as one whose suspect channel alone is off; None where more is.

    `without` is the fit without that channel, which fits. What is off by an atmosphere bends a fit
    so far that the other channels of its pull seem to be off too.
    """
    if odd_pull(without) is not None:
        return None
    column = without.problem.sensors[odd.suspect].column
    chain = applied(run.chain, without.unknowns, without.values)
    computed = answers(chain, run.speeds, [column])[column]
    off = run.columns[odd.suspect] - computed
    off = off / computed if odd.suspect in _SHARES else off
    return replace(odd, channel=odd.suspect, offset=float(np.nanmedian(off)))


def unseen(fit: FittedChain) -> dict[str, float]:
    """Return by channel the offset of one pull that would be found nine times in ten.

    It is a share of the reading or in SI, as in `Candidate`, of the pull where it is hardest to
    find. A channel of which no pull can be told odd is left out.
    """
    offsets, sizes = _Offsets.of(fit), dict[str, float]()
    pulls = [k for k, _ in offsets.places]
    for j, (k, i) in enumerate(offsets.places):
        count = pulls.count(k) + (pulls.count(k) > 1)
        needed = np.log(_SURE / (1.0 - _SURE) * count / _BEFORE)
        D = float(offsets.D[j, j])
        strike = np.sqrt(2.0 * (1.0 + D) * (needed + 0.5 * np.log1p(D)))
        least = (strike + _NINE_IN_TEN * np.sqrt(D)) / D if D > 0.0 else np.inf
        name = fit.problem.channels[i].name
        sizes[name] = max(sizes.get(name, 0.0), float(least) * _scale(name))
    return {name: size for name, size in sizes.items() if size < _MOST * _scale(name)}


def unseen_words(fit: FittedChain) -> list[str]:
    """Return a sentence on how far one of several pulls may be off without being told odd."""
    if len(fit.problem.runs) < 2:
        return []
    found = unseen(fit)
    sizes = [f"{size(name, found[name], sign=False)} of {QUANTITIES[name].words}"
             for name in _TOLD if name in found]  # fmt: skip
    if not sizes:
        return ["These pulls are too few to tell one of them odd, however far it is off."]
    return [f"One pull that is off beside the others by less than {listed(sizes, 'or')} may not "
            "be found."]  # fmt: skip


def candidates(fit: FittedChain) -> list[Candidate]:
    """Return every channel of every pull, and every whole pull, as a candidate."""
    suspects, offsets = [], _Offsets.of(fit)
    for k in range(len(fit.problem.runs)):
        own = [j for j, (pull, _) in enumerate(offsets.places) if pull == k]
        for j in own:
            log_odds, offset = offsets.evidence([j])
            name = fit.problem.channels[offsets.places[j][1]].name
            suspects.append(Candidate(k, name, log_odds, offset * _scale(name)))
        if len(own) > 1:
            suspects.append(Candidate(k, _WHOLE, offsets.evidence(own)[0], 0.0))
    return suspects


def _scale(name: str) -> float:
    return _SHARES.get(name) or _FAULTS[name]


@dataclass(frozen=True)
class _Offsets:
    """The patterns v of all channels of all pulls side by side, with their g and D.

    `places` are the pull and the number of the channel of each.
    """

    places: Sequence[tuple[int, int]]
    g: Array
    D: Array

    @classmethod
    def of(cls, fit: FittedChain) -> _Offsets:
        channels = fit.problem.channels
        places = [(k, i) for k in range(len(fit.problem.runs)) for i, c in enumerate(channels)
                  if (c.run == k).any()]  # fmt: skip
        starts = np.cumsum([0, *(c.y.size for c in channels)])
        V = np.zeros((int(starts[-1]), len(places)))
        for j, (k, i) in enumerate(places):
            V[starts[i] : starts[i + 1], j] = _pattern(fit, k, i)
        weighted = fit.problem.weighted(V)
        left = [np.nan_to_num(c.y - f) for c, f in zip(channels, fit.computed, strict=True)]
        slopes = weighted.T @ np.concatenate(fit.slopes)
        posterior = fit.covariance / np.outer(fit.problem.widths, fit.problem.widths)
        D = V.T @ weighted - slopes @ posterior @ slopes.T
        return cls(places, weighted.T @ np.concatenate(left), D)

    def evidence(self, some: Sequence[int]) -> tuple[float, float]:
        """Return the logarithm of the Bayes factor of some of the offsets, and the first one."""
        whole = np.eye(len(some)) + self.D[np.ix_(some, some)]
        g = self.g[list(some)]
        offsets = np.linalg.solve(whole, g)
        log_odds = 0.5 * float(g @ offsets) - 0.5 * float(np.linalg.slogdet(whole)[1])
        return log_odds, float(offsets[0])


def _pattern(fit: FittedChain, k: int, i: int) -> Array:
    """Return what one standard deviation of a fault adds to the rows of a channel [SI]."""
    channel = fit.problem.channels[i]
    size = np.full(channel.y.size, _scale(channel.name))
    if channel.name in _SHARES:
        size = size * np.abs(np.nan_to_num(fit.computed[i]))
    return np.where(channel.run == k, size, 0.0)
