"""Time a fit of five unknowns to three pulls of 100 points; one core: taskset -c 0."""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "python"))

import numpy as np

import airchain
from independent_chain import Truth
from synthetic_pulls import UNKNOWNS, build, measured, structure

own = structure(np.random.default_rng(7))
pulls = {
    "tame": [measured(Truth(), "tame", np.random.default_rng(s), own, 100) for s in (1, 2)],
    "full": measured(Truth(), "full", np.random.default_rng(3), own, 100),
}
airchain.reconcile(build(), pulls, UNKNOWNS)
times = []
for _ in range(7):
    start = time.perf_counter()
    airchain.reconcile(build(), pulls, UNKNOWNS)
    times.append(time.perf_counter() - start)
print(f"fit of 5 unknowns to 3 pulls of 100 points: {np.median(times):.3f} s (median of 7)")
