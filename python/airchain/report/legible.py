"""Text of pictures that can still be read where a printed page makes them smaller."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

from ..base.extras import extra

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["SMALLEST", "printed_width", "raise_text"]

#: Smallest text on paper [pt].
SMALLEST = 7.0
#: Narrowest that a page prints a picture of each kind, as of report.css.j2 and pdf.py [in].
_WIDTHS = {"": 5.6, "tall": 3.7, "pair": 3.4}
#: Width of a letter over the height of its text, about [dimensionless].
_LETTER = 0.55
#: Room of a legend's sample and gaps over the height of its text, about [dimensionless].
_SAMPLE = 5.0
_POINTS = 72.0


def printed_width(tall: bool, beside: str) -> float:
    """Return how wide a page prints a picture at least.

    Parameters
    ----------
    tall : bool
        Whether it is about as high as wide, or higher.
    beside : str
        ``"pair"`` beside another picture, as of `airchain.report.blocks`.

    Returns
    -------
    float
        The width [in].
    """
    return _WIDTHS[beside or ("tall" if tall else "")]


def raise_text(drawn: Figure, printed: float) -> None:
    """Make a picture's small texts large enough for print, and break lines that grow too long.

    Parameters
    ----------
    drawn : matplotlib.figure.Figure
        The picture; its texts are changed.
    printed : float
        How wide it is printed [in].
    """
    width, height = (float(side) for side in drawn.get_size_inches())
    least = SMALLEST * max(width / printed, 1.0)
    texts: list[Any] = list(drawn.findobj(extra("matplotlib.text").Text))
    for text in texts:
        text.set_fontsize(max(float(text.get_fontsize()), least))
    _narrow_legends(drawn, width)
    height = float(drawn.get_size_inches()[1])
    for axes in drawn.axes:
        axes.tick_params(labelsize=max(least, 10.0))
        room = axes.get_position().height * height * _POINTS
        label = axes.yaxis.label
        label.set_text(_broken(label.get_text(), room, float(label.get_fontsize())))
        across = axes.get_position().width * width * _POINTS
        label = axes.xaxis.label
        label.set_text(_broken(label.get_text(), across, float(label.get_fontsize())))
    foot = drawn.get_supxlabel()
    if foot:
        size = max(least, 8.0)
        drawn.supxlabel(_broken(foot, width * _POINTS, size), fontsize=size)


def _narrow_legends(drawn: Figure, width: float) -> None:
    """Give legends that grew too wide fewer columns, and the picture more height for them."""
    for legend in list(drawn.legends):
        taken = legend.get_window_extent()
        if taken.width <= width * drawn.dpi:
            continue
        names = [text.get_text() for text in legend.get_texts()]
        size = float(legend.get_texts()[0].get_fontsize())
        widest = (_LETTER * max(map(len, names)) + _SAMPLE) * size / _POINTS
        columns = max(int(width / widest), 1)
        handles = [one for one in legend.legend_handles if one is not None]
        legend.remove()
        made = drawn.legend(
            handles=handles, labels=names, fontsize=size, ncols=columns, loc="outside upper center"
        )
        more = (made.get_window_extent().height - taken.height) / drawn.dpi
        drawn.set_size_inches(width, float(drawn.get_size_inches()[1]) + more)


def _broken(text: str, room: float, size: float) -> str:
    """Return a text in lines that fit into `room` [pt] at a size [pt]."""
    most = max(int(room / (_LETTER * size)), 8)
    return "\n".join(fill(line, most, break_long_words=False) for line in text.split("\n"))
