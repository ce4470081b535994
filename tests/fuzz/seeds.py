"""Files that fuzzing starts from, each one whole."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

import airchain
from airchain.calibration.tables import FORMS, CalibrationTable, CalibrationTables, CylinderTrims

_CAMS = ("[engine.camshaft", "[engine.intake_port", "[engine.exhaust_port", "[engine.runner",
         "[engine.primary", "[engine.plenum", "[engine.collectors")  # fmt: skip
_OF_CAMS = re.compile(r"(?m)^(rod_length|firing_order|crank|banks)\b.*\n")
_TYPED = """\
[engine.volumetric_efficiency]
rpm = [2000, 3000, 4000, 5000, 5500, 6000, 6500, 7000, 8000]
pressure_ratio = [0.5, 1.0, 2.0]
values = [
  [0.76, 0.83, 0.90, 0.95, 0.96, 0.96, 0.94, 0.91, 0.82],
  [0.84, 0.91, 0.98, 1.03, 1.05, 1.05, 1.03, 0.99, 0.89],
  [0.87, 0.94, 1.01, 1.06, 1.08, 1.08, 1.06, 1.02, 0.92],
]
reference_temperature = "100 degF"

"""
_RUN = """
[run]
times = 3

[[run.phases]]
name = "staging"
kind = "light load"
time = "60 s"
heat = "1 kW"
ice_added = "2 lb"

[[run.phases]]
name = "climb"
kind = "full power"
distance = "1200 m"
road_speed = "35 m/s"
from_speed = "5200 rpm"
to_speed = "7400 rpm"
gears = 3
"""


def road(root: Path) -> str:
    """The demo's build file with its breathing typed, so that it loads at once."""
    text = (root / "demo" / "ridge_road.toml").read_text()
    tables = [t for t in re.split(r"(?m)^(?=\[)", text) if not t.startswith(_CAMS)]
    tables = [_OF_CAMS.sub("", t) for t in tables]
    tables = [re.sub(r"(?m)^work_scale\b.*$", "quality = 0.86", t) for t in tables]
    place = next(i for i, t in enumerate(tables) if t.startswith("[engine]"))
    return "".join([*tables[: place + 1], _TYPED, *tables[place + 1 :], _RUN])


def builds(root: Path) -> list[str]:
    """Build files that load without any cycle."""
    one = (root / "examples" / "one_point.toml").read_text()
    full = (root / "tests" / "python" / "data" / "dyno_540.toml").read_text()
    return [one, full, road(root), road(root)]


def blower(root: Path) -> str:
    """The map that one of them names."""
    return (root / "examples" / "one_point_map.csv").read_text()


def calibration() -> CalibrationTables:
    """A small invented calibration."""
    rpm, pressure = np.array([2000.0, 4000.0, 6000.0]), np.array([6e4, 1e5, 1.6e5, 2.2e5])
    grid = np.linspace(0.5, 1.1, 12).reshape(4, 3)
    grid[3, 0] = np.nan
    tables = {name: CalibrationTable(name, rpm, pressure, grid) for name in FORMS}
    trims = {
        "temperature": np.array([290.0, 320.0]),
        "volumetric_efficiency": np.full((2, 3), 1.01),
        "fuel": np.full((2, 3), 0.98),
    }
    words = [["cycle"] * 3 for _ in pressure]
    apart = CylinderTrims(rpm, np.full((3, 4), 1.25), np.array([[0.0, 1.5, np.nan, 2.0]] * 3))
    return CalibrationTables(
        "invented", tables, 310.0, trims, words, ["Invented."], "0" * 64, {"full": apart}
    )


def measured() -> airchain.MeasuredPull:
    """A pull of the example engine with some noise, invented."""
    rpm = np.arange(3000.0, 7400.0, 100.0)
    draw = np.random.default_rng(3)
    build = airchain.load(Path(__file__).resolve().parents[2] / "examples" / "one_point.toml")
    pull = build.pull(rpm)
    solved = pull.matched
    columns = {
        "engine_speed": pull.columns["engine_speed"][solved],
        "torque": pull.columns["torque"][solved] * draw.normal(1.0, 0.003, int(solved.sum())),
        "plenum_pressure": pull.columns["plenum_pressure"][solved],
    }
    weather = {"barometer": 98e3, "ambient_temperature": 300.0, "vapour_pressure": 1400.0}
    return airchain.MeasuredPull.of("one", columns, weather)
