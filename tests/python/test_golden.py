"""How objects read, as text and as HTML, kept in tests/golden: a change is seen before it lands.

After a change that is meant: pytest tests/python/test_golden.py --refresh-golden, and look at the
difference. These are figures of our own, checked elsewhere; here only their form counts.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import scenario

GOLDEN = Path(__file__).resolve().parents[1] / "golden"
SPEEDS = [3000, 5000, 7000]


def sweep_text() -> str:
    """A sweep without what differs between releases of xarray: axes, columns, attributes."""
    axes = {"rpm": [5000, 7000], "ambient.relative_humidity": [0.0, 0.9], "level": ["tame", "full"]}
    grid = airchain.sweep(scenario.steps().build, axes, ["power", "boost"])
    lines = [f"{key}: {grid.attrs[key]}" for key in ("title", "summary")]
    for name in (*grid.coords, *grid.data_vars):
        values = grid[name]
        lines.append(f"{name} {list(values.dims)}")
        lines += [f"  {key}: {np.array2string(np.asarray(v))}" for key, v in values.attrs.items()]
        cells = np.asarray(values).ravel().tolist()
        lines.append("  " + " ".join(c if isinstance(c, str) else f"{c:.6g}" for c in cells))
    return "\n".join(lines)


OBJECTS: dict[str, Callable[[], Any]] = {
    "build": scenario.full,
    "build_naturally_aspirated": lambda: scenario.full().naturally_aspirated(),
    "build_with_a_tank": scenario.iced,
    "pull": lambda: scenario.full().pull(SPEEDS),
    "pull_not_all_matched": lambda: (
        scenario.full().replace({"drive.links.1.speed_ratio": 6.8}).pull(SPEEDS)
    ),
    "timed_pull": lambda: scenario.iced().timed_pull(SPEEDS, rpm_per_second=500),
    "stations": lambda: scenario.full().pull(SPEEDS).stations(7000),
    "drive_loads": lambda: scenario.full().drive_loads(7000),
    "ladder": lambda: airchain.ladder(scenario.steps().build, SPEEDS),
}
FORMS: dict[str, Callable[[], str]] = {
    **{f"{name}.txt": lambda make=make: repr(make()) for name, make in OBJECTS.items()},
    **{f"{name}.html": lambda make=make: make()._repr_html_() for name, make in OBJECTS.items()},
    "sweep.txt": sweep_text,
}


@pytest.mark.parametrize("name", FORMS)
def test_reads_as_kept(name: str, request: pytest.FixtureRequest) -> None:
    # One cell a line, so that a difference shows what changed.
    text = FORMS[name]().replace("><", ">\n<") + "\n"
    if request.config.getoption("--refresh-golden"):
        GOLDEN.mkdir(exist_ok=True)
        (GOLDEN / name).write_text(text)
    assert text == (GOLDEN / name).read_text()


def test_nothing_is_kept_that_is_not_compared() -> None:
    assert {p.name for p in GOLDEN.iterdir()} == set(FORMS)
