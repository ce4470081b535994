"""Ignition and knock of a calibration, against the crank-resolved cycle itself."""

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import blown_cam_engine as blown
from airchain import _core
from airchain.calibration import Calibration
from airchain.calibration.files import csv_name, read_table
from airchain.cylinder.spark_searches import margin_of

DEGREE = np.pi / 180.0
RPM = np.pi / 30.0


@cache
def made() -> Calibration:
    """A calibration of an engine with cams, on a few cells."""
    rpm, pressure = np.arange(3000.0, 7001.0, 500.0), np.arange(80e3, 241e3, 20e3)
    return airchain.calibrate(blown.built(), rpm=rpm, pressure=pressure)


def points(cells: list[tuple[float, float]]) -> dict[str, Any]:
    """The engine at cells of rpm and Pa, as the tables have it."""
    chain, t = made().build.chain, made().data.reference_temperature
    rpm, p = (np.array(v) for v in zip(*cells, strict=True))
    told = _core.engine_states(chain, rpm * RPM, p, np.full(p.size, t))
    own = 8.0 * DEGREE + 0.09 * DEGREE / 1e3 * np.maximum(p - 1e5, 0.0)
    return {"speed": rpm * RPM, "plenum_pressure": p, "half_burned": own,
            "plenum_temperature": told["charge_temperature"],
            "exhaust_pressure": told["exhaust_pressure"],
            "collector_temperature": np.full(p.size, 1150.0)}  # fmt: skip


CELLS = [(3500.0, 140e3), (3500.0, 180e3), (4500.0, 220e3), (5500.0, 140e3), (6500.0, 240e3),
         (6500.0, 180e3), (6000.0, 200e3), (3000.0, 220e3)]  # fmt: skip


def test_knock_margin_is_that_of_a_search_at_the_cell() -> None:
    setup, at = made().build.cylinder.setup, points(CELLS)
    mixture = setup.mixture
    lean = mixture.replace(**{"lambda": 1.04 * getattr(mixture, "lambda")})
    worst = {**at, "plenum_pressure": 1.04 * at["plenum_pressure"]}
    found = _core.run_spark_searches(setup.replace(mixture=lean), worst)
    cells = np.array([float(made()["knock_margin"].at(*cell)) for cell in CELLS])
    direct = margin_of(found, at["half_burned"]) / DEGREE
    # Beside nodes without knock the table is a bound, and says so.
    spark = made().spark
    bound = np.array([spark.bound[int(p / 20e3 - 4), int(n / 500 - 6)] for n, p in CELLS])
    assert 0 < bound.sum() < 4
    assert np.all(cells[bound] < direct[bound] + 0.5)
    # Between nodes waves bend the limit by some tenths of a degree.
    off = (cells - direct)[~bound]
    assert np.abs(off).max() < 0.9
    assert np.sqrt(np.mean(off**2)) < 0.5


def test_ignition_is_the_start_of_the_burn_that_puts_half_burned_there() -> None:
    setup, at = made().build.cylinder.setup, points(CELLS)
    cycles = _core.run_cycles(setup, at)
    cells = np.array([float(made()["ignition"].at(*cell)) for cell in CELLS])
    assert np.abs(cells + cycles["burn_start"] / DEGREE).max() < 0.5
    # [Wiebe 1956] with a = 5 and m = 2: half has burned where the phasing says.
    y = (at["half_burned"] - cycles["burn_start"]) / cycles["burn_duration"]
    assert np.allclose((1 - np.exp(-5 * y**3)) / (1 - np.exp(-5)), 0.5, atol=1e-6)


def test_levels_have_the_plans_margins() -> None:
    plan = airchain.plan_levels(blown.built())
    for level in plan.levels:
        knock, own = level.trial.knock["as typed"], made().spark.levels[level.name]
        at = knock.searched
        assert np.allclose(knock.rpm[at], own.rpm)
        assert np.allclose(knock.margin[at], own.margin, atol=1e-9)


