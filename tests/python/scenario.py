"""The demo's build, loaded and pulled once for all tests that ask about it."""

import atexit
import re
import shutil
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import airchain
from airchain.chain import Ladder

FILE = Path(__file__).resolve().parents[2] / "demo" / "ridge_road.toml"


@cache
def quick() -> Path:
    """The demo's file with a coarse surface, for what runs in a process of its own."""
    folder = Path(tempfile.mkdtemp(prefix="airchain-demo-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    text, count = re.subn(
        r"^\[engine\].*\n", r'\g<0>breathing = "coarse surface"\n', FILE.read_text(), flags=re.M
    )
    assert count == 1
    (folder / FILE.name).write_text(text)
    return folder / FILE.name


@cache
def steps() -> Ladder:
    """The demo's ladder."""
    return airchain.ladder(airchain.load(FILE))


@cache
def typed() -> airchain.Build:
    """The demo's build without its cams: volumetric efficiency as somebody typed it."""
    cams = ("camshaft", "intake_port", "exhaust_port", "runner", "primary", "rod_length",
            "firing_order", "crank", "banks", "plenum", "collectors")  # fmt: skip
    table = {
        "rpm": [2000, 3000, 4000, 5000, 5500, 6000, 6500, 7000, 8000],
        "pressure_ratio": [0.5, 1.0, 2.0],
        "values": [
            [0.76, 0.83, 0.90, 0.95, 0.96, 0.96, 0.94, 0.91, 0.82],
            [0.84, 0.91, 0.98, 1.03, 1.05, 1.05, 1.03, 0.99, 0.89],
            [0.87, 0.94, 1.01, 1.06, 1.08, 1.08, 1.06, 1.02, 0.92],
        ],
        "reference_temperature": "100 degF",
    }
    changes: dict[str, Any] = {f"engine.{name}": None for name in cams}
    changes |= {f"engine.volumetric_efficiency.{name}": value for name, value in table.items()}
    # One loss of the valves, as its cycles have it at all loads.
    changes |= {"combustion.work_scale": None, "combustion.quality": 0.86}
    changes["engine.valve_loss"] = 77.0
    changes["plan.cylinders.worst_cylinder"] = 1.04
    return airchain.load(FILE).replace(changes)


def full() -> airchain.Build:
    """The demo's build on its highest drive step."""
    return steps().build.level("full")


FORCED = ("compressor", "drive", "levels", "discharge", "cooler", "bypass", "lift_off", "plan")


def aspirated() -> airchain.Build:
    """The demo's engine as it was before, with few parts to tell of."""
    return steps().build.replace(dict.fromkeys(FORCED))


@cache
def bare() -> airchain.Build:
    """The same without cams: the fewest parts, and no cycles to run."""
    return typed().replace(dict.fromkeys(FORCED))


def iced(level: str = "full", of: airchain.Build | None = None) -> airchain.Build:
    """The demo's build, or another, with its cooler fed from an invented tank of ice water."""
    tank = {
        "cooler.kind": "ice_tank",
        "cooler.coolant_temperature": None,
        "cooler.water_mass": "25 lb",
        "cooler.ice_mass": "10 lb",
        "cooler.water_temperature": "35 degF",
        "cooler.ice_conductance": "3000 W/K",
    }
    return (of or airchain.load(FILE)).replace(tank).level(level)
