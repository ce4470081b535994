"""The picture of knock margins over engine speed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..cylinder.spark_searches import bounds_of, margin_of
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import COLOURS, MARKERS, plain, stroke
from .level_looks import looks_by_name
from .plots import told_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .knock_margins import KnockMargins


def draw_margins(
    several: Sequence[KnockMargins], axes: Axes | None, system: str, title: str | None
) -> Figure:
    """Draw how much earlier each level's spark may come before it knocks, see `KnockMargins`."""
    figure, panels = panels_for(axes, (7.2, 4.2))
    panel = panels[0]
    levels = [(margins, *one) for margins in several for one in margins.levels.items()]
    looks = looks_by_name([name for _, name, _ in levels], several[0].build)
    for index, (margins, level, columns) in zip(looks, levels, strict=True):
        name = level if len(several) == 1 else f"{margins.build.name}: {level}"
        values = np.rad2deg(margin_of(columns, columns["own_half_burned"]))
        panel.plot(columns["rpm"], values, **stroke(index), label=plain(name),
                   marker=MARKERS[index % len(MARKERS)], markersize=3.6)  # fmt: skip
        held = np.asarray(columns["extrapolated"], dtype=bool)
        panel.plot(columns["rpm"][held], values[held], MARKERS[index % len(MARKERS)],
                   markersize=3.6, markerfacecolor="white", linestyle="none", zorder=4,
                   color=COLOURS[index % len(COLOURS)])  # fmt: skip
        least = bounds_of(columns)  # an arrow up: the margin is at least that
        panel.plot(columns["rpm"][least], values[least], marker=6, markersize=9, linestyle="none",
                   color=COLOURS[index % len(COLOURS)], zorder=3)  # fmt: skip
    panel.axhline(0.0, color="0.4", linewidth=0.8)
    panel.set_xlabel("Engine speed [rpm]")
    panel.set_ylabel("Knock margin, estimated [deg of phasing]")
    panel.grid(alpha=0.3)
    panel.legend(fontsize=8)
    foot = ("below 0 the charge knocks; arrow: at least that; hollow: the chain extrapolates; "
            "no permission")  # fmt: skip
    words = told_of((one.build for one in several), ["knock margin of every level, estimated"])
    head_and_foot(figure, panels, axes is None, title, foot, words)
    return figure
