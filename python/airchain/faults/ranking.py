"""Faults ranked by their chance, and what none of them explains."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..fit.problem import Problem, covariance_of
from ..fit.questions import Answers, asked
from .catalogue import BY_NAME
from .cylinders import Weakest
from .deciding import deciding_words
from .diagnosis import SURE, Diagnosis, Pair, Suspect
from .evidence import Linear, Weighed
from .pairs import Both
from .scene import Scene

Array = NDArray[np.float64]
#: Chance that something is wrong before the pull was looked at.
_BEFORE = 0.1
#: What the logarithm of a chance must gain on average for a fault to show.
_SHOWS = 7.0
#: Share of a fault's readings that its shape may miss.
_OF_ITSELF = 0.5


def ranked(problem: Problem, scene: Scene, sound: Linear, forms: Sequence[tuple[str, Weighed]],
           weak: Weakest | None) -> Diagnosis:  # fmt: skip
    """Return the diagnosis of weighed forms."""
    by_fault: dict[str, list[Weighed]] = {}
    for name, one in forms:
        by_fault.setdefault(name, []).append(one)
    logs = {}
    for name, ways in by_fault.items():
        evidences = np.array([one.evidence for one in ways])
        top = float(evidences.max())
        logs[name] = top + float(np.log(np.mean(np.exp(evidences - top)))) - sound.healthy
        if name == "cylinder_down" and weak is not None:
            logs[name] += weak.log_odds
    single, healthy = _chances(logs)
    suspects = sorted(
        (_suspect(name, by_fault[name], single[name]) for name in logs), key=lambda s: -s.chance
    )
    odd = healthy < 0.5 and bool(suspects)
    best = _best(by_fault[suspects[0].name]) if odd else None
    rest = _rest(problem, sound, best)
    diagnosis = Diagnosis(scene.run, tuple(suspects), healthy, rest, weak)
    decide = deciding_words(problem, scene, {
        s.name: _best(by_fault[s.name]) for s in diagnosis.rivals
    })  # fmt: skip
    return diagnosis.with_next(decide)


def with_pairs(diagnosis: Diagnosis, problem: Problem, sound: Linear, weighed_pairs: Sequence[Both],
               chance: tuple[float, list[float]]) -> Diagnosis:  # fmt: skip
    """Return a diagnosis that one fault does not explain with the pairs that do, if any do."""
    at_all, shares = chance
    if at_all < SURE:
        return diagnosis
    pairs = []
    for both, share in zip(weighed_pairs, shares, strict=True):
        (name, second), (way, beside) = both.names, both.ways
        pairs.append(Pair((_suspect(name, [way], share), _suspect(second, [beside], share)), share))
    one, other = weighed_pairs[0].ways
    beyond = dict(one.beyond)
    for name, added in other.beyond.items():
        beyond[name] = beyond[name] + added if name in beyond else added
    rest = _rest(problem, sound, replace(other, beyond=beyond))
    return replace(diagnosis, pairs=tuple(pairs), rest=rest, next_log="")


def _best(ways: Sequence[Weighed]) -> Weighed:
    return max(ways, key=lambda one: one.evidence)


def _suspect(name: str, ways: Sequence[Weighed], chance: float) -> Suspect:
    best = _best(ways)
    return Suspect(BY_NAME[name], chance, best.form.kind, best.size, best.low, best.high,
                   best.shown_from(_SHOWS), best.beyond)  # fmt: skip


def _chances(logs: dict[str, float]) -> tuple[dict[str, float], float]:
    """Return the chance of each fault, and that of none."""
    weights = {name: log + np.log(_BEFORE / len(logs)) for name, log in logs.items()}
    none = float(np.log(1.0 - _BEFORE))
    top = max([none, *weights.values()])
    whole = np.exp(none - top) + sum(np.exp(w - top) for w in weights.values())
    chances = {name: float(np.exp(w - top) / whole) for name, w in weights.items()}
    return chances, float(np.exp(none - top) / whole)


def _rest(problem: Problem, sound: Linear, best: Weighed | None) -> dict[str, Answers]:
    """Return the three questions' answers of each channel of the pull, the fault taken out."""
    z = sound.z if best is None else best.unknowns
    beyond = {} if best is None else best.beyond
    pull = len(problem.runs) - 1
    slopes, computed = problem.slopes(z), problem.computed(z)
    whitened = sound.readings.whitened(np.concatenate(slopes))
    whole = np.concatenate([whitened, np.eye(z.size)])
    posterior = covariance_of(whole)
    answers = {}
    for channel, f, S in zip(problem.channels, computed, slopes, strict=True):
        rows = channel.run == pull
        if not rows.any():
            continue
        extra = np.zeros(int(rows.sum()))
        if channel.name in beyond:
            extra = beyond[channel.name][channel.row[rows]]
        left = channel.y[rows] - f[rows] - extra
        # What a fault's own shape over speed leaves of itself is no second fault.
        if np.linalg.norm(left) < _OF_ITSELF * np.linalg.norm(extra):
            continue
        covariance = channel.covariance[np.ix_(rows, rows)] - S[rows] @ posterior @ S[rows].T
        answers[channel.name] = asked(channel.name, channel.own.rpm[rows],
                                      left, covariance, f[rows])  # fmt: skip
    return answers
