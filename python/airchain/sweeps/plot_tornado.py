"""The picture of what moves a figure most: a bar for each input, the widest on top."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..shown.columns import in_display
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, axis_label, plain
from .told_axes import axis_heading

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .sensitivity import Sensitivities

#: Bars told apart without colour: the low end of an input is hatched.
_COLOURS, _HATCHES = (COLOURS[5], COLOURS[1]), ("////", "")


def draw_tornado(found: Sensitivities, axes: Axes | None, system: str, title: str | None) -> Figure:
    """Draw the figure at both ends of every input; see `Sensitivities.plot`."""
    bars = sorted(found.factors, key=lambda one: one.swing)
    figure, (panel,) = panels_for(axes, (7.2, 1.7 + 0.55 * len(bars)))
    middle = float(in_display(found.name, found.mean, system))
    labels = ("low end of the input", "high end")
    for row, one in enumerate(bars):
        ends = found.end_words(one, system)
        for end, value in enumerate((one.low, one.high)):
            there = float(in_display(found.name, value, system))
            panel.barh(
                row, there - middle, left=middle, height=0.62, edgecolor="white",
                label=labels[end] if row == 0 else None, color=_COLOURS[end], hatch=_HATCHES[end],
            )  # fmt: skip
            # On one side of the mean both ends could stand at one place.
            side = end == 1 if one.low <= one.high else end == 0
            panel.annotate(plain(ends[end]), (there, row), (4 if side else -4, 0),
                           textcoords="offset points", va="center",
                           ha="left" if side else "right", fontsize=7.5)  # fmt: skip
    panel.axvline(middle, color="black", linewidth=1.0)
    names = [f"{axis_heading(found.grid, one.name)}\n{_share(one.share)}" for one in bars]
    panel.set_yticks(range(len(bars)), [plain(name) for name in names], fontsize=8)
    panel.set_xlabel(axis_label(found.name, system))
    panel.margins(x=0.22)
    panel.grid(alpha=0.3, axis="x")
    panel.legend(fontsize=8, loc="lower right")
    words = f"What moves {found.figure}: means in the lowest and highest tenth of each input"
    foot = "line: mean of all samples; per cent: share of the variance"
    head_and_foot(figure, [panel], axes is None, title, foot, words)
    return figure


def _share(share: float) -> str:
    return f"{100.0 * max(share, 0.0):.0f} %"
