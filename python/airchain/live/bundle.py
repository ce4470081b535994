"""The view's modules as one, so that neither a page nor a notebook has to fetch anything."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files

__all__ = ["module", "style"]

#: In the order in which they use each other.
_MODULES = (
    "values", "svg", "frame", "turning", "solver", "answering", "pictures", "controls", "drawings",
    "readings", "knock", "view",
)  # fmt: skip
_IMPORT = re.compile(r"^import [^;]*;\n", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=async function|function|class|const)", re.MULTILINE)


@cache
def module(last: str) -> str:
    """Return the modules and a last one as one text of JavaScript.

    Parameters
    ----------
    last : str
        Name of the last module, which starts the view: ``"page"`` or ``"widget"``.

    Returns
    -------
    str
        One module that imports nothing.
    """
    folder = files(__package__) / "js"
    texts = [(folder / f"{name}.mjs").read_text(encoding="utf-8") for name in (*_MODULES, last)]
    return "\n".join(_EXPORT.sub("", _IMPORT.sub("", text)) for text in texts)


@cache
def style() -> str:
    """Return the view's style sheet.

    Returns
    -------
    str
        The text.
    """
    return (files(__package__) / "js" / "style.css").read_text(encoding="utf-8")
