"""Pictures of the crank-resolved engine: curves over engine speed, camshafts, limits of knock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..shown.fuel_names import fuel_words
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, MARKERS, fit_legends, plain, stroke
from ..units.convert import display, formatted, unit_label
from ._columns import column, columns, heading

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .cams import CamSweep
    from .knock_limits import KnockLimits
    from .points import EnginePoints

MOST_SERIES = 7
#: Beyond it a page makes a picture smaller, and its text with it [in].
MOST_WIDTH = 10.0


class Series(NamedTuple):
    """One line of a panel: engine speeds [rpm], columns in SI, and which points converged."""

    rpm: NDArray[np.float64]
    columns: Mapping[str, NDArray[np.float64]]
    converged: NDArray[np.bool_]


def told_apart(parts: Sequence[Sequence[str]]) -> list[str]:
    """Return a name for each of several results, of the parts in which they differ.

    One part is enough where it differs in all of them; the first is taken where none differs.
    """
    kinds = [len(set(column)) for column in zip(*parts, strict=True)]
    whole = [i for i, count in enumerate(kinds) if count == len(parts)]
    places = whole[:1] or [i for i, count in enumerate(kinds) if count > 1] or [0]
    names: list[str] = []
    for part in parts:
        name, number = ", ".join(part[i] for i in places), 2
        plain_name = name
        while name in names:
            name, number = f"{plain_name} ({number})", number + 1
        names.append(name)
    return names


def refuse_more(count: int, what: str) -> None:
    """Refuse more series than can be told apart."""
    if count > MOST_SERIES:
        raise refusal("plot", what, str(count), f"be at most {MOST_SERIES}", "draw fewer at once")


def draw_curves(
    curves: Sequence[EnginePoints],
    axes: Axes | Sequence[Axes] | None,
    system: str,
    title: str | None,
    names: Sequence[str],
) -> Figure:
    """Draw columns over engine speed, see `EnginePoints.plot`."""
    for one in curves:
        if one.rpm.ndim != 1:
            hint = "solve them by engine.curve(...)"
            raise refusal("plot", "points", f"{one.rpm.ndim} axes", "be a curve over rpm", hint)
    parts = [(one.engine.name, _plenum(one, system)) for one in curves]
    series = {
        name: Series(one.rpm, one.columns, one.converged)
        for name, one in zip(told_apart(parts), curves, strict=True)
    }
    return _draw({"": series}, axes, system, title, names, "the engine at a fixed plenum pressure")


def _plenum(points: EnginePoints, system: str) -> str:
    pressure = float(np.ravel(points.conditions["plenum_pressure"])[0])
    return f"plenum {formatted(pressure, 'pressure', system)}"


def draw_cams(
    sweeps: Sequence[CamSweep],
    axes: Axes | Sequence[Axes] | None,
    system: str,
    title: str | None,
    names: Sequence[str],
) -> Figure:
    """Draw columns over engine speed by camshaft and plenum pressure, see `CamSweep.plot`."""
    panels: dict[str, dict[str, Series]] = {}
    owners = told_apart([(sweep.engine.name,) for sweep in sweeps])
    for owner, sweep in zip(owners, sweeps, strict=True):
        shape = sweep.of_cam("torque").shape
        settled = np.reshape(sweep.converged, shape)
        for b, plenum in enumerate(sweep.axes["plenum_pressure"]):
            above = f"Plenum {formatted(float(plenum), 'pressure', system)}"
            for c, cam in enumerate(sweep.names):
                name = cam if len(sweeps) == 1 else f"{owner}: {cam}"
                values = {n: np.reshape(v, shape)[c, b] for n, v in sweep.columns.items()}
                line = Series(np.asarray(sweep.axes["rpm"]), values, settled[c, b])
                panels.setdefault(above, {})[name] = line
    return _draw(panels, axes, system, title, names, "camshafts side by side")


def _draw(
    across: Mapping[str, Mapping[str, Series]],
    axes: Axes | Sequence[Axes] | None,
    system: str,
    title: str | None,
    names: Sequence[str],
    words: str,
) -> Figure:
    """Draw one row of panels a column, and one panel of it for each title."""
    for name in names:
        column(name, "plot")
    known = list(dict.fromkeys(name for series in across.values() for name in series))
    refuse_more(len(known), "series")
    rows, wide = len(names), len(across)
    width = min(max(7.2, 4.2 * wide), MOST_WIDTH)
    figure, flat = panels_for(axes, (width, 1.3 + 2.5 * rows), rows, wide)
    for place, (above, series) in enumerate(across.items()):
        for down, name in enumerate(names):
            panel = flat[down * wide + place]
            for text, line in series.items():
                _draw_line(panel, line, known.index(text), name, system, text)
            panel.grid(alpha=0.3)
            if wide > 2:
                panel.tick_params(labelsize=8)
                panel.locator_params(axis="x", nbins=4)
            if place == 0:
                panel.set_ylabel(_label(name, system))
        flat[place].set_title(above, fontsize=9)
        flat[(rows - 1) * wide + place].set_xlabel("Engine speed [rpm]")
    _legend(figure, flat[0], axes is None, columns=2)
    shown = " and ".join(heading(name) for name in names)
    head_and_foot(figure, flat, axes is None, title, words=f"{shown.capitalize()}: {words}")
    return figure


def _legend(figure: Figure, panel: Axes, own: bool, columns: int) -> None:
    """Name the series above a picture of its own, else in its first panel."""
    if own:
        handles = panel.get_legend_handles_labels()
        figure.legend(*handles, fontsize=8, ncols=columns, loc="outside upper center")
        fit_legends(figure)
    else:
        panel.legend(fontsize=8)


def _draw_line(panel: Axes, line: Series, index: int, name: str, system: str, text: str) -> None:
    shown = np.asarray(display(np.asarray(line.columns[name]), columns()[name].kind, system)[0])
    panel.plot(line.rpm, np.where(line.converged, shown, np.nan), **stroke(index),
               label=plain(text), marker=MARKERS[index], markersize=3.2)  # fmt: skip
    if not np.all(line.converged):
        lost = ~line.converged
        panel.plot(line.rpm[lost], shown[lost], "x", color=COLOURS[index])


def _label(name: str, system: str) -> str:
    text = heading(name)
    text = text if text[:2].isupper() else text.capitalize()
    unit = unit_label(columns()[name].kind, system)
    return f"{text} [{unit}]" if unit else text


def draw_limits(
    several: Sequence[KnockLimits],
    axes: Axes | Sequence[Axes] | None,
    system: str,
    title: str | None,
) -> Figure:
    """Draw the torque that knock leaves, see `KnockLimits.plot`."""
    plenums = np.asarray(several[0].axes["plenum_pressure"])
    for limits in several:
        if len(limits.axes["compression_ratio"]) < 2:
            rule = "be of two compression ratios or more"
            raise refusal("plot", "limits", "one compression ratio", rule)
        if not np.array_equal(limits.axes["plenum_pressure"], plenums):
            raise refusal("plot", "beside", "other plenum pressures", "have the same")
    refuse_more(sum(len(limits.axes["fuel"]) for limits in several), "fuels")
    size = (min(max(7.2, 3.4 * len(plenums)), MOST_WIDTH), 4.2)
    figure, panels = panels_for(axes, size, 1, len(plenums))
    owners = told_apart([(limits.engine.name,) for limits in several])
    for p, (panel, plenum) in enumerate(zip(panels, plenums, strict=True)):
        index = 0
        for owner, limits in zip(owners, several, strict=True):
            for f, fuel in enumerate(limits.axes["fuel"]):
                name = fuel_words(fuel)
                text = name if len(several) == 1 else f"{owner}: {name}"
                _draw_limit(panel, limits, (f, p), index, system, text)
                index += 1
        panel.set_title(f"Plenum {formatted(float(plenum), 'pressure', system)}", fontsize=9)
        panel.set_xlabel("Compression ratio")
        panel.grid(alpha=0.3)
    panels[0].set_ylabel(f"Torque [{unit_label('torque', system)}]")
    _legend(figure, panels[0], axes is None, columns=3)
    foot = (
        "filled: knock-limited, hollow: best torque; band: doubt of the knock formula, "
        "uncalibrated above octane 100; no permission"
    )
    words = "Torque that knock leaves, by fuel and compression ratio"
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure


def _draw_limit(
    panel: Axes, limits: KnockLimits, at: tuple[int, int], index: int, system: str, text: str
) -> None:
    """Draw one fuel at one plenum pressure: filled markers where knock limits, hollow elsewhere."""
    fuel, plenum = at
    ratios, colour = np.asarray(limits.axes["compression_ratio"]), COLOURS[index]
    high, low = (
        np.asarray(display(limits[n][fuel, :, plenum], "torque", system)[0])
        for n in ("torque", "torque_with_doubt")
    )
    panel.plot(ratios, high, **stroke(index, 1.5), label=plain(text), marker=MARKERS[index],
               markersize=4)  # fmt: skip
    panel.fill_between(ratios, low, high, color=colour, alpha=0.18)
    for knock, face in ((True, colour), (False, "white")):
        here = (limits.status[fuel, :, plenum] == "knock-limited") == knock
        panel.plot(ratios[here], high[here], MARKERS[index], markersize=4, color=colour,
                   markerfacecolor=face)  # fmt: skip
