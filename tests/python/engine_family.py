"""A family of invented engines with cams, drawn by seed, and what their cycles say.

Bore 80 to 115 mm, compression 8 to 13, three fuels, two or four valves a cylinder, cams, ports and
pipes that suit the redline. The family's widths are common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airchain import _core
from airchain.chain import Build, parse_build
from airchain.cylinder._node_cycles import worked

Array = NDArray[np.float64]
FUELS = ("gasoline_premium", "e85", "methanol")
#: Ranges that the constants of the mean-value cylinder were fitted in.
BORE, COMPRESSION, PLENUM = (80e-3, 115e-3), (8.0, 13.0), (60e3, 300e3)
LAMBDA, HALF_BURNED = (0.72, 1.02), (np.radians(0.0), np.radians(40.0))
#: Mean piston speed at redline [m/s].
FASTEST = (17.0, 25.0)


class Engine(NamedTuple):
    """A drawn engine: its build, and the size that a mean-value cylinder knows."""

    build: Build
    fuel: str
    bore: float
    stroke: float
    compression: float


def _bench(valves: int, diameter: float, best: float, top: float) -> str:
    """Lift and flow of a port at 28 inH2O: along the curtain first, then by the port."""
    lifts = np.linspace(0.05, 0.36, 7) * diameter
    opened = 4.0 * lifts / diameter * 0.72 / best
    area = valves * 0.25 * np.pi * diameter**2 * best * opened / (1.0 + opened**4) ** 0.25
    flow = area * np.sqrt(2.0 * 6973.0 / 1.18)
    lift = [f"{1e3 * x:.3f} mm" for x in lifts if x < top + 0.07 * diameter]
    return f"lift = {lift}\nflow = {[f'{1e3 * w:.2f} L/s' for w in flow[: len(lift)]]}".replace(
        "'", '"'
    )


def draw(seed: int) -> Engine:
    """Draw the engine of a seed."""
    rng = np.random.default_rng([seed, 1])
    bore = rng.uniform(*BORE)
    stroke = bore * rng.uniform(0.75, 1.12)
    compression = rng.uniform(*COMPRESSION)
    fastest = rng.uniform(*FASTEST)
    redline = min(fastest / (2.0 * stroke), 150.0)  # turns a second
    fuel = FUELS[seed % 3]
    four = rng.uniform() < 0.5
    valves = 2 if four else 1
    inlet = bore * (rng.uniform(0.37, 0.40) if four else rng.uniform(0.49, 0.54))
    outlet = bore * (rng.uniform(0.31, 0.34) if four else rng.uniform(0.39, 0.43))
    best_in, best_out = rng.uniform(0.58, 0.70), rng.uniform(0.62, 0.74)
    # Longer cams where the engine turns faster; four valves need less.
    long = 214.0 + 34.0 * (fastest - FASTEST[0]) / (FASTEST[1] - FASTEST[0]) - 8.0 * four
    intake = long + rng.normal(0.0, 5.0)
    exhaust = intake + rng.uniform(-4.0, 12.0)
    seat = rng.uniform(0.868, 0.885)  # duration over seat duration
    separation = rng.uniform(108.0, 116.0)
    lift_in, lift_out = inlet * rng.uniform(0.25, 0.31), outlet * rng.uniform(0.27, 0.33)
    pipe_in = np.sqrt(valves) * inlet * rng.uniform(0.94, 1.05)
    pipe_out = np.sqrt(valves) * outlet * rng.uniform(1.0, 1.2)
    text = f"""
