"""Pictures of a calibration; each function returns a matplotlib figure."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..base.extras import extra
from ..shown.plot_style import COLOURS, MARKERS, look, new_figure, plain
from ._coverage import KINDS, WORDS, edges
from ._surface import volumetric_efficiency
from .calibration import Calibration
from .extension import NextRatio

__all__ = ["plot_coverage", "plot_filling", "plot_table"]

#: Grey and hatching of each kind of cell: legible without colour.
_FACES = {
    "measured": ("0.45", ""),
    "full throttle": ("0.72", ""),
    "inside": ("0.93", ""),
    "beyond": ("white", "////"),
    "extrapolated": ("white", "xxxx"),
}
_LINES = 9


def plot_coverage(calibration: Calibration, further: NextRatio | None = None) -> Any:
    """Draw where each cell comes from, with each level's path through the table.

    Parameters
    ----------
    calibration : Calibration
        The calibration.
    further : NextRatio, optional
        A faster drive to draw too.

    Returns
    -------
    matplotlib.figure.Figure
        The figure: grey and hatching say where a cell comes from, lines with markers are levels,
        crosses measured ones; plenum pressure in kPa, absolute.
    """
    figure, axes = new_figure(7.6, 6.0)
    data, kinds = calibration.data, calibration.coverage.kinds
    across, up = edges(data.rpm), edges(data.pressure) / 1e3
    patch = extra("matplotlib.patches")
    for i in range(data.pressure.size):
        for j in range(data.rpm.size):
            face, hatch = _FACES[str(kinds[i, j])]
            axes.add_patch(patch.Rectangle(
                (across[j], up[i]), across[j + 1] - across[j], up[i + 1] - up[i],
                facecolor=face, hatch=hatch, edgecolor="0.6", linewidth=0.4,
            ))  # fmt: skip
    handles = [
        patch.Patch(facecolor=_FACES[k][0], hatch=_FACES[k][1], edgecolor="0.6", label=WORDS[k])
        for k in KINDS
        if calibration.coverage.count(k)
    ]
    _paths(axes, calibration, further)
    axes.set_xlim(across[0], across[-1])
    axes.set_ylim(up[0], up[-1])
    axes.set_xlabel("Engine speed [rpm]")
    axes.set_ylabel("Plenum pressure [kPa absolute]")
    lines, _ = axes.get_legend_handles_labels()
    figure.legend(handles=[*handles, *lines], fontsize=8, ncols=2, loc="outside upper center")
    return figure


def _paths(axes: Any, calibration: Calibration, further: NextRatio | None) -> None:
    paths = [p for p in calibration.paths if not p.measured]
    paths += [further.path] if further is not None else []
    for index, path in enumerate(paths):
        axes.plot(path.rpm, path.pressure / 1e3, **look(index), linewidth=1.8,
                  label=plain(path.level), marker=MARKERS[index % len(MARKERS)],
                  markersize=4.5, markevery=3, markeredgecolor="white",
                  markeredgewidth=0.6)  # fmt: skip
    for path in calibration.paths:
        if path.measured:
            index = next(i for i, p in enumerate(paths) if p.level == path.level)
            every = max(1, path.rpm.size // 16)
            axes.plot(path.rpm[::every], path.pressure[::every] / 1e3, "x", markersize=6,
                      color=COLOURS[index % len(COLOURS)], label=plain(path.name))  # fmt: skip


def plot_filling(calibration: Calibration, speeds: int = 6) -> Any:
    """Draw volumetric efficiency on plenum density over plenum pressure at a few fixed speeds.

    Parameters
    ----------
    calibration : Calibration
        The calibration.
    speeds : int
        How many engine speeds, dimensionless.

    Returns
    -------
    matplotlib.figure.Figure
        The figure: lines are the tables, full markers the computed levels, crosses measured ones,
        all brought to the tables' temperature. One smooth curve at each speed is what lets one
        calibration serve all levels.
    """
    figure, axes = new_figure(7.2, 5.4)
    data, chain = calibration.data, calibration.build.chain
    shared = [p for p in calibration.paths if p.solved > 1]
    low = max(p.rpm.min() for p in shared)
    high = min(p.rpm.max() for p in shared)
    pressure = np.linspace(data.pressure[0], data.pressure[-1], 120)
    for index, rpm in enumerate(np.linspace(low, high, speeds)):
        curve = volumetric_efficiency(chain, rpm, pressure, data.reference_temperature)
        axes.plot(pressure / 1e3, 100 * curve, **look(index), linewidth=1.4,
                  label=f"{rpm:,.0f} rpm")  # fmt: skip
        for path in shared:
            p = np.interp(rpm, path.rpm, path.pressure)
            trim = calibration.trim.at(path.temperature, path.rpm)
            filling = path.volumetric_efficiency / trim
            marker = "x" if path.measured else MARKERS[index % len(MARKERS)]
            axes.plot([p / 1e3], [100 * np.interp(rpm, path.rpm, filling)], marker, markersize=6,
                      color=COLOURS[index % len(COLOURS)])  # fmt: skip
    axes.set_xlabel("Plenum pressure [kPa absolute]")
    axes.set_ylabel("Volumetric efficiency on plenum density [%]")
    axes.grid(alpha=0.3)
    axes.legend(fontsize=8, ncols=2)
    crosses = "; crosses: measured" if any(p.measured for p in shared) else ""
    figure.supxlabel(f"lines: the tables; markers: levels at full throttle{crosses}", fontsize=8)
    return figure


def plot_table(calibration: Calibration, name: str, paths: bool = False) -> Any:
    """Draw one table as a map with labelled contours.

    Parameters
    ----------
    calibration : Calibration
        The calibration.
    name : str
        The table, such as ``"injector_time"``.
    paths : bool
        Whether to draw each level's path through it.

    Returns
    -------
    matplotlib.figure.Figure
        The figure; of the knock margin the onset of knock is drawn thick.
    """
    table = calibration[name]
    figure, axes = new_figure(7.2, 5.0)
    values = np.ma.masked_invalid(table.values)
    filled = axes.contourf(table.rpm, table.pressure / 1e3, values, levels=_LINES, cmap="cividis")
    lines = axes.contour(table.rpm, table.pressure / 1e3, values, levels=filled.levels,
                         colors="white", linewidths=0.8)  # fmt: skip
    outline = [extra("matplotlib.patheffects").withStroke(linewidth=2, foreground="black")]
    for text in axes.clabel(lines, fontsize=8, fmt="%g"):
        text.set_path_effects(outline)
    unit = "" if table.unit == "1" else f" [{table.unit}]"
    figure.colorbar(filled, ax=axes, label=name.replace("_", " ").capitalize() + unit)
    if name == "knock_margin" and np.nanmin(values) < 0.0 < np.nanmax(values):
        axes.contour(table.rpm, table.pressure / 1e3, values, levels=[0.0], colors="black",
                     linewidths=2.6)  # fmt: skip
    if paths:
        _paths(axes, calibration, None)
        axes.set_xlim(table.rpm[0], table.rpm[-1])
        axes.set_ylim(table.pressure[0] / 1e3, table.pressure[-1] / 1e3)
        handles, labels = axes.get_legend_handles_labels()
        figure.legend(handles, labels, fontsize=8, ncols=3, loc="outside upper center")
    axes.set_xlabel("Engine speed [rpm]")
    axes.set_ylabel("Plenum pressure [kPa absolute]")
    return figure
