"""Text of pictures that can still be read where a printed page makes them smaller."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

from ..base.extras import extra
from ..shown.plot_style import LETTER, fit_legends
from .printed_units import printed_units

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["SMALLEST", "printed_width", "raise_text"]

#: Smallest text on paper [pt].
SMALLEST = 7.0
#: Narrowest that a page prints a picture of each kind, as of report.css.j2 and pdf.py [in].
_WIDTHS = {"": 5.6, "tall": 3.7, "pair": 3.4}
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
        text.set_text(printed_units(text.get_text()))
        text.set_fontsize(max(float(text.get_fontsize()), least))
    fit_legends(drawn)
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


def _broken(text: str, room: float, size: float) -> str:
    """Return a text in lines that fit into `room` [pt] at a size [pt]."""
    most = max(int(room / (LETTER * size)), 8)
    return "\n".join(fill(line, most, break_long_words=False) for line in text.split("\n"))
