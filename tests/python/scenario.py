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


def aspirated() -> airchain.Build:
    """The demo's engine as it was before, with few parts to tell of."""
    build = steps().build
    forced = ("compressor", "drive", "levels", "discharge", "cooler", "plan")
    return build.replace(dict.fromkeys(forced))


def iced(level: str = "full") -> airchain.Build:
    """The demo's build with its cooler fed from a tank of ice water, invented like the rest."""
    tank = {
        "cooler.kind": "ice_tank",
        "cooler.coolant_temperature": None,
        "cooler.water_mass": "25 lb",
        "cooler.ice_mass": "10 lb",
        "cooler.water_temperature": "35 degF",
        "cooler.ice_conductance": "3000 W/K",
    }
    return airchain.load(FILE).replace(tank).level(level)
