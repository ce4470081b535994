"""The picture of runs one after another: charge, water and ice over time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ..shown.columns import in_display, label
from ..shown.panels import head_and_foot
from ..shown.plot_style import axis_label, new_figure, stroke
from .plots import told_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .run_sequence import PhaseResult, RunSequence


def draw_runs(sequence: RunSequence, system: str, title: str | None) -> Figure:
    """Draw charge and water temperature, and ice where there is a tank; see `RunSequence`."""
    tank = sequence.phases[0].before is not None
    figure, grid = new_figure(7.6, 5.4 if tank else 3.4, 2 if tank else 1)
    panels = list(np.atleast_1d(grid).ravel())
    _draw(panels[0], sequence, "charge_temperature", system, 0, "charge, at full power")
    if tank:
        _draw(panels[0], sequence, "coolant_temperature", system, 1, "water of the tank")
        _draw(panels[1], sequence, "ice_mass", system, 1, "")
        panels[1].set_ylabel(axis_label("ice_mass", system))
        panels[1].set_ylim(bottom=0.0)
    panels[0].set_ylabel(f"Temperature [{label('charge_temperature', system)}]")
    panels[0].legend(fontsize=8)
    for panel in panels:
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Time [s]")
    foot = "heat through the tank's walls is left out"
    words = told_of([sequence.build], ["charge and water temperature of runs one after another"])
    head_and_foot(figure, panels, True, title, foot, words)
    return figure


def _draw(panel: Axes, sequence: RunSequence, name: str, system: str, index: int,
          words: str) -> None:  # fmt: skip
    """One quantity over time; the charge's line breaks off at light load."""
    whole = name != "charge_temperature"
    times, values = [], []
    for one in sequence.phases:
        at, told = _of_tank(one, name) if whole else _of_pulls(one, name)
        times += at
        values += told if whole else [*told, float("nan")]
        if not whole:
            times.append(one.start + one.phase.time)
    shown = in_display(name, np.array(values), system)
    panel.plot(times, shown, **stroke(index), label=words or None)


def _of_pulls(one: PhaseResult, name: str) -> tuple[list[float], list[float]]:
    times, values, start = [], [], one.start
    for pull in one.pulls:
        times += (start + pull["time"]).tolist()
        values += pull[name].tolist()
        start += float(pull["time"][-1])
    return times, values


def _of_tank(one: PhaseResult, name: str) -> tuple[list[float], list[float]]:
    if one.pulls:
        return _of_pulls(one, name)
    state = {"coolant_temperature": "water_temperature"}.get(name, name)
    times = [one.start + time for time, _ in one.course]
    return times, [float(getattr(tank, state)) for _, tank in one.course]