def test_torque_left_is_what_trying_every_phasing_gives() -> None:
    from airchain.chain.matched_cycles import matched_points

    pull = made().pulls["full"]
    rpm = float(made().spark.levels["full"].rpm[6])
    one = matched_points(pull.build.pull([rpm]))
    half = np.arange(8.0, 36.0, 0.5) * DEGREE  # no best torque is sought earlier
    tried = {n: np.full(half.size, float(v[0])) for n, v in one.items()} | {"half_burned": half}
    work = _core.run_cycles(made().build.cylinder.setup, tried)["imep"]
    own = np.interp(float(one["half_burned"][0]), half, work)
    left = made().torque_left("full")
    i = int(np.flatnonzero(pull.rpm == rpm)[0])
    size = pull.build.chain.engine.displacement
    share = left[i] / (pull["indicated_pressure"][i] * size / (4 * np.pi))
    assert share == pytest.approx(work.max() / own - 1.0, abs=0.006)


def test_levels_table_tells_ignition_margin_and_torque_left() -> None:
    levels = made().tables()[0]
    place = {name: i for i, name in enumerate(levels.headings)}
    assert [row[0] for row in levels.rows] == ["tame", "middle", "full"]
    assert all(row[place["knock margin"]].startswith("est. ") for row in levels.rows)
    assert all(row[place["knock margin"]].endswith("± 5") for row in levels.rows)
    left = [float(row[place["torque left"]]) for row in levels.rows]
    assert left == sorted(left)
    assert "Ignition is computed" in levels.key
    text = made().text()
    assert "knock margin is not known" not in text
    assert "± 5 degrees of doubt at best" in text
    assert "safe" not in text


def test_a_hotter_plenum_asks_for_a_later_burn() -> None:
    spark = made().spark
    assert np.all(np.diff(spark.later) > 0.0)
    assert spark.later[np.isclose(spark.temperature, made().data.reference_temperature)] == 0.0
    assert any("later for every 18 degF" in note for note in made().data.notes)


def test_where_no_knock_was_found_the_margin_is_a_bound() -> None:
    table, spark = made()["knock_margin"], made().spark
    assert spark.bound[0, -1]
    assert table.values[0, -1] == pytest.approx(18.0)
    assert not spark.bound[-1].any()
    assert any("the margin is at least the one printed" in note for note in made().data.notes)


def test_leaner_rows_are_searched_with_their_own_mixture() -> None:
    rpm, pressure = [5000.0, 6000.0], [160e3, 200e3]
    rich, lean = (
        airchain.calibrate(blown.built(), rpm=rpm, pressure=pressure, lambda_target={"160 kPa": x})
        for x in (0.86, 1.0)
    )
    assert np.all(np.abs(rich["ignition"].values - lean["ignition"].values) > 0.3)
    assert np.all(rich["knock_margin"].values != lean["knock_margin"].values)


def test_files_hold_ignition_and_margin_with_their_sense_in_the_name(tmp_path: Path) -> None:
    assert csv_name("ignition") == "ignition_deg_before_top.csv"
    assert csv_name("burn_phasing") == "burn_phasing_deg_after_top.csv"
    made().write(tmp_path / "out")
    again = airchain.read_calibration(tmp_path / "out")
    for name in ("ignition", "knock_margin"):
        assert again[name].texts == made()[name].texts
        assert read_table(tmp_path / "out" / csv_name(name), name).texts == made()[name].texts


def test_picture_of_the_margin_has_the_levels() -> None:
    figure = made().plot_table("knock_margin", paths=True)
    assert [text.get_text() for text in figure.legends[0].get_texts()] == ["tame", "middle", "full"]


def test_typed_breathing_has_neither_table() -> None:
    tables = airchain.calibrate(blown.typed())
    assert "knock_margin" not in tables.data.tables
    assert "ignition" not in tables.data.tables
    levels = tables.tables()[0]
    assert {row[levels.headings.index("knock margin")] for row in levels.rows} == {"not known"}
    assert "knock margin is not known" in tables.text()
