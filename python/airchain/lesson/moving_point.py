"""The operating point as it walks over the compressor's map while the engine speeds up."""

from __future__ import annotations

import base64
import io
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ..base.errors import refusal
from ..chain.pull import Pull
from ..shown.columns import in_display
from ..shown.plot_style import COLOURS
from ..shown.tables import escaped

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["MovingPoint"]

#: How long one walk takes [s], and how often it is walked.
_SECONDS, _TIMES = 8, 3


@dataclass(frozen=True, eq=False, repr=False)
class MovingPoint:
    """A pull's point on its compressor's map, moving from the lowest speed to the highest.

    Attributes
    ----------
    pull : Pull
        The pull.
    system : str
        ``"trade"`` or ``"si"``.
    """

    pull: Pull
    system: str

    def __post_init__(self) -> None:
        if not self.pull.supercharged:
            rule = "have a compressor"
            raise refusal("moving_point", "build", "naturally aspirated", rule)

    @property
    def words(self) -> str:
        """What is seen, in words."""
        flow = in_display("corrected_flow", self.pull["corrected_flow"], self.system)
        ratio, rpm = self.pull["pressure_ratio"], self.pull.rpm
        good = np.flatnonzero(self.pull.matched)
        if not good.size:
            return "No point was solved."
        a, b = int(good[0]), int(good[-1])
        unit = "lb/min" if self.system == "trade" else "kg/s"
        return (
            f"From {rpm[a]:,.0f} to {rpm[b]:,.0f} rpm the point moves from {flow[a]:,.3g} {unit} "
            "at "
            f"a pressure ratio of {ratio[a]:.2f} to {flow[b]:,.3g} {unit} at {ratio[b]:.2f}: up "
            "and to the right, with flow and speed together."
        )

    def plot(self) -> Figure:
        """Draw the map with the whole operating line, which does not move.

        Returns
        -------
        matplotlib.figure.Figure
            The picture.
        """
        return self.pull.plot_map(system=self.system)

    def svg(self) -> str:
        """Return the map as SVG with a point that moves by itself.

        Returns
        -------
        str
            The picture; it moves three times and then stands at the highest speed.
        """
        figure = self.plot()
        axes = figure.axes[0]
        good = np.flatnonzero(self.pull.matched)
        flow = in_display("corrected_flow", self.pull["corrected_flow"], self.system)[good]
        ratio, rpm = self.pull["pressure_ratio"][good], self.pull.rpm[good]
        target = io.StringIO()
        figure.savefig(target, format="svg")
        svg = target.getvalue()
        # The layout is settled by drawing; user units of the file are points from the top left.
        height = float(figure.get_size_inches()[1]) * 72.0
        pixels = axes.transData.transform(np.column_stack([flow, ratio])) * 72.0 / figure.dpi
        x, y = pixels[:, 0], height - pixels[:, 1]
        steps = f'dur="{_SECONDS}s" repeatCount="{_TIMES}" fill="freeze"'
        moves = [
            f'<animate attributeName="{name}" values="{";".join(values)}" {steps}/>'
            for name, values in (("cx", [f"{v:.1f}" for v in x]), ("cy", [f"{v:.1f}" for v in y]))
        ]
        dot = (
            f'<circle cx="{x[-1]:.1f}" cy="{y[-1]:.1f}" r="7" fill="{COLOURS[1]}" stroke="#000">'
            f"{''.join(moves)}</circle>"
        )
        box = axes.get_window_extent()
        left, top = (
            box.x0 * 72.0 / figure.dpi + 10.0,
            height - (0.45 * box.y0 + 0.55 * box.y1) * 72.0 / figure.dpi,
        )
        label = "".join(self._label(i, rpm, left, top) for i in range(rpm.size))
        svg = svg[svg.index("<svg") :]
        return re.sub(r"</svg>\s*$", lambda _: f"{dot}{label}</svg>", svg)

    def _label(self, index: int, rpm: np.ndarray, left: float, top: float) -> str:
        """The engine speed of one step, seen while the point is near it."""
        last = index == rpm.size - 1
        shown = ["hidden"] * rpm.size
        shown[index] = "visible"
        ends = f'dur="{_SECONDS}s" repeatCount="{_TIMES}" calcMode="discrete" fill="freeze"'
        return (
            f'<text x="{left:.0f}" y="{top:.0f}" font-size="15" '
            f'font-family="sans-serif" visibility="{"visible" if last else "hidden"}">'
            f"{rpm[index]:,.0f} rpm"
            f'<animate attributeName="visibility" values="{";".join(shown)}" {ends}/></text>'
        )

    def __repr__(self) -> str:
        return self.words

    def _repr_html_(self) -> str:
        data = base64.b64encode(self.svg().encode()).decode()
        words = escaped(self.words)
        return (
            f'<img alt="{words}" style="max-width:100%" src="data:image/svg+xml;base64,{data}">'
            f"<p>{words} Run the cell again to see it once more.</p>"
        )
