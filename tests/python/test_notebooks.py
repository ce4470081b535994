"""Texts of notebooks are written as notebooks that open by a double click."""

import json
from pathlib import Path

import pytest

import airchain
from airchain.cli import main as cli
from airchain.lesson import write_notebooks

TEXT = """---
jupytext:
  text_representation:
    extension: .md
    format_name: myst
kernelspec:
  display_name: Python 3
  language: python
  name: python3
---

# A title

```{code-cell}
guess = ...
```
"""


def test_every_example_says_how_it_opens_and_can_be_written(root: Path, tmp_path: Path) -> None:
    for file in sorted((root / "examples").glob("*.md")):
        (tmp_path / file.name).write_text(file.read_text())
    found = write_notebooks([tmp_path])
    assert len(found) == len(list(tmp_path.glob("*.md"))) >= 5
    for path in found:
        cells = json.loads(path.read_text())["cells"]
        assert cells[0]["cell_type"] == "markdown"
        assert "airchain notebooks examples" in "".join(cells[0]["source"]), path.name
        assert any(cell["cell_type"] == "code" for cell in cells)


def test_a_notebook_that_is_there_keeps_what_was_answered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = tmp_path / "one.md"
    text.write_text(TEXT)
    target = tmp_path / "one.ipynb"
    assert write_notebooks([text]) == {target: True}
    assert [cell["source"] for cell in json.loads(target.read_text())["cells"]] == [
        ["# A title"],
        ["guess = ..."],
    ]
    target.write_text("answered")
    with pytest.raises(SystemExit) as end:
        cli.main(["notebooks", str(tmp_path)])
    assert end.value.code == 0
    shown = capsys.readouterr()
    assert "Left as it is" in shown.err
    assert shown.out == ""
    assert target.read_text() == "answered"
    with pytest.raises(SystemExit):
        cli.main(["notebooks", "--again", str(text)])
    assert "Written: " in capsys.readouterr().err
    assert target.read_text() != "answered"


def test_names_the_bad_path(tmp_path: Path) -> None:
    (tmp_path / "plain.md").write_text("# No notebook\n")
    for path, words in (
        (tmp_path / "none.md", "be the text of a notebook"),
        (tmp_path / "plain.md", "be the text of a notebook"),
        (tmp_path, "hold texts of notebooks"),
    ):
        with pytest.raises(airchain.InputError, match=words):
            write_notebooks([path])
