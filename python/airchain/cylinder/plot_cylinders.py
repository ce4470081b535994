"""Pictures of a whole engine: its cylinders over speed, and its waves over crank angle."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import MARKERS, stroke
from ..units.convert import display, unit_label
from .plots import MOST_SERIES, refuse_more

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .cylinder_points import CylinderPoints
    from .waves import PressureWaves

_FULL = 720.0


def draw_spread(
    points: CylinderPoints, axes: Axes | Sequence[Axes] | None, title: str | None
) -> Figure:
    """Draw each cylinder's charge against the mean, see `CylinderPoints.plot`."""
    layout = points.engine.layout
    assert layout is not None
    groups = [
        [c for c, place in enumerate(layout.collector) if place == which]
        for which in range(max(layout.collector) + 1)
    ]
    # A collector for each cylinder is drawn in one panel.
    if len(groups) > 4 and points.cylinders <= MOST_SERIES:
        groups = [list(range(points.cylinders))]
    refuse_more(max(map(len, groups)), "cylinders of one collector")
    fresh = points["fresh_mass"]
    off = 100.0 * (fresh / np.mean(fresh, axis=1, keepdims=True) - 1.0)
    off = np.where(points.converged[:, None], off, np.nan)
    figure, panels = panels_for(axes, (7.2, 1.4 + 2.3 * len(groups)), len(groups))
    order = np.argsort(points.rpm)
    for place, (panel, group) in enumerate(zip(panels, groups, strict=True)):
        for index, c in enumerate(group):
            panel.plot(points.rpm[order], off[order, c], **stroke(index), marker=MARKERS[index],
                       markersize=3.4, label=f"cylinder {c + 1}")  # fmt: skip
        panel.axhline(0.0, color="0.4", linewidth=0.8)
        panel.set_ylabel("Charge against mean [%]")
        panel.grid(alpha=0.3)
        panel.legend(fontsize=8, ncols=min(len(group), 4))
        if len(groups) > 1:
            panel.set_title(f"Collector {place + 1}", fontsize=9)
    _share_scale(panels)
    panels[-1].set_xlabel("Engine speed [rpm]")
    words = "Fresh charge of each cylinder against the mean of all"
    head_and_foot(figure, panels, axes is None, title, words=words)
    return figure


def _share_scale(panels: Sequence[Axes]) -> None:
    """Give panels one scale, so that they can be compared."""
    ends = [panel.get_ylim() for panel in panels]
    for panel in panels:
        panel.set_ylim(min(low for low, _ in ends), max(high for _, high in ends))


def draw_waves(
    waves: PressureWaves,
    axes: Sequence[Axes] | None,
    system: str,
    title: str | None,
    cylinders: Sequence[int],
) -> Figure:
    """Draw a whole engine's pressures over crank angle, see `PressureWaves.plot`."""
    if not waves.angle.size:
        rule = "have converged: the waves of another point are no cycle"
        raise refusal("plot", "point", str(waves.point.status[0]).replace("_", " "), rule)
    fresh = waves.point["fresh_mass"][0]
    which = list(cylinders) or list(dict.fromkeys(
        [int(np.argmax(fresh)) + 1, int(np.argmin(fresh)) + 1]))  # fmt: skip
    refuse_more(len(which), "cylinders")
    figure, panels = panels_for(axes, (8.4, 8.2), 3)
    unit = unit_label("pressure", system)
    degrees = np.mod(np.rad2deg(waves.angle), _FULL)
    order = np.argsort(degrees)
    panels[0].plot(degrees[order], _shown(waves.plenum, system)[order], **stroke(0))
    panels[0].set_ylabel(f"Plenum [{unit}]")
    places = [(f"collector {k}", row) for k, row in enumerate(waves.collectors.T, 1)]
    places += [(f"merge {k}", row) for k, row in enumerate(waves.merges.T, 1)]
    for index, (name, row) in enumerate(places[:MOST_SERIES]):
        values = _shown(row, system)
        panels[1].plot(degrees[order], values[order], **stroke(index), label=name)
    panels[1].set_ylabel(f"Collectors [{unit}]")
    _make_room(panels[1])
    panels[1].legend(fontsize=8, ncols=4, loc="upper right")
    _mark_openings(waves, panels[1])
    for index, number in enumerate(which):
        own = np.rad2deg(np.mod(waves.own_angle(number), 4.0 * np.pi))
        along = np.argsort(own)
        values = _shown(waves.exhaust[:, number - 1], system)
        panels[2].plot(own[along], values[along], **stroke(index), label=f"cylinder {number}")
        _mark_neighbours(waves, panels[2], number, index)
    setup = waves.engine.setup
    valves = np.rad2deg([setup.intake_valve.opening, setup.exhaust_valve.closing])
    if valves[0] < valves[1]:
        panels[2].axvspan(*valves, color="0.85", zorder=0)
    panels[2].set_ylabel(f"Primary at the valve [{unit}]")
    _make_room(panels[2])
    panels[2].legend(fontsize=8, ncols=3, loc="upper right")
    for panel in panels:
        panel.grid(alpha=0.3)
        panel.set_xlim(0.0, _FULL)
        panel.set_xticks(np.arange(0.0, _FULL + 1.0, 90.0))
    panels[0].set_title("Over crank angle after cylinder 1 fires", fontsize=9)
    panels[2].set_title("Over crank angle after the cylinder's own firing", fontsize=9)
    panels[2].set_xlabel("Crank angle [deg]")
    foot = "numbers: cylinder whose exhaust opens there; shaded: both valves open"
    words = f"Pressure waves at {waves.point.rpm[0]:,.0f} rpm"
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _make_room(panel: Axes) -> None:
    """Leave room for a legend above the lines and for numbers below them."""
    low, high = panel.get_ylim()
    panel.set_ylim(low - 0.12 * (high - low), high + 0.22 * (high - low))


def _openings(waves: PressureWaves) -> NDArray[np.float64]:
    """Crank angle at which each exhaust opens, after cylinder 1's firing [deg]."""
    layout = waves.engine.layout
    assert layout is not None
    opening = waves.engine.setup.exhaust_valve.opening
    return np.asarray(np.mod(np.rad2deg(np.array(layout.firing) + opening), _FULL))


def _mark_openings(waves: PressureWaves, panel: Axes) -> None:
    for number, at in enumerate(_openings(waves), 1):
        _number(panel, float(at), number, 0.02)


def _mark_neighbours(waves: PressureWaves, panel: Axes, number: int, index: int) -> None:
    """Mark where the others of its collector open their exhaust, over its own crank angle."""
    layout = waves.engine.layout
    assert layout is not None
    openings = _openings(waves)
    own = np.rad2deg(layout.firing[number - 1])
    for other, place in enumerate(layout.collector, 1):
        if other != number and place == layout.collector[number - 1]:
            at = float(np.mod(openings[other - 1] - own, _FULL))
            look = {k: v for k, v in stroke(index).items() if k != "linewidth"}
            panel.axvline(at, linewidth=0.7, alpha=0.7, **look)
            _number(panel, at, other, 0.02 + 0.07 * index)


def _number(panel: Axes, at: float, number: int, height: float) -> None:
    panel.annotate(str(number), (at, height), xycoords=("data", "axes fraction"), fontsize=7,
                   ha="center", bbox={"boxstyle": "round,pad=0.1", "fc": "white", "ec": "0.6",
                                      "lw": 0.5})  # fmt: skip


def _shown(values: NDArray[np.float64], system: str) -> NDArray[np.float64]:
    return np.asarray(display(np.asarray(values), "pressure", system)[0])
