"""Logs changed at random: refused by name, or read to numbers that a dyno could have shown."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
from checks import put, refused
from mutator import Mutator
from tally import Tally

import airchain
from airchain import InputError

#: Rows kept of a demo log: enough for a pull, quick to read.
_ROWS = 120


def shortened(raw: bytes) -> tuple[str, str]:
    """Head and some rows of a log, and its encoding."""
    encoding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8"
    try:
        lines = raw.decode(encoding).splitlines()
    except UnicodeDecodeError:
        encoding = "latin-1"
        lines = raw.decode(encoding).splitlines()
    step = max(len(lines) // _ROWS, 1)
    return "\n".join([*lines[:8], *lines[8::step]]) + "\n", encoding


def test_changed_logs(times: int, tally: Tally, tmp_path: Path, root: Path) -> None:
    logs = [shortened(p.read_bytes()) for p in sorted((root / "demo" / "pulls").iterdir())]
    file = tmp_path / "log.csv"
    outcomes: Counter[str] = Counter()
    for seed in range(60 * times):
        text, encoding = logs[seed % len(logs)]
        put(file, Mutator(seed).table(text), encoding, "replace")
        try:
            log = refused(lambda: airchain.read_pulls(file, {"power_basis": "observed"}))
            tally.case(not isinstance(log, InputError))
            outcomes["refused" if isinstance(log, InputError) else "read"] += 1
            if not isinstance(log, InputError):
                for pull in log.pulls:  # type: ignore[attr-defined]
                    speed = pull["engine_speed"]
                    assert np.all(np.isfinite(speed) & (speed > 0.0))
                    assert not any(np.any(np.isinf(pull[name])) for name in pull.names)
        except BaseException as error:
            error.add_note(f"log seed {seed}")
            raise
    print(dict(outcomes))
    assert outcomes["read"] >= sum(outcomes.values()) / 2, outcomes