[build]
name = "drawn {seed}"
[ambient]
pressure = "101.325 kPa"
temperature = "15 degC"
[fuel]
name = "{fuel}"
[engine]
bore = "{bore} m"
stroke = "{stroke} m"
rod_length = "{stroke * rng.uniform(1.5, 1.8)} m"
cylinders = 1
compression_ratio = {compression}
redline = "{60.0 * redline} rpm"
[engine.camshaft]
lobe_separation = "{separation} deg"
intake_centreline = "{separation - rng.uniform(0.0, 4.0)} deg"
[engine.camshaft.intake]
duration = "{intake} deg"
seat_duration = "{intake / seat} deg"
lobe_lift = "{lift_in} m"
rocker_ratio = 1.0
[engine.camshaft.exhaust]
duration = "{exhaust} deg"
seat_duration = "{exhaust / seat} deg"
lobe_lift = "{lift_out} m"
rocker_ratio = 1.0
[engine.intake_port]
valve_diameter = "{inlet} m"
valves = {valves}
depression = "28 inH2O"
convention = "incompressible"
{_bench(valves, inlet, best_in, lift_in)}
[engine.exhaust_port]
valve_diameter = "{outlet} m"
valves = {valves}
depression = "28 inH2O"
convention = "incompressible"
{_bench(valves, outlet, best_out, lift_out)}
[engine.runner]
length = "{rng.uniform(0.22, 0.42)} m"
diameter = "{pipe_in * rng.uniform(1.02, 1.12)} m"
port_diameter = "{pipe_in} m"
[engine.primary]
length = "{rng.uniform(0.5, 0.9)} m"
diameter = "{pipe_out * rng.uniform(1.02, 1.12)} m"
port_diameter = "{pipe_out} m"
"""
    return Engine(parse_build(text, f"drawn {seed}"), fuel, bore, stroke, compression)


def _set_free(fuel: _core.Fuel, mixture: Array) -> Array:
    """Share of the heating value that burns at the water-gas constant 3.5 [dimensionless]."""
    half, lean = 0.5 * fuel.hydrogen_ratio, np.minimum(mixture, 1.0)
    demand = 1.0 + fuel.hydrogen_ratio / 4.0 - fuel.oxygen_ratio / 2.0
    both = fuel.oxygen_ratio + 2.0 * lean * demand - 1.0
    b = both + 1.0 + 3.5 * (half - both)
    dioxide = 2.0 * both / (b + np.sqrt(b * b + 10.0 * both))
    lost = (1.0 - dioxide) * 282.98e3 + (half - both + dioxide) * 241.83e3
    grams = 12.011 + 1.008 * fuel.hydrogen_ratio + 15.999 * fuel.oxygen_ratio
    return np.asarray(1.0 - lost / (fuel.lower_heating_value * grams * 1e-3))


def run(engine: Engine, seed: int, states: int = 12, mixtures: int = 4) -> dict[str, Array]:
    """Run cycles of an engine at random states; columns in SI, those not settled left out."""
    rng = np.random.default_rng([seed, 2])
    setup, redline = engine.build.cylinder.setup, engine.build.redline
    parts: dict[str, list[Array]] = {}
    for _ in range(mixtures):
        mixture = rng.uniform(*LAMBDA)
        own = setup.replace(mixture=setup.mixture.replace(lambda_=mixture))
        share = rng.uniform(0.25, 1.0, states)
        plenum = np.exp(rng.uniform(*np.log(PLENUM), states))
        points = {
            "speed": share * redline,
            "plenum_pressure": plenum,
            # Thin air where the plenum holds little; an exhaust's loss grows with flow.
            "exhaust_pressure": np.minimum(1e5, plenum / 0.75)
            + rng.uniform(0.0, 25e3, states) * share**2 * plenum / 1e5,
            "plenum_temperature": rng.uniform(270.0, 370.0, states),
            # Half of the burns near the usual, the rest up to the latest.
            "half_burned": np.where(
                rng.uniform(size=states) < 0.5,
                np.radians(rng.uniform(4.0, 16.0, states)),
                rng.uniform(*HALF_BURNED, states),
            ),
        }
        solved = _core.run_cycles(own, points)
        good = np.asarray(solved["status"]) == 0
        found = (
            points
            | worked(own, solved, plenum)
            | {
                "lambda": np.full(states, mixture),
                "pmep": solved["pmep"],
                "gross": solved["gross_imep"],
                "peak": solved["peak_pressure"],
                "residual": solved["residual_fraction"],
            }
        )
        for name, values in found.items():
            parts.setdefault(name, []).append(np.asarray(values, dtype=float)[good])
    columns = {name: np.concatenate(values) for name, values in parts.items()}
    size = columns["speed"].size
    fuel = engine.build.chain.fuel
    # Fuel over charge, which brings some water too.
    fuel_air = 1.0 / (columns["lambda"] * fuel.stoichiometric_ratio)
    charge_heat = fuel_air * fuel.lower_heating_value / (1.008 + fuel_air)
    return columns | {
        "oxygen_ratio": np.full(size, fuel.oxygen_ratio),
        "charge_heat": charge_heat,
        "set_free": _set_free(fuel, columns["lambda"]),
        "bore": np.full(size, engine.bore),
        "stroke": np.full(size, engine.stroke),
        "compression": np.full(size, engine.compression),
        "engine": np.full(size, float(seed)),
        "fuel": np.full(size, float(FUELS.index(engine.fuel))),
    }
