"""One calibration of fuel and spark for all drive levels of a build."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from .._errors import quoted, refusal
from .._tables import Table, Told
from ..fuelling._words import cautions
from ..pull import RPM
from ..pulls.measured import MeasuredPull
from ..reconciling.reconciliation import Reconciliation
from ..units import from_si, to_si
from . import _paths
from ._coverage import KINDS, WORDS, Coverage, coverage
from ._paths import Path
from ._surface import Trim, cells, trim_of
from ._words import NO_KNOCK, NOTES, SPARK
from .tables import CalibrationTable, CalibrationTables, axis_texts, check_axis

__all__ = ["Calibration", "calibrate"]

Array = NDArray[np.float64]
_RPM_STEP, _PRESSURE_STEP, _LOWEST = 500.0, 20e3, 40e3
#: How far above the highest pressure run the tables reach (common practice, no source).
_BEYOND = 1.1
_TRIM_TEMPERATURES = np.arange(263.15, 364.0, 10.0)


@dataclass(frozen=True, eq=False, repr=False)
class Calibration(Told):
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
    """

    build: Any
    pulls: Mapping[str, Any]
    paths: Sequence[Path]
    data: CalibrationTables
    trim: Trim
    coverage: Coverage
    fit: Reconciliation | None
    measured: Mapping[str, Sequence[MeasuredPull]]

    def __getitem__(self, name: str) -> CalibrationTable:
        return self.data[name]

    @cached_property
    def agreement(self) -> Any:
        """How well each level's fuel follows from the others; see `Agreement`."""
        from .agreement import agreement_of

        return agreement_of(self)

    def next_ratio(self, drive_ratio: float | None = None) -> Any:
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
        from .extension import next_ratio_of

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
        chain = pull.build.chain
        share = [chain.combustion.phasing_factor(chain.combustion.phasing_at(p))
                 for p in pull["plenum_pressure"]]  # fmt: skip
        work = pull["indicated_pressure"] * chain.engine.displacement / (4.0 * np.pi)
        lost: Array = work * (1.0 / np.array(share) - 1.0)
        return lost

    def write(self, folder: str | os.PathLike[str]) -> list[pathlib.Path]:
        """Write the tables as CSV and JSON; see `write_calibration`.

        Parameters
        ----------
        folder : str or path
            Where to; made if it is not there.

        Returns
        -------
        list of pathlib.Path
            The files.
        """
        from .files import write_calibration

        return write_calibration(self.data, folder)

    @property
    def verdict(self) -> str:
        """How many cells there are and where they come from."""
        total = self.coverage.kinds.size
        parts = [f"{self.coverage.count(k)} {WORDS[k].split(',')[-1].strip()}" for k in KINDS
                 if self.coverage.count(k)]  # fmt: skip
        return f"{self.data.name}, one calibration: {total} cells: {', '.join(parts)}"

    @property
    def notes(self) -> list[str]:
        """What agrees, what is left out, and the cautions."""
        return [*self.agreement.notes, *self.data.notes]

    def _tables(self, system: str) -> list[Table]:
        found = [self._levels(system), *self.agreement.tables(system)]
        found += [_shown(table) for table in self.data.tables.values()]
        return [*found, self._trims()]

    def _levels(self, system: str) -> Table:
        """What each level visits, and the torque it leaves."""
        rows = []
        for name, pull in self.pulls.items():
            path = next(p for p in self.paths if p.level == name and not p.measured)
            lost = self.torque_left(name)
            worst = int(np.nanargmax(lost)) if np.isfinite(lost).any() else -1
            share = 100.0 * lost[worst] / pull["torque"][worst] if worst >= 0 else np.nan
            spark = np.degrees([pull.build.chain.combustion.phasing_at(p) for p in path.pressure])
            rows.append([
                name,
                str(int(self.coverage.visits[path.name].sum())),
                _span(path.pressure / 1e3, 0),
                _span(from_si(path.temperature, "degC" if system == "si" else "degF"), 0),
                _span(spark, 1),
                _knock(pull),
                _number(from_si(lost[worst], "N m" if system == "si" else "lb ft"), 1),
                _number(share, 1),
            ])  # fmt: skip
        headings = ["level", "cells", "plenum pressure", "plenum temperature", "half burned at",
                    "knock margin", "torque left", "of its torque"]  # fmt: skip
        units = ["", "", "kPa", "degC" if system == "si" else "degF", "deg", "deg",
                 "N m" if system == "si" else "lb ft", "%"]  # fmt: skip
        return Table(headings, units, rows, key=SPARK)

    def _trims(self) -> Table:
        t = self.trim
        columns = zip(t.temperature, t.factor, t.fuel, t.spread, strict=True)
        rows = [[f"{k - 273.15:.0f}", f"{f:.4f}", f"{g:.4f}", f"{100 * s:.2f}", "not known"]
                for k, f, g, s in columns]  # fmt: skip
        headings = ["plenum temperature", "filling", "fuel", "cells differ by", "spark"]
        return Table(headings, ["degC", "× table", "× table", "%", "deg"], rows,
                     caption="Trims for charge temperature",
                     key=f"Tables hold at {t.reference - 273.15:.0f} degC. The fuel factor has the "
                     "density in it, for controllers that reckon none.")  # fmt: skip


