"""Pictures of a calibration."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.extras import extra
from ..chain.level_looks import looks_by_name
from ..chain.plots import told_of
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, MARKERS, look, plain, stroke
from ..units.convert import display, unit_label
from ._coverage import KINDS, WORDS, edges
from ._paths import Path
from ._surface import volumetric_efficiency

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ..chain.build import Build
    from .calibration import Calibration


Array = NDArray[np.float64]
#: Flat tint of each kind of cell; neighbours are told apart in grey too.
_FACES = {
    "measured": "#7fa8c5",
    "full throttle": "#cfe0ea",
    "inside": "#e8eff3",
    "beyond": "#ffffff",
    "extrapolated": "#cbb793",
}
_EDGE = "0.82"
_LINES = 9


def draw_coverage(
    calibrations: Sequence[Calibration], axes: Axes | None, title: str | None,
    further: Sequence[Path] = (), system: str = "trade",
) -> Figure:  # fmt: skip
    """Draw where each cell comes from and the paths through them, see `plot_coverage`."""
    figure, (panel,) = panels_for(axes, (7.6, 6.0))
    handles = _draw_cells(panel, calibrations[0], system)
    paths = [path for one in calibrations for path in one.paths]
    _draw_paths(panel, [*paths, *further], calibrations[0].build, system)
    data = calibrations[0].data
    across, up = edges(data.rpm), _shown(edges(data.pressure), system)
    panel.set_xlim(across[0], across[-1])
    panel.set_ylim(up[0], up[-1])
    panel.set_xlabel("Engine speed [rpm]")
    panel.set_ylabel(_pressure_words(system))
    if any(path.measured for path in paths):
        crosses = extra("matplotlib.lines").Line2D(
            [], [], color="0.25", linestyle="none", marker="x", label="crosses: measured pulls"
        )
        handles.append(crosses)
    if axes is None:
        figure.legend(handles=handles, fontsize=8, ncols=2, loc="outside upper center")
    else:
        panel.legend(handles=handles, fontsize=7, ncols=2)
    words = told_of((one.build for one in calibrations), ["where each cell comes from"])
    head_and_foot(figure, [panel], axes is None, title, words=words)
    return figure


def _shown(pressure: Array, system: str) -> Array:
    """Absolute pressures in the unit of a system."""
    return np.asarray(display(pressure, "pressure", system)[0])


def _pressure_words(system: str) -> str:
    unit = unit_label("pressure", system)
    return f"Plenum pressure, absolute [{unit}]"


def _draw_cells(panel: Axes, calibration: Calibration, system: str) -> list[Artist]:
    """The tint of every cell; what a legend shows of them."""
    data, kinds = calibration.data, calibration.coverage.kinds
    across, up = edges(data.rpm), _shown(edges(data.pressure), system)
    patch = extra("matplotlib.patches")
    for i in range(data.pressure.size):
        for j in range(data.rpm.size):
            panel.add_patch(patch.Rectangle(
                (across[j], up[i]), across[j + 1] - across[j], up[i + 1] - up[i],
                facecolor=_FACES[str(kinds[i, j])], edgecolor=_EDGE, linewidth=0.4,
            ))  # fmt: skip
    return [
        patch.Patch(facecolor=_FACES[k], edgecolor="0.6", label=WORDS[k])
        for k in KINDS
        if calibration.coverage.count(k)
    ]


def _side(end: float, ends: Sequence[float]) -> str:
    """On which side of a line's end its name stands: away from a near one's."""
    apart = [end - other for other in ends if abs(end - other) < 0.06 * max(ends)]
    return "bottom" if max(apart) > 0.0 else "top" if min(apart) < 0.0 else "center"


def _draw_paths(panel: Axes, paths: Sequence[Path], build: Build, system: str) -> None:
    """Computed levels as lines with markers, measured ones as crosses of the same colour.

    A white rim lifts them off dark cells.
    """
    computed = [path for path in paths if not path.measured]
    looks = looks_by_name([path.level for path in computed], build)
    rim = extra("matplotlib.patheffects").withStroke
    ends = [float(_shown(path.pressure, system)[-1]) for path in computed]
    for index, path, end in zip(looks, computed, ends, strict=True):
        line = stroke(index, 1.8)
        panel.plot(path.rpm, _shown(path.pressure, system), **line, label=plain(path.level),
                   marker=MARKERS[index % len(MARKERS)],
                   path_effects=[rim(linewidth=line["linewidth"] + 2.0, foreground="white")],
                   markersize=4.5, markevery=3, markeredgecolor="white",
                   markeredgewidth=0.6)  # fmt: skip
        panel.annotate(plain(path.level), (path.rpm[-1], end), (7, 0),
                       textcoords="offset points", fontsize=9, va=_side(end, ends),
                       fontweight="bold",
                       color=line["color"], annotation_clip=False,
                       path_effects=[rim(linewidth=2.5, foreground="white")])  # fmt: skip
    for path in (path for path in paths if path.measured):
        index = next(
            i for i, other in zip(looks, computed, strict=True) if other.level == path.level
        )
        every = max(1, path.rpm.size // 16)
        panel.plot(path.rpm[::every], _shown(path.pressure, system)[::every], "x", markersize=6,
                   color=COLOURS[index % len(COLOURS)], label=plain(path.name),
                   path_effects=[rim(linewidth=3.0, foreground="white")])  # fmt: skip


def draw_filling(
    calibrations: Sequence[Calibration], axes: Axes | None, speeds: int, title: str | None,
    system: str,
) -> Figure:  # fmt: skip
    """Draw the filling over plenum pressure at a few fixed speeds, see `plot_filling`."""
    figure, (panel,) = panels_for(axes, (7.2, 5.4))
    shared = [path for path in calibrations[0].paths if path.solved > 1]
    low = max(path.rpm.min() for path in shared)
    high = min(path.rpm.max() for path in shared)
    for index, rpm in enumerate(np.linspace(low, high, speeds)):
        for number, one in enumerate(calibrations):
            _draw_speed(panel, one, float(rpm), index, 0.7 if number else 1.4, system)
    panel.set_xlabel(_pressure_words(system))
    panel.set_ylabel("Volumetric efficiency on plenum density [%]")
    panel.grid(alpha=0.3)
    panel.legend(fontsize=8, ncols=2)
    crosses = "; crosses: measured" if any(path.measured for path in shared) else ""
    foot = f"lines: the tables; markers: levels at full throttle{crosses}"
    words = told_of((one.build for one in calibrations), ["filling at fixed engine speeds"])
    head_and_foot(figure, [panel], axes is None, title, foot, words)
    return figure


def _draw_speed(panel: Axes, calibration: Calibration, rpm: float, index: int,
                width: float, system: str) -> None:  # fmt: skip
    """The curve of one engine speed, and the levels on it."""
    data = calibration.data
    pressure = np.linspace(data.pressure[0], data.pressure[-1], 120)
    curve = volumetric_efficiency(calibration.build.chain, rpm, pressure,
                                  data.reference_temperature)  # fmt: skip
    panel.plot(_shown(pressure, system), 100 * curve, **look(index), linewidth=width,
               label=f"{rpm:,.0f} rpm" if width > 1.0 else "_")  # fmt: skip
    for path in (path for path in calibration.paths if path.solved > 1):
        at = np.interp(rpm, path.rpm, path.pressure, left=np.nan, right=np.nan)
        trim = calibration.trim.at(path.temperature, path.rpm)
        filling = np.interp(rpm, path.rpm, path.volumetric_efficiency / trim)
        marker = "x" if path.measured else MARKERS[index % len(MARKERS)]
        panel.plot(_shown(np.array([at]), system), [100 * filling], marker, markersize=6,
                   color=COLOURS[index % len(COLOURS)])  # fmt: skip


def draw_table(
    calibration: Calibration, name: str, axes: Axes | None, title: str | None, paths: bool,
    system: str,
) -> Figure:  # fmt: skip
    """Draw one table as a map with labelled contours, see `plot_table`."""
    table = calibration[name]
    figure, (panel,) = panels_for(axes, (7.2, 5.0))
    rpm, pressure = table.rpm, _shown(table.pressure, system)
    values = np.ma.masked_invalid(table.values)
    filled = panel.contourf(rpm, pressure, values, levels=_LINES, cmap="cividis")
    lines = panel.contour(rpm, pressure, values, levels=filled.levels, colors="white",
                          linewidths=0.8)  # fmt: skip
    outline = [extra("matplotlib.patheffects").withStroke(linewidth=2, foreground="black")]
    for text in panel.clabel(lines, fontsize=8, fmt="%g"):
        text.set_path_effects(outline)
    unit = "" if table.unit == "1" else f" [{table.unit}]"
    figure.colorbar(filled, ax=panel, label=name.replace("_", " ").capitalize() + unit)
    if name == "knock_margin" and np.nanmin(values) < 0.0 < np.nanmax(values):
        panel.contour(rpm, pressure, values, levels=[0.0], colors="black", linewidths=2.6)
    if paths:
        _draw_paths(panel, calibration.paths, calibration.build, system)
        panel.set_xlim(rpm[0], rpm[-1])
        panel.set_ylim(pressure[0], pressure[-1])
        handles, labels = panel.get_legend_handles_labels()
        if axes is None:
            figure.legend(handles, labels, fontsize=8, ncols=3, loc="outside upper center")
        else:
            panel.legend(handles, labels, fontsize=7)
    panel.set_xlabel("Engine speed [rpm]")
    panel.set_ylabel(_pressure_words(system))
    words = told_of([calibration.build], [f"table of {name.replace('_', ' ')}"])
    head_and_foot(figure, [panel], axes is None, title, words=words)
    return figure
