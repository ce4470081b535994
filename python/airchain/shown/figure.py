"""The figure that every plot returns; importing it imports matplotlib."""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from ..base.extras import extra
from ..base.safe_text import safe
from ..base.text_file import checked_target, write_with

if TYPE_CHECKING:
    from matplotlib.backend_bases import RendererBase
    from matplotlib.figure import Figure
    from matplotlib.text import Text
else:
    Figure = extra("matplotlib.figure").Figure
    Text = extra("matplotlib.text").Text

#: What the name of a picture may end in.
ENDINGS = (".png", ".svg", ".pdf")


class NotebookFigure(Figure):
    """A figure that a notebook shows as a picture without pyplot or a magic command.

    Its texts are drawn as they stand: a dollar sign in a name starts no formula.
    """

    def draw(self, renderer: RendererBase) -> None:
        """Draw the figure with every text as it stands."""
        for text in self.findobj(Text):
            if isinstance(text, Text):
                text.set_parse_math(False)
                text.set_text(safe(text.get_text()).replace(r"\$", "$"))
        super().draw(renderer)

    def _repr_png_(self) -> bytes:
        return as_png(self)


def as_png(figure: Figure) -> bytes:
    """Return a figure as the bytes of a PNG file."""
    buffer = BytesIO()
    figure.savefig(buffer, format="png", dpi=100)
    return buffer.getvalue()


def checked_picture(path: str | os.PathLike[str]) -> Path:
    """Return the file of a picture, or refuse it before the work that it shows.

    Parameters
    ----------
    path : str or path
        The file; its name ends in ``.png``, ``.svg`` or ``.pdf``.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        The name ends otherwise, or the file cannot be written.
    """
    return checked_target(path, *ENDINGS)


def save(figure: Figure, path: str | os.PathLike[str]) -> Path:
    """Write a figure to a file in one step: what was there stays until the new one is whole.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
        The figure.
    path : str or path
        The file, as of `checked_picture`.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        The name ends otherwise, or the file cannot be written.
    """
    target = checked_picture(path)
    write_with(target, lambda beside: figure.savefig(beside, format=target.suffix[1:].lower()))
    return target
