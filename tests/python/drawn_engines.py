"""Engines that no sketch was tuned on: whole builds drawn by rules of their own.

Nothing here shares code or proportions with the sketch. Lengths of the stage are drawn evenly over
wide ranges of published machines, areas apart from each other; filling has peaks, dips and a
fall of its own; the mean-line's answer is put off by factors. A dyno tells the sketch today's best
power, and that at redline, with an error of its own; asked for more, its owner reads the
compressor's name plate or puts calipers to the impeller. Seeds 0 to 19, 1000 to 1049, 2000 to 2049,
3000 to 3011, 4000 to 4049 and 5000 to 5049 were seen while the sketch was made; those from 6000 on
judge it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

import airchain
from airchain.chain import parse_build
from airchain.chain.changes import Weather
from airchain.measured.correct import reference_weather
from airchain.sketching import Sketch

STANDARD = "sae_j1349"
RPM = np.pi / 30.0


@dataclass(frozen=True)
class Drawn:
    """An engine, what its owner tells of it on the telephone, and what he can look up if asked."""

    build: airchain.Build
    call: dict[str, Any]
    looked_up: dict[str, str]

    def sketched(self) -> Sketch:
        """The sketch of what is told, and of what it asks for besides."""
        told = dict(self.call)
        made = airchain.sketch(**told)
        while made.asks_for in self.looked_up and made.asks_for not in told:
            told[made.asks_for] = self.looked_up[made.asks_for]
            made = airchain.sketch(**told)
        return made


def drawn(seed: int) -> Drawn:
    """The engine of a seed."""
    rng = np.random.default_rng([20261129, seed])
    bore, stroke = rng.uniform(0.096, 0.118), rng.uniform(0.085, 0.108)
    redline = round(rng.uniform(22.0, 26.5) * 30.0 / stroke / 100.0) * 100.0
    compression = rng.uniform(8.0, 10.8)
    text = "\n".join([
        _air(rng), _compressor(rng, bore, stroke, redline),
        _cooling(rng), _engine(rng, bore, stroke, compression, redline),
    ])  # fmt: skip
    build = parse_build(text, f"drawn {seed}")
    call = _call(rng, build, bore, stroke, compression, redline)
    plate = _plate(rng, build)
    width = float(build.document.tables["compressor"]["stage"]["impeller"]["exit_width"].split()[0])
    calipers = f"{1e3 * width * (1.0 + rng.normal(0.0, 0.01)):.1f} mm"
    return Drawn(build, call, {"rated_flow": plate, "exit_width": calipers})


def _plate(rng: np.random.Generator, build: airchain.Build) -> str:
    """The compressor's largest flow at its design speed, as its maker measured and rounded it."""
    blower = build.chain.compressor
    flow = blower.map.right_flow(blower.map.design_speed) * blower.flow_scale
    return f"{flow * (1.0 + rng.normal(0.0, 0.03)) * 60.0 / 0.45359237:.0f} lb/min"


def _between(rng: np.random.Generator, low: float, high: float) -> float:
    return float(rng.uniform(low, high))


def _air(rng: np.random.Generator) -> str:
    return f"""
[build]
name = "drawn"
invented = true
[ambient]
pressure = "98 kPa"
temperature = "27 degC"
humidity = "30 %"
[scoop]
temperature_rise = "{_between(rng, 0.0, 10.0)} K"
[inlet]
drop = "{_between(rng, 1.0, 4.0)} kPa"
at_flow = "{_between(rng, 0.8, 1.2)} kg/s"
[throttle]
diameter = "{_between(rng, 95.0, 130.0)} mm"
discharge_coefficient = {_between(rng, 0.8, 0.95)}
[discharge]
loss_coefficient = {_between(rng, 0.3, 0.9)}
diameter = "{_between(rng, 88.0, 105.0)} mm"
[charge_duct]
loss_coefficient = {_between(rng, 0.3, 0.8)}
diameter = "{_between(rng, 95.0, 110.0)} mm"
"""


