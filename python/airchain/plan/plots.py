"""Pictures of a plan: the levels over one another, and the room they leave to every limit."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..base.errors import refusal
from ..chain.plots import draw_pulls
from ..shown.columns import in_display
from ..shown.plot_style import COLOURS, MARKERS, look, new_figure
from .limits import QUANTITIES
from .request import AS_TYPED

__all__ = ["plot_knock_room", "plot_plan", "plot_room"]

_PANELS = ("power", "torque", "boost")
#: Fillings that tell weathers apart without colour.
_HATCHES = ("", "////", "....", "xxxx", "++")


def plot_plan(plan: Any, system: str = "trade") -> Any:
    """Draw power, torque and boost of every level of a plan, with their 90 % bands and targets.

    Parameters
    ----------
    plan : Plan
        A plan that was found.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure. Bars are the targets with their tolerances.

    Raises
    ------
    InputError
        No plan was found.
    """
    _found(plan)
    named = {f"{level.name}, {level.drive_ratio:.3f}": level.pull for level in plan.levels}
    figure = draw_pulls(named, None, system, None, _PANELS)
    for index, level in enumerate(plan.levels):
        colour = COLOURS[index % len(COLOURS)]
        solved = level.trial.solved[AS_TYPED]
        for panel, name in zip(figure.axes, _PANELS, strict=False):
            middle, half = solved.band(name)
            low, high = (in_display(name, middle + s * half, system) for s in (-1, 1))
            panel.fill_between(solved.rpm, low, high, color=colour, alpha=0.15, linewidth=0)
        target = level.target
        panel = figure.axes[_PANELS.index(target.name)]
        values, _ = solved.band(target.name)
        at = target.rpm or float(solved.rpm[int(np.nanargmax(values))])
        ends = [float(in_display(target.name, target.value + s * target.tolerance, system))
                for s in (-1, 1)]  # fmt: skip
        panel.plot([at, at], ends, color="black", linewidth=1.2, marker="_", markersize=9)
    said = [figure.get_supxlabel(), "shaded: 90 % band; black bars: targets with tolerance"]
    figure.supxlabel("; ".join(text for text in said if text), fontsize=8)
    return figure


def plot_room(plan: Any, system: str = "trade") -> Any:
    """Draw how much of every limit each level takes, in each weather of the plan.

    Parameters
    ----------
    plan : Plan
        A plan that was found.
    system : str
        ``"trade"`` or ``"si"``; the picture has shares only, and is the same.

    Returns
    -------
    matplotlib.figure.Figure
        The figure, a panel a level. The dark line on a bar is the value without its band.

    Raises
    ------
    InputError
        No plan was found.
    """
    _found(plan)
    levels = plan.levels
    names = [n for n in plan.request.limits if any(
        m.name == n for level in levels for m in level.margins[AS_TYPED])]  # fmt: skip
    if not names:
        raise refusal("plot_room", "limits", "none", "hold one limit that a level can keep")
    weathers = plan.request.days
    height = 0.22 * len(names) * (len(weathers) + 1) + 1.4
    figure, panels = new_figure(3.1 * len(levels) + 2.2, height, 1, len(levels))
    for place, (panel, level) in enumerate(zip(np.atleast_1d(panels), levels, strict=True)):
        for w, weather in enumerate(weathers):
            _bars(panel, level.margins[weather], names, w, len(weathers), weather)
        panel.axvline(100.0, color="black", linewidth=1.2)
        panel.set_xlim(0.0, 112.0)
        panel.set_yticks(range(len(names)), [QUANTITIES[n].words if not place else ""
                                             for n in names], fontsize=8)  # fmt: skip
        panel.invert_yaxis()
        panel.set_title(f"{level.name}, {level.drive_ratio:.3f}", fontsize=9)
        panel.grid(axis="x", alpha=0.3)
    handles, labels = figure.axes[0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="outside upper center", ncols=len(weathers), fontsize=8)
    said = "Share of the limit used, 90 % band included [%]; black line at 100: the limit"
    figure.supxlabel(said, fontsize=8)
    return figure


def plot_knock_room(plan: Any, system: str = "trade") -> Any:
    """Draw the knock margin of every level of a plan over engine speed, in each weather.

    Parameters
    ----------
    plan : Plan
        A plan that was found, of a build with cams.
    system : str
        ``"trade"`` or ``"si"``; the picture has degrees only, and is the same.

    Returns
    -------
    matplotlib.figure.Figure
        The figure, a panel a level. The band is that of the weather that leaves least.

    Raises
    ------
    InputError
        No plan was found, or nothing is known of the cylinder.
    """
    _found(plan)
    told = [level for level in plan.levels if level.trial.knock]
    if not told:
        rule = "hold knock margins"
        raise refusal("plot_knock_room", "plan", "none", rule, "the build needs [engine.camshaft]")
    figure, panels = new_figure(2.5 * len(told) + 0.7, 3.4, 1, len(told))
    panels = np.atleast_1d(panels)
    for panel, level in zip(panels, told, strict=True):
        rows = level.trial.knock
        for index, (weather, knock) in enumerate(rows.items()):
            at = knock.searched
            panel.plot(knock.rpm[at], np.degrees(knock.margin[at]), label=weather, markersize=3,
                       marker=MARKERS[index % len(MARKERS)], **look(index))  # fmt: skip
        worst = min(rows.values(), key=lambda k: float(np.nanmin(k.margin - k.doubt)))
        at = worst.searched
        low, high = (np.degrees(worst.margin + s * worst.doubt)[at] for s in (-1.0, 1.0))
        panel.fill_between(worst.rpm[at], low, high, color="black", alpha=0.12, linewidth=0)
        limit = plan.request.limits.get("knock")
        panel.axhline(np.degrees(limit.value) if limit else 0.0, color="black", linewidth=1.2)
        panel.set_title(f"{level.name}, {level.drive_ratio:.3f}", fontsize=9)
        panel.set_xlabel("Engine speed [rpm]")
        panel.grid(alpha=0.3)
    ends = [panel.get_ylim() for panel in panels]
    for panel in panels:
        panel.set_ylim(min(low for low, _ in ends), max(high for _, high in ends))
    panels[0].set_ylabel("Knock margin, est. [deg]")
    handles, labels = panels[0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="outside upper center", ncols=len(labels), fontsize=8)
    line = "the limit" if "knock" in plan.request.limits else "onset of knock"
    said = f"shaded: 90 % band of the weather that leaves least; black line: {line}"
    figure.supxlabel(said, fontsize=8)
    return figure


def _bars(panel: Any, row: Any, names: list[str], index: int, count: int, weather: str) -> None:
    """The bars of one weather; a mark where the value stands without its band."""
    by_name = {margin.name: margin for margin in row}
    thick = 0.8 / count
    for at, name in enumerate(names):
        margin = by_name.get(name)
        y = at - 0.4 + (index + 0.5) * thick
        if margin is None:
            panel.text(2.0, y, "no such part", fontsize=6, va="center")
            continue
        if not margin.known or not np.isfinite(margin.used):
            panel.text(2.0, y, margin.room_text(), fontsize=6, va="center")
            continue
        panel.barh(y, 100.0 * margin.used, thick * 0.9, color=COLOURS[index % len(COLOURS)],
                   alpha=0.55, edgecolor="black", linewidth=0.6, hatch=_HATCHES[index % 5],
                   label=weather if at == 0 else "_")  # fmt: skip
        alone = 100.0 * float(margin.limit.used(margin.value))
        panel.plot([alone, alone], [y - thick / 2, y + thick / 2], color="black", linewidth=1.4)
        if margin.estimated:
            panel.text(2.0, y, "est.", fontsize=7, va="center",
                       bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0})  # fmt: skip


def _found(plan: Any) -> None:
    if not plan.found:
        raise refusal("plot", "plan", "none found", "hold levels", plan.verdict)
