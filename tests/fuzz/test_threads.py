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
from airchain import InputError
from airchain.sweeps import open_sweep

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
LEAVES_POINTS = f"""
import threading, time
import numpy as np
import airchain
from airchain import _core
build = airchain.load({BUILD!r})
chain = build.chain
engine = airchain.load({str(ROOT / "demo" / "ridge_road.toml")!r})
def points():
    while True:
        _core.solve(chain, {{"engine_speed": np.array([400.0, 500.0])}})
def cycles():
    while True:
        engine.pull([3000.0, 5000.0])
for work in (points, points, cycles):
    threading.Thread(target=work, daemon=True).start()
time.sleep(0.4)
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


STORES = f"""
import sys
import numpy as np
import airchain
from airchain.sweeps import grid, store
grid.TILE, store._BETWEEN = 4000, 0.0
build = airchain.load({BUILD!r})
axes = {{"ambient.temperature": np.linspace(270.0, 310.0, 400),
        "rpm": np.linspace(3000.0, 7000.0, 400)}}
"""
LEAVES_A_FOLDER = f"""{STORES}
import threading
told = threading.Event()
def work():
    airchain.sweep(build, axes, ["power"], store=sys.argv[1], progress=lambda *_: told.set())
threading.Thread(target=work, daemon=True).start()
assert told.wait(60.0)
print("leaving", flush=True)
"""
FORKS_WITH_FOLDERS = f"""{STORES}
import os
before = airchain.sweep(build, axes, ["power"], store=sys.argv[1] + "/a.zarr").load()
child = os.fork()
name = "/b.zarr" if child else "/c.zarr"
again = airchain.sweep(build, axes, ["power"], store=sys.argv[1] + name).load()
same = before.identical(again)
if child == 0:
    os._exit(0 if same else 1)
_, status = os.waitpid(child, 0)
sys.exit(0 if same and status == 0 else 1)
"""


def ran(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """A process of its own, and how it ended."""
    command = [sys.executable, "-c", code, *arguments]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)


def test_an_interpreter_may_end_in_a_sweep() -> None:
    ended = ran(LEAVES)
    assert ended.stdout == "leaving\n", ended.stderr
    assert ended.returncode == 0, ended.stderr


def test_an_interpreter_may_end_while_threads_are_in_the_core() -> None:
    for _ in range(3):
        ended = ran(LEAVES_POINTS)
        assert ended.stdout == "leaving\n", ended.stderr
        assert ended.returncode == 0, ended.stderr


def test_an_interpreter_may_end_in_a_sweep_that_fills_a_folder(tmp_path: Path) -> None:
    folder = tmp_path / "a.zarr"
    ended = ran(LEAVES_A_FOLDER, str(folder))
    assert ended.stdout == "leaving\n", ended.stderr
    assert ended.returncode == 0, ended.stderr
    build = airchain.load(BUILD)
    kept = open_sweep(folder)
    axes = {name: kept[name].to_numpy() for name in kept["power"].dims}
    whole = airchain.sweep(build, axes, ["power"], store=folder)
    here = airchain.sweep(build, axes, ["power"])
    np.testing.assert_array_equal(whole["power"].to_numpy(), here["power"].to_numpy())
    assert [p.name for p in tmp_path.iterdir()] == ["a.zarr"]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here")
def test_a_fork_after_use_computes_the_same(tmp_path: Path) -> None:
    for code in (FORKS, FORKS_WITH_FOLDERS):
        ended = ran(code, str(tmp_path))
        assert ended.returncode == 0, ended.stderr


def test_many_threads_fill_folders_side_by_side(tmp_path: Path) -> None:
    build = airchain.load(BUILD)
    axes = {"ambient.temperature": np.linspace(270.0, 310.0, 30), "rpm": np.linspace(3e3, 7e3, 30)}
    here = airchain.sweep(build, axes, ["power"]).load()

    def work(place: int) -> bool:
        kept = airchain.sweep(build, axes, ["power"], store=tmp_path / f"{place}.zarr")
        return bool(kept.load().identical(here))

    with ThreadPoolExecutor(6) as pool:
        assert all(pool.map(work, range(12)))

    # Of several at one folder one fills it, and the others are refused or find it filled.
    def together(_: int) -> str:
        try:
            airchain.sweep(build, axes, ["power"], store=tmp_path / "one.zarr")
        except InputError as error:
            return str(error)
        return "filled"

    with ThreadPoolExecutor(6) as pool:
        ends = list(pool.map(together, range(6)))
    assert "filled" in ends
    assert all(end == "filled" or "one process at a time" in end for end in ends)
    assert open_sweep(tmp_path / "one.zarr").load().identical(here)