def _compressor(rng: np.random.Generator, bore: float, stroke: float, redline: float) -> str:
    """A blower whose inducer suits some 1.7 to 2.3 times the air of today."""
    plain = 1.16 * 8 * np.pi / 4.0 * bore**2 * stroke * redline / 120.0
    exducer = float(np.sqrt(plain * rng.uniform(1.6, 2.2) / 1.05)) * rng.uniform(0.185, 0.205)
    inducer = exducer * rng.uniform(0.53, 0.60)
    limit = rng.uniform(440.0, 500.0) / (0.5 * exducer) / RPM
    hub, tip = inducer * rng.uniform(0.31, 0.41), np.radians(rng.uniform(57.0, 63.0))
    annulus = np.pi / 4.0 * (inducer**2 - hub**2)
    middle = np.arctan(np.tan(tip) * (0.5 * (inducer + hub)) / inducer)
    throat = annulus * np.cos(middle) * rng.uniform(0.86, 0.98)
    width, diffuser = exducer * rng.uniform(0.036, 0.050), exducer * rng.uniform(1.45, 1.75)
    scroll = exducer**2 * rng.uniform(0.085, 0.115)
    blades, clearance = int(rng.integers(7, 11)), exducer * rng.uniform(0.0015, 0.003)
    step_up = 4.5
    strongest = limit * rng.uniform(0.84, 0.95) / (redline * step_up)
    ratios = {"tame": 0.72 * strongest, "middle": 0.86 * strongest, "full": strongest}
    levels = "\n".join(
        f'[[levels.{name}.links]]\nkind = "gears"\n{_teeth(ratio)}\n'
        f'efficiency = 0.98\n[[levels.{name}.links]]\nkind = "step_up"\nspeed_ratio = {step_up}'
        for name, ratio in ratios.items()
    )
    return f"""
[compressor]
rotor_speed_limit = "{limit} rpm"
head_scale = {np.clip(rng.normal(1.0, 0.025), 0.94, 1.06)}
flow_scale = {np.clip(rng.normal(1.0, 0.025), 0.94, 1.06)}
efficiency_scale = {_between(rng, 0.94, 1.0)}
drag_torque = "0.3 N m"
[compressor.stage]
design_speed = "{limit / 1.1} rpm"
[compressor.stage.impeller]
inlet_hub_diameter = "{hub} m"
inlet_tip_diameter = "{inducer} m"
inlet_hub_blade_angle = "{_between(rng, 28.0, 40.0)} deg"
inlet_tip_blade_angle = "{np.degrees(tip)} deg"
inlet_blade_thickness = "1.1 mm"
inducer_throat_area = "{throat} m^2"
exit_diameter = "{exducer} m"
exit_width = "{width} m"
exit_backsweep = "{_between(rng, 26.0, 45.0)} deg"
exit_blade_thickness = "1.1 mm"
axial_length = "{exducer * _between(rng, 0.24, 0.33)} m"
tip_clearance = "{clearance} m"
full_blades = {blades}
splitter_blades = {blades}
[compressor.stage.diffuser]
inlet_width = "{width} m"
exit_diameter = "{diffuser} m"
exit_width = "{width * _between(rng, 0.9, 1.0)} m"
[compressor.stage.volute]
throat_radius = "{0.5 * diffuser + np.sqrt(scroll / np.pi)} m"
throat_area = "{scroll} m^2"
exit_area = "{scroll * _between(rng, 1.15, 1.4)} m^2"
[[drive.links]]
kind = "gears"
{_teeth(strongest)}
efficiency = 0.98
[[drive.links]]
kind = "step_up"
speed_ratio = {step_up}
{levels}
"""


def _pair(ratio: float) -> tuple[int, int]:
    return min(((a, 72 - a) for a in range(20, 53)), key=lambda p: abs(p[0] / p[1] - ratio))


def _teeth(ratio: float) -> str:
    driving, driven = _pair(ratio)
    return f"driving_teeth = {driving}\ndriven_teeth = {driven}"


def _cooling(rng: np.random.Generator) -> str:
    best = rng.uniform(0.72, 0.88)
    curve = best - np.array([0.0, 0.03, 0.08, 0.12]) * rng.uniform(0.7, 1.3)
    return f"""
[cooler]
kind = "air_to_water"
measured.flow = ["0.2 kg/s", "0.5 kg/s", "0.9 kg/s", "1.3 kg/s"]
measured.effectiveness = {[float(v) for v in curve]}
coolant_temperature = "25 degC"
drop = "{_between(rng, 3.0, 11.0)} kPa"
at_flow = "1 kg/s"
at_density = "2.0 kg/m^3"
"""


