"""Pictures of measured pulls; each function returns a matplotlib figure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from ..base.errors import refusal
from ..chain.plot_map import draw_map
from ..shown.plot_style import COLOURS, MARKERS, axis_label, look, new_figure
from ..units.convert import display, unit_label
from .compare import kind_of, named_pulls
from .derive import derive
from .measured import MeasuredPull
from .quantities import QUANTITIES

__all__ = ["plot_measured", "plot_measured_map"]

# Where a horsepower is a pound-foot: 550 ft lbf/s make one, so at 550 rad/s [5252 rpm].
_CROSSING = 550.0
_MOST_MARKS = 24


def plot_measured(
    pulls: Any,
    columns: Sequence[str] = ("boost", "charge_temperature"),
    system: str = "trade",
) -> Any:
    """Draw power and torque of measured pulls in one panel, other quantities below.

    Both scales of the first panel begin at zero and are proportioned so that each pull's two
    curves cross at 5252 rpm, where power in hp is torque in lb ft; a curve that does not shows
    that power and torque of its log disagree.

    Parameters
    ----------
    pulls : MeasuredPull, PullLog, or sequence or mapping of MeasuredPull
        What to overlay; a mapping names the series.
    columns : sequence of str
        Quantities below, one panel each; those that no pull holds are passed over.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.

    Raises
    ------
    InputError
        No pull holds torque or power.
    """
    series = named_pulls(pulls)
    held = [n for n in columns if kind_of(n) and any(n in p for p in series.values())]
    if not any("torque" in pull for pull in series.values()):
        raise refusal("plot_measured", "pulls", "without torque or power", "hold one of them")
    figure, panels = new_figure(7.2, 4.4 + 1.9 * len(held), 1 + len(held))
    panels = np.atleast_1d(panels)
    if held:
        grid = panels[0].get_gridspec()
        grid.set_height_ratios([2.0] + [1.0] * len(held))
    _torque_and_power(panels[0], series, system)
    for panel, name in zip(panels[1:], held, strict=True):
        for index, pull in enumerate(series.values()):
            if name in pull:
                values = display(pull[name], kind_of(name), system)[0]
                panel.plot(pull.rpm, values, **look(index), linewidth=1.5)
        unit = unit_label(kind_of(name), system)
        words = QUANTITIES[name].words if name in QUANTITIES else name
        panel.set_ylabel(f"{words.capitalize()} [{unit}]" if unit else words.capitalize())
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    return figure


def _torque_and_power(axes: Any, series: dict[str, MeasuredPull], system: str) -> None:
    """Draw torque on the left and power on the right scale, which share their zero."""
    right = axes.twinx()
    most = 0.0
    for index, (text, pull) in enumerate(series.items()):
        if "torque" not in pull:
            continue
        torque, power = pull["torque"], pull["power"]
        axes.plot(
            pull.rpm, display(torque, "torque", system)[0], **look(index), linewidth=1.2,
            label=f"{text}, {pull.power_basis}",
        )  # fmt: skip
        right.plot(pull.rpm, display(power, "power", system)[0], **look(index), linewidth=2.2)
        highest = (np.nanmax(torque), np.nanmax(power) / _CROSSING)
        most = max(most, *map(float, highest))
    top = 1.08 * most
    axes.set_ylim(0.0, float(display(top, "torque", system)[0]))
    right.set_ylim(0.0, float(display(top * _CROSSING, "power", system)[0]))
    axes.set_ylabel(f"Torque [{unit_label('torque', system)}], thin lines")
    right.set_ylabel(f"Power [{unit_label('power', system)}], thick lines")
    crossing = _CROSSING * 30.0 / np.pi
    axes.axvline(crossing, color="0.5", linewidth=0.8, linestyle=":")
    axes.annotate(
        f" {crossing:.0f} rpm", (crossing, 1.0), xycoords=("data", "axes fraction"), fontsize=7,
        va="top", color="0.3", xytext=(0, -3), textcoords="offset points",
    )  # fmt: skip
    axes.grid(alpha=0.3)
    axes.legend(fontsize=8, loc="lower right")


def plot_measured_map(pulls: Any, build: Any, system: str = "trade") -> Any:
    """Draw where measured pulls lie on the build's compressor map.

    Parameters
    ----------
    pulls : MeasuredPull, PullLog, or sequence or mapping of MeasuredPull
        Pulls with compressor outlet pressure, and air flow or what it follows from.
    build : Build
        What was measured, with its map.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.

    Raises
    ------
    InputError
        The build has no compressor, or no pull tells its place on the map; the reason is given.
    """
    if build.chain.compressor is None:
        raise refusal("plot_measured_map", "build", "naturally aspirated", "have a compressor")
    series = {text: derive(pull, build) for text, pull in named_pulls(pulls).items()}
    shown = {
        text: made
        for text, made in series.items()
        if "corrected_flow" in made and "pressure_ratio" in made
    }
    if not shown:
        why = next(iter(series.values())).lacking
        hint = why.get("pressure_ratio") or why.get("corrected_flow", "")
        raise refusal(
            "plot_measured_map", "pulls", f"{len(series)} pulls", "tell their place", hint
        )
    figure, axes = new_figure(7.6, 5.8)
    draw_map(figure, axes, build.chain.compressor, system)
    for index, (text, made) in enumerate(shown.items()):
        flow, ratio = made.get("corrected_flow", system), made["pressure_ratio"]
        every = max(1, len(flow) // _MOST_MARKS)
        axes.plot(
            flow, ratio, **look(index), linewidth=1.4, label=text, zorder=3,
            marker=MARKERS[index % len(MARKERS)], markersize=4, markevery=every,
            markerfacecolor=COLOURS[index % len(COLOURS)],
        )  # fmt: skip
    axes.set_xlabel(axis_label("corrected_flow", system))
    axes.set_ylabel("Pressure ratio, as measured")
    axes.set_xlim(left=0.0)
    axes.set_ylim(bottom=1.0)
    axes.grid(alpha=0.25)
    axes.legend(fontsize=8, loc="upper left")
    return figure
