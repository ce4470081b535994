"""The demo's build, loaded and pulled once for all tests that ask about it."""

from functools import cache
from pathlib import Path

import airchain

FILE = Path(__file__).resolve().parents[2] / "demo" / "ridge_road.toml"


@cache
def steps() -> airchain.Ladder:
    """The demo's ladder."""
    return airchain.ladder(airchain.load(FILE))


def full() -> airchain.Build:
    """The demo's build on its highest drive step."""
    return steps().build.level("full")
