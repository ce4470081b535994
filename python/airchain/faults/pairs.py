"""Two faults at once, where one alone does not explain a pull.

Each fault of a pair is weighed beside the other one at its likeliest size: with e_a what the first
adds there, the chance of both is that of the second on readings less e_a, times the share of the
first's sizes that fit as well (from its chance over all sizes beside e_b). What both add together
is taken as the sum of what each adds alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from .evidence import Linear, Shape, Weighed, weighed_shape

#: Faults that a pair is built on, and pairs that are weighed both ways, the best first.
FIRST, _CLOSE = 8, 12.0
#: Share of a fault's readings that its shape may miss; chance that a faulty pull has a second one.
_OF_ITSELF, _SECOND = 0.5, 0.1


@dataclass(frozen=True)
class Both:
    """Two faults by name, each weighed beside the other; `evidence` is the logarithm of both."""

    names: tuple[str, str]
    ways: tuple[Weighed, Weighed]
    evidence: float


def both_weighed(linear: Linear, shapes: Sequence[tuple[str, Shape]],
                 done: Callable[[int], None]) -> list[Both]:  # fmt: skip
    """Return pairs of faults, the likeliest way of each, the best first.

    Parameters
    ----------
    linear : Linear
        The chain about the unknowns that the best fault alone leads to.
    shapes : sequence of tuple
        Every form by the name of its fault.
    done : callable
        Called with the number of first faults done, `FIRST` at most [dimensionless].

    Returns
    -------
    list of Both
        Pairs of different faults.
    """
    alone = [(name, shape, weighed_shape(linear, shape)) for name, shape in shapes]
    firsts = _best_of_each(alone)[:FIRST]
    drafts: dict[frozenset[str], tuple[float, tuple[str, Shape, Weighed], tuple[str, Shape]]] = {}
    for number, first in enumerate(firsts, 1):
        beside = replace(linear, b=linear.b - first[2].whitened)
        for name, shape in shapes:
            if name == first[0]:
                continue
            second, key = weighed_shape(beside, shape), frozenset((first[0], name))
            if not _apart(first[2], second):
                continue
            if key not in drafts or second.evidence > drafts[key][0]:
                drafts[key] = (second.evidence, (first[0], first[1], second), (name, shape))
        done(number)
    if not drafts:
        return []
    top = max(draft[0] for draft in drafts.values())
    pairs = [_both(linear, first, second) for evidence, first, second in drafts.values()
             if evidence > top - _CLOSE]  # fmt: skip
    return sorted((p for p in pairs if _apart(*p.ways)), key=lambda pair: -pair.evidence)


def _apart(one: Weighed, other: Weighed) -> bool:
    """Return whether each of two faults adds something that is not a correction of the other.

    What a fault's shape over speed misses of itself is no second fault.
    """
    return _adds_to(one, other) and _adds_to(other, one)


def _adds_to(one: Weighed, other: Weighed) -> bool:
    return any(
        np.linalg.norm(added) > _OF_ITSELF * np.linalg.norm(other.beyond.get(name, 0.0))
        for name, added in one.beyond.items()
    )


def _best_of_each(alone: Sequence[tuple[str, Shape, Weighed]]
                  ) -> list[tuple[str, Shape, Weighed]]:  # fmt: skip
    best: dict[str, tuple[str, Shape, Weighed]] = {}
    for one in alone:
        if one[0] not in best or one[2].evidence > best[one[0]][2].evidence:
            best[one[0]] = one
    return sorted(best.values(), key=lambda one: -one[2].evidence)


def _both(linear: Linear, first: tuple[str, Shape, Weighed], second: tuple[str, Shape]) -> Both:
    """Return a pair, the sizes of both sought in turn."""
    (name, shape, other), (other_name, other_shape) = first, second
    for _ in range(3):
        one = weighed_shape(replace(linear, b=linear.b - other.whitened), shape)
        other = weighed_shape(replace(linear, b=linear.b - one.whitened), other_shape)
    evidence = other.evidence + one.evidence - one.peak
    return Both((name, other_name), (one, other), evidence)


def chances(pairs: Sequence[Both], linear: Linear,
            shapes: Sequence[tuple[str, Shape]]) -> tuple[float, list[float]]:  # fmt: skip
    """Return the chance that two faults are at work rather than one, and that of each pair then.

    Parameters
    ----------
    pairs : sequence of Both
        Those that were weighed.
    linear : Linear
        The chain that they were weighed about.
    shapes : sequence of tuple
        Every form by the name of its fault.

    Returns
    -------
    tuple
        Both [dimensionless].
    """
    if not pairs:
        return 0.0, []
    names = sorted({name for name, _ in shapes})
    logs = []
    for name in names:
        ways = [weighed_shape(linear, shape).evidence for other, shape in shapes if other == name]
        logs.append(_mean_of(ways) - np.log(len(names)))
    count = max(len(names) * (len(names) - 1) // 2, 1)
    doubles = np.array([pair.evidence - np.log(count) for pair in pairs]) + np.log(_SECOND)
    top = max([*logs, *doubles])
    one, two = np.exp(np.array(logs) - top).sum(), np.exp(doubles - top)
    return float(two.sum() / (one + two.sum())), [float(t) for t in two / max(two.sum(), 1e-300)]


def _mean_of(logarithms: Sequence[float]) -> float:
    top = max(logarithms)
    return top + float(np.log(np.mean(np.exp(np.array(logarithms) - top))))
