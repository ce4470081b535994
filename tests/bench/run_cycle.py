"""What a converged cycle costs beside the same cylinder in Cantera and SciPy, and what sweeps cost.

The three cylinders have no pipes, one engine and one condition to stop at (0.01 % of the trapped
charge). Ratios are at one accuracy too: each at the coarsest of its steps or tolerances whose net
work is within 0.1 % of its own finest. Our pipes come on top in the second table. Times are the
best of several.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

import airchain
from airchain import _core

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "python"))
import cantera_cylinder
import crank_engines
from bare_cylinder import bare_setup, same_engine
from independent_cylinder import converged
from scipy_cylinder import Cylinder

RPM = math.pi / 30
TOLERANCE = 1e-4
BARE = _core.CycleControls(tolerance=TOLERANCE)


def best(run: Callable[[], object], times: int) -> float:
    """Shortest time of a run [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return min(found)


def bare(rpm: float) -> None:
    """One bare cylinder, ours and the two peers."""
    setup = bare_setup()
    state = {"plenum_pressure": 150e3, "plenum_temperature": 305.0, "exhaust_pressure": 120e3}
    point = _core.CyclePoint(speed=rpm * RPM, **state)
    numbers, rows = _core.trace_cycle(setup, point, BARE)
    engine = same_engine(setup, point, numbers["burn_duration"], 1.0)
    network = converged(cantera_cylinder.Network(engine), TOLERANCE)
    pressure = np.interp(network.angle, rows["angle"], rows["pressure"])
    rms = np.sqrt(np.mean((pressure - np.array(network.pressure)) ** 2)) / max(network.pressure)
    work = numbers["imep"] * setup.crank.displacement / network.work - 1

    def stepped(degrees: float) -> float:
        fine = _core.CycleControls(tolerance=TOLERANCE, largest_step=math.radians(degrees))
        return float(_core.trace_cycle(setup, point, fine)[0]["imep"])

    def reactors(rtol: float) -> float:
        return converged(cantera_cylinder.Network(engine, rtol, 1e-4 * rtol), TOLERANCE).work

    def integrated(rtol: float) -> float:
        return converged(Cylinder(engine, cantera_cylinder.ideal_gas(), rtol), TOLERANCE).work

    ours, step = at_equal_error(stepped, (2.0, 1.0, 0.5, 0.25, 0.1))
    reactor, rtol = at_equal_error(reactors, (1e-5, 1e-6, 1e-7, 1e-8))
    scipy, scipy_rtol = at_equal_error(integrated, (1e-5, 1e-6, 1e-7, 1e-8))
    print(
        f"{rpm:5.0f} rpm: ours {1e3 * ours:6.2f} ms at {step:g} deg; "
        f"Cantera {reactor / ours:.0f} times at rtol {rtol:g}, "
        f"SciPy {scipy / ours:.0f} times at {scipy_rtol:g}; "
        f"pressure {100 * rms:.2f} % rms of its peak, net work {100 * work:+.2f} % against Cantera"
    )


def at_equal_error(
    work: Callable[[float], float], ladder: tuple[float, ...]
) -> tuple[float, float]:
    """Time [s] of the coarsest rung whose work is within 0.1 % of the finest's, and the rung."""
    finest = work(ladder[-1])
    rung = next(r for r in ladder if abs(work(r) / finest - 1) < 1e-3)
    return best(lambda: work(rung), 3), rung


def piped() -> None:
    """One cylinder with runner and primary, on one thread and on two."""
    setup = crank_engines.engine(cells=30).setup
    rpm = np.linspace(2000, 8000, 13)

    def run(plenums: list[float], exhausts: list[float], threads: int) -> Callable[[], object]:
        speed, plenum, exhaust = (a.ravel() for a in np.meshgrid(rpm * RPM, plenums, exhausts))
        points = {
            "speed": speed,
            "plenum_pressure": plenum,
            "plenum_temperature": 310.0,
            "exhaust_pressure": exhaust,
        }
        return lambda: _core.run_cycles(setup, points, _core.CycleControls(), threads=threads)

    several = ([60e3, 100e3, 150e3, 200e3, 250e3], [95e3, 110e3, 130e3])
    for words, plenums, exhausts in [
        ("13-point curve", [100e3], [103e3]),
        ("195-point surface", *several),
    ]:
        one, two = (best(run(plenums, exhausts, threads), 3) for threads in (1, 2))
        points = 13 * len(plenums) * len(exhausts)
        print(
            f"{words}: {1e3 * one:.0f} ms on 1 thread ({1e3 * one / points:.1f} ms a point), "
            f"{1e3 * two:.0f} ms on 2"
        )


def cams() -> None:
    """Curves of 13 speeds over nine camshafts, on two threads with progress."""
    engine = crank_engines.engine(cells=30)
    rpm = np.linspace(2000, 8000, 13)
    axes = {"lobe_separation": ["108 deg", "112 deg", "116 deg"]}
    axes["centreline"] = ["104 deg", "108 deg", "112 deg"]
    heard: list[int] = []

    def run() -> object:
        return airchain.cylinder.cams_at_held_plenum(
            engine, rpm, "100 kPa", "103 kPa", **axes, threads=2,
            progress=lambda done, _: heard.append(done),
        )  # fmt: skip

    print(f"cam curves of 13 speeds: {9 * 60 / best(run, 2):.0f} a minute on 2 threads")


if __name__ == "__main__":
    print(f"airchain {airchain.__version__}, {_core.instruction_set()}")
    for speed in (2000.0, 4500.0, 7500.0):
        bare(speed)
    piped()
    cams()
