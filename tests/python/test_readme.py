"""What README shows is what runs."""

import re
from pathlib import Path

import pytest


def test_readme_code_prints_what_it_says(
    root: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    whole_surfaces: None,
) -> None:
    monkeypatch.chdir(root)
    text = (root / "README.md").read_text()
    code = re.search(r"```python\n(.*?)```", text, re.S)
    printed = re.search(r"```text\n(.*?)```", text, re.S)
    assert code is not None
    assert printed is not None
    exec(compile(code[1], "README.md", "exec"), {})
    assert capsys.readouterr().out == printed[1]


def test_readme_names_files_that_are_there(root: Path) -> None:
    text = (root / "README.md").read_text()
    for name in re.findall(r"`((?:demo|tests|examples)/[\w./-]+)`", text):
        if not name.startswith("demo/out"):
            assert (root / name).exists(), name
