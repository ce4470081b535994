"""Pictures of the fuel side; each function returns a matplotlib figure."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..shown.plot_style import MARKERS, look, new_figure, plain
from ..units.convert import display, unit_label
from .demand import FuelDemand
from .supplying import FuelStep

__all__ = ["plot_fuel"]


def plot_fuel(demand: FuelDemand, system: str = "trade") -> Any:
    """Draw injector duty, pump flow used and line loss of every level over engine speed.

    Parameters
    ----------
    demand : FuelDemand
        The fuel side of all levels.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure; dotted lines are the limits wanted, crosses pass them.
    """
    supply, unit = demand.supply, unit_label("pressure_difference", system)
    limits = (100.0 * supply.duty_limit, 100.0 / (1.0 + supply.pump_margin), np.inf)
    words = ("Injector duty [%]", "Pump flow used [%]", f"Lost in supply line [{unit}]")
    figure, panels = new_figure(7.2, 7.0, len(limits))
    for index, step in enumerate(demand.steps):
        for panel, values, limit in zip(panels, _series(step, system), limits, strict=True):
            marker = MARKERS[index % len(MARKERS)]
            panel.plot(step.rpm, values, **look(index), linewidth=1.6, label=plain(step.name),
                       marker=marker, markersize=3.2, markevery=4)  # fmt: skip
            beyond = values > limit
            panel.plot(step.rpm[beyond], values[beyond], "x", color="black", markersize=6)
    for panel, limit, text in zip(panels, limits, words, strict=True):
        if np.isfinite(limit):
            panel.axhline(limit, color="black", linestyle=":", linewidth=1.2)
        panel.set_ylabel(text)
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    panels[0].legend(fontsize=8, ncols=4, loc="lower left", bbox_to_anchor=(0.0, 1.01))
    figure.supxlabel("dotted: limit wanted; crosses: beyond it", fontsize=8)
    return figure


def _series(step: FuelStep, system: str) -> tuple[Any, Any, Any]:
    """Duty and pump flow used in per cent, and the supply line's loss in its display unit."""
    lost = display(step["supply_drop"], "pressure_difference", system)[0]
    return 100.0 * step["duty"], 100.0 * step["pump_demand"] / step["pump_flow"], lost
