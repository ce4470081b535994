"""Pictures of measured pulls."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from ..base.errors import refusal
from ..chain.plot_map import draw_map
from ..shown.columns import in_display
from ..shown.plot_style import MARKERS, axis_label, look, new_figure
from ..units.convert import display, unit_label
from .bases import basis_words
from .quantities import kind_of, words_for

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ..chain.build import Build
    from .measured import MeasuredPull

# Where a horsepower is a pound-foot: 550 ft lbf/s make one, so at 550 rad/s [5252 rpm].
_CROSSING = 550.0
_MOST_MARKS = 24
#: What is drawn below power and torque unless other quantities are asked for.
SHOWN = ("boost", "plenum_temperature")


def draw_pulls(
    pulls: Mapping[str, MeasuredPull],
    axes: Sequence[Axes] | None,
    system: str,
    title: str | None,
    columns: Sequence[str],
    looks: Sequence[int] = (),
) -> Figure:
    """Draw pulls over engine speed, see `MeasuredPull.plot`; looks in their order unless given."""
    looks = looks or range(len(pulls))
    held = [n for n in columns if kind_of(n) and any(n in pull for pull in pulls.values())]
    if not any("torque" in pull for pull in pulls.values()):
        raise refusal("plot", "pulls", "without torque or power", "hold one of them")
    panels = _panels(held) if axes is None else list(axes)
    if len(panels) != 1 + len(held):
        rule = f"be {1 + len(held)}: one for power and torque, and one for each quantity below"
        raise refusal("plot", "axes", str(len(panels)), rule)
    _torque_and_power(panels[0], pulls, system, looks)
    for panel, name in zip(panels[1:], held, strict=True):
        for index, pull in zip(looks, pulls.values(), strict=True):
            if name in pull:
                values = display(pull[name], kind_of(name), system)[0]
                panel.plot(pull.rpm, values, **look(index), linewidth=1.5, **_marks(pull, index))
        unit, words = unit_label(kind_of(name), system), words_for(name).capitalize()
        panel.set_ylabel(f"{words} [{unit}]" if unit else words)
        panel.grid(alpha=0.3)
    panels[-1].set_xlabel("Engine speed [rpm]")
    words = "Torque and power as measured" if axes is None else ""
    return _titled(panels[0], words if title is None else title)


def _marks(pull: MeasuredPull, index: int) -> dict[str, Any]:
    """Markers of a line of readings, a few of them."""
    every = max(1, pull.rpm.size // _MOST_MARKS)
    return {"marker": MARKERS[index % len(MARKERS)], "markersize": 4, "markevery": every}


def _panels(held: Sequence[str]) -> list[Axes]:
    """Return panels of a new figure, that of power and torque twice as high as the others."""
    _, panels = new_figure(7.2, 4.4 + 1.9 * len(held), 1 + len(held))
    several = list(np.atleast_1d(panels))
    if held:
        several[0].get_gridspec().set_height_ratios([2.0] + [1.0] * len(held))
    return several


def _titled(panel: Axes, title: str | None) -> Figure:
    """Return the whole figure of a panel, with a title over the panel where there is one."""
    if title:
        panel.set_title(title)
    return panel.figure.figure


def _torque_and_power(
    axes: Axes, series: Mapping[str, MeasuredPull], system: str, looks: Sequence[int]
) -> None:
    """Draw torque on the left and power on the right scale, which share their zero."""
    right = axes.twinx()
    most = 0.0
    for index, (text, pull) in zip(looks, series.items(), strict=True):
        if "torque" not in pull:
            continue
        torque, power = pull["torque"], pull["power"]
        marks = _marks(pull, index)
        axes.plot(
            pull.rpm, display(torque, "torque", system)[0], **look(index), linewidth=1.2, **marks,
            label=f"{text}, {basis_words(pull.power_basis)}",
        )  # fmt: skip
        shown = display(power, "power", system)[0]
        right.plot(pull.rpm, shown, **look(index), linewidth=2.2, **marks)
        highest = (np.nanmax(torque), np.nanmax(power) / _CROSSING)
        most = max(most, *map(float, highest))
    top = 1.08 * most
    axes.set_ylim(0.0, float(display(top, "torque", system)[0]))
    right.set_ylim(0.0, float(display(top * _CROSSING, "power", system)[0]))
    axes.set_ylabel(f"Torque [{unit_label('torque', system)}], thin lines")
    right.set_ylabel(f"Power [{unit_label('power', system)}], thick lines")
    crossing = _CROSSING * 30.0 / np.pi
    axes.axvline(crossing, color="0.5", linewidth=0.8, linestyle=":")
    axes.annotate(
        f" {crossing:.0f} rpm", (crossing, 1.0), xycoords=("data", "axes fraction"), fontsize=7,
        va="top", color="0.3", xytext=(0, -3), textcoords="offset points",
    )  # fmt: skip
    axes.grid(alpha=0.3)
    axes.legend(fontsize=8, loc="lower right")


def draw_on_map(
    pulls: Mapping[str, MeasuredPull],
    build: Build,
    axes: Axes | None,
    system: str,
    title: str | None,
) -> Figure:
    """Draw pulls on the build's compressor map, see `MeasuredPull.plot_map`."""
    if build.chain.compressor is None:
        raise refusal("plot_map", "build", "naturally aspirated", "have a compressor")
    derived_by_name = {text: pull.derive(build) for text, pull in pulls.items()}
    placed = {
        text: derived
        for text, derived in derived_by_name.items()
        if "corrected_flow" in derived and "pressure_ratio" in derived
    }
    if not placed:
        why = next(iter(derived_by_name.values())).lacking
        hint = why.get("pressure_ratio") or why.get("corrected_flow", "")
        raise refusal("plot_map", "pulls", f"{len(pulls)} pulls", "tell their place", hint)
    panel = new_figure(7.6, 5.8)[1] if axes is None else axes
    draw_map(panel, build.chain.compressor, system)
    for index, (text, derived) in enumerate(placed.items()):
        flow = in_display("corrected_flow", derived["corrected_flow"], system)
        panel.plot(flow, derived["pressure_ratio"], **look(index), linewidth=1.4, label=text,
                   zorder=3, **_marks(pulls[text], index))  # fmt: skip
    panel.set_xlabel(axis_label("corrected_flow", system))
    panel.set_ylabel("Pressure ratio, as measured")
    panel.set_xlim(left=0.0)
    panel.set_ylim(bottom=1.0)
    # A pull that has no place on the map is named, never left out in silence.
    for text in (text for text in derived_by_name if text not in placed):
        panel.plot([], [], " ", label=f"{text}: not drawn, its place is not known")
    panel.legend(fontsize=8, loc="upper left")
    return _titled(panel, title)
