"""Notebooks that open by a double click, written from their text."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.text_file import checked_target, read_text, write_text

__all__ = ["write_notebooks"]


def write_notebooks(
    paths: Iterable[str | os.PathLike[str]], again: bool = False
) -> dict[Path, bool]:
    """Write notebooks (.ipynb) beside their texts (.md).

    Parameters
    ----------
    paths : iterable of str or path
        Texts of notebooks, or folders of them.
    again : bool
        Whether a notebook that is there is written anew, with whatever was answered in it
        [dimensionless].

    Returns
    -------
    dict
        Every notebook, and whether it was written; one that was there stays without `again`.

    Raises
    ------
    InputError
        A path leads nowhere or to no text of a notebook, or a file cannot be written.
    ModuleNotFoundError
        The package that reads such texts is not installed; the message has the command that
        installs it.
    """
    jupytext = extra("jupytext")
    found: dict[Path, bool] = {}
    for text in [one for path in paths for one in _texts(Path(path))]:
        target = checked_target(text.with_suffix(".ipynb"), ".ipynb")
        found[target] = again or not target.exists()
        if found[target]:
            notebook = jupytext.reads(read_text(text, "a notebook"), fmt="md:myst")
            write_text(target, jupytext.writes(notebook, fmt="ipynb"))
    return found


def _texts(path: Path) -> list[Path]:
    """The texts of notebooks at a path."""
    where, field = "notebooks", "path"
    if path.is_dir():
        texts = [one for one in sorted(path.glob("*.md")) if _is_notebook(one)]
        if not texts:
            rule = "hold texts of notebooks (.md with a jupytext heading)"
            raise refusal(where, field, quoted(str(path)), rule)
        return texts
    if not path.is_file() or path.suffix != ".md" or not _is_notebook(path):
        rule = "be the text of a notebook (.md with a jupytext heading), or a folder of them"
        raise refusal(where, field, quoted(str(path)), rule)
    return [path]


def _is_notebook(file: Path) -> bool:
    return "jupytext:" in read_text(file, "a notebook")[:400]
