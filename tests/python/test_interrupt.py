"""Ctrl-C in the middle of a sweep: exit code 130, nothing half-written."""

import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import scenario


def read_until(stream: int, words: bytes, seconds: float) -> bytes:
    """What a terminal shows up to some words."""
    shown, end = b"", time.monotonic() + seconds
    while words not in shown and time.monotonic() < end:
        if select.select([stream], [], [], 0.2)[0]:
            shown += os.read(stream, 4096)
    return shown


@pytest.mark.parametrize("name", ["grid.csv", "grid.nc"])
def test_interrupted_sweep_leaves_the_old_file(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("old")
    command = [
        *(sys.executable, "-m", "airchain", "sweep", str(scenario.quick()), "--threads", "1"),
        *("--axis", "rpm=3000:7000:4000", "--axis", "drive.drive_ratio=0.8:1.2:2000"),
        *("--column", "power", "-o", name),
    ]
    # A terminal of its own: progress is told only there, and says that the core is at work.
    ours, theirs = pty.openpty()
    process = subprocess.Popen(command, cwd=tmp_path, stderr=theirs, stdout=subprocess.DEVNULL)
    os.close(theirs)
    try:
        shown = read_until(ours, b"of 8,000,000 points", 60)
        assert b"of 8,000,000 points" in shown
        process.send_signal(signal.SIGINT)
        assert b"interrupted" in read_until(ours, b"interrupted", 30)
        assert process.wait(timeout=30) == 130
    finally:
        process.kill()
        process.wait()
        os.close(ours)
    assert [p.name for p in tmp_path.iterdir()] == [name]
    assert (tmp_path / name).read_text() == "old"
