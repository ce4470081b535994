"""Every example and notebook runs, as it stands."""

import re
import runpy
from pathlib import Path
from typing import Any

import pytest

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NOTEBOOKS = sorted(EXAMPLES.glob("*.md"))
SCRIPTS = sorted(EXAMPLES.glob("*.py"))


def cells(file: Path) -> list[str]:
    """Code cells of a notebook in MyST text."""
    return re.findall(r"^```\{code-cell\}\n(.*?)^```$", file.read_text(), re.MULTILINE | re.DOTALL)


def test_there_are_examples() -> None:
    assert len(NOTEBOOKS) >= 3
    assert SCRIPTS


@pytest.mark.parametrize("file", NOTEBOOKS, ids=lambda f: f.stem)
def test_notebook_runs(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(EXAMPLES)
    names: dict[str, Any] = {"__name__": "__main__"}
    found = cells(file)
    assert found
    for number, cell in enumerate(found):
        exec(compile(cell, f"{file.name}, cell {number}", "exec"), names)


@pytest.mark.parametrize("file", SCRIPTS, ids=lambda f: f.stem)
def test_script_runs(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    runpy.run_path(str(file), run_name="__main__")
    assert capsys.readouterr().out
