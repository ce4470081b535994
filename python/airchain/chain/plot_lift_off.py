"""The picture of a lift-off: the flow on the compressor's map, and over time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ..shown.columns import in_display
from ..shown.panels import head_and_foot
from ..shown.plot_style import axis_label, new_figure, plain, stroke
from .plot_map import draw_map
from .plots import told_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .lift_off import Course, LiftOff

__all__ = ["draw"]


def draw(found: LiftOff, system: str, title: str | None) -> Figure:
    """Draw a lift-off.

    Parameters
    ----------
    found : LiftOff
        The lift-off; it has an answer.
    system : str
        ``"trade"`` or ``"si"``.
    title : str or None
        Above the picture; the build and the speed [rpm] unless given.

    Returns
    -------
    Figure
        Left the map, right flow, pressure and openings over time.
    """
    figure, _ = new_figure(10.6, 6.0)
    figure.clf()
    grid = figure.add_gridspec(3, 2, width_ratios=(1.1, 1.0))
    on_map = figure.add_subplot(grid[:, 0])
    panels = [figure.add_subplot(grid[row, 1]) for row in range(3)]
    # Above, the flow that runs backwards is drawn.
    draw_map(on_map, found.build.chain.compressor, system, words_at=0.3)
    courses = {"without a bypass": found.bare}
    if found.valve is not None:
        courses[f"with {found.valve.words}"] = found.course
    for index, (name, course) in enumerate(courses.items()):
        _draw_path(on_map, course, index, name, system)
        _draw_time(panels, course, index, name, system)
    on_map.axvline(0.0, color="0.5", linewidth=0.8)
    on_map.set_xlabel(axis_label("corrected_flow", system))
    on_map.set_ylabel("Pressure ratio, total to total")
    on_map.set_ylim(bottom=1.0)
    on_map.legend(fontsize=8, loc="upper left")
    _finish(panels, found, system)
    words = told_of([found.build], ["lift-off on the compressor's map", "and over time"])
    head_and_foot(figure, [on_map, *panels], True, title or _title(found), "", words)
    return figure


def _title(found: LiftOff) -> str:
    return f"{found.build.title}: the throttle shuts at {found.rpm:,.0f} rpm"


def _draw_path(axes: Axes, course: Course, index: int, name: str, system: str) -> None:
    m = course.moments
    flow = in_display("corrected_flow", m["corrected_flow"], system)
    axes.plot(flow, m["pressure_ratio"], label=plain(name), **stroke(index, 1.1))
    axes.plot(flow[:1], m["pressure_ratio"][:1], "o", color="0.1", markersize=5, zorder=6)


def _draw_time(panels: list[Axes], course: Course, index: int, name: str, system: str) -> None:
    m = course.moments
    look = stroke(index, 1.1)
    over = m["corrected_flow"] / m["surge_flow"]
    panels[0].plot(m["time"], over, label=plain(name), **look)
    pressure = in_display("throttle_inlet_pressure", m["pressure"], system)
    panels[1].plot(m["time"], pressure, **look)
    if index == 0:
        panels[2].plot(m["time"], 100.0 * m["throttle_opening"], color="0.15", label="throttle")
    if np.any(m["bypass_opening"] > 0.0) and index:
        panels[2].plot(m["time"], 100.0 * m["bypass_opening"], label="bypass", **look)


def _finish(panels: list[Axes], found: LiftOff, system: str) -> None:
    panels[0].axhline(1.0, color="0.2", linewidth=0.9, linestyle=":")
    panels[0].annotate("left end of the map", (0.995, 1.0), (0, 2), fontsize=7.5, ha="right",
                       xycoords=("axes fraction", "data"), textcoords="offset points")  # fmt: skip
    panels[0].set_ylabel("Flow over\nsurge flow")
    panels[1].set_ylabel("Ahead of the throttle\n" + axis_label("throttle_inlet_pressure", system)
                         .rpartition(" ")[2])  # fmt: skip
    panels[2].set_ylabel("Open [%]")
    panels[2].set_xlabel("Time since the throttle began to shut [s]")
    panels[2].legend(fontsize=8, loc="center right")
    last = float(found.bare.moments["time"][-1])
    for panel in panels:
        panel.set_xlim(0.0, last)
        panel.grid(alpha=0.3)
    for panel in panels[:2]:
        panel.tick_params(labelbottom=False)
