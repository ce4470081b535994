"""Fits the constants of the mean-value cylinder to cycles of a family of engines, and prints them.

    PYTHONPATH=python:tests/python python tests/bench/fit_mean_value.py [--engines 60]

The engines are those of `engine_family` from seed 0 on; `cpp/include/airchain/cylinder/
mean_value.hpp` holds what is printed, rounded. The last lines say how far the laws are off the
engines they were fitted to, with one loss of the valves for all. Ten minutes on two cores.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

import engine_family

Array = NDArray[np.float64]
R_AIR, CP = 287.05, 1208.0


def columns(engines: int) -> dict[str, Array]:
    """Run the family's cycles; progress goes to standard error."""
    parts: dict[str, list[Array]] = {}
    for seed in range(engines):
        print(f"engine {seed + 1} of {engines}", file=sys.stderr, flush=True)
        for name, values in engine_family.run(engine_family.draw(seed), seed).items():
            parts.setdefault(name, []).append(values)
    return {name: np.concatenate(values) for name, values in parts.items()}


def near_log(value: Array, usual: float) -> Array:
    """Nearly the logarithm of a value over its usual one, as the header has it."""
    return np.asarray(2.0 * (value - usual) / (value + usual))


class Logs:
    """What the laws are told in, as the header has it."""

    def __init__(self, d: dict[str, Array]) -> None:
        off = d["lambda"] - 1.0
        self.x = 0.5 * (off - np.hypot(off, 0.032) + 0.032)
        self.o = d["oxygen_ratio"]
        self.k = np.log(d["compression"] / 10.0)
        self.speed = d["stroke"] * d["speed"] / np.pi
        self.u = near_log(self.speed, 15.0)
        self.density = d["plenum_pressure"] / (R_AIR * d["plenum_temperature"])
        self.l = near_log(self.density, 1.2)
        self.t = (np.degrees(d["half_burned"]) - 8.0) / 10.0


def fitted(name: str, law: Callable[[Array], Array], start: list[float], target: Array) -> Array:
    """Numbers of a law by least squares of its relative errors; both are printed."""
    found = least_squares(lambda v: law(v) / target - 1.0, start)
    off = 100.0 * np.abs(found.fun)
    numbers = [round(float(v), 4) for v in found.x]
    tell(name, numbers, off, "%")
    return np.asarray(law(found.x))


def tell(name: str, numbers: list[float], off: Array, unit: str) -> None:
    """Print a law's numbers and how far it is off."""
    rms = float(np.sqrt(np.mean(off**2)))
    near, far = np.quantile(off, 0.95), off.max()
    print(f"{name}: {numbers}\n    rms {rms:.2f}, 95 of 100 {near:.2f}, most {far:.2f} {unit}")


def exchange(v: Array, valves: Array, d: dict[str, Array], s: Logs) -> Array:
    """Pressure lost in the gas exchange [Pa]: filling's slope, factor and ratio in `v`."""
    z = valves * s.density * s.speed**2 / d["plenum_pressure"]

    def bent(x: Array) -> Array:
        return 0.5 * (x + np.hypot(x, 0.05))

    filled = d["volumetric_efficiency"]
    late = bent(np.sqrt(z) - 0.5) - bent(np.array(-0.5))
    ratio = d["plenum_pressure"] / d["exhaust_pressure"]
    return np.asarray(
        d["plenum_pressure"]
        * (z * filled * (1.0 + v[0] * (filled - 1.0)) + v[1] * (ratio - v[2]) * late)
    )


