"""How a calibration is made: axes, cells, coverage and trims from a build or a fit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.speeds import RPM
from ..fit.reconciliation import Reconciliation
from ..fuel.words import cautions
from ..measured.measured import MeasuredPull
from ..units.convert import to_si
from . import _paths
from ._axes import axes_of
from ._coverage import coverage
from ._paths import Path
from ._spark import Spark
from ._surface import cells, trim_of
from ._words import NO_KNOCK, NOTES
from .calibration import Calibration
from .tables import CalibrationTable, CalibrationTables

__all__ = ["calibrate"]

Array = NDArray[np.float64]
#: Trims are those of the pressures that levels run at, from this much below the lowest [Pa].
_NEAR = 10e3
_TRIM_TEMPERATURES = np.arange(263.15, 364.0, 10.0)


def calibrate(
    build: Any,
    pulls: Mapping[str, Any] | None = None,
    rpm: Any = None,
    pressure: Any = None,
    lambda_target: Mapping[str, float] | None = None,
    reference_temperature: str | None = None,
    knock: bool = True,
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
        Engine speeds of the tables [rpm]; without it from 1000 rpm to redline, at most 500 rpm
        apart and as close as straight lines need to meet the engine within 1 %, but not closer
        than 50 rpm.
    pressure : array_like or sequence of str, optional
        Absolute plenum pressures [Pa, or texts such as ``"100 kPa"``]; every 10 kPa from 40 kPa
        to 120 kPa and every 20 kPa to a tenth above all levels without it.
    lambda_target : mapping, optional
        Lambda [dimensionless] by plenum pressure, such as ``{"60 kPa": 1.0, "110 kPa": 0.86}``,
        straight between; the build's own everywhere without it.
    reference_temperature : str, optional
        Plenum temperature of the tables; the middle of all levels, to 5 degC, without it.
    knock : bool
        Whether ignition and knock margin of an engine with cams are searched, which takes seconds.

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
    reference = _reference(paths, reference_temperature)
    axes = axes_of(base, paths, rpm, pressure, reference)
    searched = base.cylinder is not None and knock
    return _made(base, made, paths, fit, given, axes, lambda_target, reference, searched)


def _made(base: Any, made: Mapping[str, Any], paths: list[Path], fit: Reconciliation | None,
          given: Mapping[str, list[MeasuredPull]], axes: tuple[Array, Array],
          lambda_target: Mapping[str, float] | None, reference: float,
          searched: bool) -> Calibration:  # fmt: skip
    rpm, pressure = axes
    excess = _lambdas(base, pressure, lambda_target)
    grid = cells(base.chain, rpm, pressure, reference, excess)
    found = coverage(paths, rpm, pressure, grid.known)
    if not any(v.any() for v in found.visits.values()):
        rule = "pass through the tables"
        hint = "give rpm and pressure axes that reach the levels"
        raise refusal(base.name, "levels", "no coverage", rule, hint)
    run = pressure >= min(float(np.nanmin(p.pressure)) for p in paths if p.solved) - _NEAR
    trim = trim_of(base.chain, rpm, pressure, run, reference, _TRIM_TEMPERATURES)
    values = _values(base, grid, rpm, pressure, excess)
    spark = None
    if searched:
        spark = Spark.of(base, made, rpm, pressure, reference, excess)
        values |= {"ignition": np.degrees(spark.advance), "knock_margin": np.degrees(spark.margin)}
    tables = {n: CalibrationTable(n, rpm, pressure, v) for n, v in values.items()}
    words = [[found.words(i, j) for j in range(rpm.size)] for i in range(pressure.size)]
    trims = {"temperature": trim.temperature, "volumetric_efficiency": trim.factor,
             "fuel": trim.fuel}  # fmt: skip
    notes = [*_monotone(tables), *NOTES, *cautions(base.inputs.get("fuel.name", ""))]
    notes[:0] = [NO_KNOCK] if spark is None else spark.notes
    notes[:0] = _about(base)
    handed = CalibrationTables(base.name, tables, reference, trims, words, notes, base.fingerprint)
    return Calibration(base, made, paths, handed, trim, found, fit, given, spark)


def _about(base: Any) -> list[str]:
    """Say of what build and at what voltage the tables are."""
    told = ["the build file says that this build is invented"] if base.invented else []
    if base.fuel_system is None:
        return [*told, "no [fuel_system] in the build file: injector times are left out"]
    voltage = base.fuel_system.supply.pump.voltage
    return [*told, f"injector times hold at {voltage:g} V; a controller that adds the dead time of "
            "its own table takes the fuel mass instead"]  # fmt: skip


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
    if len(given) < len(wanted):
        raise refusal("calibrate", "lambda_target", quoted(list(wanted)), "name each pressure once")
    at = sorted(given)
    found: Array = np.interp(pressure, at, [given[p] for p in at])
    return found
