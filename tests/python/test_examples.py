"""Every example and notebook runs, as it stands."""

import ast
import importlib
import re
import runpy
import subprocess
from pathlib import Path
from typing import Any

import pytest

import airchain
from airchain.plan.plan import Plan

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NOTEBOOKS = sorted(EXAMPLES.glob("*.md"))
SCRIPTS = sorted(EXAMPLES.glob("*.py"))
#: Whole days at the dyno: what they call has tests of its own, and they take up to half a minute.
LONG = {
    "exploring_combinations",
    "the_track_what_the_tyres_take",
    "three_levels_two_gear_pairs",
}


def cells(file: Path) -> list[str]:
    """Code cells of a notebook in MyST text."""
    return re.findall(r"^```\{code-cell\}\n(.*?)^```$", file.read_text(), re.MULTILINE | re.DOTALL)


def test_there_are_examples() -> None:
    assert len(NOTEBOOKS) >= 3
    assert SCRIPTS


@pytest.mark.parametrize("file", NOTEBOOKS, ids=lambda f: f.stem)
def test_what_a_notebook_takes_of_the_package_is_there(file: Path) -> None:
    for cell in cells(file):
        for node in ast.walk(ast.parse(cell)):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("airchain"):
                module = importlib.import_module(node.module or "")
                assert all(hasattr(module, alias.name) for alias in node.names), cell
            named = isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name)
            if named and node.value.id == "airchain":
                assert hasattr(airchain, node.attr), cell


@pytest.mark.parametrize("file", [
    pytest.param(f, marks=[pytest.mark.slow] if f.stem in LONG else []) for f in NOTEBOOKS
], ids=lambda f: f.stem)  # fmt: skip
def test_notebook_runs(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(EXAMPLES)
    monkeypatch.setenv("AIRCHAIN_MILLIONS", "0.1")
    names: dict[str, Any] = {"__name__": "__main__"}
    found = cells(file)
    assert found
    for number, cell in enumerate(found):
        exec(compile(cell, f"{file.name}, cell {number}", "exec"), names)
    # What stands around the cells tells of plans that are found.
    assert all(one.found for one in names.values() if isinstance(one, Plan))


@pytest.mark.parametrize("file", SCRIPTS, ids=lambda f: f.stem)
def test_script_runs(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    runpy.run_path(str(file), run_name="__main__")
    assert capsys.readouterr().out


@pytest.mark.parametrize("file", [f for f in SCRIPTS if f.with_suffix(".cpp").exists()])
def test_twins_in_both_languages_print_the_same(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    built = [f for f in (EXAMPLES.parent / "build").rglob(f"example_{file.stem}") if f.is_file()]
    assert built, "built by tests/run"
    newest = max(built, key=lambda f: f.stat().st_mtime)
    runpy.run_path(str(file), run_name="__main__")
    printed = subprocess.run([newest], capture_output=True, text=True, check=True, cwd=EXAMPLES)
    assert capsys.readouterr().out == printed.stdout
