"""The look of every picture: colours that colour-blind readers tell apart, and line styles."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol

from ..base.safe_text import safe
from .columns import heading, in_display, label

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from numpy.typing import NDArray


# Okabe and Ito's palette, yellow left out, in the order the series take them.
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#000000")
STYLES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)), (0, (8, 2)), (0, (1, 1)))
MARKERS = ("o", "s", "^", "D", "v", "P", "X")


class Drawn(Protocol):
    """A result that can be drawn as a line with its points marked."""

    def __getitem__(self, name: str, /) -> NDArray[np.float64]: ...

    @property
    def matched(self) -> NDArray[np.bool_]:
        """Which points were solved."""
        ...

    @property
    def extrapolated(self) -> NDArray[np.bool_]:
        """Which solved points lie outside measured or typed-in data."""
        ...


def new_figure(width: float, height: float, rows: int = 1, columns: int = 1) -> tuple[Any, Any]:
    """Return a figure and its axes, made without pyplot so that no window or state is left."""
    from .figure import NotebookFigure

    figure = NotebookFigure(figsize=(width, height), layout="constrained")
    return figure, figure.subplots(rows, columns, sharex=rows > 1)


def look(index: int) -> dict[str, Any]:
    """Return colour and line style of the series at `index`."""
    return {"color": COLOURS[index % len(COLOURS)], "linestyle": STYLES[index % len(STYLES)]}


def plain(text: str) -> str:
    """Return text that matplotlib draws as it stands, without reading formulas into it."""
    return safe(text).replace("$", r"\$")


def axis_label(name: str, system: str) -> str:
    """Return the words and unit of a column."""
    unit = label(name, system)
    text = heading(name)
    text = text if text[:2].isupper() else text.capitalize()
    return f"{text} [{unit}]" if unit else text


def draw_series(
    axes: Axes,
    x: NDArray[np.float64],
    pull: Drawn,
    name: str,
    index: int,
    system: str,
    text: str,
) -> None:
    """Draw one column of a pull; solved points are marked, hollow where extrapolated."""
    y = in_display(name, pull[name], system)
    axes.plot(x, y, **look(index), linewidth=1.6, label=text)
    mark_points(axes, x, y, pull, index)


def mark_points(
    axes: Axes, x: NDArray[np.float64], y: NDArray[np.float64], pull: Drawn, index: int
) -> None:
    """Mark solved points, hollow where extrapolated."""
    colour, marker = COLOURS[index % len(COLOURS)], MARKERS[index % len(MARKERS)]
    hollow = pull.extrapolated
    for mask, face in ((pull.matched & ~hollow, colour), (hollow, "white")):
        if mask.any():
            axes.plot(
                x[mask], y[mask], marker, markersize=3.6, markerfacecolor=face,
                markeredgecolor=colour, linestyle="none", zorder=4,
            )  # fmt: skip
