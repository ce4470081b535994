"""What a sweep in a folder costs beside the same sweep in memory, in one run.

Usage: python tests/bench/run_store.py [--points N] [--memory N] [--threads N] [--folder FOLDER]

Both solve the demo's build on its surface with six columns (four, status and flags). The sweep in
memory is smaller, since it must fit. Told are points a second, processor time a point (which other
work on the machine moves less), their ratios, and the most memory that the process took.
"""

from __future__ import annotations

import argparse
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

import airchain

DEMO = Path(__file__).resolve().parents[2] / "demo" / "ridge_road.toml"
COLUMNS = ["power", "boost", "charge_temperature", "speed_margin"]


def axes(points: int) -> dict[str, object]:
    """A grid of some points: engine speed, effectiveness, coolant, drive ratio."""
    rest = max(2, round(points / (100 * 50 * 40)))
    return {
        "drive.drive_ratio": np.linspace(0.7, 1.3, rest),
        "cooler.effectiveness": np.linspace(0.5, 1.0, 40),
        "cooler.coolant_temperature": np.linspace(280.0, 310.0, 50),
        "rpm": np.linspace(3000.0, 7500.0, 100),
    }


def used() -> float:
    """Processor time of this process so far [s]."""
    told = resource.getrusage(resource.RUSAGE_SELF)
    return told.ru_utime + told.ru_stime


def run(points: int, threads: int, store: str | None) -> tuple[int, float, float]:
    """Number of points, points a second, and processor time a point [s]."""
    build = airchain.load(DEMO).level("full").with_surface()
    begun, before = time.perf_counter(), used()
    grid = airchain.sweep(build, axes(points), COLUMNS, threads=threads, store=store)
    taken = time.perf_counter() - begun
    print(grid.attrs["summary"])
    size = grid["power"].size
    return size, size / taken, (used() - before) / size


def main() -> None:
    """Measure and print; each sweep runs in a process of its own, so that memory is told apart."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--points", type=int, default=100_000_000, help="in the folder")
    parser.add_argument("--memory", type=int, default=20_000_000, help="in memory")
    parser.add_argument("--threads", type=int, default=0, help="0: all processors")
    parser.add_argument("--folder", default=tempfile.gettempdir(), help="where the folder is made")
    parser.add_argument("--only", choices=["store", "memory"], help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.only:
        store = str(Path(given.folder) / "bench.zarr") if given.only == "store" else None
        wanted = given.points if store else given.memory
        points, pace, cost = run(wanted, given.threads, store)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
        print(f"{points} {pace} {cost} {peak}")
        return
    paces: dict[str, list[float]] = {"memory": [], "store": []}
    costs: dict[str, list[float]] = {"memory": [], "store": []}
    for only in ("memory", "store", "memory"):
        shutil.rmtree(Path(given.folder) / "bench.zarr", ignore_errors=True)
        command = [sys.executable, __file__, *sys.argv[1:], "--only", only]
        told = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        points, pace, cost, peak = map(float, told.splitlines()[-1].split())
        paces[only].append(pace)
        costs[only].append(cost)
        print(f"in {only:6}: {points:13,.0f} points, {pace / 1e6:6.3f} million a second, "
              f"{1e6 * cost:6.3f} us of processor each, {peak:5.2f} GiB at most")  # fmt: skip
    shutil.rmtree(Path(given.folder) / "bench.zarr", ignore_errors=True)
    pace = paces["store"][0] / np.mean(paces["memory"])
    cost = np.mean(costs["memory"]) / costs["store"][0]
    print(f"the folder at {100.0 * pace:.0f} % of the pace in memory, by processor time "
          f"{100.0 * cost:.0f} %")  # fmt: skip


if __name__ == "__main__":
    main()
