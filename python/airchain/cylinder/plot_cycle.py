"""Pictures over crank angle: pressure over volume, pressures at the valves, valve lifts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, look, plain, stroke
from ..units.convert import display, formatted, unit_label
from .plots import refuse_more, told_apart

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .crank_engine import CrankEngine
    from .trace import CycleTrace

_TURN = 360.0


def named(traces: Sequence[CycleTrace], system: str) -> dict[str, CycleTrace]:
    """Return traces by what tells them apart: engine speed, engine, plenum pressure."""
    parts = []
    for trace in traces:
        plenum = float(trace.point.conditions["plenum_pressure"][0])
        shown = formatted(plenum, "pressure", system)
        parts.append((f"{trace.point.rpm[0]:,.0f} rpm", trace.engine.name, f"plenum {shown}"))
    return dict(zip(told_apart(parts), traces, strict=True))


def draw_loops(
    traces: Mapping[str, CycleTrace], axes: Sequence[Axes] | None, system: str, title: str | None,
    looks: Sequence[int] = (),
) -> Figure:  # fmt: skip
    """Draw cylinder pressure over volume, see `CycleTrace.plot`."""
    refuse_more(len(traces), "traces")
    figure, panels = panels_for(axes, (8.4, 4.2), 1, 2)
    whole, pumping = panels
    most = 0.0
    for index, (text, trace) in zip(looks or range(len(traces)), traces.items(), strict=True):
        volume = _shown(trace["volume"], "volume", system)
        pressure = _shown(trace["pressure"], "pressure", system)
        pmep = formatted(float(trace.point["pmep"][0]), "pressure_difference", system)
        whole.plot(volume, pressure, **stroke(index, 1.4), label=plain(text))
        exchange = (trace.degrees > 0.5 * _TURN) & (trace.degrees < 1.5 * _TURN)
        label = plain(f"{text}: PMEP {pmep}")
        pumping.plot(volume[exchange], pressure[exchange], **stroke(index, 1.4), label=label)
        most = max(most, float(np.max(pressure[exchange])))
    # The whole of both strokes, the start of the exhaust's among it: a loop cut off shows no work.
    pumping.set_ylim(0.0, 1.06 * most)
    for panel, words in ((whole, "Whole cycle"), (pumping, "Gas exchange: exhaust, then intake")):
        panel.set_title(words, fontsize=9)
        panel.set_xlabel(f"Cylinder volume [{unit_label('volume', system)}]")
        panel.set_ylabel(f"Cylinder pressure [{unit_label('pressure', system)}]")
        panel.grid(alpha=0.3)
        panel.legend(fontsize=8)
    head_and_foot(figure, panels, axes is None, title, words="Cylinder pressure over volume")
    return figure


def draw_ports(
    traces: Mapping[str, CycleTrace], axes: Sequence[Axes] | None, system: str, title: str | None,
    looks: Sequence[int] = (),
) -> Figure:  # fmt: skip
    """Draw the pressures at both valves over crank angle, see `CycleTrace.plot_ports`."""
    refuse_more(len(traces), "traces")
    first = next(iter(traces.values()))
    figure, panels = panels_for(axes, (8.4, 5.6), 2)
    for panel, side in zip(panels, ("intake", "exhaust"), strict=True):
        setup = first.engine.setup
        valve = setup.intake_valve if side == "intake" else setup.exhaust_valve
        panel.axvspan(np.rad2deg(valve.opening), np.rad2deg(valve.closing), color="0.9", zorder=0)
        highest = 0.0
        for index, (text, trace) in zip(looks or range(len(traces)), traces.items(), strict=True):
            port = _shown(trace[f"{side}_pressure"], "pressure", system)
            inside = _shown(trace["pressure"], "pressure", system)
            panel.plot(trace.degrees, port, **stroke(index, 1.5), label=plain(text))
            panel.plot(trace.degrees, inside, **look(index), linewidth=0.8)
            highest = max(highest, float(np.max(port)))
        panel.set_ylim(0.0, 1.35 * highest)
        panel.set_ylabel(f"{side.capitalize()} port [{unit_label('pressure', system)}]")
        panel.grid(alpha=0.3)
        _mark_centres(panel)
    panels[0].legend(fontsize=8, ncols=3, loc="lower left", bbox_to_anchor=(0.0, 1.1))
    panels[1].set_xlabel("Crank angle after firing top centre [deg]")
    foot = "thin: cylinder pressure; shaded: valve open"
    words = "Pressure at both valves over a cycle"
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _mark_centres(panel: Axes) -> None:
    low, high = panel.get_xlim()
    for number in range(int(np.ceil(low / 180.0)), int(np.floor(high / 180.0)) + 1):
        panel.axvline(180.0 * number, color="0.4", linewidth=0.7, linestyle=":")
        name = {0: "firing TC", 2: "TC"}.get(number, "BC" if number % 2 else "TC")
        panel.annotate(name, (180.0 * number, 1.0), xycoords=("data", "axes fraction"), fontsize=7,
                       xytext=(0, 2), textcoords="offset points", ha="center")  # fmt: skip
    panel.set_xlim(low, high)


def draw_lifts(
    engines: Sequence[CrankEngine], axes: Axes | None, system: str, title: str | None
) -> Figure:
    """Draw both valves' lift about top centre of gas exchange, see `CrankEngine.plot`."""
    refuse_more(len(engines), "engines")
    figure, panels = panels_for(axes, (8.4, 4.4))
    panel = panels[0]
    names = told_apart([(engine.name,) for engine in engines])
    limited, highest = False, 0.0
    for index, (text, engine) in enumerate(zip(names, engines, strict=True)):
        for side in ("exhaust", "intake"):
            highest = max(highest, _draw_lift(panel, engine, side, index, system, text))
            limited = _draw_lift_limit(panel, engine, side, index, system) or limited
    panel.set_ylim(0.0, 1.15 * highest)
    panel.axvline(0.0, color="0.4", linewidth=0.8)
    for name, at in (("BC", -180.0), ("TC", 0.0), ("BC", 180.0)):
        panel.annotate(name, (at, 1.0), xycoords=("data", "axes fraction"), fontsize=8,
                       xytext=(0, 3), textcoords="offset points", ha="center")  # fmt: skip
    panel.set_xlabel("Crank angle after top centre of gas exchange [deg]")
    panel.set_ylabel(f"Valve lift [{unit_label('length', system)}]")
    panel.grid(alpha=0.3)
    panel.legend(fontsize=8, loc="upper left")
    foot = "dots: opening and closing at 0.050 in tappet lift, degrees from top centre"
    if limited:
        foot += "; dotted: lift that leaves the least piston clearance"
    words = "Valve lift: exhaust on the left, intake on the right"
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


