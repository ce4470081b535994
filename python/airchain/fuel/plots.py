"""Pictures of the fuel side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..chain.level_looks import looks_of
from ..chain.plots import told_of
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import MARKERS, plain, stroke
from ..units.convert import display, unit_label

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .demand import FuelDemand
    from .supplying import FuelStep


Array = NDArray[np.float64]


def draw_fuel(
    demands: Sequence[FuelDemand], axes: Sequence[Axes] | None, system: str, title: str | None
) -> Figure:
    """Draw injector duty, pump flow used and line loss of every level, see `FuelDemand.plot`."""
    supply, unit = demands[0].supply, unit_label("pressure_difference", system)
    limits = (100.0 * supply.duty_limit, 100.0 / (1.0 + supply.pump_margin), np.inf)
    words = ("Injector duty [%]", "Pump flow used [%]", f"Lost in supply line [{unit}]")
    figure, panels = panels_for(axes, (7.2, 7.0), len(limits))
    steps = [
        (f"{step.name} ({number})" if number > 1 else step.name, step)
        for number, demand in enumerate(demands, 1)
        for step in demand.steps
    ]
    builds = [step.pull.build for _, step in steps]
    for index, (name, step) in zip(looks_of(builds), steps, strict=True):
        for panel, values, limit in zip(panels, _series(step, system), limits, strict=True):
            panel.plot(step.rpm, values, **stroke(index), label=plain(name),
                       marker=MARKERS[index % len(MARKERS)], markersize=3.2,
                       markevery=4)  # fmt: skip
            beyond = values > limit
            panel.plot(step.rpm[beyond], values[beyond], "x", color="black", markersize=6)
    for panel, limit, text in zip(panels, limits, words, strict=True):
        if np.isfinite(limit):
            panel.axhline(limit, color="black", linestyle=":", linewidth=1.2)
        panel.set_ylabel(text)
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    panels[0].legend(fontsize=8, ncols=4, loc="lower left", bbox_to_anchor=(0.0, 1.01))
    foot = "dotted: limit wanted; crosses: beyond it"
    shown = told_of(builds, ["the fuel supply at every level"])
    head_and_foot(figure, panels, axes is None, title, foot, shown)
    return figure


def _series(step: FuelStep, system: str) -> tuple[Array, Array, Array]:
    """Duty and pump flow used in per cent, and the supply line's loss in its display unit."""
    lost: Array = display(step["supply_drop"], "pressure_difference", system)[0]
    return 100.0 * step["duty"], 100.0 * step["pump_demand"] / step["pump_flow"], lost
