"""The compressor map with efficiency islands and the operating lines of pulls on it."""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.extras import extra
from ..base.speeds import RPM
from ..shown.columns import in_display
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, axis_label, draw_points, plain
from .level_looks import looks_of
from .plots import foot_of, told_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .pull import Pull

Array = NDArray[np.float64]


def draw_on_map(
    pulls: Mapping[str, Pull],
    axes: Axes | None = None,
    system: str = "trade",
    title: str | None = None,
) -> Figure:
    """Draw pulls on their compressor's map, see `Pull.plot_map`."""
    # Looks are given before those without compressor drop out: one a pull in every picture.
    looks = looks_of(pull.build for pull in pulls.values())
    series = {
        text: (index, pull)
        for index, (text, pull) in zip(looks, pulls.items(), strict=True)
        if pull.supercharged
    }
    if not series:
        raise refusal("plot_map", "pulls", "naturally aspirated", "hold one with a compressor")
    compressors = [pull.build.chain.compressor for _, pull in series.values()]
    if any(c.map != compressors[0].map for c in compressors[1:]):
        rule = "share one compressor map"
        raise refusal("plot_map", "pulls", f"{len(series)} pulls", rule, "draw one map each")
    figure, (panel,) = panels_for(axes, (7.6, 5.4))
    draw_map(panel, compressors[0], system)
    ends = []
    for text, (index, pull) in series.items():
        flow = in_display("corrected_flow", pull["corrected_flow"], system)
        ratio = pull["pressure_ratio"]
        draw_points(panel, flow, ratio, pull, index, text)
        solved = np.flatnonzero(np.isfinite(flow) & np.isfinite(ratio))
        if solved.size:
            last = int(solved[-1])
            ends.append((float(ratio[last]), float(flow[last]), text, index))
    _draw_limit(panel, compressors[0], [pull for _, pull in series.values()], system)
    panel.set_xlabel(axis_label("corrected_flow", system))
    panel.set_ylabel("Pressure ratio, total to total")
    panel.set_xlim(0.0, 1.17 * panel.get_xlim()[1])
    panel.set_ylim(bottom=1.0)
    _name_ends(panel, ends)
    # Lines are named where they end; the legend holds the limits alone.
    handles, labels = panel.get_legend_handles_labels()
    limits = [one for one in zip(handles, labels, strict=True) if one[1] not in series]
    panel.legend(*zip(*limits, strict=True), fontsize=8, loc="upper left")
    foot = foot_of(pull for _, pull in series.values())
    words = told_of(
        (pull.build for _, pull in series.values()), ["operating lines on the compressor's map"]
    )
    head_and_foot(figure, [panel], axes is None, title, foot, words)
    return figure


def _name_ends(axes: Axes, ends: list[tuple[float, float, str, int]]) -> None:
    """Write each line's name beside its last point, no two over one another."""
    low, high = axes.get_ylim()
    apart, above = 0.042 * (high - low), -np.inf
    for ratio, flow, text, index in sorted(ends):
        at = max(ratio, above + apart)
        above = at
        axes.annotate(
            plain(text), (flow, ratio), (9, 72.0 * 4.3 * (at - ratio) / (high - low)),
            textcoords="offset points", fontsize=9, va="center", fontweight="bold",
            color=COLOURS[index % len(COLOURS)], zorder=6,
            path_effects=[extra("matplotlib.patheffects").withStroke(
                linewidth=2.5, foreground="white")],
        )  # fmt: skip


def _draw_limit(axes: Axes, compressor: _core.Compressor, pulls: list[Pull], system: str) -> None:
    """Draw where the impeller reaches its speed limit in the air of the first pull's last point."""
    pull = pulls[0]
    margin = np.asarray(pull["speed_margin"])
    solved = np.flatnonzero(np.isfinite(margin))
    if not solved.size:
        return
    last = int(solved[-1])
    rotor, hot = float(pull["rotor_speed"][last]), float(pull["compressor_inlet_temperature"][last])
    limit = rotor * (1.0 + float(margin[last]))
    data = compressor.map.data
    corrected = limit * float(np.sqrt(data.reference.temperature / hot))
    if not 0.0 < corrected <= data.lines[-1].speed:
        axes.plot([], [], " ", label=f"speed limit, {limit / RPM:,.0f} rpm: above the map")
        return
    points = [compressor.map.at(corrected, c) for c in np.linspace(0.0, 1.0, 41)]
    flow = np.array([point.flow for point in points]) * compressor.flow_scale
    ratio = np.array([point.pressure_ratio for point in points]) ** compressor.head_scale
    words = f"speed limit, {limit / RPM:,.0f} rpm"
    axes.plot(in_display("corrected_flow", flow, system), ratio, color="#B00020", linewidth=1.8,
              linestyle=(0, (7, 2, 1, 2)), label=words)  # fmt: skip


