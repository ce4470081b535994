"""Pictures of pulls, stations and sweeps; each function returns a matplotlib figure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..shown import statuses
from ..shown.columns import column, heading, in_display
from ..shown.plot_style import (
    COLOURS,
    axis_label,
    draw_series,
    look,
    named,
    new_figure,
    note_hollow,
)
from .plot_map import plot_map
from .station_table import StationTable

__all__ = ["plot_map", "plot_pulls", "plot_stations", "plot_sweep"]


def plot_pulls(
    pulls: Any,
    columns: Sequence[str] = ("power", "torque", "boost"),
    system: str = "trade",
    first_look: int = 0,
) -> Any:
    """Draw columns of several pulls over engine speed, one panel a column.

    Parameters
    ----------
    pulls : Pull, Ladder, or mapping or sequence of Pull
        What to overlay; a mapping names the series.
    columns : sequence of str
        Columns, one panel each.
    system : str
        ``"trade"`` or ``"si"``.
    first_look : int
        Colour and line of the first pull, counted from 0 [-], where another picture has more.

    Returns
    -------
    matplotlib.figure.Figure
        The figure. Hollow markers are extrapolated points, gaps have no answer.
    """
    series = named(pulls)
    for name in columns:
        column(name, "plot_pulls")
    figure, panels = new_figure(7.2, 1.1 + 2.1 * len(columns), len(columns))
    panels = np.atleast_1d(panels)
    for panel, name in zip(panels, columns, strict=True):
        for index, (text, pull) in enumerate(series.items(), first_look):
            draw_series(panel, pull.rpm, pull, name, index, system, text)
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    panels[0].legend(fontsize=8, ncols=2, loc="upper left", bbox_to_anchor=(0.0, 1.32))
    note_hollow(figure, series.values())
    return figure


def plot_stations(tables: Any, system: str = "trade") -> Any:
    """Draw total pressure and temperature along the stations.

    Parameters
    ----------
    tables : StationTable or mapping of str to StationTable
        One point, or several to overlay.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure; the exhaust is left out, being far hotter than the rest.

    Raises
    ------
    InputError
        If something else than a station table is given.
    """
    given = tables.values() if hasattr(tables, "items") else [tables]
    for table in given:
        if not isinstance(table, StationTable):
            kind = type(table).__name__
            raise refusal("plot_stations", "tables", kind, "be a StationTable: pull.stations(rpm)")
    series = tables if hasattr(tables, "items") else {tables.verdict.split(":")[0]: tables}
    longest = max((t.names for t in series.values()), key=len)
    places = [n for n in longest if n != "exhaust"]
    figure, panels = new_figure(7.2, 5.4, 2)
    quantities = ("pressure", "temperature")
    for panel, quantity in zip(panels, quantities, strict=True):
        name = f"plenum_{quantity}"
        for index, (text, table) in enumerate(series.items()):
            here = [p for p in places if p in table.states]
            values = [float(in_display(name, table.states[p][quantity], system)) for p in here]
            where = [places.index(p) for p in here]
            panel.plot(where, values, marker="o", markersize=4, **look(index), label=text)
        panel.set_ylabel(axis_label(name, system).replace("Plenum", "Total"))
        panel.grid(alpha=0.3)
    panels[0].legend(fontsize=8, ncols=2, loc="lower left", bbox_to_anchor=(0.0, 1.01))
    panels[1].set_xticks(range(len(places)), [heading(p).replace(" ", "\n", 1) for p in places])
    panels[1].tick_params(axis="x", labelsize=8)
    return figure


def plot_sweep(
    dataset: Any, name: str, x: str | None = None, y: str | None = None, system: str = "trade"
) -> Any:
    """Draw one column of a sweep as a map with labelled contours.

    Points without an answer stay blank and are crossed.

    Parameters
    ----------
    dataset : xarray.Dataset
        A sweep that has two axes, or more with the others selected first.
    name : str
        The column.
    x, y : str, optional
        Axes of the picture; the last and the first of the dataset without them.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.

    Raises
    ------
    InputError
        The dataset has not two axes, has no such column, or an axis is no number.
    """
    if name not in dataset:
        raise refusal("plot_sweep", "name", quoted(name), "be a column of the sweep")
    values = dataset[name].squeeze()
    if values.ndim != 2:
        hint = "select the others first, as in dataset.sel(rpm=6000)"
        raise refusal("plot_sweep", "axes", quoted(list(values.dims)), "be two", hint)
    y = str(y or values.dims[0])
    x = str(x or next(d for d in reversed(values.dims) if d != y))
    values = values.transpose(y, x)
    if min(values.shape) < 2 or any(values[d].dtype.kind not in "if" for d in (x, y)):
        raise refusal("plot_sweep", "axes", quoted([x, y]), "hold two numbers or more each")
    figure, axes = new_figure(7.2, 5.2)
    shown = in_display(name, values.to_numpy(), system)
    across, along = values[x].to_numpy(), values[y].to_numpy()
    if np.isfinite(shown).any():
        _draw_levels(figure, axes, across, along, shown, axis_label(name, system))
    unsolved = np.isnan(shown)
    if unsolved.any():
        grid_x, grid_y = np.meshgrid(across, along)
        axes.plot(grid_x[unsolved], grid_y[unsolved], "x", color=COLOURS[1], markersize=4)
    axes.set_xlabel(_coordinate(values, x))
    axes.set_ylabel(_coordinate(values, y))
    count = statuses.count(dataset["status"].to_numpy())
    axes.set_title(count + ("; crossed: no answer" if unsolved.any() else ""), fontsize=9)
    return figure


def _draw_levels(figure: Any, axes: Any, x: Any, y: Any, values: Any, text: str) -> None:
    filled = axes.contourf(x, y, np.ma.masked_invalid(values), levels=12, cmap="cividis")
    lines = axes.contour(
        x, y, np.ma.masked_invalid(values), levels=filled.levels[::2], colors="white",
        linewidths=0.8,
    )  # fmt: skip
    outline = [extra("matplotlib.patheffects").withStroke(linewidth=2, foreground="black")]
    for text_of_line in axes.clabel(lines, fontsize=8, fmt="%g"):
        text_of_line.set_path_effects(outline)
    figure.colorbar(filled, ax=axes, label=text)


def _coordinate(values: Any, name: str) -> str:
    unit = values[name].attrs.get("units", "1")
    text = values[name].attrs.get("long_name", name)
    return f"{text.capitalize()} [{unit}]" if unit != "1" and unit != text else text.capitalize()
