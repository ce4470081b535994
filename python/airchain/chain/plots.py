"""Pictures of pulls and stations, drawn by the methods `plot` of these."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from ..shown.columns import column, heading, in_display
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import axis_label, draw_series, look

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

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


def foot_of(pulls: Iterable[Pull]) -> str:
    """Return what hollow markers mean, where there are any."""
    hollow = any(pull.extrapolated.any() for pull in pulls)
    return "hollow markers: extrapolated beyond the map or table" if hollow else ""


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
    figure, panels = panels_for(axes, (7.2, 1.1 + 2.1 * len(columns)), len(columns))
    for panel, name in zip(panels, columns, strict=True):
        for index, (text, pull) in enumerate(series.items(), first_look):
            draw_series(panel, pull.rpm, pull, name, index, system, text)
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    _legend_above(panels[0])
    head_and_foot(figure, panels, axes is None, title, foot_of(series.values()))
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
    figure, panels = panels_for(axes, (7.2, 5.4), 2)
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
    head_and_foot(figure, panels, axes is None, title)
    return figure


def _legend_above(panel: Axes) -> None:
    panel.legend(fontsize=8, ncols=2, loc="lower left", bbox_to_anchor=(0.0, 1.01))
