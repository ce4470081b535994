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
#: How many limits of a level are drawn.
_NEAREST = 6


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


def draw_room(plans: Sequence[Plan], axes: Panels, system: str, title: str | None) -> Figure:
    """Draw the limits that each level comes nearest to, see `Plan.plot_room`."""
    named = _levels(plans)
    worst = {text: _nearest(level) for text, level in named.items()}
    if not any(worst.values()):
        raise refusal("plot_room", "limits", "none", "hold one limit that a level can keep")
    rows = max(min(len(one), _NEAREST) for one in worst.values())
    size = 7.4, (0.235 * rows + 0.5) * len(named) + 0.8
    figure, panels = panels_for(axes, size, len(named))
    builds = [level.build for level in named.values()]
    for panel, index, text in zip(panels, looks_of(builds), named, strict=True):
        nearest = worst[text]
        for place, margins in enumerate(nearest[:_NEAREST]):
            _draw_limit(panel, place, margins, COLOURS[index % len(COLOURS)], system)
        shown = nearest[:_NEAREST]
        panel.set_yticks(range(len(shown)), [one[0].words for one in shown], fontsize=8)
        panel.set_ylim(len(shown) - 0.5, -0.5)
        panel.axvline(100.0, color="black", linewidth=1.4)
        panel.set_xlim(0.0, 112.0)
        many = len(nearest)
        words = f"the {len(shown)} nearest of {many} limits" if many > len(shown) else "its limits"
        panel.set_title(plain(f"{text}: {words}"), fontsize=9, loc="left")
        panel.grid(axis="x", alpha=0.3)
        panel.tick_params(axis="y", length=0)
    panels[-1].set_xlabel("Share of the limit that is used [%]; at 100 the limit is reached")
    foot = "bar: worst weather, 90 % band included; thick tick: without the band"
    if len(plans[0].request.days) > 1:
        foot += "; ring: another weather"
    shown_of = told_of(builds, ["the limits that each level comes nearest to"])
    head_and_foot(figure, panels, axes is None, title, foot, shown_of)
    return figure


def _nearest(level: PlannedLevel) -> list[list[Margin]]:
    """Every limit over the weathers, the worst weather first; the nearest limit first."""
    by_name: dict[str, list[Margin]] = {}
    for margins in level.margins.values():
        for margin in margins:
            if margin.limit is not None:
                by_name.setdefault(margin.name, []).append(margin)
    ordered = [sorted(one, key=_nearness) for one in by_name.values()]
    return sorted(ordered, key=lambda one: _nearness(one[0]))


def _nearness(margin: Margin) -> float:
    """What margins are sorted by; one that is not known comes first, since it may be near.

    One of which no more is known than that there is room comes last.
    """
    if margin.open_ended:
        return np.inf
    return -margin.used if margin.known and np.isfinite(margin.used) else -np.inf


def _draw_limit(panel: Axes, place: int, margins: Sequence[Margin], colour: str,
                system: str) -> None:  # fmt: skip
    """One limit as a bar with its value, and rings for the other weathers."""
    first = margins[0]
    if not first.known or not np.isfinite(first.used) or first.limit is None:
        panel.text(1.5, place, first.room_text(), fontsize=8, va="center")
        return
    panel.barh(place, min(100.0 * first.used, 112.0), 0.74, color=colour, alpha=0.3, linewidth=0)
    panel.barh(place, min(100.0 * first.used, 112.0), 0.74, color="none", edgecolor=colour,
               linewidth=1.1)  # fmt: skip
    alone = 100.0 * float(first.limit.used(first.value))
    panel.plot([alone, alone], [place - 0.37, place + 0.37], color="black", linewidth=1.8)
    others = [100.0 * one.used for one in margins[1:] if one.known and np.isfinite(one.used)]
    panel.plot(others, [place] * len(others), "o", markersize=5, markerfacecolor="white",
               markeredgecolor="black", markeredgewidth=0.9)  # fmt: skip
    words = f"{'≤' * first.floor}{100.0 * first.used:.0f} %: {first.value_text(system)}"
    if first.weather != AS_TYPED:
        words += f", {first.weather}"
    paper = {"facecolor": "white", "alpha": 0.75, "edgecolor": "none", "pad": 0.6}
    panel.text(1.5, place, plain(words), fontsize=8, va="center", zorder=5, bbox=paper)


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
    every = [k for level in named.values() for k in (level.trial.knock or {}).values()]
    if any(knock.bound.any() for knock in every):
        foot += "; hollow triangle: at least that"
    words = told_of((level.build for level in named.values()), ["knock margin of every level"])
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _draw_knock(panel: Axes, by_weather: Mapping[str, Knock]) -> None:
    """One line a weather, and the band of the weather that leaves least."""
    for index, (weather, knock) in enumerate(by_weather.items()):
        at = knock.searched
        panel.plot(knock.rpm[at], np.degrees(knock.margin[at]), label=plain(weather), markersize=3,
                   marker=MARKERS[index % len(MARKERS)], **look(index))  # fmt: skip
        # Nothing knocked there at the earliest phasing tried: the margin is at least that.
        least = at & knock.bound
        panel.plot(knock.rpm[least], np.degrees(knock.margin[least]), "^", markersize=7,
                   markerfacecolor="none", markeredgecolor="black")  # fmt: skip
    worst = min(by_weather.values(), key=lambda k: float(np.nanmin(k.margin - k.doubt)))
    at = worst.searched
    low, high = (np.degrees(worst.margin + sign * worst.doubt)[at] for sign in (-1.0, 1.0))
    panel.fill_between(worst.rpm[at], low, high, color="black", alpha=0.12, linewidth=0)


