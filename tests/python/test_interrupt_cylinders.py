"""Ctrl-C in the middle of a whole engine's points: it ends within a second."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

_WORK = """
import sys
import crank_engines
from airchain.cylinder import every_cylinder

whole = crank_engines.engine(
    firing_order=[1, 8, 4, 3, 6, 5, 7, 2],
    plenum={"volume": "7 L"},
    collectors={"primaries": [[1, 3, 5, 7], [2, 4, 6, 8]], "volume": "1 L", "length": "0.45 m",
                "diameter": "4 in"},
)
given = (whole, [1500.0 + 5.0 * i for i in range(800)], "100 kPa", "103 kPa")
print("begun", flush=True)
try:
    WORK
except KeyboardInterrupt:
    print("interrupted", flush=True)
    sys.exit(130)
"""


@pytest.mark.parametrize(
    "work",
    ["every_cylinder(*given)", 'every_cylinder(*given, fuel="equal", threads=1)'],
)
def test_points_of_every_cylinder_end_when_interrupted(work: str) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", _WORK.replace("WORK", work)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parent,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        try:
            assert process.stdout.readline() == "begun\n"
            # Told on standard error after a second: it is at work.
            assert "of 800 points" in process.stderr.readline()
            sent = time.monotonic()
            process.send_signal(signal.SIGINT)
            assert process.wait(timeout=30) == 130
            assert time.monotonic() - sent < 1.0
            assert process.stdout.read() == "interrupted\n"
        finally:
            process.kill()
