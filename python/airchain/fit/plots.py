"""Pictures of a fit, a prediction, a comparison and a difference."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..base.speeds import RPM
from ..chain.level_looks import looks_of
from ..measured.quantities import QUANTITIES
from ..shown.plot_style import COLOURS, MARKERS, look, new_figure, stroke
from ..units.convert import display, unit_label
from .fitted_chain import NINETY, FittedChain

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .comparison import Comparison
    from .difference import Difference
    from .prediction import Prediction

Array = NDArray[np.float64]
#: Crosses that a line of readings is told apart by, at most about.
_MOST_CROSSES = 24
_SHOWN = {"power": "power", "torque": "torque", "boost": "pressure_difference"}


def _panels(axes: Axes | Sequence[Axes] | None, rows: int, width: float,
            height: float) -> tuple[Figure, list[Axes]]:  # fmt: skip
    """Return the axes to draw in, one a panel, and their figure; a new one where none are given."""
    if axes is None:
        figure, new = new_figure(width, height, rows)
        return figure, list(np.atleast_1d(new))
    given = list(np.atleast_1d(np.asarray(axes, dtype=object)))
    if len(given) != rows:
        raise refusal("plot", "axes", f"{len(given)} axes", f"be {rows}, one a panel")
    return given[0].get_figure(), given


def plot_values(fits: Sequence[FittedChain], axes: Axes | None, system: str,
                title: str | None) -> Figure:  # fmt: skip
    """Draw every unknown with its interval beside what the build is trusted for."""
    names = list(dict.fromkeys(name for fit in fits for name in fit.names))
    words = {u.name: u.words for fit in fits for u in fit.unknowns}
    figure, (panel,) = _panels(axes, 1, 7.0, 1.2 + 0.5 * len(names))
    for i, fit in enumerate(fits):
        for unknown in fit.unknowns:
            row = names.index(unknown.name) + 0.22 * i
            half = fit.before(unknown.name)
            panel.barh(row, 2.0 * half, left=unknown.mean - half, height=0.5, color="#dddddd",
                       zorder=0)  # fmt: skip
            low, high = fit.interval(unknown.name)
            value = float(fit.values[fit.names.index(unknown.name)])
            panel.plot([low, high], [row, row], color=COLOURS[i % len(COLOURS)], linewidth=2.0)
            panel.plot(value, row, marker=MARKERS[i % len(MARKERS)], linestyle="none",
                       color=COLOURS[i % len(COLOURS)])  # fmt: skip
    panel.set_yticks(range(len(names)), [words[name] for name in names])
    panel.invert_yaxis()
    panel.grid(axis="x", alpha=0.3)
    panel.set_axisbelow(True)
    panel.set_xlabel("Factor on the build's figure; grey: 90 % of what the build is trusted for")
    panel.set_title(title or f"{fits[0].build.name}, fitted")
    return figure


def plot_residuals(fits: Sequence[FittedChain], axes: Sequence[Axes] | None, system: str,
                   title: str | None) -> Figure:  # fmt: skip
    """Draw readings less fitted chain against engine speed, one panel a channel."""
    channels = list(dict.fromkeys(name for fit in fits for name in fit.channels))
    figure, panels = _panels(axes, len(channels), 7.0, 1.0 + 1.5 * len(channels))
    for panel, name in zip(panels, channels, strict=True):
        kind = _as_difference(QUANTITIES[name].kind)
        lines = [line for fit in fits for line in fit.residuals(name).items()]
        for i, (label, (rpm, values)) in enumerate(lines):
            panel.plot(rpm, display(values, kind, system)[0], marker=MARKERS[i % len(MARKERS)],
                       markersize=2.5, linewidth=0.9, label=label, **look(i))  # fmt: skip
        panel.axhline(0.0, color="black", linewidth=0.7)
        words = QUANTITIES[name].words.replace("compressor ", "compressor\n")
        panel.set_ylabel(f"{words}\n[{unit_label(kind, system)}]", fontsize=8)
        panel.grid(alpha=0.3)
    panels[0].legend(fontsize=8)
    panels[0].set_title(title or "Readings less fitted chain")
    panels[-1].set_xlabel("Engine speed [rpm]")
    return figure


def plot_predictions(predictions: Sequence[Prediction], axes: Sequence[Axes] | None, system: str,
                     title: str | None) -> Figure:  # fmt: skip
    """Draw power, torque and boost with their 90 % bands, one panel each."""
    figure, panels = _panels(axes, len(_SHOWN), 7.0, 7.5)
    looks = looks_of(prediction.build for prediction in predictions)
    for i, prediction in zip(looks, predictions, strict=True):
        alone = len(predictions) == 1
        label = "predicted" if alone else prediction.title
        for panel, (name, kind) in zip(panels, _SHOWN.items(), strict=True):
            low, high = (display(edge, kind, system)[0] for edge in prediction.band(name))
            middle = display(prediction.get(name), kind, system)[0]
            text = "90 % band" if alone else None
            panel.fill_between(prediction.rpm, low, high, color=COLOURS[i % len(COLOURS)],
                               alpha=0.25, linewidth=0.0, label=text)  # fmt: skip
            panel.plot(prediction.rpm, middle, **stroke(i), label=label)
    for panel, (name, kind) in zip(panels, _SHOWN.items(), strict=True):
        panel.set_ylabel(f"{name.capitalize()} [{unit_label(kind, system)}]")
        panel.grid(alpha=0.3)
    panels[0].legend()
    panels[0].set_title(title or predictions[0].title)
    panels[-1].set_xlabel("Engine speed [rpm]")
    return figure


def plot_comparisons(comparisons: Sequence[Comparison], axes: Sequence[Axes] | None, system: str,
                     title: str | None) -> Figure:  # fmt: skip
    """Draw what was predicted, the 90 % band of a row read, the readings, and where they differ.

    Band and shading are those that the verdict judges by.
    """
    figure, panels = _panels(axes, len(_SHOWN), 7.0, 7.5)
    looks = looks_of(comparison.prediction.build for comparison in comparisons)
    for look_of_it, comparison in zip(looks, comparisons, strict=True):
        for panel, (name, kind) in zip(panels, _SHOWN.items(), strict=True):
            channel = "plenum_pressure" if name == "boost" else "torque"
            if channel in comparison.answers:
                drawn = _Compared.of(comparison, name, channel, kind, system)
                drawn.draw(panel, look_of_it, alone=len(comparisons) == 1)
    for panel, (name, kind) in zip(panels, _SHOWN.items(), strict=True):
        panel.set_ylabel(f"{name.capitalize()} [{unit_label(kind, system)}]")
        panel.grid(alpha=0.3)
    panels[0].legend()
    panels[0].set_title(title or comparisons[0].verdict, fontsize=10)
    panels[-1].set_xlabel("Engine speed [rpm]")
    return figure


@dataclass(frozen=True)
class _Compared:
    """One channel of a comparison as it is drawn, in the units shown; faults where they lie."""

    rpm: Array
    expected: Array
    low: Array
    high: Array
    read: Array
    faults: tuple[str, ...]
    stretch: tuple[float, float]

    @classmethod
    def of(cls, comparison: Comparison, name: str, channel: str, kind: str,
           system: str) -> _Compared:  # fmt: skip
        """Return a panel's quantity: torque, or power that follows from it, or boost."""
        rpm, expected = comparison.rpm, comparison.expected[channel]
        factor = rpm * RPM if name == "power" else 1.0
        ambient = float(comparison.prediction.build.chain.ambient.pressure)
        less = ambient if name == "boost" else 0.0
        half = NINETY * comparison.spread[channel]
        low, middle, high, read = (
            np.asarray(display((values - less) * factor, kind, system)[0])
            for values in (expected - half, expected, expected + half,
                           expected + comparison.differences[channel])
        )  # fmt: skip
        answers = comparison.answers[channel]
        faults = tuple(answers.faults(comparison.level))
        return cls(rpm, middle, low, high, read, faults, (answers.low, answers.high))

    def draw(self, panel: Axes, index: int, alone: bool) -> None:
        """Draw it: a line with its band, crosses for readings, black where they are alone."""
        colour = COLOURS[index % len(COLOURS)]
        dots = "black" if alone else colour
        panel.fill_between(self.rpm, self.low, self.high, color=colour, alpha=0.25, linewidth=0.0,
                           label="90 % band of a row")  # fmt: skip
        panel.plot(self.rpm, self.expected, **stroke(index), label="predicted")
        every = max(1, self.rpm.size // _MOST_CROSSES)
        panel.plot(self.rpm, self.read, "x", markersize=4.5, color=dots, label="measured",
                   markevery=every, zorder=4)  # fmt: skip
        if "shape" in self.faults:
            panel.axvspan(*self.stretch, color="#999999", alpha=0.25, label="another shape here")
        rest = [fault for fault in self.faults if fault != "shape"]
        if rest:
            panel.annotate(" and ".join(rest), (0.02, 0.05), xycoords="axes fraction",
                           color=dots, fontsize=9)  # fmt: skip


def plot_difference(splits: Sequence[Difference], axes: Sequence[Axes] | None, system: str,
                    title: str | None, budget: bool = False) -> Figure:  # fmt: skip
    """Draw how differences build up, factor by factor or along the power budget, one panel each."""
    if budget:
        if any(split.column != "power" for split in splits):
            raise refusal("plot_budget", "column", splits[0].column, "be power")
        splits = [replace(split, shares=split.effects) for split in splits]
    longest = max(len(split.shares) for split in splits)
    height = (1.6 + 0.42 * (longest + 3)) * len(splits)
    figure, panels = _panels(axes, len(splits), 8.0, height)
    for panel, split in zip(panels, splits, strict=True):
        _waterfall(panel, split, system)
    what = "Where the power goes" if budget else "What makes the difference"
    panels[0].set_title(title or f"{what}: {splits[0].names[0]} to {splits[0].names[1]}")
    return figure


def _waterfall(axes: Axes, split: Difference, system: str) -> None:
    """Draw one difference as bars from the first build down to the second."""
    steps = {**split.shares, **({"not explained": split.residual} if split.residual else {})}
    edges = [split.first]
    for step in steps.values():
        edges.append(edges[-1] + step)
    inner = list(pairwise(edges))
    bars = [(0.0, split.first), *inner, (0.0, split.second)]
    for row, (start, end) in enumerate(bars):
        low, high = (float(display(v, split.kind, system)[0]) for v in (start, end))
        whole = row in (0, len(bars) - 1)
        colour = "#777777" if whole else COLOURS[0] if high >= low else COLOURS[1]
        hatch = None if whole or high >= low else "///"
        axes.barh(row, high - low, left=low, color=colour, hatch=hatch, edgecolor="white")
        text = f"{high:,.1f}" if whole else f"{high - low:+,.1f}"
        axes.annotate(text, (max(low, high), row), (4, 0), textcoords="offset points", va="center",
                      fontsize=8)  # fmt: skip
    labels = [split.names[0], *steps, split.names[1]]
    axes.set_yticks(range(len(labels)), labels)
    axes.invert_yaxis()
    axes.margins(x=0.12)
    cut = _cut_axis(axes, [float(display(v, split.kind, system)[0]) for b in inner for v in b])
    words = split.column.replace("_", " ").capitalize()
    unit = unit_label(split.kind, system)
    axes.set_xlabel(f"{words} at {split.rpm:,.0f} rpm [{unit}]{cut}")
    axes.grid(axis="x", alpha=0.3)
    axes.set_axisbelow(True)


def _cut_axis(axes: Axes, ends: Sequence[float]) -> str:
    """Start the axis near the steps, so that they can be seen; return words that say so."""
    if not ends or min(ends) <= 0.0:
        return ""
    span = max(ends) - min(ends)
    start = max(0.0, min(ends) - 0.6 * span)
    axes.set_xlim(start, max(ends) + 0.25 * span)
    return ", axis cut" if start > 0.0 else ""


def _as_difference(kind: str) -> str:
    return {"pressure": "pressure_difference", "temperature": "temperature_difference"}.get(
        kind, kind
    )
