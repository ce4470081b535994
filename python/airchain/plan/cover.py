"""The fewest parts to buy that give every level: an exact search.

A level has candidates, each a set of parts and a deviation from its target. Wanted is one
candidate a level so that

    (number of parts to buy, their price, sum of deviations, names of the parts)

is least in this order. Levels share parts: a pair bought for one serves another the other way
round. The search goes by the number of parts to buy, 0, 1, 2 ..., and keeps for every set of parts
within that number the best choice so far, level after level. Choices within one set differ in
deviation alone, which adds up level by level, so that none left out could have become the best:
the answer is that of trying everything.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

__all__ = ["Candidate", "Choice", "cheapest"]


@dataclass(frozen=True)
class Candidate:
    """One way to run a level.

    Attributes
    ----------
    index : int
        Number of its fitting [dimensionless].
    to_buy : frozenset of str
        Parts it needs that are not owned.
    deviation : float
        From the level's target, in tolerances [dimensionless].
    """

    index: int
    to_buy: frozenset[str]
    deviation: float


@dataclass(frozen=True)
class Choice:
    """One candidate for every level.

    Attributes
    ----------
    to_buy : frozenset of str
        Parts to buy for all of them.
    price : float
        Of those parts [currency].
    deviation : float
        Sum over the levels, in tolerances [dimensionless].
    fittings : tuple of int
        Number of each level's fitting [dimensionless].
    """

    to_buy: frozenset[str]
    price: float
    deviation: float
    fittings: tuple[int, ...]

    @property
    def rank(self) -> tuple[int, float, float, tuple[str, ...], tuple[int, ...]]:
        """What choices are ordered by, the least first [dimensionless]."""
        return (len(self.to_buy), self.price, self.deviation, tuple(sorted(self.to_buy)),
                self.fittings)  # fmt: skip


def cheapest(
    levels: Sequence[Sequence[Candidate]], prices: Mapping[str, float], wanted: int = 1
) -> list[Choice]:
    """Return the best choices, each with another set of parts to buy.

    Parameters
    ----------
    levels : sequence of sequence of Candidate
        What may run each level.
    prices : mapping
        Price of each part that is not owned, 0 or more [currency].
    wanted : int
        How many choices at most [dimensionless].

    Returns
    -------
    list of Choice
        The best first; empty where a level has no candidate.
    """
    if not all(levels):
        return []
    everything = frozenset[str]().union(*(c.to_buy for level in levels for c in level))
    most = sum(max(len(c.to_buy) for c in level) for level in levels)
    best_choices: list[Choice] = []
    for count in range(min(most, len(everything)) + 1):
        complete = _within(levels, prices, count)
        best_choices = sorted(complete, key=lambda choice: choice.rank)
        if len(best_choices) >= wanted:
            break
    return best_choices[:wanted]


def _within(
    levels: Sequence[Sequence[Candidate]], prices: Mapping[str, float], count: int
) -> list[Choice]:
    """The best choice for every set of at most `count` parts to buy."""
    best = {frozenset[str](): Choice(frozenset(), 0.0, 0.0, ())}
    for level in levels:
        after: dict[frozenset[str], Choice] = {}
        for so_far in best.values():
            for candidate in level:
                parts = so_far.to_buy | candidate.to_buy
                if len(parts) > count:
                    continue
                choice = Choice(
                    parts,
                    sum(prices[name] for name in sorted(parts)),
                    so_far.deviation + candidate.deviation,
                    (*so_far.fittings, candidate.index),
                )
                kept = after.get(parts)
                if kept is None or choice.rank < kept.rank:
                    after[parts] = choice
        best = after
    return list(best.values())
