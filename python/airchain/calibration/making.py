"""How a calibration is made: axes, cells, coverage and trims from a build or a fit."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.build_words import surface_words
from ..chain.pull import Pull
from ..fit.reconciliation import Reconciliation
from ..fuel.words import cautions
from ..measured.measured import MeasuredPull
from ..measured.which_level import level_of_pull
from ..units.convert import to_si
from . import _paths
from ._axes import axes_of
from ._coverage import coverage
from ._cylinders import apart_of, trims_of
from ._paths import Path
from ._spark import Spark
from ._surface import Cells, cells, trim_of
from ._words import NO_KNOCK, NOTES
from .calibration import Calibration
from .tables import CalibrationTable, CalibrationTables

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["calibrate"]

Array = NDArray[np.float64]
#: Parts that the searches of knock are counted as.
_SEARCHES = 3
#: Trims are those of the pressures that levels run at, from this much below the lowest [Pa].
_NEAR = 10e3
#: How a level is named.
_NAMED = 'such as {{"{0}": pull}}, or {0}=LOG after --pull'
_TRIM_TEMPERATURES = np.arange(263.15, 364.0, 10.0)


def calibrate(
    build: Build | Reconciliation,
    pulls: Mapping[str, MeasuredPull | Sequence[MeasuredPull]] | None = None,
    rpm: ArrayLike | None = None,
    pressure: ArrayLike | Sequence[str] | None = None,
    lambda_target: Mapping[str, float] | None = None,
    reference_temperature: str | None = None,
    knock: bool = True,
    *,
    progress: Callable[[int, int], None] | None = None,
) -> Calibration:
    """Make one calibration of fuel and spark that serves all drive levels.

    Its tables stand over engine speed and absolute plenum pressure. Each cell holds what the
    engine needs at that speed and pressure, at one plenum temperature. Trims correct the cell at
    other temperatures. The tables also say which cells the levels pass, and which were measured.

    Parameters
    ----------
    build : Build or Reconciliation
        The build, or a fit of it to pulls, whose chain then fills the tables. A build that
        breathes by its cycles gets a breathing surface first.
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
    progress : callable, optional
        Called with the parts done and all of them [dimensionless]: the levels, the tables, the
        searches of knock.

    Returns
    -------
    Calibration
        Tables, trims, coverage and agreement.

    Raises
    ------
    InputError
        An axis does not rise, no level has an answer, no level passes the tables, a pull names no
        level of the build, or its level is not known.
    """
    fit = build if isinstance(build, Reconciliation) else None
    base = build.fitted_build() if isinstance(build, Reconciliation) else build
    levels = list(base.levels) if base.supercharged and base.levels else [""]
    given = _given(base, pulls, [name or "as built" for name in levels])
    base = base.with_surface()  # what is refused costs no surface
    searched = base.cylinder is not None and knock
    step = _steps(len(levels) + 1 + (_SEARCHES if searched else 0), progress)
    computed = {}
    for name in levels:
        one = (fit.fitted_build(name) if fit is not None else base.level(name)) if name else base
        computed[name or "as built"] = one.pull()
        step()
    paths = [_paths.computed(name, pull) for name, pull in computed.items()]
    paths += [_paths.measured(n, m, computed[n].build) for n, many in given.items() for m in many]
    if not any(p.solved > 1 for p in paths):
        rule = "have solved points to calibrate"
        raise refusal(base.name, "levels", "no answer", rule, "see its ladder")
    reference = _reference(paths, reference_temperature)
    axes = axes_of(base, paths, rpm, pressure, reference)
    excess = _lambdas(base, axes[1], lambda_target)
    return _filled(base, computed, paths, fit, given, axes, excess, reference, searched, step)


def _steps(total: int, progress: Callable[[int, int], None] | None) -> Callable[[], None]:
    """Return what is called after each part of the work; it tells how far the whole is."""
    done = -1

    def step() -> None:
        nonlocal done
        done += 1
        if progress is not None:
            progress(done, total)

    step()
    return step


def _filled(base: Build, pulls: Mapping[str, Pull], paths: list[Path], fit: Reconciliation | None,
            given: Mapping[str, list[MeasuredPull]], axes: tuple[Array, Array], excess: Array,
            reference: float, searched: bool, step: Callable[[], None]) -> Calibration:  # fmt: skip
    """The calibration with its cells filled, on axes of engine speed and plenum pressure."""
    rpm, pressure = axes
    grid = cells(base.chain, rpm, pressure, reference, excess)
    covered = coverage(paths, rpm, pressure, grid.known)
    if not any(v.any() for v in covered.visits.values()):
        rule = "pass through the tables"
        hint = "give rpm and pressure axes that reach the levels"
        raise refusal(base.name, "levels", "no coverage", rule, hint)
    run = pressure >= min(float(np.nanmin(p.pressure)) for p in paths if p.solved) - _NEAR
    trim = trim_of(base.chain, rpm, pressure, run, reference, _TRIM_TEMPERATURES)
    values = _values(base, grid, rpm, pressure, excess)
    step()
    spark = None
    if searched:
        spark = Spark.of(base, pulls, rpm, pressure, reference, excess, step)
        values |= {"ignition": np.degrees(spark.advance), "knock_margin": np.degrees(spark.margin)}
    tables = {n: CalibrationTable(n, rpm, pressure, v) for n, v in values.items()}
    words = [[covered.words(i, j) for j in range(rpm.size)] for i in range(pressure.size)]
    trims = {"temperature": trim.temperature, "volumetric_efficiency": trim.factor,
             "fuel": trim.fuel}  # fmt: skip
    notes = [*_monotone(tables), *NOTES, *cautions(base.inputs.get("fuel.name", ""))]
    notes[:0] = [NO_KNOCK] if spark is None else spark.notes
    notes[:0] = _about(base)
    apart = apart_of(pulls) if searched else {}
    own = trims_of(apart)
    handed = CalibrationTables(
        base.name, tables, reference, trims, words, notes, base.fingerprint, own
    )
    return Calibration(base, pulls, paths, handed, trim, covered, fit, given, spark, apart)


def _about(base: Build) -> list[str]:
    """Say of what build and at what voltage the tables are."""
    notes = ["The build file says that this build is invented."] if base.invented else []
    notes += surface_words(base)
    if base.fuel_system is None:
        return [
            *notes, "The build file has no [fuel_system], so injector times are left out."
        ]  # fmt: skip
    voltage = base.fuel_system.supply.pump.voltage
    return [
        *notes,
        f"Injector times hold at {voltage:g} V. A controller that adds the dead time of its own "
        "table takes the fuel mass instead.",
    ]


def _values(
    base: Build, grid: Cells, rpm: Array, pressure: Array, excess: Array
) -> dict[str, Array]:
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
    notes = []
    for name in ("fuel_mass", "injector_time"):
        if name in tables:
            falls = np.diff(tables[name].values, axis=0) <= 0.0
            if falls.any():
                speeds = ", ".join(f"{r:.0f}" for r in tables[name].rpm[falls.any(axis=0)])
                words = name.replace("_", " ").capitalize()
                notes.append(
                    f"{words} falls with pressure at {speeds} rpm. Look at the build there."
                )
    return notes


def _given(
    build: Build, pulls: Mapping[str, MeasuredPull | Sequence[MeasuredPull]] | None,
    levels: list[str],
) -> dict[str, list[MeasuredPull]]:  # fmt: skip
    by_level: dict[str, list[MeasuredPull]] = {}
    for name, many in (pulls or {}).items():
        if name and name not in levels:
            raise refusal("calibrate", "pulls", quoted(name), f"name one of {', '.join(levels)}")
        for pull in [many] if isinstance(many, MeasuredPull) else many:
            level = name or level_of_pull(build, "", pull, "calibrate", _NAMED)[0] or levels[0]
            by_level.setdefault(level, []).append(pull)
    return by_level


def _reference(paths: Sequence[Path], typed: str | None) -> float:
    if typed is not None:
        return to_si(typed, "temperature", where="calibrate", field="reference_temperature")
    all_of = np.concatenate([p.temperature for p in paths if not p.measured])
    middle = 0.5 * (np.nanmin(all_of) + np.nanmax(all_of)) - 273.15
    return float(5.0 * round(middle / 5.0) + 273.15)


def _lambdas(base: Build, pressure: Array, wanted: Mapping[str, float] | None) -> Array:
    if not wanted:
        return np.full(pressure.size, float(getattr(base.chain.injection, "lambda")))
    given = {to_si(k, "pressure", where="calibrate", field="lambda_target"): float(v)
             for k, v in wanted.items()}  # fmt: skip
    if len(given) < len(wanted):
        raise refusal("calibrate", "lambda_target", quoted(list(wanted)), "name each pressure once")
    at = sorted(given)
    excess: Array = np.interp(pressure, at, [given[p] for p in at])
    return excess
