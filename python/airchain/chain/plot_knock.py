"""The picture of knock margins over engine speed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, MARKERS, look, plain

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .matched_cycles import KnockMargins


def draw_margins(
    several: Sequence[KnockMargins], axes: Axes | None, system: str, title: str | None
) -> Figure:
    """Draw how much earlier each level's spark may come before it knocks, see `KnockMargins`."""
    figure, panels = panels_for(axes, (7.2, 4.2))
    panel, index = panels[0], 0
    for margins in several:
        for level, columns in margins.levels.items():
            name = level if len(several) == 1 else f"{margins.build.name}: {level}"
            values = np.rad2deg(columns["own_margin"])
            panel.plot(columns["rpm"], values, **look(index), linewidth=1.6, label=plain(name),
                       marker=MARKERS[index % len(MARKERS)], markersize=3.6)  # fmt: skip
            held = np.asarray(columns["extrapolated"], dtype=bool)
            panel.plot(columns["rpm"][held], values[held], MARKERS[index % len(MARKERS)],
                       markersize=3.6, markerfacecolor="white", linestyle="none", zorder=4,
                       color=COLOURS[index % len(COLOURS)])  # fmt: skip
            index += 1
    panel.axhline(0.0, color="0.4", linewidth=0.8)
    panel.set_xlabel("Engine speed [rpm]")
    panel.set_ylabel("Knock margin, estimated [deg of phasing]")
    panel.grid(alpha=0.3)
    panel.legend(fontsize=8)
    foot = "below 0 the charge knocks; hollow: the chain extrapolates there; no permission"
    head_and_foot(figure, panels, axes is None, title, foot)
    return figure
