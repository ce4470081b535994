"""What a point costs from Python, as ratios side by side in one run.

    .venv/bin/python tests/bench/run_python.py

The peer (`peer_chain.py`) is first checked to give the same air flow within 1e-3. Quote ratios,
not times, across machines; nothing here is a test.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from peer_chain import PeerChain

import airchain
from airchain import _core

ROOT = Path(__file__).resolve().parents[2]
COLUMNS = ["power", "torque", "boost", "air_flow", "charge_temperature", "surge_margin", "status"]


def best(run: Callable[[], Any], repeats: int = 7) -> float:
    """Seconds of the quickest of several runs."""
    found = []
    for _ in range(repeats):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return min(found)


def with_typed_breathing(chain: Any) -> Any:
    """The chain with an invented table of volumetric efficiency, which the peer can read."""
    rpm = np.array([2000, 3000, 4000, 5000, 5500, 6000, 6500, 7000, 8000])
    values = np.array(
        [
            [0.76, 0.83, 0.90, 0.95, 0.96, 0.96, 0.94, 0.91, 0.82],
            [0.84, 0.91, 0.98, 1.03, 1.05, 1.05, 1.03, 0.99, 0.89],
            [0.87, 0.94, 1.01, 1.06, 1.08, 1.08, 1.06, 1.02, 0.92],
        ]
    )
    table = _core.breathing_table(rpm * np.pi / 30.0, [0.5, 1.0, 2.0], values.T)
    breathing = _core.Breathing(table=table, reference_temperature=310.93)
    return chain.replace(breathing=breathing, cylinder=None)


def main() -> None:
    """Print the table."""
    chain = with_typed_breathing(airchain.load(ROOT / "demo" / "ridge_road.toml").chain)
    ratios = np.linspace(0.9, 1.1, 5) * chain.drive.drive_ratio
    speeds = np.linspace(450.0, 780.0, 20000)
    axes = {"drive.drive_ratio": ratios, "engine_speed": speeds}
    peer = PeerChain(chain)
    ratio, speed = (grid.ravel() for grid in np.meshgrid(ratios, speeds, indexing="ij"))
    few = slice(0, None, 500)

    ours = _core.solve(chain, axes, COLUMNS)
    if np.any(ours["status"] != 0):
        sys.exit("some points have no answer: the ratios would not compare like with like")
    flow = ours["air_flow"].ravel()
    by_arrays = peer.by_arrays(speed, ratio)
    by_points = peer.by_points(speed[few], ratio[few])
    apart = np.max(np.abs(by_arrays["flow"] / flow - 1.0))
    print(f"air flow, NumPy peer against airchain: largest difference {apart:.1e} of {flow.size:,}")
    same = np.max(np.abs(by_points["flow"] / by_arrays["flow"][few] - 1.0))
    print(f"air flow, SciPy peer against NumPy peer: largest difference {same:.1e}")
    power = np.max(np.abs(by_arrays["power"] / ours["power"].ravel() - 1.0))
    print(f"power (the peer has no peak pressure in its friction): {power:.1e}")
    if apart > 1e-3 or same > 1e-9:
        sys.exit("the peer is not the same chain")

    points = flow.size
    chunk = 4000  # of the chunks tried, the quickest for NumPy: it stays in the cache
    parts = [slice(i, i + chunk) for i in range(0, points, chunk)]
    costs = {
        "airchain, 2 threads": best(lambda: _core.solve(chain, axes, COLUMNS, 2)) / points,
        "airchain, 1 thread": best(lambda: _core.solve(chain, axes, COLUMNS, 1)) / points,
        "NumPy, whole arrays": best(
            lambda: [peer.by_arrays(speed[part], ratio[part]) for part in parts], 3
        )
        / points,
        "SciPy, point by point": best(lambda: peer.by_points(speed[few], ratio[few]), 3)
        / speed[few].size,
    }
    one = costs["airchain, 1 thread"]
    print(f"\n{'way':24} {'us a point':>11} {'ratio':>9} {'points a second':>16}")
    for name, cost in costs.items():
        print(f"{name:24} {cost * 1e6:11.3f} {cost / one:9.2f} {1 / cost:16,.0f}")

    single = {"engine_speed": 700.0}
    calls = 500
    scalar = best(lambda: [_core.solve(chain, single, ["power"], 1) for _ in range(calls)]) / calls
    pull = {"engine_speed": np.linspace(450.0, 780.0, 100)}
    whole = best(lambda: [_core.solve(chain, pull, threads=1) for _ in range(50)]) / 50
    code = "import time; t = time.perf_counter(); import airchain; print(time.perf_counter() - t)"
    imported = min(
        float(subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout)
        for _ in range(5)
    )
    print(f"\none scalar call {scalar * 1e6:.1f} us; a pull of 100 points, every column, ", end="")
    print(f"{whole * 1e6:.0f} us; import {imported:.3f} s; kernel {_core.instruction_set()}")


if __name__ == "__main__":
    main()
