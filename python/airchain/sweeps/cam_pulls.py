"""Pulls of one build with many camshafts: its table and its picture. Made by `cam_sweep`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..chain.air_power import air_power_notes
from ..chain.ladders import Step
from ..chain.plots import foot_of, told_of
from ..chain.pull import Pull
from ..chain.pull_knock import of_levels
from ..shown import statuses
from ..shown.columns import column, heading, label, shown
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import axis_label, draw_series, fit_legends
from ..shown.tables import Shown, Table
from ..shown.words import counted, listed

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ..chain.build import Build

__all__ = ["CamPulls"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False, repr=False)
class CamPulls(Shown):
    """Pulls of one build with many camshafts at some levels; made by `cam_sweep`.

    Attributes
    ----------
    build : Build
        The build before its camshaft was varied, breathing by its cycles.
    rpm : ndarray
        Engine speeds [rpm].
    levels : tuple of str
        Names of the levels.
    builds : mapping
        The build with each camshaft, by the camshaft's name.
    pulls : mapping
        Pulls by level, then by camshaft.
    """

    build: Build
    rpm: Array
    levels: tuple[str, ...]
    builds: Mapping[str, Build]
    pulls: Mapping[str, Mapping[str, Pull]]

    @property
    def cams(self) -> list[str]:
        """Names of the camshafts, such as ``"duration 230 deg"``."""
        return list(self.builds)

    def __getitem__(self, level: str) -> Mapping[str, Pull]:
        if level not in self.pulls:
            rule = f"be one of {', '.join(self.levels)}"
            raise refusal("CamPulls", "level", quoted(level), rule, "cam_sweep(..., levels=...)")
        return self.pulls[level]

    def of_cam(self, name: str) -> Array:
        """Return a column by camshaft.

        Parameters
        ----------
        name : str
            The column, such as ``"power"``.

        Returns
        -------
        ndarray
            Its values [SI]: camshafts in the order of `cams`, then levels, then speeds.
        """
        column(name)
        return np.array([[self.pulls[x][cam][name] for x in self.levels] for cam in self.cams])

    @property
    def _every(self) -> dict[str, Pull]:
        """Every pull by level and camshaft in words."""
        return {
            f"{level}, {cam}": pull
            for level, by_cam in self.pulls.items()
            for cam, pull in by_cam.items()
        }

    @property
    def verdict(self) -> str:
        """How many camshafts and levels, how many points were solved, and what knocks."""
        every = self._every
        status, flags = (
            np.concatenate([pull.columns[name] for pull in every.values()])
            for name in ("status", "flags")
        )
        cams = f"{counted(len(self.builds), 'camshaft')} at {counted(len(self.levels), 'level')}"
        knock = of_levels({name: pull.knock for name, pull in every.items()})
        return f"{self.build.name}: {cams}. {statuses.outcome(status, flags)} {knock}"

    @property
    def notes(self) -> list[str]:
        """What was held, and what is to be said of the points."""
        pulls = list(self._every.values())
        told = dict.fromkeys(note for pull in pulls for note in pull.notes)
        # What power costs of the air is much the same with every camshaft: the last one tells it.
        for note in {note for pull in pulls[:-1] for note in air_power_notes(pull)}:
            if note not in pulls[-1].notes:
                del told[note]
        return [
            "Every camshaft finds its own boost: the drive turns as before, and one that takes "
            "more air gets less pressure.",
            *told,
        ]

    def plot(
        self, axes: Axes | Sequence[Axes] | None = None, *, system: str = "trade",
        title: str | None = None, columns: Sequence[str] = ("boost", "torque", "power"),
        levels: Sequence[str] = (),
    ) -> Figure:  # fmt: skip
        """Draw columns over engine speed by camshaft: a row of panels a column, one a level.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw, row by row: for each of `columns`, one for each level.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        columns : sequence of str
            What is drawn.
        levels : sequence of str
            Which levels; all without it.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. Hollow markers are extrapolated points, gaps have no answer.

        Raises
        ------
        InputError
            There are more than seven camshafts, or no such column or level.
        """
        if len(self.builds) > _DRAWN:
            rule = f"be {_DRAWN} at most, to be told apart"
            raise refusal("plot", "camshafts", str(len(self.builds)), rule, "vary fewer values")
        chosen = {level: self[level] for level in (levels or self.levels)}
        return _drawn(chosen, axes, system, title, columns)

    def _tables(self, system: str) -> list[Table]:
        rows = [
            [level, cam, *_cells(pull, system)]
            for level, by_cam in self.pulls.items()
            for cam, pull in by_cam.items()
        ]
        headings = ["level", "camshaft"]
        units = ["", ""]
        for name in ("torque", "power"):
            headings += [f"peak {heading(name)}", "at"]
            units += [label(name, system), "rpm"]
        last = [("mean torque", "torque"), ("boost at redline", "boost"), ("air there", "air_flow")]
        headings += [words for words, _ in last]
        units += [label(name, system) for _, name in last]
        headings += ["least surge margin", "least knock margin"]
        units += ["", "deg"]
        key = "Mean torque is that of all speeds; redline stands for the highest speed solved."
        return [Table(headings, units, rows, key=key, flush=(0, 1))]


#: Lines that a reader tells apart.
_DRAWN = 7


def _cells(pull: Pull, system: str) -> list[str]:
    """Peaks, mean, the end and the least margins of one pull."""
    cells = []
    for name in ("torque", "power"):
        value, rpm = pull.peak(name)
        cells += [shown(name, value, system), "–" if np.isnan(rpm) else f"{rpm:,.0f}"]
    torque = pull["torque"][pull.matched]
    cells.append(shown("torque", float(np.mean(torque)) if torque.size else np.nan, system))
    cells += [shown(name, float(pull[name][-1]), system) for name in ("boost", "air_flow")]
    step = Step("", pull)
    return [*cells, step.margin("surge_margin"), step.knock_margin]


def _one_scale(panels: Sequence[Axes]) -> None:
    """Let panels side by side be read against one another."""
    ends = [panel.get_ylim() for panel in panels]
    for place, panel in enumerate(panels):
        panel.set_ylim(min(low for low, _ in ends), max(high for _, high in ends))
        panel.tick_params(labelleft=place == 0)


def _drawn(by_level: Mapping[str, Mapping[str, Pull]], axes: Axes | Sequence[Axes] | None,
           system: str, title: str | None, names: Sequence[str]) -> Figure:  # fmt: skip
    for name in names:
        column(name, "plot")
    wide, rows = len(by_level), len(names)
    size = max(4.6, 1.0 + 2.15 * wide), 1.1 + 2.0 * rows
    figure, panels = panels_for(axes, size, rows, wide)
    for place, (level, by_cam) in enumerate(by_level.items()):
        for down, name in enumerate(names):
            panel = panels[down * wide + place]
            for index, (cam, pull) in enumerate(by_cam.items()):
                draw_series(panel, pull.rpm, pull, name, index, system, cam)
            panel.grid(alpha=0.3)
            if place == 0:
                panel.set_ylabel(axis_label(name, system))
        panels[place].set_title(level, fontsize=9)
        panels[(rows - 1) * wide + place].set_xlabel("Engine speed [rpm]")
    for down in range(rows):
        _one_scale(panels[down * wide : (down + 1) * wide])
    if axes is None:
        for panel in panels:
            panel.tick_params(labelsize=8)
            panel.locator_params(axis="x", nbins=4)
        lines = panels[0].get_legend_handles_labels()
        figure.legend(*lines, fontsize=8, ncols=4, loc="outside upper center")
        fit_legends(figure)
    else:
        panels[0].legend(fontsize=8)
    every = [pull for by_cam in by_level.values() for pull in by_cam.values()]
    words = told_of(
        (pull.build for pull in every), [f"{listed(list(map(heading, names)))} by camshaft"]
    )
    head_and_foot(figure, panels, axes is None, title, foot_of(every), words)
    return figure
