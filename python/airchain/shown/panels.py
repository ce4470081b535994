"""The panels that a picture is drawn in: those of a new figure, or those handed in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..base.errors import refusal
from .plot_style import new_figure, plain

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["head_and_foot", "panels_for"]


def panels_for(
    axes: Axes | Sequence[Axes] | None, size: tuple[float, float], rows: int = 1, columns: int = 1
) -> tuple[Figure, list[Axes]]:
    """Return a figure and its panels.

    Parameters
    ----------
    axes : Axes or sequence of Axes or None
        Panels to draw in; a figure of its own is made where there are none.
    size : tuple of float
        Width and height of the new figure [in].
    rows, columns : int
        How many panels stand below and beside one another [dimensionless].

    Returns
    -------
    tuple
        The figure, and its panels row by row.

    Raises
    ------
    InputError
        Another number of panels is handed in.
    """
    wanted = rows * columns
    if axes is None:
        figure, panels = new_figure(*size, rows, columns)
        return figure, list(np.ravel(panels))
    given: list[Axes] = list(np.ravel(np.asarray(axes, dtype=object)))
    if len(given) != wanted:
        rule = f"be {wanted} panel{'s' if wanted > 1 else ''}"
        raise refusal("plot", "axes", str(len(given)), rule)
    drawn_on = given[0].get_figure(root=True)
    if drawn_on is None:
        raise refusal("plot", "axes", "without a figure", "belong to a figure")
    return drawn_on, given


def head_and_foot(figure: Figure, panels: Sequence[Axes], own: bool, title: str | None,
                  foot: str = "", words: str = "") -> None:  # fmt: skip
    """Write a picture's title above it and what its signs mean below it.

    Parameters
    ----------
    figure : Figure
        The figure.
    panels : sequence of Axes
        Its panels.
    own : bool
        Whether the figure was made for this picture; in another one the title stands over the
        first panel, and what the signs mean is left to whoever made it.
    title : str or None
        The title, empty for none; without it a figure of its own says what it shows.
    foot : str
        What the signs mean.
    words : str
        What it shows.
    """
    if title is None and own:
        title = words
    if title and own and figure.legends:
        # Room for one thing is kept above the panels, so the title joins the legend.
        figure.legends[0].set_title(plain(title))
        figure.legends[0].get_title().set_fontsize(11)
    elif title and own:
        figure.suptitle(plain(title), fontsize=11)
    elif title:
        panels[0].set_title(plain(title), fontsize=11)
    if foot and own:
        figure.supxlabel(foot, fontsize=8)
