"""A fit on disk: its unknowns, what it was fitted to, and the fingerprints of both."""

from __future__ import annotations

import json
import os
import tomllib
from pathlib import Path
from typing import TypedDict

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError, quoted, refusal, under
from ..base.text_file import read_text, write_text
from ..chain.build import Build
from ..chain.changes import Mixture, Weather
from .fitted_chain import FittedChain
from .load_drift import PARTS, drifts_of
from .problem import Problem
from .runs import Run
from .sensors import FIGURES, sensors_of
from .solving import about, close, problem_of

_FORMAT = 3
#: Noise of a row that no sensor of an engine has, in whatever SI unit; its square must stay finite.
_MOST_NOISE = 1e9
#: Least of it: a reading is told in steps, so none is surer than this.
_LEAST_NOISE = 1e-9
#: Most of any reading, in SI; pressures have the largest numbers, and an engine's are below 1e8 Pa.
_MOST_READ = 1e9
#: Fastest that an engine's speed changes [rpm/s]; without load a racing engine's does by some
#: 2e4 (common practice, no source).
_MOST_RATE = 1e6
#: What Python raises on values of other types and lengths than a fit has.
_DAMAGE = (KeyError, TypeError, ValueError, IndexError, AttributeError, OverflowError)


def write_fit(fit: FittedChain, path: str | os.PathLike[str]) -> Path:
    """Write a fit to a TOML file, in one step."""
    problem = fit.problem
    lines = [
        "# Airchain: a build fitted to measured pulls, values in SI.",
        f"format = {_FORMAT}",
        f"build = {_text(fit.build.name)}",
        f"build_fingerprint = {_text(fit.build.fingerprint_of_numbers)}",
        f"level = {_text(fit.build.level_name)}",
        f"parameters = [{', '.join(_text(p) for p in fit.parameters)}]",
        f"remarks = [{', '.join(_text(n) for n in fit.remarks)}]",
        "",
        "[values]",
        *(f"{_text(n)} = {float(v)!r}" for n, v in zip(fit.names, fit.values, strict=True)),
    ]
    for name, sensor in problem.sensors.items():
        lines += ["", f"[accuracy.{name}]"]
        lines += [f"{key} = {float(getattr(sensor, key))!r}" for key in FIGURES]
    for drift in problem.drifts:
        lines += ["", f"[accuracy.{drift.part}]", f"drift = {drift.size!r}"]
    for run in problem.runs:
        lines += ["", *_run_lines(run)]
    write_text(path, "\n".join([*lines, ""]))
    return Path(path)


def read_parts(
    path: str | os.PathLike[str], build: Build
) -> tuple[Build, Problem, NDArray[np.float64], tuple[str, ...], list[str]]:
    """Return what a fit is made of: build, readings, solution in prior widths, names, remarks."""
    where = os.fspath(path)
    try:
        data = tomllib.loads(read_text(path, "a fitted build"))
    except tomllib.TOMLDecodeError as error:
        raise refusal(str(where), "file", quoted(str(error)), "be a fitted build in TOML") from None
    if data.get("format") != _FORMAT:
        rule = f"be {_FORMAT}"
        raise refusal(str(where), "format", quoted(data.get("format")), rule, "fit again")
    build = _on_level(build, data.get("level")).with_surface()
    if data.get("build_fingerprint") != build.fingerprint_of_numbers:
        hint = "the build file, its map or a level has changed; fit again"
        raise refusal(str(where), "build_fingerprint", quoted(data.get("build_fingerprint")),
                      f"be that of {build.name}", hint)  # fmt: skip
    try:
        runs = [_run(build, typed) for typed in data["pulls"]]
        sensors = sensors_of(data["accuracy"], PARTS)
        drifts = drifts_of(data["accuracy"], build.trust)
        problem, _ = problem_of(build, runs, data["parameters"], sensors, drifts)
        values = np.array([float(data["values"][u.name]) for u in problem.unknowns])
        if not np.all(np.isfinite(values)):
            raise ValueError("values that are not finite")
        remarks = [str(one) for one in data["remarks"]]
    except InputError as error:
        raise under(str(where), error) from None
    except _DAMAGE as error:
        why = f"{type(error).__name__}: {error}"
        hint = "the file was changed by hand; fit again"
        raise refusal(str(where), "file", quoted(why), "hold a whole fit", hint) from None
    means = np.array([u.mean for u in problem.unknowns])
    z = (values - means) / problem.widths
    try:
        problem = about(problem, close(problem))
    except InputError as error:
        raise under(str(where), error) from None
    return build, problem, z, tuple(data["parameters"]), remarks


