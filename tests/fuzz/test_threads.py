"""Many threads on one build, a fork after use, an interpreter that ends in the midst of a sweep."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

import airchain

ROOT = Path(__file__).resolve().parents[2]
BUILD = str(ROOT / "examples" / "one_point.toml")
LEAVES = f"""
import threading, time, sys
import numpy as np
import airchain
build = airchain.load({BUILD!r})
axes = {{"rpm": np.linspace(3000.0, 7000.0, 4000),
        "ambient.temperature": np.linspace(270.0, 310.0, 4000)}}
told = threading.Event()
def work():
    airchain.sweep(build, axes, ["power"], threads=2, progress=lambda *_: told.set())
threading.Thread(target=work, daemon=True).start()
assert told.wait(60.0)
print("leaving", flush=True)
"""
FORKS = f"""
import os, sys
import airchain
build = airchain.load({BUILD!r})
axes = {{"rpm": [3000.0 + i for i in range(4000)]}}
before = airchain.sweep(build, axes, ["power"], threads=2)
child = os.fork()
again = airchain.sweep(build, axes, ["power"], threads=2)
same = before.identical(again)
if child == 0:
    os._exit(0 if same else 1)
_, status = os.waitpid(child, 0)
sys.exit(0 if same and status == 0 else 1)
"""


def test_many_threads_on_one_build_get_the_same_bits() -> None:
    build = airchain.load(BUILD)
    speeds = np.linspace(3000.0, 7000.0, 41)

    def work(place: int) -> tuple[bytes, bytes]:
        level = ["even", "middle", "long"][place % 3]
        pull = build.level(level).replace({"cooler.effectiveness": 0.7}).pull(speeds)
        grid = airchain.sweep(build, {"rpm": speeds, "level": [level]}, ["power"], threads=2)
        return pull["power"].tobytes(), grid["power"].values.tobytes()

    alone = [work(place) for place in range(3)]
    with ThreadPoolExecutor(8) as pool:
        for place, found in enumerate(pool.map(work, range(48))):
            assert found == alone[place % 3]


def ran(code: str) -> subprocess.CompletedProcess[str]:
    """A process of its own, and how it ended."""
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120,
                          check=False)  # fmt: skip


def test_an_interpreter_may_end_in_a_sweep() -> None:
    ended = ran(LEAVES)
    assert ended.stdout == "leaving\n", ended.stderr
    assert ended.returncode == 0, ended.stderr


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here")
def test_a_fork_after_use_computes_the_same() -> None:
    ended = ran(FORKS)
    assert ended.returncode == 0, ended.stderr
