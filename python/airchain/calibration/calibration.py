"""One calibration of fuel and spark for all drive levels of a build."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..chain.build import Build
from ..chain.pull import Pull
from ..chain.worst_cylinders import WorstCylinders
from ..fit.reconciliation import Reconciliation
from ..measured.measured import MeasuredPull
from ..shown.folded import Folded
from ..shown.tables import Table
from ..shown.words import listed
from ..units.convert import display, from_si, unit_label
from ._coverage import KINDS, WORDS, Coverage
from ._cylinders import leanest, trim_tables
from ._paths import Path
from ._spark import Spark
from ._surface import Trim
from ._words import CAM_SPARK, SPARK
from ._work import share_of_best
from .agreement import Agreement, agreement_of
from .extension import NextRatio, next_ratio_of
from .files import write_calibration
from .plots import draw_coverage, draw_filling, draw_table
from .tables import CalibrationTable, CalibrationTables, axis_texts

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["Calibration"]

Array = NDArray[np.float64]
_ABREAST = 14  # columns that a page has room for


@dataclass(frozen=True, eq=False, repr=False)
class Calibration(Folded):
    """Fuel and spark for all levels, and how far to trust each cell. Made by `airchain.calibrate`.

    Attributes
    ----------
    build : Build
        The build; brought into agreement with pulls where a fit was given.
    pulls : mapping
        The computed pull of each level by its name.
    paths : sequence of Path
        The way of each level through the tables, computed ones first.
    data : CalibrationTables
        What is handed over.
    trim : Trim
        How the filling moves with plenum temperature.
    coverage : Coverage
        Where each cell comes from.
    fit : Reconciliation or None
        The fit that the tables are filled from.
    measured : mapping
        The measured pulls by level.
    spark : Spark or None
        Ignition and knock, of an engine with cams.
    cylinders : mapping
        The cylinders of every level; none where one stands for all, or no knock was asked for.
    """

    build: Build
    pulls: Mapping[str, Pull]
    paths: Sequence[Path]
    data: CalibrationTables
    trim: Trim
    coverage: Coverage
    fit: Reconciliation | None
    measured: Mapping[str, Sequence[MeasuredPull]]
    spark: Spark | None = None
    cylinders: Mapping[str, WorstCylinders] = field(default_factory=dict)

    def __getitem__(self, name: str) -> CalibrationTable:
        return self.data[name]

    @cached_property
    def agreement(self) -> Agreement:
        """How well each level's fuel follows from the others."""
        return agreement_of(self)

    def next_ratio(self, drive_ratio: float | None = None) -> NextRatio:
        """Return which cells a faster drive would reach, and how far they are extrapolated.

        Parameters
        ----------
        drive_ratio : float, optional
            Input shaft over crank speed [dimensionless]; without it the next pair of gears on the
            same centres, or 5 % more where the drive has none.

        Returns
        -------
        NextRatio
            The new cells, and the flags of that drive.

        Raises
        ------
        InputError
            The build has no compressor, or the ratio is not above all that were calibrated.
        """
        return next_ratio_of(self, drive_ratio)

    def torque_left(self, level: str) -> Array:
        """Return the torque a level leaves against its own best spark.

        Parameters
        ----------
        level : str
            The level.

        Returns
        -------
        ndarray
            Indicated torque lost along the level's pull [N m]; NaN where it has no answer. Knock
            may stand between the level and that torque.
        """
        pull = self.pulls[level]
        if self.spark is not None:
            one = self.spark.levels[level]
            left = np.interp(pull.rpm, one.rpm, one.torque_left)
            lacking: Array = left * self._indicated(pull)
            return lacking
        lost: Array = self._indicated(pull) * (1.0 / share_of_best(pull) - 1.0)
        return lost

    @staticmethod
    def _indicated(pull: Pull) -> Array:
        """Indicated torque along a pull [N m]."""
        size = pull.build.chain.engine.displacement
        torque: Array = pull["indicated_pressure"] * size / (4.0 * np.pi)
        return torque

    def write(
        self, folder: str | os.PathLike[str], pictures: Mapping[str, bytes] | None = None
    ) -> list[pathlib.Path]:
        """Write the tables as CSV and JSON; see `write_calibration`.

        Parameters
        ----------
        folder : str or path
            Where to; made if it is not there, replaced whole if it holds a calibration.
        pictures : mapping, optional
            PNG files to put beside the tables, by their names.

        Returns
        -------
        list of pathlib.Path
            The files.
        """
        return write_calibration(self.data, folder, pictures)

    def plot_coverage(
        self,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Calibration] = (),
    ) -> Figure:
        """Draw where each cell comes from, with each level's path through the table.

        Parameters
        ----------
        axes : Axes, optional
            One panel to draw in; a figure of its own without it.
        system : str
            ``"trade"`` or ``"si"``; the files have kPa in both.
        title : str, optional
            Title of the picture.
        beside : sequence of Calibration
            Further calibrations, whose paths are laid over this one's cells.

        Returns
        -------
        matplotlib.figure.Figure
            The figure: tints say where a cell comes from, lines with markers are
            levels, crosses measured ones.
        """
        return draw_coverage((self, *beside), axes, title, (), system)

    def plot_filling(
        self,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Calibration] = (),
        speeds: int = 6,
    ) -> Figure:
        """Draw volumetric efficiency on plenum density over plenum pressure at fixed speeds.

        Parameters
        ----------
        axes, title : Axes and str, optional
            One panel to draw in instead of a new figure, and what to write over it.
        system : str
            ``"trade"`` or ``"si"``.
        beside : sequence of Calibration
            Further calibrations, laid over this one with thinner lines.
        speeds : int
            How many engine speeds [dimensionless].

        Returns
        -------
        matplotlib.figure.Figure
            The figure: lines are the tables, full markers the computed levels, crosses measured
            ones, all brought to the tables' temperature. One smooth curve at each speed is what
            lets one calibration serve all levels.
        """
        return draw_filling((self, *beside), axes, speeds, title, system)

    def plot_table(
        self,
        name: str,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        paths: bool = False,
    ) -> Figure:
        """Draw one table as a map with labelled contours.

        Parameters
        ----------
        name : str
            The table, such as ``"injector_time"``.
        axes : Axes, optional
            One panel to draw in; a figure of its own without it.
        system : str
            ``"trade"`` or ``"si"``; the files have kPa in both.
        title : str, optional
            Title of the picture.
        paths : bool
            Whether to draw each level's path through the table.

        Returns
        -------
        matplotlib.figure.Figure
            The figure; of the knock margin the onset of knock is drawn thick.
        """
        return draw_table(self, name, axes, title, paths, system)

    @property
    def verdict(self) -> str:
        """How many cells there are and where they come from."""
        total = self.coverage.kinds.size
        parts = [f"{self.coverage.count(k)} {WORDS[k].split(',')[-1].strip()}" for k in KINDS
                 if self.coverage.count(k)]  # fmt: skip
        return (
            f"{self.data.name}: One calibration of {total} cells serves all levels. The cells are "
            f"{listed(parts)}."
        )

    @property
    def notes(self) -> list[str]:
        """What agrees, what is left out, and the cautions."""
        return [*self.agreement.notes, *self.data.notes]

    def _tables(self, system: str) -> list[Table]:
        tables = [self._levels(system), *self.agreement.tables(system)]
        for table in self.data.tables.values():
            tables += abreast(_shown(table))
        return [*tables, *self._trims(), *trim_tables(self.data.cylinders)]

    def _levels(self, system: str) -> Table:
        """What each level visits, and the torque it leaves."""
        rows, lean = [], ["–"] if self.cylinders else []
        for name, pull in self.pulls.items():
            path = next(p for p in self.paths if p.level == name and not p.measured)
            lost = self.torque_left(name)
            worst = int(np.nanargmax(lost)) if np.isfinite(lost).any() else -1
            share = 100.0 * lost[worst] / pull["torque"][worst] if worst >= 0 else np.nan
            spark = np.degrees([pull.build.chain.combustion.phasing_at(p) for p in path.pressure])
            rows.append([
                name,
                str(int(self.coverage.visits[path.name].sum())),
                _span(display(path.pressure, "pressure", system)[0], int(system != "si")),
                _span(from_si(path.temperature, "degC" if system == "si" else "degF"), 0),
                _span(spark, 1),
                *([leanest(self.cylinders[name])] if name in self.cylinders else lean),
                *self._knock(name),
                _number(from_si(lost[worst], "N m" if system == "si" else "lb ft"), 1),
                _number(share, 1),
            ])  # fmt: skip
        more = ["ignition"] if self.spark is not None else []
        headings = ["level", "cells", "plenum pressure", "plenum temperature", "half burned at",
                    *(["leanest lambda"] if self.cylinders else []), *more,
                    "knock margin", "torque left", "of its torque"]  # fmt: skip
        units = ["", "", *(unit_label(kind, system) for kind in ("pressure", "temperature")),
                 "deg", *([""] if self.cylinders else []), *(["deg"] * (1 + len(more))),
                 unit_label("torque", system), "%"]  # fmt: skip
        return Table(headings, units, rows, key=SPARK if self.spark is None else CAM_SPARK)

    def _knock(self, level: str) -> list[str]:
        """Ignition and least knock margin of a level, where the cylinder is known."""
        if self.spark is None:
            return ["not known"]
        one, doubt = self.spark.levels[level], np.degrees(self.spark.doubt)
        known = one.margin.size and np.isfinite(one.margin).all()
        least = f"est. {np.degrees(one.margin.min()):+.1f} ± {doubt:.0f}" if known else "not known"
        return [_span(np.degrees(one.advance), 1), least]

    def _trims(self) -> list[Table]:
        t = self.trim
        rows = [[f"{k - 273.15:.0f}", *(f"{v:.3f}" for v in row), f"{100 * s:.1f}"]
                for k, row, s in zip(t.temperature, t.factor, t.spread, strict=True)]  # fmt: skip
        across, _ = axis_texts(self.data.rpm, self.data.pressure)
        whole = Table(["filling at", *across, "cells differ by"],
                      ["degC", *(["rpm"] * len(across)), "%"], rows,
                      caption="Trims for charge temperature: factor on volumetric efficiency",
                      key="The tables hold at a plenum temperature of "
                      f"{t.reference - 273.15:.0f} degC. "
                      "A controller that reckons no density multiplies by that temperature over "
                      "the plenum's as well, both from absolute zero. That is the fuel trim of "
                      "the files.")  # fmt: skip
        return abreast(whole)