def _on_level(build: Build, level: object) -> Build:
    """The build on the level that was fitted; as it stands where it has none of that name."""
    if isinstance(level, str) and level in ("", *build.levels):
        return build.level(level)
    return build


def _run_lines(run: Run) -> list[str]:
    air = run.chain.ambient
    lines = [
        "[[pulls]]",
        f"name = {_text(run.name)}",
        f"level = {_text(run.level)}",
        f"fingerprint = {_text(run.fingerprint)}",
        f"pressure = {float(air.pressure)!r}",
        f"temperature = {float(air.temperature)!r}",
        f"relative_humidity = {float(air.relative_humidity)!r}",
        f"mixture = {float(getattr(run.chain.injection, 'lambda'))!r}",
        f"rpm = {_list(run.rpm)}",
        f"rates = {_list(run.rates)}",
    ]
    lines += [f"columns.{name} = {_list(values)}" for name, values in run.columns.items()]
    return lines + [f"noise.{name} = {_list(values)}" for name, values in run.noise.items()]


class _TypedRun(TypedDict):
    """One pull as the file has it, SI."""

    name: str
    level: str
    fingerprint: str
    pressure: float
    temperature: float
    relative_humidity: float
    mixture: float
    rpm: list[float]
    rates: list[float]
    columns: dict[str, list[float]]
    noise: dict[str, list[float]]


def _run(build: Build, typed: _TypedRun) -> Run:
    at = build.level(typed["level"]) if typed["level"] else build
    weather = Weather(typed["pressure"], typed["temperature"], typed["relative_humidity"])
    there = at.changed(weather).changed(Mixture(typed["mixture"]))
    rpm = np.array(typed["rpm"], dtype=float)
    if not (rpm.ndim == 1 and rpm.size and np.all(np.diff(rpm) > 0.0) and rpm[0] > 0.0):
        raise ValueError("engine speeds that do not rise from above 0")
    columns = {n: _column(v, rpm, may_miss=True) for n, v in typed["columns"].items()}
    noise = {n: _column(v, rpm) for n, v in typed["noise"].items()}
    if any(np.nanmax(np.abs(one), initial=0.0) > _MOST_READ for one in columns.values()):
        raise ValueError("a reading that no engine gives")
    odd = any(np.any((one < _LEAST_NOISE) | (one > _MOST_NOISE)) for one in noise.values())
    if set(noise) != set(columns) or odd:
        raise ValueError("columns whose noise is missing, not above 0 or of no sensor")
    rates = _column(typed["rates"], rpm, may_miss=True)
    if np.nanmax(np.abs(rates), initial=0.0) > _MOST_RATE:
        raise ValueError("a speed that no engine gains so fast")
    return Run(str(typed["name"]), str(typed["level"]), there, rpm, columns, noise, rates,
               str(typed["fingerprint"]), ())  # fmt: skip


def _column(typed: list[float], rpm: NDArray[np.float64], may_miss: bool = False
            ) -> NDArray[np.float64]:  # fmt: skip
    """Numbers over engine speed, finite but where one may be missing."""
    column = np.array(typed, dtype=float)
    whole = np.isfinite(column) | (np.isnan(column) & may_miss)
    if column.shape != rpm.shape or not np.all(whole):
        raise ValueError("a column that is no finite number for each engine speed")
    return column


def _list(values: NDArray[np.float64]) -> str:
    return f"[{', '.join(repr(float(v)) for v in values)}]"


def _text(value: str) -> str:
    # JSON's escapes are TOML's; DEL alone would have to be escaped besides.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
