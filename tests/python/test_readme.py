"""What README shows is what runs."""

import re
from pathlib import Path

import pytest


@pytest.fixture
def shown(
    root: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    fine_surfaces: None,
) -> tuple[str, str]:
    """What README's code prints here, and what README says that it prints."""
    monkeypatch.chdir(root)
    text = (root / "README.md").read_text()
    code = re.search(r"```python\n(.*?)```", text, re.S)
    printed = re.search(r"```text\n(.*?)```", text, re.S)
    assert code is not None
    assert printed is not None
    exec(compile(code[1], "README.md", "exec"), {})
    return capsys.readouterr().out, printed[1]


def test_readme_code_prints_what_it_says(shown: tuple[str, str]) -> None:
    assert shown[0] == shown[1]
