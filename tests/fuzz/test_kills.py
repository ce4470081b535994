"""Writers that are killed, disks that are full, several at once: the old or the new, never half."""

from __future__ import annotations

import contextlib
import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import seeds

import airchain
from airchain import InputError
from airchain.base.places import place_beside
from airchain.calibration.files import write_calibration

ROOT = Path(__file__).resolve().parents[2]
CALIBRATION = """
import sys
sys.path.insert(0, {here!r})
import seeds
from airchain.calibration.files import write_calibration
made = seeds.calibration()
print("ready", flush=True)
for _ in range(10**6):
    write_calibration(made, sys.argv[1])
"""
SAVED = """
import sys, airchain
build = airchain.load({build!r})
print("ready", flush=True)
for _ in range(10**6):
    build.save(sys.argv[1])
"""


def started(code: str, target: Path) -> subprocess.Popen[str]:
    """A process that writes one target again and again, once it does."""
    text = code.format(here=str(ROOT / "tests" / "fuzz"),
                       build=str(ROOT / "examples" / "one_point.toml"))  # fmt: skip
    writer = subprocess.Popen(
        [sys.executable, "-c", text, str(target)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert writer.stdout is not None
    assert writer.stdout.readline() == "ready\n"
    return writer


def ended(writer: subprocess.Popen[str], how: int) -> str:
    """End a process; return what it said."""
    writer.send_signal(how)
    _, said = writer.communicate(timeout=60)
    return said


def calibration_is_whole(target: Path) -> None:
    assert airchain.read_calibration(target).name == "invented"
    assert len(list(target.iterdir())) == len(write_calibration(seeds.calibration(), target))


def build_is_whole(target: Path) -> None:
    assert airchain.load(target).name == "One point"


KINDS: dict[str, tuple[str, str, Callable[[Path], None], Callable[[Path], object]]] = {
    "calibration": (CALIBRATION, "out", calibration_is_whole,
                    lambda p: write_calibration(seeds.calibration(), p)),
    "build": (SAVED, "out.toml", build_is_whole,
              lambda p: airchain.load(ROOT / "examples" / "one_point.toml").save(p)),
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_killed_writers_leave_the_old_or_the_new(kind: str, times: int, tmp_path: Path) -> None:
    code, name, is_whole, write = KINDS[kind]
    (tmp_path / "one_point_map.csv").write_text(seeds.blower(ROOT))
    draw = random.Random(7)
    target = tmp_path / name
    for _ in range(3 * min(times, 30)):
        writer = started(code, target)
        time.sleep(draw.uniform(0.0, 0.15))
        ended(writer, signal.SIGKILL)
        if target.exists():
            is_whole(target)
    write(target)
    is_whole(target)
    left = sorted(p.name for p in tmp_path.iterdir())
    assert left == sorted([name, "one_point_map.csv"])


def test_three_writers_of_one_calibration_leave_one(tmp_path: Path) -> None:
    target = tmp_path / "out"
    writers = [started(CALIBRATION, target) for _ in range(3)]
    until = time.monotonic() + 1.5
    seen = 0
    while time.monotonic() < until:
        try:
            text = (target / "calibration.json").read_text()
        except FileNotFoundError:
            continue  # between two folders, or before the first
        assert json.loads(text)["name"] == "invented"
        seen += 1
    said = [ended(writer, signal.SIGTERM) for writer in writers]
    assert seen
    assert said == ["", "", ""]
    write_calibration(seeds.calibration(), target)
    assert [p.name for p in tmp_path.iterdir()] == ["out"]
    calibration_is_whole(target)


def test_what_lives_is_not_taken_away(tmp_path: Path) -> None:
    target = tmp_path / "a.csv"
    own = place_beside(target, target.stem, target.suffix)
    own.write_text("half")
    dead = own.with_name(own.name.replace(f"-{os.getpid()}-", f"-{2**22 + 1}-"))
    strange = own.with_name(own.name.replace(".a.", ".b."))
    for path in (dead, strange):
        path.write_text("half")
    place_beside(target, target.stem, target.suffix)
    assert own.exists()
    assert strange.exists()
    assert not dead.exists()


def filled_up(file: Path) -> None:
    """Write until the disk is full."""
    with file.open("wb", buffering=0) as stream, contextlib.suppress(OSError):
        while stream.write(b"0" * 4096):
            pass


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="mounting needs root")
def test_a_full_disk_keeps_what_was_there(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)],
                             capture_output=True, check=False)  # fmt: skip
    if mounted.returncode:
        pytest.skip("no tmpfs can be mounted here")
    try:
        write_calibration(seeds.calibration(), disk / "out")
        before = {p.name: p.read_bytes() for p in (disk / "out").iterdir()}
        free = os.statvfs(disk)
        (disk / "filler").write_bytes(b"0" * (free.f_bavail * free.f_frsize - 8192))
        with pytest.raises(InputError, match="No space left on device"):
            write_calibration(seeds.calibration(), disk / "out")
        with pytest.raises(InputError, match="No space left on device"):
            write_calibration(seeds.calibration(), disk / "new")
        build = airchain.load(ROOT / "examples" / "one_point.toml")
        filled_up(disk / "filler2")
        with pytest.raises(InputError, match="No space left on device"):
            build.save(disk / "build.toml")
        assert {p.name: p.read_bytes() for p in (disk / "out").iterdir()} == before
        assert sorted(p.name for p in disk.iterdir()) == ["filler", "filler2", "out"]
    finally:
        subprocess.run(["umount", str(disk)], check=False)