def draw_map(axes: Axes, compressor: _core.Compressor, system: str, words_at: float = 0.8) -> None:
    """Draw speed lines, efficiency islands and both ends of a compressor's map.

    What the lines are stands at the left, at a share `words_at` of the height [dimensionless].
    """
    axes.use_sticky_edges = False  # else the frame cuts through the outermost lines
    speed, flow, ratio, efficiency = map_grid(compressor)
    flow = in_display("corrected_flow", flow, system)
    efficiency = in_display("isentropic_efficiency", efficiency, system)
    best = np.floor(float(np.nanmax(efficiency)))
    levels = best - np.array([40.0, 30.0, 20.0, 15.0, 10.0, 6.0, 4.0, 2.0, 1.0, 0.0])
    # A light ground, the best a little darker: the lines on it are what is looked at.
    tints = extra("matplotlib.colors").LinearSegmentedColormap.from_list(
        "ground", ["#ffffff", "#f1f5ee", "#d5e3d0"]
    )
    axes.contourf(flow, ratio, efficiency, levels=levels, cmap=tints, extend="both")
    islands = axes.contour(flow, ratio, efficiency, levels=levels, colors="0.55", linewidths=0.6)
    rim = [extra("matplotlib.patheffects").withStroke(linewidth=1.8, foreground="white")]
    for level in axes.clabel(islands, fontsize=7, fmt="%.0f", colors="0.2"):
        level.set_path_effects(rim)
    data = compressor.map.data
    for line in data.lines:
        row = int(np.argmin(np.abs(speed - line.speed)))
        axes.plot(flow[row], ratio[row], color="0.4", linewidth=0.8)
        axes.annotate(
            f"{line.speed / RPM:,.0f}", (flow[row, 0], ratio[row, 0]), fontsize=7, color="0.25",
            xytext=(-4, 1), textcoords="offset points", ha="right",
        )  # fmt: skip
    axes.annotate(
        "islands: {},\ntotal to total\nlines: corrected rpm".format(
            fill(axis_label("isentropic_efficiency", system), 20)
        ), (0.015, words_at), xycoords="axes fraction", fontsize=7.5,
        va="top", color="0.25",
    )  # fmt: skip
    left = {
        "surge": ("-", "surge line"),
        "estimated": ("--", "surge line, predicted (an estimate)"),
        "last_point": ("-.", "left end of the map (surge not known)"),
    }[data.left_end]
    right = "choke" if data.right_end == "choke" else "right end of the map (choke not known)"
    for place, (style, text) in ((0, left), (-1, (":", right))):
        x, y = flow[:, place], ratio[:, place]
        axes.plot(x, y, color=COLOURS[-1], linewidth=1.6, linestyle=style, label=text)


def map_grid(
    compressor: _core.Compressor, between: int = 6, places: int = 41
) -> tuple[Array, Array, Array, Array]:
    """Return the map as the chain uses it, on a grid that holds every speed line.

    Parameters
    ----------
    compressor : Compressor
        The compressor, with its scales.
    between : int
        Steps from one speed line to the next, dimensionless.
    places : int
        Points along a speed line, dimensionless.

    Returns
    -------
    tuple of ndarray
        Corrected speed [rad/s] along the rows, then over rows and places corrected flow [kg/s],
        pressure ratio and isentropic efficiency, both dimensionless.
    """
    lines = [line.speed for line in compressor.map.data.lines]
    steps = np.linspace(0.0, len(lines) - 1.0, (len(lines) - 1) * between + 1)
    speed = np.interp(steps, np.arange(len(lines)), lines)
    speed[::between] = lines
    points = [
        [compressor.map.at(n, c) for c in np.linspace(0.0, 1.0, places)] for n in speed.tolist()
    ]
    flow, ratio, efficiency = (
        np.array([[getattr(point, name) for point in row] for row in points])
        for name in ("flow", "pressure_ratio", "efficiency")
    )
    return (
        speed,
        flow * compressor.flow_scale,
        ratio**compressor.head_scale,
        efficiency * compressor.efficiency_scale,
    )