def fit_exchange(d: dict[str, Array], s: Logs) -> None:
    """Shape of the exchange loss, every engine with valves of its own; then their mean."""
    lost = d["pmep"] - d["exhaust_pressure"] + d["plenum_pressure"]
    _, engine = np.unique(d["engine"], return_inverse=True)
    scale = np.maximum(d["gross"], 3e5)

    def miss(v: Array) -> Array:
        # A weak pull of each engine's valves to the middle: 30 % counts as 2 % of a state.
        off = 100.0 * (exchange(v[:3], np.exp(v[3:])[engine], d, s) - lost) / scale
        return np.concatenate([off, (v[3:] - np.log(110.0)) / 0.3 * 0.02])

    start = np.concatenate([[0.4, 2.0, 0.4], np.full(engine.max() + 1, np.log(110.0))])
    found = least_squares(miss, start)
    off = np.abs(found.fun[: lost.size])
    tell("exchange, valves known", found.x[:3].round(3).tolist(), off, "% of gross work")
    middle, spread = found.x[3:].mean(), found.x[3:].std()
    print(f"valve loss {np.exp(middle):.1f}, scatter {100.0 * spread:.0f} %")
    one = 100.0 * np.abs(exchange(found.x[:3], np.exp(middle), d, s) - lost) / d["gross"]
    tell("exchange, one loss of the valves", [round(float(np.exp(middle)), 1)], one,
         "% of gross work")  # fmt: skip


def main() -> None:
    """Fit and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--engines", type=int, default=60)
    d = columns(parser.parse_args().engines)
    s = Logs(d)
    print(f"{s.x.size} states of {np.unique(d['engine']).size} engines")
    ideal = 1.0 - d["compression"] ** -0.26
    work = fitted(
        "work: quality, x, x^2, x o^2, o, k, l, u, t, t^2",
        lambda v: ideal * v[0] * np.exp(s.x * (v[1] + v[2] * s.x + v[3] * s.o**2) + v[4] * s.o
                                        + v[5] * s.k)
        * (1.0 + v[6] * s.l + v[7] * s.u) * (1.0 + s.t * (v[8] + v[9] * s.t)),
        [0.89, 1.0, -1.5, -0.1, 0.05, -0.06, 0.015, 0.02, -0.02, -0.02], d["work"],
    )  # fmt: skip
    walls = fitted(
        "wall heat: 1, x, x^2, o, k, l, l^2, u, u^2, t, t^2, t u",
        lambda v: np.exp(v[0] + s.x * (v[1] + v[2] * s.x) + v[3] * s.o + v[4] * s.k)
        * (1.0 + s.l * (v[5] + v[6] * s.l)) * (1.0 + s.u * (v[7] + v[8] * s.u))
        * (1.0 + s.t * (v[9] + v[10] * s.t + v[11] * s.u)),
        [-2.2, 1.1, -2.7, -0.05, 0.2, -0.29, 0.0, -0.2, 0.18, -0.14, 0.02, 0.07], d["wall_heat"],
    )  # fmt: skip
    warm = d["plenum_temperature"]
    rise = d["exhaust_temperature"] - warm
    left = d["charge_heat"] * (d["set_free"] - work - walls)

    def kept(v: Array) -> Array:
        share = v[0] + v[1] * s.u + v[2] * s.l + v[3] * (left / 1.4e6 - 1.0)
        return np.asarray(left * (share + v[4] * (warm / 320.0 - 1.0)) / CP - rise)

    found = least_squares(kept, [0.8, 0.06, 0.03, -0.2, -0.2])
    tell("kept by the exhaust: 1, u, l, heat, charge temperature", found.x.round(4).tolist(),
         np.abs(found.fun), "K")  # fmt: skip
    fit_exchange(d, s)
    r = d["compression"]
    start = (d["plenum_pressure"] * d["volumetric_efficiency"] * (r - 1.0)
             + d["exhaust_pressure"]) / r  # fmt: skip

    def peak(v: Array) -> Array:
        a = d["half_burned"] + np.radians(v[1])
        volume = 1.0 + 0.5 * (r - 1.0) * (1.0 - np.cos(a) + np.sin(a) ** 2 / 7.0)
        raised = 0.25 * v[2] * d["gross"] / d["work"] * d["set_free"] * (r - 1.0) / volume
        return np.asarray(start * (r / volume) ** v[0] + raised)

    fitted("peak pressure: exponent, degrees later, share", peak, [1.32, 7.0, 0.75], d["peak"])


if __name__ == "__main__":
    main()
