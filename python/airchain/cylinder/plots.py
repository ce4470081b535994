"""Pictures of the crank-resolved engine; each function returns a matplotlib figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from ..base.errors import quoted, refusal
from ..shown.plot_style import COLOURS, MARKERS, look, new_figure
from ..units.convert import display, formatted, unit_label
from ._columns import column, columns, heading
from .cams import CamSweep
from .crank_engine import CrankEngine
from .knock_limits import KnockLimits
from .points import EnginePoints
from .trace import CycleTrace

__all__ = [
    "plot_cams",
    "plot_knock_limits",
    "plot_loops",
    "plot_port_pressures",
    "plot_valve_lifts",
]

_MOST_SERIES = 7
_TURN = 360.0


def plot_cams(
    cams: Any,
    columns: Sequence[str] = ("volumetric_efficiency", "torque"),
    system: str = "trade",
) -> Any:
    """Draw columns over engine speed by camshaft, one row of panels a column.

    Parameters
    ----------
    cams : CamSweep, or mapping of str to EnginePoints
        A sweep of at most seven camshafts, a panel each plenum pressure; or named curves.
    columns : sequence of str
        Columns, one row of panels each.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure. Crossed points did not converge.

    Raises
    ------
    InputError
        More series than can be told apart, or something else than a sweep or curves.
    """
    for name in columns:
        column(name, "plot_cams")
    panels = _by_plenum(cams)
    names = list(dict.fromkeys(name for series in panels.values() for name in series))
    if not 1 <= len(names) <= _MOST_SERIES:
        hint = "sweep fewer, or draw a mapping of a few curves"
        raise refusal("plot_cams", "cams", str(len(names)), f"be 1 to {_MOST_SERIES}", hint)
    shape = len(columns), len(panels)
    figure, axes = new_figure(max(7.2, 4.2 * shape[1]), 1.3 + 2.5 * shape[0], *shape)
    grid = np.reshape(axes, shape)
    for across, (title, series) in enumerate(panels.items()):
        for down, name in enumerate(columns):
            for text, (rpm, values, settled) in series.items():
                _draw_curve(grid[down, across], rpm, values[name], settled, names.index(text),
                            name, system, text)  # fmt: skip
            grid[down, across].grid(alpha=0.3)
            grid[down, 0].set_ylabel(_label(name, system))
        grid[0, across].set_title(title, fontsize=9)
        grid[-1, across].set_xlabel("Engine speed [rpm]")
    handles = grid[0, 0].get_legend_handles_labels()
    figure.legend(*handles, fontsize=8, ncols=2, loc="outside upper center")
    return figure


def _by_plenum(cams: Any) -> dict[str, dict[str, tuple[Any, Any, Any]]]:
    """Series by panel title and name: speeds, columns and which points converged."""
    if isinstance(cams, CamSweep):
        found: dict[str, dict[str, Any]] = {}
        for b, plenum in enumerate(cams.axes["plenum_pressure"]):
            title = f"Plenum {formatted(float(plenum), 'pressure')}"
            found[title] = {}
            shape = cams.of_cam("torque").shape
            for c, name in enumerate(cams.names):
                values = {n: np.reshape(v, shape)[c, b] for n, v in cams.columns.items()}
                settled = np.reshape(cams.converged, shape)[c, b]
                found[title][name] = cams.axes["rpm"], values, settled
        return found
    series = cams if isinstance(cams, Mapping) else {"": cams}
    for one in series.values():
        if not isinstance(one, EnginePoints) or one.rpm.ndim != 1:
            rule = "be a CamSweep or curves of an engine"
            raise refusal("plot_cams", "cams", type(one).__name__, rule, "engine.curve(...)")
    return {"": {n: (c.rpm, c.columns, c.converged) for n, c in series.items()}}


def _draw_curve(
    axes: Any, rpm: Any, values: Any, settled: Any, index: int, name: str, system: str, text: str
) -> None:
    shown = np.asarray(display(np.asarray(values), columns()[name].kind, system)[0])
    axes.plot(rpm, np.where(settled, shown, np.nan), **look(index), linewidth=1.6, label=text,
              marker=MARKERS[index % len(MARKERS)], markersize=3.2)  # fmt: skip
    if not np.all(settled):
        axes.plot(np.asarray(rpm)[~settled], shown[~settled], "x", color=COLOURS[index])


def _label(name: str, system: str) -> str:
    text = heading(name)
    text = text if text[:2].isupper() else text.capitalize()
    unit = unit_label(columns()[name].kind, system)
    return f"{text} [{unit}]" if unit else text


def plot_knock_limits(limits: Any, system: str = "trade") -> Any:
    """Draw the torque that knock leaves over compression ratio, a panel each plenum pressure.

    Parameters
    ----------
    limits : KnockLimits
        Made by `compression_against_boost`, of two compression ratios or more.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure: filled markers where knock limits, hollow at best torque; the band below is the
        doubt of the knock formula.

    Raises
    ------
    InputError
        Something else, or a single compression ratio.
    """
    if not isinstance(limits, KnockLimits) or len(limits.axes["compression_ratio"]) < 2:
        rule = "be KnockLimits of two compression ratios or more"
        raise refusal("plot_knock_limits", "limits", type(limits).__name__, rule)
    ratios, plenums = limits.axes["compression_ratio"], limits.axes["plenum_pressure"]
    figure, axes = new_figure(max(7.2, 3.4 * len(plenums)), 4.2, 1, len(plenums))
    for p, (panel, plenum) in enumerate(zip(np.atleast_1d(axes), plenums, strict=True)):
        for f, fuel in enumerate(limits.axes["fuel"]):
            high, low = (
                _shown(limits[n][f, :, p], "torque", system)
                for n in ("torque", "torque_with_doubt")
            )
            panel.plot(ratios, high, **look(f), linewidth=1.5, label=fuel.replace("_", " "))
            panel.fill_between(ratios, low, high, color=COLOURS[f % len(COLOURS)], alpha=0.18)
            for knock, face in ((True, COLOURS[f % len(COLOURS)]), (False, "white")):
                at = (limits.status[f, :, p] == "knock-limited") == knock
                panel.plot(ratios[at], high[at], MARKERS[f % len(MARKERS)], markersize=4,
                           color=COLOURS[f % len(COLOURS)], markerfacecolor=face)  # fmt: skip
        panel.set_title(f"Plenum {formatted(float(plenum), 'pressure', system)}", fontsize=9)
        panel.set_xlabel("Compression ratio")
        panel.grid(alpha=0.3)
    first = np.atleast_1d(axes)[0]
    first.set_ylabel(f"Torque [{unit_label('torque', system)}]")
    figure.legend(
        *first.get_legend_handles_labels(), fontsize=8, ncols=3, loc="outside upper center"
    )
    figure.supxlabel(
        "filled: knock-limited, hollow: best torque; band: doubt of the knock formula, "
        "uncalibrated above octane 100; no permission", fontsize=8,
    )  # fmt: skip
    return figure


def _traces(traces: Any, where: str) -> dict[str, Any]:
    """Return traces by name, from one, a mapping or a sequence."""
    if isinstance(traces, CycleTrace):
        traces = {f"{traces.point.rpm[0]:,.0f} rpm": traces}
    if not isinstance(traces, Mapping):
        traces = {f"{t.point.rpm[0]:,.0f} rpm": t for t in traces}
    bad = [t for t in traces.values() if not isinstance(t, CycleTrace)]
    if bad or not 1 <= len(traces) <= _MOST_SERIES:
        shown = type(bad[0]).__name__ if bad else f"{len(traces)} traces"
        rule = f"be 1 to {_MOST_SERIES} traces"
        raise refusal(where, "traces", quoted(shown), rule, "engine.trace(...)")
    return dict(traces)


def plot_loops(traces: Any, system: str = "trade") -> Any:
    """Draw cylinder pressure over volume: the whole cycle, and the pumping loop enlarged.

    Parameters
    ----------
    traces : CycleTrace, or mapping or sequence of CycleTrace
        The cycles.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure; pressures are absolute. A loop run so that intake lies above exhaust gains
        work.
    """
    series = _traces(traces, "plot_loops")
    figure, (whole, pumping) = new_figure(8.4, 4.2, 1, 2)
    most = 0.0
    for index, (text, trace) in enumerate(series.items()):
        volume = _shown(trace["volume"], "volume", system)
        pressure = _shown(trace["pressure"], "pressure", system)
        pmep = formatted(float(trace.point["pmep"][0]), "pressure_difference", system)
        whole.plot(volume, pressure, **look(index), linewidth=1.4, label=text)
        exchange = (trace.degrees > 0.5 * _TURN) & (trace.degrees < 1.5 * _TURN)
        label = f"{text}: PMEP {pmep}"
        pumping.plot(
            volume[exchange], pressure[exchange], **look(index), linewidth=1.4, label=label
        )
        rows = trace.point.conditions
        high = max(float(rows["plenum_pressure"][0]), float(rows["exhaust_pressure"][0]))
        most = max(most, 2.6 * float(_shown(high, "pressure", system)))
    pumping.set_ylim(0.0, most)
    for axes, title in ((whole, "Whole cycle"), (pumping, "Gas exchange: exhaust, then intake")):
        axes.set_title(title, fontsize=9)
        axes.set_xlabel(f"Cylinder volume [{unit_label('volume', system)}]")
        axes.set_ylabel(f"Cylinder pressure [{unit_label('pressure', system)}]")
        axes.grid(alpha=0.3)
        axes.legend(fontsize=8)
    return figure


def plot_port_pressures(traces: Any, system: str = "trade") -> Any:
    """Draw the pressures at both valves over crank angle.

    Parameters
    ----------
    traces : CycleTrace, or mapping or sequence of CycleTrace
        The cycles.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure: static pressure in runner and primary beside the valve, cylinder pressure
        thin; shaded where the valve of the first is open.
    """
    series = _traces(traces, "plot_port_pressures")
    figure, panels = new_figure(8.4, 5.6, 2)
    for axes, side in zip(panels, ("intake", "exhaust"), strict=True):
        first = next(iter(series.values()))
        area = getattr(first.engine.setup, f"{side}_valve")
        axes.axvspan(np.rad2deg(area.opening), np.rad2deg(area.closing), color="0.9", zorder=0)
        highest = 0.0
        for index, (text, trace) in enumerate(series.items()):
            port = _shown(trace[f"{side}_pressure"], "pressure", system)
            inside = _shown(trace["pressure"], "pressure", system)
            axes.plot(trace.degrees, port, **look(index), linewidth=1.5, label=text)
            axes.plot(trace.degrees, inside, **look(index), linewidth=0.6, alpha=0.8)
            highest = max(highest, float(np.max(port)))
        axes.set_ylim(0.0, 1.35 * highest)
        axes.set_ylabel(f"{side.capitalize()} port [{unit_label('pressure', system)}]")
        axes.grid(alpha=0.3)
        _mark_centres(axes)
    panels[0].legend(fontsize=8, ncols=3, loc="lower left", bbox_to_anchor=(0.0, 1.04))
    panels[1].set_xlabel("Crank angle after firing top centre [deg]")
    figure.supxlabel("thin: cylinder pressure; shaded: valve open", fontsize=8)
    return figure


def _mark_centres(axes: Any) -> None:
    low, high = axes.get_xlim()
    for number in range(int(np.ceil(low / 180.0)), int(np.floor(high / 180.0)) + 1):
        axes.axvline(180.0 * number, color="0.4", linewidth=0.7, linestyle=":")
        name = {0: "firing TC", 2: "TC"}.get(number, "BC" if number % 2 else "TC")
        axes.annotate(name, (180.0 * number, 1.0), xycoords=("data", "axes fraction"), fontsize=7,
                      xytext=(0, 2), textcoords="offset points", ha="center")  # fmt: skip
    axes.set_xlim(low, high)


def plot_valve_lifts(engines: Any, system: str = "trade") -> Any:
    """Draw both valves' lift about top centre of gas exchange, with their events.

    Parameters
    ----------
    engines : CrankEngine, or mapping of str to CrankEngine
        Engines to overlay.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure: filled markers at 0.050 in tappet lift; dotted, where it is known, the lift at
        which the valve would leave the clearance it must keep to the piston.

    Raises
    ------
    InputError
        Something else than engines, or more than can be told apart.
    """
    series = engines if isinstance(engines, Mapping) else {getattr(engines, "name", ""): engines}
    known = all(isinstance(e, CrankEngine) for e in series.values())
    if not known or not 1 <= len(series) <= _MOST_SERIES:
        raise refusal("plot_valve_lifts", "engines", quoted(list(series)), "be 1 to 7 CrankEngines")
    figure, axes = new_figure(8.4, 4.4)
    angle = np.arange(-270.0, 270.1, 0.5)
    for index, (text, engine) in enumerate(series.items()):
        for side in ("exhaust", "intake"):
            lift = engine.camshaft.lift(side, np.deg2rad(angle + _TURN))
            shown = np.where(lift > 0.0, _shown(lift, "length", system), np.nan)
            label = text if side == "intake" else None
            axes.plot(angle, shown, **look(index), linewidth=1.6, label=label)
            _mark_events(axes, engine, side, index, system)
            limit = engine.lift_limit(side, np.deg2rad(angle + _TURN))
            if limit is not None:
                near = np.abs(angle) < 60.0
                values = _shown(limit, "length", system)[near]
                axes.plot(angle[near], values, ":", color=COLOURS[index], linewidth=1.2)
                figure.supxlabel("dotted: lift that leaves the least piston clearance", fontsize=8)
    axes.set_ylim(0.0, 1.15 * max(float(np.nanmax(line.get_ydata())) for line in axes.lines
                                  if line.get_linestyle() != ":"))  # fmt: skip
    axes.axvline(0.0, color="0.4", linewidth=0.8)
    for name, at in (("BC", -180.0), ("TC", 0.0), ("BC", 180.0)):
        axes.annotate(name, (at, 1.0), xycoords=("data", "axes fraction"), fontsize=8,
                      xytext=(0, 3), textcoords="offset points", ha="center")  # fmt: skip
    axes.set_xlabel("Crank angle after top centre of gas exchange [deg]")
    axes.set_ylabel(f"Valve lift [{unit_label('length', system)}]")
    axes.grid(alpha=0.3)
    axes.legend(fontsize=8, loc="upper left")
    return figure


def _mark_events(axes: Any, engine: Any, side: str, index: int, system: str) -> None:
    """Mark opening and closing at 0.050 in and write their angles from top centre."""
    cam = engine.camshaft
    peak = cam.peak(side)
    for end, at in zip((-1.0, 1.0), cam.spans(side)["0.050"], strict=True):
        degrees = float(np.rad2deg(peak + at)) - _TURN
        lift = float(_shown(float(cam.curve(side).at(at)), "length", system))
        axes.plot(degrees, lift, "o", color=COLOURS[index], markersize=4)
        if index == 0:
            away = {"xytext": (8.0 * end, 2), "ha": "right" if end < 0 else "left"}
            axes.annotate(
                f"{degrees:+.0f}", (degrees, lift), fontsize=7, textcoords="offset points", **away
            )


def _shown(values: Any, kind: str, system: str) -> Any:
    return display(values, kind, system)[0]
