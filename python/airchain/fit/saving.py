"""A fit on disk: its unknowns, what it was fitted to, and the fingerprints of both."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from ..base.errors import quoted, refusal
from ..base.text_file import read_text, write_text
from ..chain.changes import Mixture, Weather
from ._drift import PARTS, drifts_of
from ._runs import Run
from .fitting import problem_of
from .reconciliation import Reconciliation
from .sensors import sensors_of

if TYPE_CHECKING:
    from ..chain.build import Build

__all__ = ["load_reconciliation", "save_reconciliation"]

_FORMAT = 1
_FIGURES = ("bias", "least_bias", "noise", "least_noise", "structure", "least_structure", "lag",
            "lag_width")  # fmt: skip


def save_reconciliation(found: Reconciliation, path: str | os.PathLike[str]) -> Path:
    """Write a fit to a TOML file, in one step.

    Parameters
    ----------
    found : Reconciliation
        The fit.
    path : str or path
        The file; one that is there is replaced, and stays if anything fails.

    Returns
    -------
    pathlib.Path
        The file.
    """
    problem = found.problem
    lines = [
        "# Airchain: a build fitted to measured pulls, values in SI.",
        f"format = {_FORMAT}",
        f"build = {_text(found.build.name)}",
        f"build_fingerprint = {_text(found.build.fingerprint)}",
        f"level = {_text(found.build.level_name)}",
        f"parameters = [{', '.join(_text(p) for p in found.parameters)}]",
        f"remarks = [{', '.join(_text(n) for n in found.remarks)}]",
        "",
        "[values]",
        *(f"{_text(n)} = {float(v)!r}" for n, v in zip(found.names, found.values, strict=True)),
    ]
    for name, sensor in problem.sensors.items():
        lines += ["", f"[accuracy.{name}]"]
        lines += [f"{key} = {float(getattr(sensor, key))!r}" for key in _FIGURES]
    for drift in problem.drifts:
        lines += ["", f"[accuracy.{drift.part}]", f"drift = {drift.size!r}"]
    for run in problem.runs:
        lines += ["", *_run_lines(run)]
    write_text(path, "\n".join([*lines, ""]))
    return Path(path)


def load_reconciliation(path: str | os.PathLike[str], build: Build) -> Reconciliation:
    """Return a fit from its file.

    Parameters
    ----------
    path : str or path
        The file that `save_reconciliation` wrote.
    build : Build
        The build that was fitted, on any level.

    Returns
    -------
    Reconciliation
        The fit, equal to the one that was saved.

    Raises
    ------
    InputError
        The file is none of this kind, or belongs to another build or an older state of it.
    """
    where = os.fspath(path)
    try:
        data = tomllib.loads(read_text(path, "a fitted build"))
    except tomllib.TOMLDecodeError as error:
        raise refusal(str(where), "file", quoted(str(error)), "be a fitted build in TOML") from None
    if data.get("format") != _FORMAT:
        rule = f"be {_FORMAT}"
        raise refusal(str(where), "format", quoted(data.get("format")), rule, "fit again")
    build = _on_level(build, data.get("level"))
    if data.get("build_fingerprint") != build.fingerprint:
        hint = "the build file, its map or a level has changed; fit again"
        raise refusal(str(where), "build_fingerprint", quoted(data.get("build_fingerprint")),
                      f"be that of {build.name}", hint)  # fmt: skip
    try:
        runs = [_run(build, typed) for typed in data["pulls"]]
        sensors = sensors_of(data["accuracy"], PARTS)
        drifts = drifts_of(data["accuracy"])
        problem, _ = problem_of(build, runs, data["parameters"], sensors, drifts)
        values = np.array([data["values"][u.name] for u in problem.unknowns])
    except (KeyError, TypeError) as error:
        raise refusal(str(where), "file", quoted(str(error)), "hold a whole fit") from None
    means = np.array([u.mean for u in problem.unknowns])
    z = (values - means) / problem.widths
    return Reconciliation.of(build, problem, tuple(data["parameters"]), z, data["remarks"])


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


def _run(build: Build, typed: dict[str, Any]) -> Run:
    at = build.level(typed["level"]) if typed["level"] else build
    air = (typed[key] for key in ("pressure", "temperature", "relative_humidity"))
    there = at.changed(Weather(*air)).changed(Mixture(typed["mixture"]))
    return Run(
        typed["name"], typed["level"], there,
        np.array(typed["rpm"]), {n: np.array(v) for n, v in typed["columns"].items()},
        {n: np.array(v) for n, v in typed["noise"].items()}, np.array(typed["rates"]),
        typed["fingerprint"], (),
    )  # fmt: skip


def _list(values: Any) -> str:
    return f"[{', '.join(repr(float(v)) for v in values)}]"


def _text(value: str) -> str:
    import json

    # JSON's escapes are TOML's; DEL alone would have to be escaped besides.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