def _span(values: Array, decimals: int) -> str:
    if not np.isfinite(values).any():
        return "–"
    return f"{np.nanmin(values):.{decimals}f} to {np.nanmax(values):.{decimals}f}"


def _number(value: float, decimals: int) -> str:
    return "–" if np.isnan(value) else f"{value:.{decimals}f}"


def _shown(table: CalibrationTable) -> Table:
    across, down = axis_texts(table.rpm, table.pressure)
    rows = [[p, *(text or "–" for text in row)] for p, row in zip(down, table.texts, strict=True)]
    unit = "" if table.unit == "1" else f" [{table.unit}]"
    words = table.name.replace("_", " ")
    return Table([words, *across], ["kPa", *(["rpm"] * len(across))], rows[::-1],
                 caption=f"{words.capitalize()}{unit}: {table.words}")  # fmt: skip


def abreast(table: Table) -> list[Table]:
    """Split a table too wide for a page into some of like width; the first column leads each."""
    columns = len(table.headings) - 1
    parts = ceil(columns / _ABREAST)
    if parts == 1:
        return [table]
    width = ceil(columns / parts)
    parts_abreast = []
    for first in range(1, columns + 1, width):
        pick = [0, *range(first, min(first + width, columns + 1))]
        headings, units = [table.headings[i] for i in pick], [table.units[i] for i in pick]
        rows = [[row[i] for i in pick] for row in table.rows]
        parts_abreast.append(Table(headings, units, rows, caption=table.caption, key=table.key))
    return parts_abreast
