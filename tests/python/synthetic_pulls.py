"""Synthetic pulls of the independent chain, and the build that a user would type for it."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import numpy as np

import airchain
from independent_chain import (
    DESIGN,
    Truth,
    breathing,
    efficiency,
    log_ratio,
    point,
)

UNKNOWNS = (
    "volumetric_efficiency",
    "indicated_efficiency",
    "compressor_head",
    "compressor_flow",
    "cooler_effectiveness",
)
WIDTHS = dict(zip(UNKNOWNS, (0.05, 0.04, 0.06, 0.06, 0.1), strict=True))
DRIVES = {"tame": 33.0 / 40.0, "middle": 36.0 / 37.0, "full": 40.0 / 33.0, "high": 41.0 / 32.0}
RATE, LAG = 300.0, 1.5
READ = ("air_flow", "plenum_pressure", "plenum_temperature", "torque")
# What each part errs by at half as much load again: as the fit states, of the cooler a little more.
GROWTH = {
    "volumetric_efficiency": 0.023,
    "indicated_efficiency": 0.04,
    "compressor_head": 0.03,
    "compressor_efficiency": 0.03,
    "cooler_effectiveness": 0.04,
}
BUILD = """
[build]
name = "independent chain"
notes = "invented for tests"
invented = true
[ambient]
pressure = "98 kPa"
temperature = "298.15 K"
humidity = "0 %"
[compressor]
map = "map.csv"
rotates = "against crank"
[[drive.links]]
kind = "gears"
driving_teeth = 40
driven_teeth = 33
efficiency = 0.955
[[drive.links]]
kind = "step_up"
speed_ratio = 4.75
efficiency = 1.0
[levels.tame]
gears = { driving_teeth = 40, driven_teeth = 33, flipped = true }
[levels.middle]
gears = { driving_teeth = 36, driven_teeth = 37 }
[levels.full]
gears = { driving_teeth = 40, driven_teeth = 33 }
[levels.high]
gears = { driving_teeth = 41, driven_teeth = 32 }
[cooler]
kind = "air_to_water"
effectiveness = 0.8
coolant_temperature = "308.15 K"
[charge_duct]
loss_coefficient = 0.5
diameter = "100 mm"
[throttle]
diameter = "300 mm"
[fuel]
name = "race_gasoline_leaded"
lambda = 0.86
place = "port"
evaporated_fraction = 0.0
temperature = "310 K"
[engine]
displacement = "7.0 L"
stroke = "101.6 mm"
compression_ratio = 9.2
redline = "7500 rpm"
friction_pressure = 0.0
[engine.volumetric_efficiency]
rpm = [RPM]
values = [VALUES]
reference_temperature = "310 K"
[combustion]
quality = 0.86
[exhaust]
loss_coefficient = 0.0
diameter = "200 mm"
"""


def _map() -> str:
    lines = [
        "# name = independent", "# origin = invented; formulas of the tests",
        "# reference_temperature = 298.15 K", "# reference_pressure = 101.325 kPa",
        "# left_end = last_point", "# right_end = last_point", "",
        "speed [rpm], flow [kg/s], pressure_ratio, efficiency",
    ]  # fmt: skip
    for n in (0.25, 0.4, 0.55, 0.7, 0.85, 1.0, 1.1):
        for phi in np.linspace(0.3, 1.75, 13):
            ratio = np.exp(log_ratio(phi) * n**2)
            rpm = n * DESIGN * 30.0 / np.pi
            lines.append(f"{rpm:.6f}, {phi * n:.8f}, {ratio:.8f}, {efficiency(phi):.8f}")
    return "\n".join(lines) + "\n"


STEP = """kind = "step_up"
speed_ratio = 4.75"""
BELT = """kind = "pulleys"
driving_diameter = "475 mm"
driven_diameter = "100 mm\""""


@cache
def build(belted: bool = False) -> airchain.Build:
    """The nominal engine as a build file; a belt may stand in the place of the step-up gears."""
    folder = Path(mkdtemp())
    rpm = np.arange(2500, 8001, 500)
    text = BUILD.replace(STEP, BELT) if belted else BUILD
    text = text.replace("RPM", ", ".join(map(str, rpm)))
    text = text.replace("VALUES", ", ".join(f"{breathing(float(n)):.6f}" for n in rpm))
    (folder / "map.csv").write_text(_map())
    (folder / "build.toml").write_text(text)
    return airchain.load(folder / "build.toml")