def draw_weather(
    bands: Sequence[WeatherBands], axes: Panels, columns: Sequence[str], system: str,
    title: str | None,
) -> Figure:  # fmt: skip
    """Draw columns of every level and how far the days spread, see `WeatherBands.plot`."""
    for name in columns:
        column(name, "plot")
    if not columns:
        raise refusal("plot", "columns", quoted(columns), "hold at least one column")
    figure, panels = panels_for(axes, (7.2, 1.0 + 1.75 * len(columns)), len(columns))
    rows = [(one, level, number) for number, one in enumerate(bands, 1) for level in one.levels]
    looks = looks_by_name([level for _, level, _ in rows], bands[0].build)
    for panel, name in zip(panels, columns, strict=True):
        for place, (index, (one, level, number)) in enumerate(zip(looks, rows, strict=True)):
            if name == "boost" and not one.days[AS_TYPED][level].supercharged:
                continue
            text = f"{level} ({number})" if number > 1 else level
            _draw_days(panel, one, level, name, index, system, text, place)
        panel.set_ylabel(axis_label(name, system))
        panel.grid(alpha=0.3)
        panel.margins(y=0.2)
        panel.axvline(float(bands[0].rpm[-1]), color="0.6", linewidth=0.7)
        # Beside the curves stand bars, not engine speeds.
        panel.set_xticks(
            [t for t in panel.get_xticks() if bands[0].rpm[0] <= t <= bands[0].rpm[-1]]
        )
    panels[-1].set_xlabel("Engine speed [rpm]")
    panels[0].legend(fontsize=8, ncols=4, loc="lower left", bbox_to_anchor=(0.0, 1.0))
    words = told_of((one.build for one in bands), [f"levels on {len(bands[0].days)} days"])
    foot = (
        "line: the day as typed; bars on the right: least and most of all days at the highest speed"
    )
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _draw_days(panel: Axes, bands: WeatherBands, level: str, name: str, index: int, system: str,
               text: str, place: int) -> None:  # fmt: skip
    """The day as typed as a line, and beside its end how far the days spread there."""
    colour = COLOURS[index % len(COLOURS)]
    typed = in_display(name, bands.values(level, name)[AS_TYPED], system)
    panel.plot(bands.rpm, typed, **stroke(index), label=plain(text), markevery=3,
               marker=MARKERS[index % len(MARKERS)], markersize=4)  # fmt: skip
    low, high = (in_display(name, edge, system) for edge in bands.band(level, name))
    solved = np.flatnonzero(np.isfinite(typed) & np.isfinite(low) & np.isfinite(high))
    if not solved.size:
        return
    last = int(solved[-1])
    span = float(bands.rpm[-1] - bands.rpm[0]) or 1.0
    at = float(bands.rpm[-1]) + span * (0.055 + 0.1 * place)
    ends = float(low[last]), float(high[last])
    panel.plot([at, at], ends, color=colour, linewidth=3.2, solid_capstyle="butt", alpha=0.9)
    panel.plot(at, typed[last], marker=MARKERS[index % len(MARKERS)], color=colour, markersize=5,
               markeredgecolor="white", markeredgewidth=0.4, zorder=5)  # fmt: skip
    for end, side, apart in ((ends[0], "top", -2), (ends[1], "bottom", 2)):
        panel.annotate(f"{end:,.{0 if abs(end) >= 30.0 else 1}f}", (at, end), (0, apart),
                       textcoords="offset points", ha="center", va=side, fontsize=7)  # fmt: skip
