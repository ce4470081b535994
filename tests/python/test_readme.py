"""What README shows is what runs."""

import re
from pathlib import Path

import pytest

_NUMBER = re.compile(r"-?[\d,]*\.?\d+")


@pytest.fixture
def shown(
    root: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
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


def numbers(text: str) -> list[float]:
    """Every number of a text."""
    return [float(found.replace(",", "")) for found in _NUMBER.findall(text)]


# On the tests' breathing surface of few nodes, which is some per cent off.
def test_readme_code_prints_much_what_it_says(shown: tuple[str, str]) -> None:
    here, said = shown
    assert re.sub(r"[\s\d,.-]+", " ", here) == re.sub(r"[\s\d,.-]+", " ", said)
    assert numbers(here) == pytest.approx(numbers(said), rel=0.05, abs=2.0)


@pytest.mark.slow
@pytest.mark.usefixtures("fine_surfaces")
class TestOnAWholeSurface:
    def test_readme_code_prints_what_it_says(self, shown: tuple[str, str]) -> None:
        assert shown[0] == shown[1]
