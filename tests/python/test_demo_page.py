"""The demo's page with sliders, which opens straight from the tree, is that of today's package."""

import base64
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import in_page
from airchain.live import write_page
from airchain.live.bundle import module, style
from airchain.live.page import made_of
from airchain.live.session import column_names
from airchain.units.convert import from_si

FILE = in_page.ROOT / "demo" / "ridge_road_live.html"
BUILD = in_page.ROOT / "demo" / "ridge_road.toml"
#: How it is made, in the tree's top folder.
COMMAND = f"airchain page demo/{BUILD.name} --level full -o demo/{FILE.name}"
STALE = f"{FILE.name} is stale; {COMMAND} writes it anew"


@cache
def text() -> str:
    """The page."""
    return FILE.read_text(encoding="utf-8")


def data() -> dict[str, Any]:
    """What the page knows."""
    found = re.search(r'id="airchain-data">(.*?)</script>', text(), re.DOTALL)
    assert found is not None
    return dict(json.loads(found[1]))


def test_it_is_made_of_these_inputs_this_script_and_this_core() -> None:
    assert f'content="{made_of(airchain.load(BUILD).level("full"))}"' in text(), STALE
    assert module("page") in text(), STALE
    assert style() in text(), STALE
    core = re.search(r'id="airchain-core">(.*?)</script>', text(), re.DOTALL)
    assert core is not None
    assert base64.b64decode(core[1]) == in_page.WASM.read_bytes(), STALE


def test_it_tells_the_power_that_readme_prints() -> None:
    """A pull by cycles, within what a surface and the words of README say they may be off."""
    printed = re.search(r"^7000 +([\d.]+) ", (in_page.ROOT / "README.md").read_text(), re.MULTILINE)
    assert printed is not None
    schema = data()["schema"]
    full = next(level for level in schema["levels"] if level["name"] == "full")
    columns = np.frombuffer(base64.b64decode(full["numbers"])).reshape(-1, len(column_names()))
    row = schema["rpm"].index(7000.0)
    power = from_si(columns[row, column_names().index("power")], "hp", "power")
    assert power == pytest.approx(float(printed[1]), rel=0.006), STALE


def test_it_is_small_and_says_that_it_is_invented() -> None:
    assert FILE.stat().st_size < 2_000_000
    assert data()["schema"]["invented"] is True
    assert data()["objection"] == ""


def test_readme_and_developers_name_it() -> None:
    assert f"demo/{FILE.name}" in (in_page.ROOT / "README.md").read_text()
    assert COMMAND in (in_page.ROOT / "DEVELOPERS.md").read_text()


@pytest.mark.slow
@pytest.mark.usefixtures("fine_surfaces")
def test_it_is_what_the_command_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(in_page.ROOT)
    build = airchain.load(BUILD.relative_to(in_page.ROOT)).level("full")
    assert write_page(build, tmp_path / "page.html").read_text() == text(), STALE
