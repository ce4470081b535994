"""A live view as a page in one file: opened by a double click, without server and network."""

from __future__ import annotations

import base64
import json
import os
from collections.abc import Sequence
from html import escape
from pathlib import Path

from ..base.safe_text import safe
from ..base.text_file import checked_target, write_text
from ..chain.build import Build
from . import page_core
from .bundle import module, style
from .contract import encoded, locks, schema
from .packing import packed
from .session import Session

__all__ = ["made_of", "page", "write_page"]


def page(session: Session) -> str:
    """Return a live view as the text of one HTML file.

    Parameters
    ----------
    session : Session
        The session.

    Returns
    -------
    str
        The page. What needs the cylinder's cycles does not move in it, and says why.
    """
    objection = page_core.objection()
    data = {"schema": schema(session, knock=True), "locks": locks(session), "objection": objection}
    core = "" if objection else base64.b64encode(page_core.code()).decode("ascii")
    name = escape(safe(session.build.name))
    return "\n".join(
        [
            '<!DOCTYPE html>\n<html lang="en" class="airchain-page">\n<head>',
            '<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f'<meta name="generator" content="{escape(made_of(session.given))}">',
            f"<title>{name}: live</title>",
            f"<style>body {{ margin: 0; }}\n{style()}</style>\n</head>\n<body>",
            f'<main id="airchain-view"><h1>{name}</h1><p>{_NO_SCRIPT}</p></main>',
            f'<p style="{_FOOT_STYLE}">{_CAUTION}</p>',
            _data("airchain-data", "application/json", json.dumps(data, allow_nan=False)),
            _data("airchain-numbers", "text/plain", encoded(packed(session.build.chain))),
            _data("airchain-core", "text/plain", core),
            f'<script type="module">\n{module("page")}\n</script>\n</body>\n</html>\n',
        ]
    )


def made_of(build: Build) -> str:
    """Return what a page says that it was made of, as a report does.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    str
        The package's version and the beginning of the inputs' fingerprint.
    """
    from .. import __version__

    return f"airchain {__version__}, inputs {build.fingerprint[:16]}"


_NO_SCRIPT = "This page draws its pictures by JavaScript, which is switched off here."
_FOOT_STYLE = "font: 13px/1.4 system-ui, sans-serif; color: #777; margin: .6rem"
_CAUTION = (
    "Everything shown is computed. A computed margin is no permission: keep to the limits of the "
    "parts' makers, and follow local codes, rule books and licensed practice."
)


def _data(name: str, kind: str, text: str) -> str:
    """Data in a document; no text of them can end the element they stand in."""
    safe_text = text.replace("<", "\\u003c") if kind == "application/json" else text
    return f'<script type="{kind}" id="{name}">{safe_text}</script>'


def write_page(build: Build, path: str | os.PathLike[str], also: Sequence[str] = ()) -> Path:
    """Write a live view of a build as a page in one file.

    Parameters
    ----------
    build : Build
        The build. With cams its breathing surface is made first, if it never was.
    path : str or path
        The file; its name ends in .html.
    also : sequence of str
        Dotted paths of further numbers of the build file that become sliders.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        The file cannot be written, or no such number was typed.
    """
    file = checked_target(path, ".html", ".htm")
    write_text(file, page(Session(build, also)))
    return file
