"""The look of every picture: colours that colour-blind readers tell apart, and line styles."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count
from textwrap import fill
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from ..base.safe_text import safe
from .columns import heading, in_display, label

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray


# Okabe and Ito's palette, yellow left out, in the order the series take them.
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#000000")
STYLES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)), (0, (8, 2)), (0, (1, 1)))
MARKERS = ("o", "s", "^", "D", "v", "P", "X")
#: Looks of levels from the highest down, and that of the engine without compressor.
LEVELS, ASPIRATED = (0, 1, 2, 4, 5, 6), 3
#: How much wider the strongest line is.
_STRONGEST = 1.6
#: Width of a letter, and room of a legend's sample with its gaps, over the height of text, about.
LETTER, _SAMPLE = 0.55, 5.0


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


def new_figure(width: float, height: float, rows: int = 1, columns: int = 1) -> tuple[Figure, Any]:
    """Return a figure and its axes, made without pyplot so that no window or state is left."""
    from .figure import NotebookFigure

    figure = NotebookFigure(figsize=(width, height), layout="constrained")
    return figure, figure.subplots(rows, columns, sharex=rows > 1)


def fit_legends(drawn: Figure) -> None:
    """Give legends wider than their picture fewer columns, and the picture more height for them.

    A name that is too long even for one column is broken over lines.
    """
    width, _ = drawn.get_size_inches()
    for legend in list(drawn.legends):
        taken = legend.get_window_extent()
        if taken.width <= width * drawn.dpi:
            continue
        names = [text.get_text() for text in legend.get_texts()]
        size = float(legend.get_texts()[0].get_fontsize())
        widest = (LETTER * max(map(len, names)) + _SAMPLE) * size / 72.0
        columns = max(int(width / widest), 1)
        room = max(int((width * 72.0 / columns / size - _SAMPLE) / LETTER), 8)
        names = [fill(name, room, break_long_words=False) for name in names]
        handles = [one for one in legend.legend_handles if one is not None]
        legend.remove()
        made = drawn.legend(
            handles=handles, labels=names, fontsize=size, ncols=columns, loc="outside upper center"
        )
        more = (made.get_window_extent().height - taken.height) / drawn.dpi
        drawn.set_size_inches(width, float(drawn.get_size_inches()[1]) + more)


def look(index: int) -> dict[str, Any]:
    """Return colour and line style of the series at `index`."""
    return {"color": COLOURS[index % len(COLOURS)], "linestyle": STYLES[index % len(STYLES)]}


def stroke(index: int, width: float = 1.6) -> dict[str, Any]:
    """Return colour, style and width of a line; the first of several is the strongest."""
    return {**look(index), "linewidth": width * (1.0 if index else _STRONGEST)}


def shared_out(wanted: Sequence[int | None]) -> list[int]:
    """Return a look for each series: the one it wants, or one that no other has.

    Where several want the same, the first gets it.
    """
    given: dict[int, int] = {}
    for place, one in enumerate(wanted):
        if one is not None and one not in given.values():
            given[place] = one
    free = (n for n in count() if n not in given.values())
    return [given[place] if place in given else next(free) for place in range(len(wanted))]


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
    draw_points(axes, x, in_display(name, pull[name], system), pull, index, text)


def draw_points(
    axes: Axes,
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    pull: Drawn,
    index: int,
    text: str,
) -> None:
    """Draw a line through a pull's points; solved ones are marked, hollow where extrapolated."""
    marker: dict[str, Any] = {
        "marker": MARKERS[index % len(MARKERS)],
        "markersize": 3.6 if index else 4.6,
    }
    hollow = pull.extrapolated
    marked = np.flatnonzero(pull.matched & ~hollow).tolist()
    axes.plot(x, y, **stroke(index), **marker, markevery=marked, label=text,
              zorder=3.5 if index else 3.6)  # fmt: skip
    if hollow.any():
        colour = COLOURS[index % len(COLOURS)]
        axes.plot(x[hollow], y[hollow], **marker, markerfacecolor="white", markeredgecolor=colour,
                  linestyle="none", zorder=4)  # fmt: skip
