"""Pictures of a fit, a prediction, and a difference."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from ..base.errors import refusal
from ..base.speeds import RPM
from ..measured.quantities import QUANTITIES
from ..shown.plot_style import COLOURS, MARKERS, look, new_figure
from ..units.convert import display, unit_label
from .difference import Difference

__all__ = ["plot_prediction", "plot_residuals", "plot_waterfall"]


def plot_residuals(found: Any, system: str = "trade") -> Any:
    """Draw the residuals of a fit against engine speed, one panel a channel.

    Parameters
    ----------
    found : Reconciliation
        The fit.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.
    """
    figure, panels = new_figure(7.0, 1.0 + 1.5 * len(found.channels), len(found.channels))
    for axes, name in zip(np.atleast_1d(panels), found.channels, strict=True):
        kind = _as_difference(QUANTITIES[name].kind)
        for i, (label, (rpm, values)) in enumerate(found.residuals(name).items()):
            axes.plot(rpm, display(values, kind, system)[0], marker=MARKERS[i % len(MARKERS)],
                      markersize=2.5, linewidth=0.9, label=label, **look(i))  # fmt: skip
        axes.axhline(0.0, color="black", linewidth=0.7)
        words = QUANTITIES[name].words.replace("compressor ", "compressor\n")
        axes.set_ylabel(f"{words}\n[{unit_label(kind, system)}]", fontsize=8)
        axes.grid(alpha=0.3)
    np.atleast_1d(panels)[0].legend(fontsize=8)
    np.atleast_1d(panels)[0].set_title("Readings less fitted chain")
    np.atleast_1d(panels)[-1].set_xlabel("Engine speed [rpm]")
    return figure


def plot_prediction(made: Any, pull: Any = None, system: str = "trade") -> Any:
    """Draw power, torque and boost with their 90 % bands, and the pull when it was run.

    Parameters
    ----------
    made : Prediction or Comparison
        The prediction, or how it fared.
    pull : MeasuredPull, optional
        The pull that was run, for a prediction not yet compared.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.
    """
    # A pull is compared in its own weather, and as the fit would read it.
    told = made if pull is None else made.compare(pull)
    made = getattr(told, "prediction", told)
    measured = {} if told is made else _readings(told)
    figure, panels = new_figure(7.0, 7.5, 3)
    kinds = {"power": "power", "torque": "torque", "boost": "pressure_difference"}
    for axes, (name, kind) in zip(panels, kinds.items(), strict=True):
        low, high = (display(edge, kind, system)[0] for edge in made.band(name))
        middle = display(made.expected(name)[0], kind, system)[0]
        axes.fill_between(made.rpm, low, high, color=COLOURS[5], alpha=0.4, label="90 % band")
        axes.plot(made.rpm, middle, color=COLOURS[0], label="predicted")
        if name in measured:
            axes.plot(told.rpm, display(measured[name], kind, system)[0], ".", markersize=3,
                      color=COLOURS[1], label="measured")  # fmt: skip
        axes.set_ylabel(f"{name.capitalize()} [{unit_label(kind, system)}]")
        axes.grid(alpha=0.3)
    panels[0].legend()
    panels[0].set_title(made.title)
    panels[-1].set_xlabel("Engine speed [rpm]")
    return figure


def _readings(told: Any) -> dict[str, Any]:
    """What was read, lag taken out: the expectation and the differences from it."""
    made = told.prediction

    def read(name: str, channel: str) -> Any:
        return np.interp(told.rpm, made.rpm, made.expected(name)[0]) + told.differences[channel]

    found = {}
    if "torque" in told.differences:
        found["torque"] = read("torque", "torque")
        found["power"] = found["torque"] * told.rpm * RPM
    if "plenum_pressure" in told.differences:
        found["boost"] = read("boost", "plenum_pressure")
    return found


def plot_waterfall(split: Difference, system: str = "trade", budget: bool = False) -> Any:
    """Draw how a difference builds up, factor by factor or along the power budget.

    Parameters
    ----------
    split : Difference
        The difference.
    system : str
        ``"trade"`` or ``"si"``.
    budget : bool
        Whether to draw the crank's power budget (charge pressure, charge temperature, filling,
        gas exchange, friction, drive) instead of what was changed; of a difference of power.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.

    Raises
    ------
    InputError
        The budget of another column than power was asked for.
    """
    if budget:
        if split.column != "power":
            raise refusal("plot_waterfall", "budget", "True", "go with a difference of power")
        split = replace(split, shares=split.effects)
    names = [*split.shares, *(["not explained"] if split.residual else [])]
    steps = [*split.shares.values(), *([split.residual] if split.residual else [])]
    figure, axes = new_figure(8.0, 1.6 + 0.42 * (len(names) + 2))
    unit = unit_label(split.kind, system)
    at = split.first
    labels = [split.names[0], *names, split.names[1]]
    bars = [(0.0, split.first)]
    for step in steps:
        bars.append((at, at + step))
        at += step
    bars.append((0.0, split.second))
    for row, (start, end) in enumerate(bars):
        low, high = (float(display(v, split.kind, system)[0]) for v in (start, end))
        whole = row in (0, len(bars) - 1)
        colour = "#777777" if whole else COLOURS[0] if high >= low else COLOURS[1]
        hatch = None if whole or high >= low else "///"
        axes.barh(row, high - low, left=low, color=colour, hatch=hatch, edgecolor="white")
        text = f"{high:,.1f}" if whole else f"{high - low:+,.1f}"
        axes.annotate(text, (max(low, high), row), (4, 0), textcoords="offset points", va="center",
                      fontsize=8)  # fmt: skip
    axes.set_yticks(range(len(labels)), labels)
    axes.invert_yaxis()
    axes.margins(x=0.12)
    cut = ""
    ends = [float(display(v, split.kind, system)[0]) for pair in bars[1:-1] for v in pair]
    if ends and min(ends) > 0.0:
        span = max(ends) - min(ends)
        start = max(0.0, min(ends) - 0.6 * span)
        axes.set_xlim(start, max(ends) + 0.25 * span)
        cut = ", axis cut" if start > 0.0 else ""
    words = split.column.replace("_", " ").capitalize()
    axes.set_xlabel(f"{words} at {split.rpm:,.0f} rpm [{unit}]{cut}")
    axes.grid(axis="x", alpha=0.3)
    axes.set_axisbelow(True)
    return figure


def _as_difference(kind: str) -> str:
    return {"pressure": "pressure_difference", "temperature": "temperature_difference"}.get(
        kind, kind
    )