#: Crank angles about top centre of gas exchange [deg].
_ANGLES = np.arange(-320.0, 320.1, 0.5)


def _draw_lift(
    panel: Axes, engine: CrankEngine, side: str, index: int, system: str, text: str
) -> float:
    """Draw one valve's lift with its events; return the highest in the display unit."""
    lift = engine.camshaft.lift(side, np.deg2rad(_ANGLES + _TURN))
    shown = np.where(lift > 0.0, _shown(lift, "length", system), np.nan)
    label = plain(text) if side == "intake" else "_both lobes have one name"
    panel.plot(_ANGLES, shown, **stroke(index), label=label)
    _mark_events(panel, engine, side, index, system)
    return float(np.nanmax(shown))


def _draw_lift_limit(panel: Axes, engine: CrankEngine, side: str, index: int, system: str) -> bool:
    """Draw the lift that leaves the clearance to the piston; return whether it is known."""
    limit = engine.lift_limit(side, np.deg2rad(_ANGLES + _TURN))
    if limit is None:
        return False
    near = np.abs(_ANGLES) < 60.0
    values = _shown(limit, "length", system)[near]
    panel.plot(_ANGLES[near], values, ":", color=COLOURS[index], linewidth=1.2)
    return True


def _mark_events(panel: Axes, engine: CrankEngine, side: str, index: int, system: str) -> None:
    """Mark opening and closing at 0.050 in and write their angles from top centre."""
    cam = engine.camshaft
    peak = cam.peak(side)
    for end, at in zip((-1.0, 1.0), cam.spans(side)["0.050"], strict=True):
        degrees = float(np.rad2deg(peak + at)) - _TURN
        lift = float(_shown(float(cam.curve(side).at(at)), "length", system))
        panel.plot(degrees, lift, "o", color=COLOURS[index], markersize=4)
        if index == 0:
            panel.annotate(
                f"{degrees:+.0f}", (degrees, lift), fontsize=7, textcoords="offset points",
                xytext=(8.0 * end, 2), ha="right" if end < 0 else "left",
            )  # fmt: skip


def _shown(values: ArrayLike, kind: str, system: str) -> NDArray[np.float64]:
    return np.asarray(display(np.asarray(values), kind, system)[0])
