"""Pictures of pulls, stations and knock margins, drawn by the methods `plot` of these."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from .. import _core
from ..base.errors import refusal
from ..shown.columns import column, heading, in_display
from ..shown.plot_style import (
    COLOURS,
    MARKERS,
    axis_label,
    draw_series,
    look,
    new_figure,
    note_hollow,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .matched_cycles import KnockMargins
    from .pull import Pull
    from .station_table import StationTable

Result = TypeVar("Result")


def by_name(
    label: str, own: Result, beside: Mapping[str, Result] | Sequence[Result],
    label_of: Callable[[Result], str],
) -> dict[str, Result]:  # fmt: skip
    """Return a result and those laid over it by name; a name that stands twice gets a number."""
    if isinstance(beside, Mapping):
        return {label or label_of(own): own, **beside}
    named: dict[str, Result] = {}
    for one in (own, *beside):
        name, number = (label if one is own and label else label_of(one)), 2
        first = name
        while name in named:
            name, number = f"{first} ({number})", number + 1
        named[name] = one
    return named


def panels_for(axes: Axes | Sequence[Axes] | None, count: int, height: float) -> list[Axes]:
    """Return the panels of a picture: those given, or those of a new figure."""
    if axes is None:
        return list(np.atleast_1d(new_figure(7.2, height, count)[1]))
    given = list(axes) if isinstance(axes, Sequence | np.ndarray) else [axes]
    if len(given) != count:
        raise refusal("plot", "axes", str(len(given)), f"be {count}, one a panel")
    return given


def finished(panels: Sequence[Axes], title: str | None) -> Figure:
    """Return the whole figure of panels, with a title over the first where there is one."""
    if title:
        panels[0].set_title(title)
    return panels[0].figure.figure


def draw_pulls(
    series: Mapping[str, Pull],
    axes: Axes | Sequence[Axes] | None = None,
    system: str = "trade",
    title: str | None = None,
    columns: Sequence[str] = ("power", "torque", "boost"),
    first_look: int = 0,
) -> Figure:
    """Draw columns of pulls over engine speed, one panel a column, see `Pull.plot`.

    `first_look` is the colour and line of the first pull, where another picture has more pulls.
    """
    for name in columns:
        column(name, "plot")
    panels = panels_for(axes, len(columns), 1.1 + 2.1 * len(columns))
    for panel, name in zip(panels, columns, strict=True):
        for index, (text, pull) in enumerate(series.items(), first_look):
            draw_series(panel, pull.rpm, pull, name, index, system, text)
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    _legend_above(panels[0])
    figure = finished(panels, title)
    note_hollow(figure, series.values())
    return figure


def draw_stations(
    series: Mapping[str, StationTable],
    axes: Axes | Sequence[Axes] | None = None,
    system: str = "trade",
    title: str | None = None,
) -> Figure:
    """Draw total pressure and temperature along the stations, see `StationTable.plot`."""
    longest = max((t.names for t in series.values()), key=len)
    places = [n for n in longest if n != "exhaust"]
    panels = panels_for(axes, 2, 5.4)
    for panel, quantity in zip(panels, ("pressure", "temperature"), strict=True):
        name = f"plenum_{quantity}"
        for index, (text, table) in enumerate(series.items()):
            here = [p for p in places if p in table.states]
            values = [float(in_display(name, table.states[p][quantity], system)) for p in here]
            where = [places.index(p) for p in here]
            panel.plot(where, values, marker="o", markersize=4, **look(index), label=text)
        panel.set_ylabel(axis_label(name, system).replace("Plenum", "Total"))
        panel.grid(alpha=0.3)
    _legend_above(panels[0])
    panels[1].set_xticks(range(len(places)), [heading(p).replace(" ", "\n", 1) for p in places])
    panels[1].tick_params(axis="x", labelsize=8)
    return finished(panels, title)


def draw_margins(
    series: Mapping[str, KnockMargins], axes: Axes | None = None, title: str | None = None
) -> Figure:
    """Draw knock margins over engine speed, level by level, see `KnockMargins.plot`."""
    (panel,) = panels_for(axes, 1, 4.6)
    limit_found = _core.spark_status_names().index("found")
    index = 0
    for name, margins in series.items():
        for level, columns in margins.levels.items():
            text = f"{name}, {level}" if len(series) > 1 else level
            values = np.degrees(np.asarray(columns["own_margin"]))
            at_least = np.asarray(columns["limit_search"]) != limit_found
            panel.plot(columns["rpm"], values, **look(index), marker=MARKERS[index % len(MARKERS)],
                       markersize=4, label=text)  # fmt: skip
            panel.plot(np.asarray(columns["rpm"])[at_least], values[at_least], "^",
                       color=COLOURS[index % len(COLOURS)], markersize=7, markerfacecolor="white",
                       linestyle="none")  # fmt: skip
            index += 1
    panel.axhline(0.0, color="black", linewidth=0.8)
    panel.set_xlabel("Engine speed [rpm]")
    panel.set_ylabel("Knock margin, an estimate [deg]")
    panel.grid(alpha=0.3)
    panel.legend(fontsize=8)
    return finished([panel], title)


def _legend_above(panel: Axes) -> None:
    panel.legend(fontsize=8, ncols=2, loc="lower left", bbox_to_anchor=(0.0, 1.01))
