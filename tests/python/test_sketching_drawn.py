"""Bands of sketches hold for engines drawn apart, and those too wide ask for what narrows them."""

from collections import defaultdict
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
import pytest

import airchain
import drawn_engines
from test_sketching import CALL, FIGURES

LEVELS = ("tame", "middle", "full")


class Judged(NamedTuple):
    """Whether values of engines drawn apart lie within, by level and figure, and full's widths."""

    inside: dict[tuple[str, str], list[bool]]
    widths: list[float]

    def share(self, level: str) -> float:
        """Share of a level's values that lie within their bands."""
        return float(np.mean([self.inside[level, name] for name in FIGURES]))


def judged(seeds: range) -> Judged:
    """Sketches of drawn engines, each asked until its band of full power may be planned on."""
    inside: dict[tuple[str, str], list[bool]] = defaultdict(list)
    widths = []
    for seed in seeds:
        engine = drawn_engines.drawn(seed)
        made = engine.sketched()
        for level in made.pairs:
            pull = engine.build.level(level).pull(made.bands.rpm)
            for name in FIGURES:
                value, half, _ = made.band(level, name)
                inside[level, name].append(bool(abs(np.nanmax(pull[name]) - value) <= half))
        power, half, _ = made.band("full", "power")
        widths.append(half / power)
    return Judged(inside, widths)


def test_a_few_engines_drawn_apart_lie_within_their_bands() -> None:
    found = judged(range(2))
    assert min(found.share(level) for level in LEVELS) >= 0.75
    assert max(found.widths) <= 0.15


@pytest.mark.slow
def test_fifty_engines_drawn_apart_lie_within_their_bands() -> None:
    """Engines of a first run, when 84 to 100 % lay within by level and figure, the widest 14.7 %.

    The first run on 5000 to 5049 had as little as 78 % of a level's boosts within. The exit of the
    wheel was mended after it, so those judge nothing any more.
    """
    found = judged(range(6000, 6050))
    for level in LEVELS:
        assert 0.82 <= found.share(level) <= 0.97, level
        for name in ("power", "boost"):
            assert np.mean(found.inside[level, name]) >= 0.82, (level, name)
    assert max(found.widths) <= 0.15


# A large engine on a small wheel: how much the inducer passes decides, and how wide the rim is.
def test_a_wide_band_asks_for_what_narrows_it() -> None:
    call = {**CALL, "bore": "4.6 in", "stroke": "4.25 in",
            "power": "600 hp at 6000 rpm, 585 hp at 6800 rpm",
            "levels": {"full": "40:33"}}  # fmt: skip
    told: dict[str, Any] = {}
    halves = []
    for _ in range(3):
        made = airchain.sketch("wide", **call, **told)
        power, half, _ = made.band("full", "power")
        halves.append(half / power)
        if not made.asks_for:
            break
        assert any("too wide to plan on" in note for note in made.notes)
        told[made.asks_for] = {"rated_flow": "99 lb/min", "exit_width": "8.3 mm"}[made.asks_for]
    assert told
    assert halves[0] > 0.15
    assert all(after < before for before, after in pairwise(halves))
