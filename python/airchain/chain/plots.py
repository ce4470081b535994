"""Pictures of pulls and stations, drawn by the methods `plot` of these."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from ..shown.columns import column, heading, in_display
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import MARKERS, axis_label, draw_series, stroke
from .level_looks import looks_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .build import Build
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


def told_of(builds: Iterable[Build], shown: Iterable[str]) -> str:
    """Return what a picture shows, and of which build where it is one."""
    names = list(dict.fromkeys(build.name for build in builds))
    *first, last = shown
    text = f"{', '.join(first)} and {last}" if first else last
    return f"{names[0]}: {text}" if len(names) == 1 else text[:1].upper() + text[1:]


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
) -> Figure:
    """Draw columns of pulls over engine speed, one panel a column, see `Pull.plot`."""
    for name in columns:
        column(name, "plot")
    figure, panels = panels_for(axes, (7.2, 1.1 + 2.1 * len(columns)), len(columns))
    looks = looks_of(pull.build for pull in series.values())
    for panel, name in zip(panels, columns, strict=True):
        for index, (text, pull) in zip(looks, series.items(), strict=True):
            draw_series(panel, pull.rpm, pull, name, index, system, text)
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
    against_time = [pull for pull in series.values() if _swept(pull)]
    for panel, name in zip(panels, columns, strict=True):
        for pull in against_time:
            _draw_held(panel, pull, name, system)
    clock = _clock(against_time[0]) if len(against_time) == 1 else ""
    panels[-1].set_xlabel(f"Engine speed [rpm]{clock}")
    _legend_above(panels[0])
    words = told_of((pull.build for pull in series.values()), map(heading, columns))
    head_and_foot(figure, panels, axes is None, title, foot_of(series.values()), words)
    return figure


def _swept(pull: Pull) -> bool:
    """Whether a pull was made against time with rising engine speed."""
    return "time" in pull.columns and bool(pull.rpm[-1] > 1.05 * pull.rpm[0])


def _clock(pull: Pull) -> str:
    """When the ends of a pull against time are reached."""
    start, end = (float(pull.columns["time"][i]) for i in (0, -1))
    ends = f"{pull.rpm[0]:,.0f} rpm at {start:.1f} s, {pull.rpm[-1]:,.0f} rpm at {end:.1f} s"
    return f"; {ends}"


def _draw_held(panel: Axes, pull: Pull, name: str, system: str) -> None:
    """The same speeds held, as a thin line: what time costs lies between the two."""
    held = pull.build.pull(pull.rpm)
    if name in held.columns:
        panel.plot(held.rpm, in_display(name, held[name], system), color="black", linewidth=0.9,
                   linestyle=(0, (2, 2)), label="every speed held", zorder=4.5)  # fmt: skip


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
    looks = looks_of(table.pull.build for table in series.values())
    for panel, quantity in zip(panels, ("pressure", "temperature"), strict=True):
        name = f"plenum_{quantity}"
        for index, (text, table) in zip(looks, series.items(), strict=True):
            here = [p for p in places if p in table.states]
            values = [float(in_display(name, table.states[p][quantity], system)) for p in here]
            where = [places.index(p) for p in here]
            panel.plot(where, values, marker=MARKERS[index % len(MARKERS)], markersize=4,
                       **stroke(index), label=text)  # fmt: skip
        panel.set_ylabel(axis_label(name, system).replace("Plenum", "Total"))
        panel.grid(alpha=0.3)
    _legend_above(panels[0])
    panels[1].set_xticks(range(len(places)), [heading(p) for p in places], rotation=30, ha="right",
                         rotation_mode="anchor")  # fmt: skip
    panels[1].tick_params(axis="x", labelsize=8)
    words = told_of((table.pull.build for table in series.values()), ["the air along the stations"])
    head_and_foot(figure, panels, axes is None, title, words=words)
    return figure


def _legend_above(panel: Axes) -> None:
    lines, names = panel.get_legend_handles_labels()
    once = [names.index(name) for name in dict.fromkeys(names)]  # several pulls held are one line
    panel.legend([lines[i] for i in once], [names[i] for i in once], fontsize=8, ncols=2,
                 loc="lower left", bbox_to_anchor=(0.0, 1.01))  # fmt: skip
