"""Fitting, planning and calibrating a build that breathes by a surface of crank-resolved cycles."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

import airchain
import blown_cam_engine as blown
from airchain.calibration.engine import breathing_changes
from airchain.chain.changes import Factors
from airchain.chain.factors import Factor
from airchain.fit import Reconciliation

TRUTH = 0.96


@cache
def cams() -> airchain.Build:
    """The build with cams, in its own weather alone."""
    return blown.built({"plan.weather": None})


def reading(level: str) -> airchain.MeasuredPull:
    """What an engine that fills 4 % worse than its cams say would read."""
    build = cams().level(level)
    real = build.changed(Factors((Factor("volumetric_efficiency", TRUTH),)))
    pull = real.pull(np.arange(3400.0, 7401.0, 200.0))
    names = ("air_flow", "plenum_pressure", "plenum_temperature", "torque")
    columns = {"engine_speed": pull.rpm * np.pi / 30.0, **{n: pull[n] for n in names}}
    return airchain.MeasuredPull.of(level, columns)


@cache
def fit() -> Reconciliation:
    """A fit of one factor on the surface and of its shape over engine speed."""
    names = ["volumetric_efficiency", "volumetric_efficiency_shape", "indicated_efficiency"]
    pulls = {name: reading(name) for name in ("tame", "full")}
    return airchain.reconcile(cams(), pulls, parameters=names)


def test_a_fit_finds_how_far_the_filling_is_off() -> None:
    real, fitted, build = reading("full"), fit().fitted_build("full"), cams().level("full")
    rpm = real.rpm
    errors = [
        np.abs(one.pull(rpm)["air_flow"] / real["air_flow"] - 1.0).max() for one in (build, fitted)
    ]
    assert errors[0] > 0.02
    assert errors[1] < 0.01
    assert fitted.chain.breathing.surface is not None
    assert fitted.chain.breathing.table is None


def test_a_fitted_surface_is_calibrated_and_written_back() -> None:
    base = fit().fitted_build()
    tables = airchain.calibrate(fit(), knock=False)
    again = base.replace(breathing_changes(tables.data, base))
    assert again.cylinder is None
    for level in ("tame", "full"):
        own, written = fit().fitted_build(level).pull(), again.level(level).pull()
        error = np.abs(written["air_flow"] / own["air_flow"] - 1.0)
        assert np.nanmax(error) < 0.05


def test_a_plan_stands_on_the_fitted_surface() -> None:
    plain, made = airchain.plan_levels(cams()), airchain.plan_levels(fit())
    # Less air than the cams say: the higher ratios give less power, with a narrower band.
    for one, other in zip(made.trials, plain.trials, strict=True):
        if one.solved and other.solved:
            power, half = one.solved["as typed"].band("power")
            typed, wide = other.solved["as typed"].band("power")
            assert np.nanmax(power) < np.nanmax(typed)
            assert np.nanmax(half) < np.nanmax(wide)
    assert made.found
    for level in made.levels:
        assert level.trial.knock["as typed"].settled
        margin = next(m for m in level.margins["as typed"] if m.name == "knock")
        assert margin.doubt >= 5.0 * np.pi / 180.0


def test_a_fit_to_a_surface_is_saved_and_read_again(tmp_path: Path) -> None:
    file = tmp_path / "fit.json"
    fit().save(file)
    again = airchain.read_fit(file, cams())
    assert again.values == pytest.approx(fit().values, rel=1e-12)
