"""What a sweep in a folder costs beside the same sweep in memory, in one run.

Usage: python tests/bench/run_store.py [--points N] [--memory N] [--threads N] [--folder FOLDER]

Both solve the demo's build on its surface with six columns (four, status and flags). The sweep in
memory is smaller, since it must fit. Told are points a second, their ratio, and the most memory
that this process took while it filled the folder.
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


def run(points: int, threads: int, store: str | None) -> tuple[float, int]:
    """Points a second and the number of points."""
    build = airchain.load(DEMO).level("full").with_surface()
    begun = time.perf_counter()
    grid = airchain.sweep(build, axes(points), COLUMNS, threads=threads, store=store)
    taken = time.perf_counter() - begun
    print(grid.attrs["summary"])
    return grid["power"].size / taken, grid["power"].size


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
        pace, points = run(wanted, given.threads, store)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
        print(f"{points} {pace} {peak}")
        return
    found = {}
    for only in ("memory", "store", "memory"):
        shutil.rmtree(Path(given.folder) / "bench.zarr", ignore_errors=True)
        command = [sys.executable, __file__, *sys.argv[1:], "--only", only]
        told = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        points, pace, peak = map(float, told.splitlines()[-1].split())
        found.setdefault(only, []).append(pace)
        print(f"in {only:6}: {points:13,.0f} points, {pace / 1e6:6.3f} million a second, "
              f"{peak:5.2f} GiB at most")  # fmt: skip
    shutil.rmtree(Path(given.folder) / "bench.zarr", ignore_errors=True)
    ratio = found["store"][0] / np.mean(found["memory"])
    print(f"the folder at {100.0 * ratio:.0f} % of the pace in memory")


if __name__ == "__main__":
    main()
