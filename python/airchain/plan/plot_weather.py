"""Pictures of the levels on several days."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from ..base.errors import quoted, refusal
from ..shown.columns import column, in_display
from ..shown.plot_style import COLOURS, axis_label, look, new_figure
from .request import AS_TYPED
from .weather import WeatherBands

__all__ = ["plot_weather"]


def plot_weather(
    bands: Any,
    columns: Sequence[str] = ("power", "boost", "charge_temperature"),
    system: str = "trade",
) -> Any:
    """Draw columns of every level over engine speed, with a band over the days.

    Parameters
    ----------
    bands : WeatherBands
        The levels day by day.
    columns : sequence of str
        Columns, one panel each.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure: a line for the day as typed, a band from the lowest to the highest day. Where
        a day has no answer the band has a gap.

    Raises
    ------
    InputError
        Something else than weather bands is given, or there is no such column.
    """
    if not isinstance(bands, WeatherBands):
        kind = type(bands).__name__
        raise refusal("plot_weather", "bands", quoted(kind), "be made by weather_bands")
    for name in columns:
        column(name, "plot_weather")
    figure, panels = new_figure(7.2, 1.0 + 2.1 * len(columns), len(columns))
    panels = np.atleast_1d(panels)
    for panel, name in zip(panels, columns, strict=True):
        for index, level in enumerate(bands.levels):
            if name == "boost" and not bands.days[AS_TYPED][level].supercharged:
                continue
            _draw(panel, bands, level, name, index, system)
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    panels[0].legend(fontsize=8, ncols=4, loc="lower left", bbox_to_anchor=(0.0, 1.0))
    return figure


def _draw(panel: Any, bands: Any, level: str, name: str, index: int, system: str) -> None:
    colour = COLOURS[index % len(COLOURS)]
    low, high = (in_display(name, edge, system) for edge in bands.band(level, name))
    panel.fill_between(bands.rpm, low, high, color=colour, alpha=0.13, linewidth=0.0)
    for edge in (low, high):
        panel.plot(bands.rpm, edge, **look(index), linewidth=0.7)
    typed = in_display(name, bands.values(level, name)[AS_TYPED], system)
    panel.plot(bands.rpm, typed, **look(index), linewidth=2.0, label=level)
