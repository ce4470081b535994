"""The curves of the first page: power and torque of every level, side by side."""

from __future__ import annotations

from typing import Any

from .._plot_style import axis_label, draw_series, named, new_figure


def plot_curves(pulls: Any, system: str = "trade") -> Any:
    """Draw power and torque of several pulls over engine speed, side by side.

    Parameters
    ----------
    pulls : Pull, Ladder, or mapping or sequence of Pull
        What to overlay; a mapping names the series.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.
    """
    series = named(pulls)
    figure, panels = new_figure(7.4, 2.9, 1, 2)
    for panel, name in zip(panels, ("power", "torque"), strict=True):
        for index, (text, pull) in enumerate(series.items()):
            draw_series(panel, pull.rpm, pull, name, index, system, text)
        panel.set_ylabel(axis_label(name, system))
        panel.set_xlabel("Engine speed [rpm]")
        panel.set_ylim(bottom=0.0)
        panel.grid(alpha=0.3)
    handles, texts = panels[0].get_legend_handles_labels()
    figure.legend(handles, texts, fontsize=8, ncols=4, loc="outside upper center")
    return figure
