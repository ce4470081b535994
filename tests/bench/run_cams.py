"""What it costs to choose a cam: a new cam's pull and ladder, and a hundred cams at once.

Usage: python tests/bench/run_cams.py [--threads N]

Every time is the shortest of a few runs of the demo's build. Nothing is taken from a surface or a
cache: each point is matched with the cycles of its own camshaft.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

import airchain
from airchain import _core

DEMO = Path(__file__).resolve().parents[2] / "demo" / "ridge_road.toml"


def best(run: Callable[[], object], times: int) -> float:
    """Shortest time of some runs [s]."""
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        run()
        taken.append(time.perf_counter() - begun)
    return min(taken)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--threads", type=int, default=0, help="0: all processors")
    threads = parser.parse_args().threads
    build = airchain.load(DEMO)
    print(f"airchain {airchain.__version__}, {_core.instruction_set()}")
    separations = iter(np.linspace(105.0, 119.0, 1000))

    def changed() -> airchain.Build:
        return build.replace({"engine.camshaft.lobe_separation": f"{next(separations)} deg"})

    speeds = np.linspace(3000.0, 7600.0, 25)
    print(f"a cam changed:                        {1e3 * best(changed, 5):8.1f} ms")
    pull = best(lambda: changed().level("full").pull(speeds), 5)
    print(f"a cam changed, a pull of 25 points:   {pull:8.3f} s")
    ladder = best(lambda: airchain.ladder(changed(), speeds), 3)
    print(f"a cam changed, four levels of 25:     {ladder:8.3f} s")

    def hundred() -> object:
        return airchain.cam_sweep(
            build, np.linspace(2500.0, 7500.0, 13), list(build.levels), threads=threads,
            duration=[f"{d} deg" for d in np.linspace(215.0, 250.0, 10)],
            lobe_separation=[f"{s} deg" for s in np.linspace(106.0, 117.0, 10)],
        )  # fmt: skip

    print(f"100 cams at 3 levels and 13 speeds:   {best(hundred, 2):8.2f} s")


if __name__ == "__main__":
    main()
