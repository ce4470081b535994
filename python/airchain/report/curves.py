"""The curves of the first page: power and torque of every level, side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..chain.level_looks import looks_of
from ..shown.plot_style import COLOURS, axis_label, draw_series, new_figure, stroke
from ..units.convert import display, unit_label

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from ..chain.pull import Pull
    from ..cylinder.trace import CycleTrace


def plot_curves(pulls: Mapping[str, Pull], system: str = "trade") -> Figure:
    """Draw power and torque of several pulls over engine speed, side by side.

    Parameters
    ----------
    pulls : mapping of str to Pull
        What to overlay, by the names of the series.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.
    """
    figure: Figure
    figure, panels = new_figure(7.4, 2.9, 1, 2)
    looks = looks_of(pull.build for pull in pulls.values())
    for panel, name in zip(panels, ("power", "torque"), strict=True):
        for index, (text, pull) in zip(looks, pulls.items(), strict=True):
            draw_series(panel, pull.rpm, pull, name, index, system, text)
        panel.set_ylabel(axis_label(name, system))
        panel.set_xlabel("Engine speed [rpm]")
        panel.set_ylim(bottom=0.0)
        panel.grid(alpha=0.3)
    handles, texts = panels[0].get_legend_handles_labels()
    figure.legend(handles, texts, fontsize=8, ncols=4, loc="outside upper center")
    return figure


def plot_pressures(
    traces: Mapping[str, CycleTrace], looks: Sequence[int], system: str = "trade"
) -> Figure:
    """Draw cylinder pressure over crank angle about firing top centre.

    Parameters
    ----------
    traces : mapping of str to CycleTrace
        Cycles by name.
    looks : sequence of int
        The look of each, as of `airchain.chain.level_looks`.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure; marked are start of burn, half burned and the peak.
    """
    figure: Figure
    figure, axes = new_figure(7.4, 3.6)
    for index, (text, trace) in zip(looks, traces.items(), strict=True):
        near = np.abs(trace.degrees) <= 110.0
        at = trace.degrees[near]
        pressure = np.asarray(display(trace["pressure"][near], "pressure", system)[0])
        axes.plot(at, pressure, **stroke(index, 1.5), label=text)
        for name, marker in (("burn_start", "|"), ("half_burned", "o"), ("peak_angle", "^")):
            angle = float(np.rad2deg(trace.point[name][0]))
            axes.plot(angle, np.interp(angle, at, pressure), marker, markersize=6,
                      color=COLOURS[index % len(COLOURS)])  # fmt: skip
    axes.axvline(0.0, color="0.4", linewidth=0.7, linestyle=":")
    axes.set_xlabel("Crank angle after firing top centre [deg]")
    axes.set_ylabel(f"Cylinder pressure [{unit_label('pressure', system)}]")
    axes.set_ylim(bottom=0.0)
    axes.grid(alpha=0.3)
    axes.legend(fontsize=8)
    figure.supxlabel("bar: start of burn; circle: half burned; triangle: peak", fontsize=8)
    return figure
