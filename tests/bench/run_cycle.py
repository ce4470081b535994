"""What a converged cycle costs beside the same cylinder in Cantera and SciPy, and what sweeps cost.

The three cylinders have no pipes, one engine and one condition to stop at (0.01 % of the trapped
charge); our pipes come on top in the second table. Times are the best of several.
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
BARE = _core.CycleControls(tolerance=TOLERANCE, largest_step=math.radians(0.1))


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
    ours = best(lambda: _core.trace_cycle(setup, point, BARE), 5)
    reactor = best(lambda: converged(cantera_cylinder.Network(engine), TOLERANCE), 2)
    scipy = best(lambda: converged(Cylinder(engine, cantera_cylinder.ideal_gas()), TOLERANCE), 2)
    print(
        f"{rpm:5.0f} rpm: ours {1e3 * ours:6.2f} ms; Cantera {reactor / ours:6.0f} times, "
        f"SciPy {scipy / ours:6.0f} times; pressure {100 * rms:.2f} % rms of its peak, "
        f"net work {100 * work:+.2f} % against Cantera"
    )


def piped() -> None:
    """One cylinder with runner and primary, on one thread and on two."""
    setup = crank_engines.engine(cells=30)._setup
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


if __name__ == "__main__":
    print(f"airchain {airchain.__version__}, {_core.instruction_set()}")
    for speed in (2000.0, 4500.0, 7500.0):
        bare(speed)
    piped()
