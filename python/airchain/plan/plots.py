"""Pictures of a plan and of its weather: levels over one another, and the room to every limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..base.errors import quoted, refusal
from ..chain.level_looks import looks_by_name, looks_of
from ..chain.plots import told_of
from ..shown.columns import column, in_display
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, MARKERS, axis_label, draw_series, look, plain, stroke
from .limits import QUANTITIES
from .request import AS_TYPED

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .knock import Knock
    from .margins import Margin
    from .plan import Plan, PlannedLevel
    from .weather import WeatherBands


Panels = Sequence["Axes"] | None
_PANELS = ("power", "torque", "boost")
#: Fillings that tell weathers apart without colour.
_HATCHES = ("", "////", "....", "xxxx", "++")


def draw_plan(plans: Sequence[Plan], axes: Panels, system: str, title: str | None) -> Figure:
    """Draw power, torque and boost of every level, see `Plan.plot`."""
    named = _levels(plans)
    figure, panels = panels_for(axes, (7.2, 1.1 + 2.1 * len(_PANELS)), len(_PANELS))
    builds = [level.build for level in named.values()]
    for index, (text, level) in zip(looks_of(builds), named.items(), strict=True):
        for panel, name in zip(panels, _PANELS, strict=True):
            _draw_level(panel, level, name, system, index, text)
        _draw_target(panels[_PANELS.index(level.target.name)], level, system)
    for panel, name in zip(panels, _PANELS, strict=True):
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    panels[0].legend(fontsize=8, ncols=2, loc="lower left", bbox_to_anchor=(0.0, 1.01))
    foot = "shaded: 90 % band; black bars: targets with their tolerances"
    if any(level.pull.extrapolated.any() for level in named.values()):
        foot = f"hollow markers: extrapolated beyond the map or table; {foot}"
    words = told_of(builds, ["the levels of the plan, name and drive ratio"])
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _levels(plans: Sequence[Plan]) -> dict[str, PlannedLevel]:
    """Every level of every plan by what legends call it."""
    for plan in plans:
        if not plan.found:
            raise refusal("plot", "plan", "none found", "hold levels", plan.verdict)
    return {
        f"{level.name}, {level.drive_ratio:.3f}{f' (plan {number})' if number > 1 else ''}": level
        for number, plan in enumerate(plans, 1)
        for level in plan.levels
    }


def _draw_level(panel: Axes, level: PlannedLevel, name: str, system: str, index: int,
                text: str) -> None:  # fmt: skip
    draw_series(panel, level.pull.rpm, level.pull, name, index, system, plain(text))
    solved = level.trial.solved[AS_TYPED]
    middle, half = solved.band(name)
    low, high = (in_display(name, middle + sign * half, system) for sign in (-1, 1))
    colour = COLOURS[index % len(COLOURS)]
    panel.fill_between(solved.rpm, low, high, color=colour, alpha=0.15, linewidth=0)


def _draw_target(panel: Axes, level: PlannedLevel, system: str) -> None:
    """A bar from the least to the most that the target allows, where it is judged."""
    target, solved = level.target, level.trial.solved[AS_TYPED]
    values, _ = solved.band(target.name)
    at = target.rpm or float(solved.rpm[int(np.nanargmax(values))])
    ends = [float(in_display(target.name, target.value + sign * target.tolerance, system))
            for sign in (-1, 1)]  # fmt: skip
    panel.plot([at, at], ends, color="black", linewidth=1.2, marker="_", markersize=9)


def draw_room(plans: Sequence[Plan], axes: Panels, title: str | None) -> Figure:
    """Draw how much of every limit each level takes, see `Plan.plot_room`."""
    named = _levels(plans)
    names = [n for n in plans[0].request.limits if any(
        m.name == n for level in named.values() for m in level.margins[AS_TYPED])]  # fmt: skip
    if not names:
        raise refusal("plot_room", "limits", "none", "hold one limit that a level can keep")
    weathers = plans[0].request.days
    size = 2.5 * len(named) + 2.2, 0.22 * len(names) * (len(weathers) + 1) + 1.4
    figure, panels = panels_for(axes, size, 1, len(named))
    for place, (panel, (text, level)) in enumerate(zip(panels, named.items(), strict=True)):
        for w, weather in enumerate(weathers):
            _bars(panel, level.margins.get(weather, ()), names, w, len(weathers), weather)
        panel.axvline(100.0, color="black", linewidth=1.2)
        panel.set_xlim(0.0, 112.0)
        words = [QUANTITIES[name].words if not place else "" for name in names]
        panel.set_yticks(range(len(names)), words, fontsize=8)
        panel.invert_yaxis()
        panel.set_title(plain(text), fontsize=9)
        panel.grid(axis="x", alpha=0.3)
    _common_legend(figure, panels, axes is None, len(weathers))
    foot = "share of the limit used [%], with its 90 % band; ticks: without it; 100: the limit"
    shown = told_of(
        (level.build for level in named.values()), ["how much of every limit each level takes"]
    )
    head_and_foot(figure, panels, axes is None, title, foot, shown)
    return figure


def _common_legend(figure: Figure, panels: Sequence[Axes], own: bool, columns: int) -> None:
    """One legend for all panels, over a figure of its own or else in the first panel."""
    handles, labels = panels[0].get_legend_handles_labels()
    if own:
        figure.legend(handles, labels, loc="outside upper center", ncols=columns, fontsize=8)
    else:
        panels[0].legend(handles, labels, fontsize=8)


def draw_knock_room(plans: Sequence[Plan], axes: Panels, title: str | None) -> Figure:
    """Draw the knock margin of every level over engine speed, see `Plan.plot_knock_room`."""
    named = {text: level for text, level in _levels(plans).items() if level.trial.knock}
    if not named:
        rule = "hold knock margins"
        raise refusal("plot_knock_room", "plan", "none", rule, "the build needs [engine.camshaft]")
    figure, panels = panels_for(axes, (2.5 * len(named) + 0.7, 3.4), 1, len(named))
    limit = plans[0].request.limits.get("knock")
    for panel, (text, level) in zip(panels, named.items(), strict=True):
        _draw_knock(panel, level.trial.knock or {})
        panel.axhline(np.degrees(limit.value) if limit else 0.0, color="black", linewidth=1.2)
        panel.set_title(plain(text), fontsize=9)
        panel.set_xlabel("Engine speed [rpm]")
        panel.grid(alpha=0.3)
    ends = [panel.get_ylim() for panel in panels]
    for panel in panels:
        panel.set_ylim(min(low for low, _ in ends), max(high for _, high in ends))
    panels[0].set_ylabel("Knock margin, est. [deg]")
    _common_legend(figure, panels, axes is None, len(plans[0].request.weather))
    line = "the limit" if limit else "onset of knock"
    foot = f"shaded: 90 % band of the weather that leaves least; black line: {line}"
    words = told_of((level.build for level in named.values()), ["knock margin of every level"])
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _draw_knock(panel: Axes, by_weather: Mapping[str, Knock]) -> None:
    """One line a weather, and the band of the weather that leaves least."""
    for index, (weather, knock) in enumerate(by_weather.items()):
        at = knock.searched
        panel.plot(knock.rpm[at], np.degrees(knock.margin[at]), label=plain(weather), markersize=3,
                   marker=MARKERS[index % len(MARKERS)], **look(index))  # fmt: skip
    worst = min(by_weather.values(), key=lambda k: float(np.nanmin(k.margin - k.doubt)))
    at = worst.searched
    low, high = (np.degrees(worst.margin + sign * worst.doubt)[at] for sign in (-1.0, 1.0))
    panel.fill_between(worst.rpm[at], low, high, color="black", alpha=0.12, linewidth=0)


def _bars(panel: Axes, margins: Sequence[Margin], names: list[str], index: int, count: int,
          weather: str) -> None:  # fmt: skip
    """The bars of one weather; a mark where the value stands without its band."""
    by_name = {margin.name: margin for margin in margins}
    thick = 0.8 / count
    for at, name in enumerate(names):
        margin = by_name.get(name)
        y = at - 0.4 + (index + 0.5) * thick
        if margin is None:
            panel.text(2.0, y, "no such part", fontsize=7, va="center")
            continue
        if not margin.known or not np.isfinite(margin.used) or margin.limit is None:
            panel.text(2.0, y, margin.room_text(), fontsize=7, va="center")
            continue
        panel.barh(y, 100.0 * margin.used, thick * 0.9, color=COLOURS[index % len(COLOURS)],
                   alpha=0.55, edgecolor="black", linewidth=0.6, hatch=_HATCHES[index % 5],
                   label=plain(weather) if at == 0 else "_")  # fmt: skip
        alone = 100.0 * float(margin.limit.used(margin.value))
        panel.plot([alone, alone], [y - thick / 2, y + thick / 2], color="black", linewidth=1.4)
        if margin.estimated:
            panel.text(2.0, y, "est.", fontsize=7, va="center",
                       bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0})  # fmt: skip


def draw_weather(
    bands: Sequence[WeatherBands], axes: Panels, columns: Sequence[str], system: str,
    title: str | None,
) -> Figure:  # fmt: skip
    """Draw columns of every level with a band over the days, see `WeatherBands.plot`."""
    for name in columns:
        column(name, "plot")
    if not columns:
        raise refusal("plot", "columns", quoted(columns), "hold at least one column")
    figure, panels = panels_for(axes, (7.2, 1.0 + 2.1 * len(columns)), len(columns))
    rows = [(one, level, number) for number, one in enumerate(bands, 1) for level in one.levels]
    looks = looks_by_name([level for _, level, _ in rows], bands[0].build)
    for panel, name in zip(panels, columns, strict=True):
        for index, (one, level, number) in zip(looks, rows, strict=True):
            if name == "boost" and not one.days[AS_TYPED][level].supercharged:
                continue
            text = f"{level} ({number})" if number > 1 else level
            _draw_days(panel, one, level, name, index, system, text)
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    panels[0].legend(fontsize=8, ncols=4, loc="lower left", bbox_to_anchor=(0.0, 1.0))
    words = told_of((one.build for one in bands), [f"levels on {len(bands[0].days)} days"])
    foot = "line: the day as typed; shaded, thin edges: from the least to the most of all days"
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _draw_days(panel: Axes, bands: WeatherBands, level: str, name: str, index: int, system: str,
               text: str) -> None:  # fmt: skip
    colour = COLOURS[index % len(COLOURS)]
    low, high = (in_display(name, edge, system) for edge in bands.band(level, name))
    panel.fill_between(bands.rpm, low, high, color=colour, alpha=0.13, linewidth=0.0)
    for edge in (low, high):
        panel.plot(bands.rpm, edge, **look(index), linewidth=0.7)
    typed = in_display(name, bands.values(level, name)[AS_TYPED], system)
    panel.plot(bands.rpm, typed, **stroke(index), label=plain(text), markevery=3,
               marker=MARKERS[index % len(MARKERS)], markersize=4)  # fmt: skip