def truth(rng: np.random.Generator) -> Truth:
    """An engine off the nominal one by what a build is trusted for."""
    return Truth(**{n: 1.0 + w * float(np.clip(rng.normal(), -2, 2)) for n, w in WIDTHS.items()})


def growing(rng: np.random.Generator, real: Truth) -> Truth:
    """The same engine with parts that err more the further they are from the tame step's loads.

    Not in proportion to the distance, as the fit has it, but to a power of it.
    """

    def grown(size: float) -> Callable[[float, float], float]:
        over_speed, power = deviation(rng, size), rng.uniform(0.7, 1.4)

        def error(rpm: float, ratio: float) -> float:
            # Within what is ever solved for; the search for the flow looks further.
            far = np.clip(np.log(max(ratio, 1e-3)) / np.log(1.5), -2.0, 2.0)
            return float(over_speed(rpm) * np.sign(far) * abs(far) ** power)

        return error

    return replace(real, growth={n: grown(s) for n, s in GROWTH.items()}, held=DRIVES["tame"])


def deviation(rng: np.random.Generator, size: float) -> np.polynomial.Chebyshev:
    """A smooth error of the chain over engine speed, of the size given (standard deviation)."""
    return np.polynomial.Chebyshev(rng.normal(0.0, size / np.sqrt(2.5), 4), domain=(3000, 7400))


def measured(real: Truth, level: str, rng: np.random.Generator, own: dict | None = None,
             rows: int = 100, top: float = 7400.0) -> airchain.MeasuredPull:  # fmt: skip
    """A pull with bias, structural error, lag, noise and rounding."""
    rpm = np.linspace(3000.0, top, rows)
    solved = [point(real, float(n), DRIVES[level], 98e3, 298.15) for n in rpm]
    columns = {name: np.array([s[name] for s in solved]) for name in READ}
    time = (rpm - rpm[0]) / RATE
    own = own if own is not None else structure(rng)
    rise = columns["plenum_pressure"] - 98e3
    columns["torque"] *= 1.0 + own["torque"](rpm) + rng.normal(0, 0.01)
    columns["air_flow"] *= 1.0 + own["air_flow"](rpm) + rng.normal(0, 0.015)
    columns["plenum_pressure"] += rise * own["plenum_pressure"](rpm) + rng.normal(0, 700.0)
    hot = columns["plenum_temperature"]
    hot = hot + (hot - 298.15) * own["plenum_temperature"](rpm) + rng.normal(0, 1.5)
    columns["plenum_temperature"] = lagged(hot, time)
    noise = {"torque": 3.0, "air_flow": 0.004, "plenum_pressure": 300.0, "plenum_temperature": 0.5}
    digit = {"torque": 1.0, "air_flow": 0.001, "plenum_pressure": 500.0, "plenum_temperature": 0.5}
    for name, values in columns.items():
        read = values + rng.normal(0.0, noise[name], rpm.size)
        columns[name] = np.round(read / digit[name]) * digit[name]
    columns |= {"engine_speed": rpm * np.pi / 30.0, "time": time}
    weather = {"barometer": 98e3, "ambient_temperature": 298.15, "vapour_pressure": 0.0}
    return airchain.MeasuredPull.of(level, columns, weather)


def structure(rng: np.random.Generator) -> dict:
    """Errors of the chain that none of its unknowns can give; the same in each pull of a level."""
    sizes = {"torque": 0.01, "air_flow": 0.01, "plenum_pressure": 0.02, "plenum_temperature": 0.04}
    return {name: deviation(rng, size) for name, size in sizes.items()}


def lagged(values: np.ndarray, time: np.ndarray) -> np.ndarray:
    """A first-order sensor that starts settled to the slope it begins with."""
    read = np.empty_like(values)
    read[0] = values[0] - LAG * (values[1] - values[0]) / (time[1] - time[0])
    for i in range(1, values.size):
        share = 1.0 - np.exp(-(time[i] - time[i - 1]) / LAG)
        read[i] = read[i - 1] + share * (0.5 * (values[i] + values[i - 1]) - read[i - 1])
    return read