def _knock(pull: Any) -> str:
    """Least knock margin of a level, where the chain has a knock model."""
    if "knock_margin" not in pull.columns:
        return "not known"
    values = np.degrees(np.asarray(pull.columns["knock_margin"])[pull.matched])
    return _number(values.min(), 1) if values.size and np.isfinite(values).all() else "not known"


def _span(values: Any, decimals: int) -> str:
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


def calibrate(
    build: Any,
    pulls: Mapping[str, Any] | None = None,
    rpm: Any = None,
    pressure: Any = None,
    lambda_target: Mapping[str, float] | None = None,
    reference_temperature: str | None = None,
) -> Calibration:
    """Make one calibration for all drive levels.

    Every cell is the engine of the chain at its engine speed and plenum pressure, at one plenum
    temperature; trims carry it to others. Paths of computed and measured pulls say where each cell
    comes from.

    Parameters
    ----------
    build : Build or Reconciliation
        The build, or a fit of it to pulls, whose chain then fills the tables.
    pulls : mapping, optional
        Measured pulls by level, one or a list each.
    rpm : array_like, optional
        Engine speeds of the tables [rpm]; every 500 rpm from 1000 rpm to redline without it.
    pressure : array_like or sequence of str, optional
        Absolute plenum pressures [Pa, or texts such as ``"100 kPa"``]; every 20 kPa from 40 kPa
        to a tenth above all levels without it.
    lambda_target : mapping, optional
        Lambda [dimensionless] by plenum pressure, such as ``{"60 kPa": 1.0, "110 kPa": 0.86}``,
        straight between; the build's own everywhere without it.
    reference_temperature : str, optional
        Plenum temperature of the tables; the middle of all levels, to 5 degC, without it.

    Returns
    -------
    Calibration
        Tables, trims, coverage and agreement.

    Raises
    ------
    InputError
        An axis does not rise, no level has an answer, no level passes the tables, or a pull names
        no level.
    """
    fit = build if isinstance(build, Reconciliation) else None
    base = fit.fitted_build() if fit is not None else build
    levels = list(base.levels) if base.supercharged and base.levels else [""]
    made = {}
    for name in levels:
        one = (fit.fitted_build(name) if fit is not None else base.level(name)) if name else base
        made[name or "as built"] = one.pull()
    given = _given(pulls, list(made))
    paths = [_paths.computed(name, pull) for name, pull in made.items()]
    paths += [_paths.measured(n, one, made[n].build) for n, many in given.items() for one in many]
    if not any(p.solved > 1 for p in paths):
        rule = "have solved points to calibrate"
        raise refusal(base.name, "levels", "no answer", rule, "see its ladder")
    return _made(base, made, paths, fit, given, _axes(base, paths, rpm, pressure),
                 lambda_target, reference_temperature)  # fmt: skip


def _made(base: Any, made: Mapping[str, Any], paths: list[Path], fit: Reconciliation | None,
          given: Mapping[str, list[MeasuredPull]], axes: tuple[Array, Array],
          lambda_target: Mapping[str, float] | None, typed: str | None) -> Calibration:  # fmt: skip
    rpm, pressure = axes
    reference = _reference(paths, typed)
    excess = _lambdas(base, pressure, lambda_target)
    grid = cells(base.chain, rpm, pressure, reference, excess)
    found = coverage(paths, rpm, pressure, grid.known)
    if not any(v.any() for v in found.visits.values()):
        rule = "pass through the tables"
        hint = "give rpm and pressure axes that reach the levels"
        raise refusal(base.name, "levels", "no coverage", rule, hint)
    trim = trim_of(base.chain, rpm, pressure, reference, _TRIM_TEMPERATURES)
    values = _values(base, grid, rpm, pressure, excess)
    tables = {n: CalibrationTable(n, rpm, pressure, v) for n, v in values.items()}
    words = [[found.words(i, j) for j in range(rpm.size)] for i in range(pressure.size)]
    trims = {"temperature": trim.temperature, "volumetric_efficiency": trim.factor,
             "fuel": trim.fuel}  # fmt: skip
    notes = [*_monotone(tables), *NOTES, *cautions(base.inputs.get("fuel.name", ""))]
    if not all("knock_margin" in pull.columns for pull in made.values()):
        notes.insert(0, NO_KNOCK)
    if base.fuel_system is None:
        notes.insert(0, "no [fuel_system] in the build file: injector times are left out")
    handed = CalibrationTables(base.name, tables, reference, trims, words, notes)
    return Calibration(base, made, paths, handed, trim, found, fit, given)