def _engine(rng: np.random.Generator, bore: float, stroke: float, compression: float,
            redline: float) -> str:  # fmt: skip
    """Filling: a hump, a dip, a peak of tuning that fades with boost, and a gain with boost."""
    speeds = np.linspace(0.25, 1.05, 33) * redline
    place, wide = rng.uniform(0.60, 0.80) * redline, rng.uniform(0.55, 0.80) * redline
    hump = np.exp(-(((speeds - place) / wide) ** 2))
    dip, tuned = rng.uniform(0.35, 0.95, 2) * redline
    ratios = np.array([0.8, 1.0, 1.4, 2.0, 3.0])
    height, gain = rng.uniform(0.88, 1.08), rng.uniform(0.02, 0.07)
    deep, tall = rng.uniform(0.0, 0.05), rng.uniform(-0.05, 0.05)
    rows = []
    for ratio in ratios:
        ripple = -deep * np.exp(-(((speeds - dip) / 350.0) ** 2))
        ripple += tall * np.exp(-(((speeds - tuned) / 450.0) ** 2)) / max(ratio, 1.0) ** 2
        row = height * hump * (1.0 + ripple) * (1.0 + 2.0 * gain * (1.0 - 1.0 / ratio))
        rows.append([float(v) for v in row])
    return f"""
[fuel]
name = "race_gasoline_leaded"
lambda = {_between(rng, 0.84, 0.88)}
place = "port"
evaporated_fraction = {_between(rng, 0.3, 0.55)}
temperature = "25 degC"
[engine]
bore = "{bore} m"
stroke = "{stroke} m"
cylinders = 8
compression_ratio = {compression}
redline = "{redline} rpm"
friction_constant = "{_between(rng, 3e4, 5.5e4)} Pa"
friction_speed = "{_between(rng, 7e3, 1.1e4)} Pa s/m"
friction_speed_squared = "{_between(rng, 60.0, 120.0)} Pa s^2/m^2"
valve_loss = {_between(rng, 65.0, 165.0)}
[engine.volumetric_efficiency]
rpm = {[float(v) for v in speeds]}
pressure_ratio = {[float(v) for v in ratios]}
values = {rows}
reference_temperature = "25 degC"
[combustion]
quality = {_between(rng, 0.81, 0.92)}
phasing_retard = "{_between(rng, 0.07, 0.135)} deg/kPa"
[exhaust]
loss_coefficient = {_between(rng, 1.0, 3.5)}
diameter = "4 in"
count = 2
"""


def _call(rng: np.random.Generator, build: airchain.Build, bore: float, stroke: float,
          compression: float, redline: float) -> dict[str, Any]:  # fmt: skip
    """What is told: ten figures, the teeth of every level, the weather."""
    plain = build.naturally_aspirated().changed(Weather.of(reference_weather(STANDARD)))
    pull = plain.pull(np.arange(0.45 * redline, redline + 1.0, 100.0))
    power, at = pull.peak("power", "hp")
    dyno = 1.0 + rng.normal(0.0, 0.015)
    speed = round((at + rng.normal(0.0, 80.0)) / 50.0) * 50.0
    last = dyno * float(pull.get("power", "hp")[-1])
    # What an owner reads off drawings is rounded.
    typed = build.document.tables["compressor"]
    wheel = typed["stage"]["impeller"]
    millimetre = {name: 1e3 * float(str(wheel[name]).split()[0])
                  for name in ("inlet_tip_diameter", "exit_diameter")}  # fmt: skip
    levels = {}
    for name, level in build.levels.items():
        pair = level.links[0]
        levels[name] = f"{pair.driving_teeth:.0f}:{pair.driven_teeth:.0f}"
    return {
        "name": "drawn", "bore": f"{1e3 * bore:.1f} mm", "stroke": f"{1e3 * stroke:.1f} mm",
        "compression_ratio": round(compression, 1), "redline": f"{redline:.0f} rpm",
        "power": f"{dyno * power:.0f} hp at {speed:.0f} rpm, {last:.0f} hp at {redline:.0f} rpm",
        "standard": STANDARD,
        "inducer_diameter": f"{millimetre['inlet_tip_diameter']:.1f} mm",
        "exducer_diameter": f"{millimetre['exit_diameter']:.1f} mm",
        "rotor_speed_limit": str(typed["rotor_speed_limit"]), "step_up": 4.5,
        "fuel": "race_gasoline_leaded", "barometer": "98 kPa", "temperature": "27 degC",
        "humidity": "30 %", "coolant_temperature": "25 degC", "levels": levels,
    }  # fmt: skip
