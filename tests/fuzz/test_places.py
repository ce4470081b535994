"""Disks that fill up, places that may only be read, two at one place, clocks that jump."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
import seeds
from test_killed_commands import COMMANDS, EVERY_DAY, ROOT, Runner, is_whole

import airchain
from airchain import InputError
from airchain.base import cache
from airchain.sweeps import grid as grids
from airchain.sweeps import open_sweep

BUILD = ROOT / "examples" / "one_point.toml"


@contextmanager
def mounted(folder: Path, options: str) -> Iterator[Path]:
    """A disk in memory, where the system lets one be made."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("mounting needs root")
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(folder)]
    if subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("no tmpfs can be mounted here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=False)


def axes() -> dict[str, object]:
    """A grid of some 20,000 points."""
    return {
        "ambient.temperature": np.linspace(270.0, 310.0, 100),
        "rpm": np.linspace(2500.0, 7500.0, 200),
    }


def test_a_disk_that_fills_up_in_a_sweep_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(grids, "TILE", 2000)
    build = airchain.load(BUILD)
    with mounted(tmp_path / "disk", "size=1m") as disk:

        def fill_up(done: int, total: int) -> None:
            if done > total // 3 and not (disk / "filler").exists():
                free = os.statvfs(disk)
                (disk / "filler").write_bytes(b"0" * (free.f_bavail * free.f_frsize - 4096))

        with pytest.raises(InputError, match="No space left on device"):
            airchain.sweep(
                build, axes(), ["power", "boost"], store=disk / "a.zarr", progress=fill_up
            )
        begun = open_sweep(disk / "a.zarr")["status"].to_numpy()
        assert 0 < (begun >= 0).sum() < begun.size
        (disk / "filler").unlink()
        kept = airchain.sweep(build, axes(), ["power", "boost"], store=disk / "a.zarr")
        here = airchain.sweep(build, axes(), ["power", "boost"])
        for name in ("power", "boost", "status", "flags"):
            np.testing.assert_array_equal(kept[name].to_numpy(), here[name].to_numpy())
        assert [p.name for p in disk.iterdir()] == ["a.zarr"]
        assert not list(disk.rglob("*.partial"))


ALL = pytest.param(tuple(COMMANDS), marks=pytest.mark.slow)


@pytest.mark.parametrize("names", [EVERY_DAY, ALL], ids=["some", "all"])
def test_a_command_names_a_place_that_may_only_be_read(
    tmp_path: Path, names: tuple[str, ...]
) -> None:
    work = tmp_path / "work"
    work.mkdir()
    (work / "road.toml").write_text(seeds.road(ROOT))
    with mounted(tmp_path / "disk", "size=1m,ro") as disk:
        one = Runner(work)
        try:
            for name in names:
                command = COMMANDS[name]
                there = tuple(
                    str(disk / word) if word.startswith("a.") or word in ("a", "maps") else word
                    for word in command
                )
                assert one.run(there) == 256, name
                said = (work / "said").read_text()
                assert "must be a f" in said, said  # a file, or a folder
                words = ("Read-only file system", "Permission denied", "may not be written to")
                assert any(text in said for text in words), said
                assert sorted(p.name for p in work.iterdir()) == ["road.toml", "said"]
                assert list(disk.iterdir()) == []
        finally:
            one.process.communicate(timeout=60)


def test_a_cache_that_may_only_be_read_costs_time_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = f"surface-{0:032x}.json"
    with mounted(tmp_path / "disk", "size=1m") as disk:
        monkeypatch.setenv(cache.FOLDER, str(disk))
        cache.write(name, "kept")
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        assert cache.read(name) == "kept"
        cache.write(f"surface-{1:032x}.json", "more")
        cache.forget(name)
        assert cache.empty() == []
        assert cache.read(name) == "kept"


SAVES = """
import sys, airchain
from airchain.sweeps import write_dataset
build = airchain.load(sys.argv[1])
grid = airchain.sweep(build, {"rpm": [3000.0 + i for i in range(2000)]}, ["power"])
print("ready", flush=True)
sys.stdin.readline()
for _ in range(10):
    write_dataset(grid, sys.argv[2])
"""


@pytest.mark.parametrize("name", [pytest.param("a.csv", marks=pytest.mark.slow), "a.nc"])
def test_two_processes_on_one_output_leave_one_whole(tmp_path: Path, name: str) -> None:
    target = tmp_path / name
    both = [
        subprocess.Popen([sys.executable, "-c", SAVES, str(BUILD), str(target)],
                         stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for _ in range(2)
    ]  # fmt: skip
    for one in both:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    for one in both:
        assert one.stdin is not None
        one.stdin.write("\n")
        one.stdin.flush()
    sizes = set()
    while any(one.poll() is None for one in both):
        if target.exists():
            sizes.add(target.stat().st_size)
        time.sleep(0.001)
    assert [one.wait() for one in both] == [0, 0]
    for one in both:
        one.communicate()
    assert len(sizes) == 1  # never half
    assert [p.name for p in tmp_path.iterdir()] == [name]


KEEPS = """
import sys
from airchain.base import cache
text = "x" * 200_000
for turn in range(300):
    name = f"surface-{turn % 7:032x}.json"
    found = cache.read(name)
    assert found is None or found == text, len(found)
    cache.write(name, text)
    if turn % 50 == 49:
        cache.empty()
"""


def test_two_processes_on_one_cache_read_whole_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(cache.FOLDER, str(tmp_path))
    monkeypatch.setenv(cache.LIMIT, "1")
    both = [subprocess.Popen([sys.executable, "-c", KEEPS], stderr=subprocess.PIPE, text=True)
            for _ in range(3)]  # fmt: skip
    said = [one.communicate(timeout=120)[1] for one in both]
    assert [one.returncode for one in both] == [0] * 3, said
    assert all(not p.name.startswith(".") for p in tmp_path.iterdir())
    assert sum(p.stat().st_size for p in tmp_path.iterdir()) <= 1.2e6


@pytest.mark.parametrize("jump", [-40 * 365 * 86400.0, 40 * 365 * 86400.0], ids=["back", "ahead"])
def test_clocks_that_jump_leave_nothing_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, jump: float
) -> None:
    monkeypatch.setenv(cache.FOLDER, str(tmp_path))
    monkeypatch.setenv(cache.LIMIT, "1")
    strange = time.time() + jump
    for turn in range(5):
        cache.write(f"surface-{turn:032x}.json", "x" * 150_000)
        os.utime(tmp_path / f"surface-{turn:032x}.json", (strange, strange))
    left = tmp_path / f".surface-{9:032x}.{0:012x}.tmp.json"
    left.write_text("half")
    os.utime(left, (strange, strange))
    for turn in range(10, 16):
        cache.write(f"surface-{turn:032x}.json", "x" * 150_000)
    here = {p.name for p in tmp_path.iterdir()}
    assert left.name not in here  # half a file of nobody knows when
    assert {f"surface-{turn:032x}.json" for turn in range(10, 16)} <= here
    assert sum(p.stat().st_size for p in tmp_path.iterdir()) <= 1e6
    assert cache.read(f"surface-{15:032x}.json")


@pytest.mark.parametrize("jump", [-3.0e8, 3.0e8], ids=["back", "ahead"])
def test_a_sweep_goes_on_whatever_its_files_times_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, jump: float
) -> None:
    monkeypatch.setattr(grids, "TILE", 2000)
    build = airchain.load(BUILD)

    def stop(done: int, total: int) -> None:
        if done > total // 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        airchain.sweep(build, axes(), ["power"], store=tmp_path / "a.zarr", progress=stop)
    strange = time.time() + jump
    for one in (tmp_path / "a.zarr").rglob("*"):
        os.utime(one, (strange, strange))
    told: list[int] = []
    kept = airchain.sweep(
        build, axes(), ["power"], store=tmp_path / "a.zarr", progress=lambda n, _: told.append(n)
    )
    assert told[0] > kept["power"].size // 3
    here = airchain.sweep(build, axes(), ["power"])
    np.testing.assert_array_equal(kept["power"].to_numpy(), here["power"].to_numpy())


@pytest.mark.parametrize("name", ["a.svg", "a.png", "a.html", "a.pdf", "a.json", "a.toml"])
def test_half_a_file_is_noticed(tmp_path: Path, name: str) -> None:
    half = tmp_path / name
    half.write_text("<svg> [half")
    with pytest.raises((AssertionError, ValueError)):
        is_whole(half)