def _values(base: Any, grid: Any, rpm: Array, pressure: Array, excess: Array) -> dict[str, Array]:
    """Every table's values in the unit of its form."""
    across = np.ones((pressure.size, rpm.size))
    phasing = np.degrees([base.chain.combustion.phasing_at(float(p)) for p in pressure])
    values = {
        "volumetric_efficiency": 100.0 * grid.volumetric_efficiency,
        "lambda_target": across * excess[:, None],
        "burn_phasing": across * phasing[:, None],
        "fuel_mass": 1e6 * grid.fuel_flow * 120.0 / rpm,
    }
    if base.fuel_system is None:
        return values
    supply, ambient = base.fuel_system.supply, float(base.chain.ambient.pressure)
    p = (across * pressure[:, None]).ravel()
    early = base.chain.injection.place == "before_compressor"
    points = _core.supply_points(
        supply, (across * rpm).ravel() * RPM, grid.fuel_flow.ravel(),
        np.full_like(p, ambient) if early else p,
        p if supply.reference == "plenum" else np.full_like(p, ambient), ambient,
    )  # fmt: skip
    values["injector_time"] = 1e3 * points["open_time"].reshape(across.shape)
    values["injector_duty"] = 100.0 * points["duty"].reshape(across.shape)
    return values


def _monotone(tables: Mapping[str, CalibrationTable]) -> list[str]:
    """Say where fuel or injector time would fall as pressure rises, which no engine asks for."""
    found = []
    for name in ("fuel_mass", "injector_time"):
        if name in tables:
            falls = np.diff(tables[name].values, axis=0) <= 0.0
            if falls.any():
                speeds = ", ".join(f"{r:.0f}" for r in tables[name].rpm[falls.any(axis=0)])
                found.append(f"{name} falls with pressure at {speeds} rpm: look at the build there")
    return found


def _given(pulls: Mapping[str, Any] | None, levels: list[str]) -> dict[str, list[MeasuredPull]]:
    found = {}
    for name, many in (pulls or {}).items():
        level = name or levels[0]
        if level not in levels:
            raise refusal("calibrate", "pulls", quoted(name), f"name one of {', '.join(levels)}")
        found[level] = [many] if isinstance(many, MeasuredPull) else list(many)
    return found


def _axes(base: Any, paths: Sequence[Path], rpm: Any, pressure: Any) -> tuple[Array, Array]:
    redline = base.redline / RPM
    if rpm is None:
        rpm = np.arange(1000.0, redline + _RPM_STEP, _RPM_STEP)
    top = max(float(np.nanmax(p.pressure)) for p in paths if p.solved)
    if pressure is None:
        pressure = np.arange(_LOWEST, _BEYOND * top + _PRESSURE_STEP, _PRESSURE_STEP)
    else:
        pressure = [to_si(p, "pressure", where="calibrate", field="pressure")
                    if isinstance(p, str) else p for p in pressure]  # fmt: skip
    # Cells are computed where the files say they are.
    axes = np.round(np.array(rpm, dtype=float)), np.round(np.array(pressure, dtype=float), -2)
    for name, axis in zip(("rpm", "pressure"), axes, strict=True):
        check_axis("calibrate", name, axis)
    return axes


def _reference(paths: Sequence[Path], typed: str | None) -> float:
    if typed is not None:
        return to_si(typed, "temperature", where="calibrate", field="reference_temperature")
    all_of = np.concatenate([p.temperature for p in paths if not p.measured])
    middle = 0.5 * (np.nanmin(all_of) + np.nanmax(all_of)) - 273.15
    return float(5.0 * round(middle / 5.0) + 273.15)


def _lambdas(base: Any, pressure: Array, wanted: Mapping[str, float] | None) -> Array:
    if not wanted:
        return np.full(pressure.size, float(getattr(base.chain.injection, "lambda")))
    given = {to_si(k, "pressure", where="calibrate", field="lambda_target"): float(v)
             for k, v in wanted.items()}  # fmt: skip
    at = sorted(given)
    found: Array = np.interp(pressure, at, [given[p] for p in at])
    return found
