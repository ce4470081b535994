"""The choice of parts is exact: it is what trying every combination finds."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airchain.plan.cover import Candidate, cheapest

PARTS = "abcde"
CANDIDATES = st.lists(
    st.tuples(st.sets(st.sampled_from(PARTS), max_size=2), st.integers(0, 8)), max_size=5
)
PRICES = st.fixed_dictionaries({name: st.integers(0, 3) for name in PARTS})


def brute_force(
    levels: list[list[Candidate]], prices: dict[str, float]
) -> list[tuple[int, float, float, tuple[str, ...]]]:
    """Every combination, the best of each set of parts, in order."""
    best: dict[frozenset[str], float] = {}
    for chosen in product(*levels):
        parts = frozenset().union(*(c.to_buy for c in chosen)) if chosen else frozenset()
        off = sum(c.deviation for c in chosen)
        best[parts] = min(off, best.get(parts, off))
    rows = [(len(p), sum(prices[n] for n in p), off, tuple(sorted(p))) for p, off in best.items()]
    return sorted(rows)


@given(st.lists(CANDIDATES, min_size=1, max_size=4), PRICES, st.integers(1, 4))
def test_agrees_with_brute_force(
    typed: list[list[tuple[set[str], int]]], prices: dict[str, int], wanted: int
) -> None:
    # Eighths add up without rounding, so that ties are ties in both.
    levels = [
        [Candidate(i, frozenset(parts), off / 8.0) for i, (parts, off) in enumerate(level)]
        for level in typed
    ]
    plain = {name: float(price) for name, price in prices.items()}
    found = cheapest(levels, plain, wanted)
    told = [(len(c.to_buy), c.price, c.deviation, tuple(sorted(c.to_buy))) for c in found]
    assert told == brute_force(levels, plain)[: len(told)]
    assert len(told) == min(wanted, len(brute_force(levels, plain)))
    for choice in found:
        rows = [level[i] for level, i in zip(levels, choice.fittings, strict=True)]
        assert frozenset().union(*(row.to_buy for row in rows)) == choice.to_buy
        assert sum(row.deviation for row in rows) == choice.deviation


def test_a_pair_bought_once_serves_two_levels() -> None:
    low = [Candidate(0, frozenset("a"), 0.5), Candidate(1, frozenset("b"), 0.0)]
    high = [Candidate(2, frozenset("a"), 0.5), Candidate(3, frozenset("c"), 0.0)]
    (best,) = cheapest([low, high], {"a": 9.0, "b": 1.0, "c": 1.0})
    assert best.to_buy == {"a"}
    assert best.fittings == (0, 2)


def test_ties_go_to_the_price_and_then_to_the_deviation() -> None:
    level = [
        Candidate(0, frozenset("a"), 0.0),
        Candidate(1, frozenset("b"), 0.9),
        Candidate(2, frozenset("c"), 0.2),
    ]
    found = cheapest([level], {"a": 3.0, "b": 2.0, "c": 2.0}, 3)
    assert [choice.fittings for choice in found] == [(2,), (1,), (0,)]


def test_a_level_without_candidate_has_no_choice() -> None:
    assert cheapest([[Candidate(0, frozenset(), 0.0)], []], {}) == []


def test_owned_parts_cost_nothing() -> None:
    level = [Candidate(0, frozenset(), 1.0), Candidate(1, frozenset("a"), 0.0)]
    found = cheapest([level], {"a": 1.0}, 2)
    assert found[0].to_buy == frozenset()
    assert found[0].price == 0.0
    assert found[1].price == pytest.approx(1.0)
