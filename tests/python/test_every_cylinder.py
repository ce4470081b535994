"""Every cylinder of an engine in its firing order, from what is typed to what is told."""

from __future__ import annotations

import runpy
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import crank_engines
from airchain.cylinder import CylinderPoints, every_cylinder

V_EIGHT: dict[str, Any] = {
    "firing_order": [1, 8, 4, 3, 6, 5, 7, 2],
    "crank": "crossplane",
    "banks": [[1, 3, 5, 7], [2, 4, 6, 8]],
    "plenum": {"volume": "7 L"},
    "collectors": {"volume": "1 L", "length": "0.45 m", "diameter": "4 in"},
}


def engine(**more: Any) -> airchain.CrankEngine:
    """An invented V8 with collectors; what is given replaces its parts."""
    return crank_engines.engine(**{**V_EIGHT, **more})


@pytest.fixture(scope="module")
def solved() -> CylinderPoints:
    """Two speeds of the V8."""
    return every_cylinder(engine(), [3000, 4500], "100 kPa", "103 kPa")


def test_the_crank_brings_up_the_cylinders_in_their_order() -> None:
    layout = engine().layout
    assert layout is not None
    assert np.rad2deg(layout.firing) == pytest.approx([0, 630, 270, 180, 450, 360, 540, 90])
    assert layout.collector == (0, 1, 0, 1, 0, 1, 0, 1)
    by_throw = engine(crank=None, throws=["0 deg", "270 deg", "90 deg", "180 deg"]).layout
    assert by_throw == layout
    assert crank_engines.engine().layout is None


def test_cylinders_differ_and_say_so(solved: CylinderPoints) -> None:
    assert solved.converged.all()
    assert solved["fresh_mass"].shape == (2, 8)
    assert solved["torque"].shape == (2,)
    assert solved["collector_pressure"].shape == (2, 2)
    assert np.all(solved.spread > 0.02)
    assert np.max(np.abs(solved["whole_mass_error"])) < 1e-9
    assert np.max(np.abs(solved["whole_energy_error"])) < 1e-9
    most = int(np.argmax(solved.spread))
    fresh = solved["fresh_mass"][most]
    assert f"{100 * solved.spread[most]:.1f} %" in solved.verdict
    pair = f"between cylinders {np.argmax(fresh) + 1} and {np.argmin(fresh) + 1}"
    assert pair in solved.verdict
    text = str(solved)
    assert "lambda with equal fuel" in text
    assert "Left out" in text
    with pytest.raises(airchain.InputError, match="be a column of it"):
        solved["torqe"]


# Equal injectors leave the fullest cylinder leanest, in proportion to its air.
def test_equal_fuel_makes_the_fullest_cylinder_lean(solved: CylinderPoints) -> None:
    aim = 0.88
    assert np.all(solved["lambda"] == aim)
    equal = every_cylinder(engine(), [3000, 4500], "100 kPa", "103 kPa", fuel="equal")
    assert equal["lambda"] == pytest.approx(solved["lambda_of_equal_fuel"], rel=1e-12)
    # A lean charge holds less fuel, and so some more air.
    assert equal["lambda_of_equal_fuel"] == pytest.approx(equal["lambda"], rel=5e-3)
    fullest = np.max(solved["fresh_mass"], axis=1, keepdims=True)
    lean = equal["lambda"] > np.max(equal["lambda"], axis=1, keepdims=True) - 1e-3
    assert solved["fresh_mass"][lean] == pytest.approx(
        np.broadcast_to(fullest, (2, 8))[lean], rel=2e-3
    )
    # As much fuel in every cylinder: a share f/(1 + w + f) of its charge, f fuel per dry air.
    mixture = engine().setup.mixture
    per_air = mixture.fuel_fraction / mixture.air_fraction * aim / equal["lambda"]
    trapped = equal["fresh_mass"] * per_air / (1.0 + mixture.vapour + per_air)
    assert np.ptp(trapped, axis=1) / np.mean(trapped, axis=1) == pytest.approx([0, 0], abs=8e-3)
    trims = solved["fuel_trim_for_one_lambda"][1]
    level = every_cylinder(engine(), 4500, "100 kPa", "103 kPa", fuel=list(trims))
    assert level["lambda"] == pytest.approx(np.full((1, 8), aim), rel=1e-9)


def test_a_later_spark_gives_its_cylinder_a_margin(solved: CylinderPoints) -> None:
    margins = solved.knock_margins()
    assert margins.shape == (2, 8)
    worst = int(np.argmin(margins[0]))
    knock = solved["knock_integral"][0]
    assert knock[worst] == pytest.approx(np.max(knock), rel=1e-3)
    trim = [0.0] * 8
    trim[worst] = -5.0 * np.pi / 180.0
    eased = every_cylinder(engine(), [3000, 4500], "100 kPa", "103 kPa", spark_trim=trim)
    moved = eased.knock_margins() - margins
    assert np.rad2deg(moved[0, worst]) == pytest.approx(5.0, abs=0.3)
    assert np.rad2deg(np.max(np.abs(np.delete(moved[0], worst)))) < 0.3


def test_blown_cylinders_differ_less_at_every_speed() -> None:
    rpm = [3000, 3600, 4500, 5700]
    given = (engine(), rpm)
    blown = every_cylinder(*given, "200 kPa", "115 kPa")
    assert np.all(blown.spread < every_cylinder(*given, "100 kPa", "103 kPa").spread)
    assert np.all(np.abs(blown.filling_error()) < 0.03)


def test_unequal_primaries_make_their_cylinders_differ() -> None:
    lengths = ["31 in"] * 7 + ["40 in"]
    alone = {
        "volume": "0.2 m^3",
        "length": "0.2 m",
        "diameter": "0.5 m",
        "primary_lengths": lengths,
    }
    points = every_cylinder(engine(collectors=alone, plenum=None), 4500, "100 kPa", "103 kPa")
    fresh = points["fresh_mass"][0]
    assert np.ptp(fresh[:7]) / fresh[0] < 0.01
    assert abs(fresh[7] / np.mean(fresh[:7]) - 1.0) > 0.01


def test_waves_tell_where_each_cylinder_stands(solved: CylinderPoints) -> None:
    waves = solved.waves(4500)
    assert np.all(np.diff(waves.angle) > 0.0)
    assert np.ptp(waves.angle) == pytest.approx(4 * np.pi, abs=0.05)
    for number in (1, 6):  # each peaks in pressure soon after it fires
        peak = waves.own_angle(number)[np.argmax(waves.inside[:, number - 1])]
        assert 0.1 < peak < 0.6
    frame = waves.to_frame()
    assert {"angle", "plenum", "collector_2", "exhaust_8"} <= set(frame.columns)
    assert len(waves.plot().axes) == 3
    assert len(solved.plot().axes) == 2
    assert len(solved.to_frame()) == 16
    with pytest.raises(airchain.InputError, match="one of the points' speeds, 3000, 4500"):
        solved.waves(5000)


def test_even_cylinders_agree_on_crank_marks() -> None:
    even = crank_engines.engine(firing_order=V_EIGHT["firing_order"])
    fine = airchain._core.CycleControls(tolerance=1e-9)
    given = (even, 5200, "100 kPa", "103 kPa")
    locked = every_cylinder(*given, controls=fine, mark="0.25 deg")
    assert locked.spread[0] < 1e-9
    assert every_cylinder(*given, controls=fine).spread[0] > 1e-7
    with pytest.raises(airchain.InputError, match="mark"):
        every_cylinder(*given, mark="20 deg")


def test_threads_and_neighbours_move_nothing(solved: CylinderPoints) -> None:
    alone = every_cylinder(engine(), 4500, "100 kPa", "103 kPa", threads=1)
    assert np.array_equal(alone["fresh_mass"][0], solved["fresh_mass"][1])


def test_progress_counts_points() -> None:
    told: list[tuple[int, int]] = []
    every_cylinder(
        engine(),
        [5000, 6000],
        "100 kPa",
        "103 kPa",
        progress=lambda done, all_: told.append((done, all_)),
    )
    assert told[-1] == (2, 2)


def test_a_point_cut_short_says_so() -> None:
    short = airchain._core.CycleControls(most_cycles=2)
    points = every_cylinder(engine(), 4500, "100 kPa", "103 kPa", controls=short)
    assert list(points.status) == ["not_converged"]
    assert "did not converge" in str(points)
    assert not points.waves(4500).angle.size
    assert np.isnan(points.filling_error()).all()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"firing_order": [1, 8, 4, 3, 6, 5, 7, 7]}, "named twice: 7; not one that fires: 2"),
        ({"firing_order": [1, 3, 4, 2]}, "each of the 8 cylinders once"),
        ({"firing_order": [1, 3, 8, 4, 6, 5, 7, 2]}, "brings up"),
        ({"crank": "flat"}, "more than two turns"),
        ({"crank": "round"}, "be one of even, crossplane, flat"),
        ({"banks": [[1, 3, 5, 7], [2, 4, 6]]}, "not one that stands in a bank: 8"),
        ({"banks": 4}, "be lists of cylinder numbers"),
        ({"banks": [["1", 3], [2, 4]]}, "be lists of cylinder numbers"),
        ({"throws": ["0 deg", "90 deg"]}, "not stand beside throws"),
        ({"crank": None, "throws": ["0 deg", "90 deg"]}, "one for each of the 4 cylinders"),
        ({"crank": None, "bank_angle": "90 deg"}, "throws or a crank"),
        ({"firing_order": None}, "stand only with a firing_order"),
        ({"plenum": {"volume": 0.0}}, "volume"),
        ({"plenum": {"volume": "7 L", "diameter": "4 in"}}, "stand only with a length"),
        ({"plenum": {"volume": "7 L", "runner_lengths": ["12 in"]}}, "each of the 8 cylinders"),
        ({"collectors": {}}, "volume"),
        ({"collectors": {"volume": "1 L", "merge_length": "5 in"}}, "not stand beside"),
        (
            {"collectors": {"volume": "1 L", "primaries": [[1, 3, 5], [2, 4, 6, 8]]}},
            "not one that ends in a collector: 7",
        ),
        ({"collectors": {"volume": "1 L", "length": "0.45 m"}}, "diameter"),
    ],
)  # fmt: skip
def test_refuses_what_does_not_fit_and_says_what_would(more: dict[str, Any], words: str) -> None:
    with pytest.raises(airchain.InputError) as refused:
        engine(**more)
    assert words in str(refused.value)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"fuel": "lean"}, '"trimmed", "equal"'),
        ({"fuel": [0.1]}, "one for each of the 8 cylinders"),
        ({"fuel": [0.9] * 8}, "between -0.5 and 0.5"),
        ({"spark_trim": ["2 deg"]}, "one for each of the 8 cylinders"),
        ({"spark_trim": ["90 deg"] * 8}, "a cylinder's trim moves it there"),
        ({"speed": 3000}, "be a key that is known"),
    ],
)
def test_refuses_trims_that_do_not_fit(more: dict[str, Any], words: str) -> None:
    with pytest.raises(airchain.InputError) as refused:
        every_cylinder(engine(), 4500, "100 kPa", "103 kPa", **more)
    assert words in str(refused.value)


def test_an_engine_without_an_order_says_what_to_type() -> None:
    with pytest.raises(airchain.InputError, match="type its firing_order"):
        every_cylinder(crank_engines.engine(), 4500, "100 kPa", "103 kPa")
    assert "firing order is typed" in " ".join(crank_engines.engine().notes)


@pytest.mark.slow
def test_the_notebook_tells_the_table_that_the_script_writes() -> None:
    root = Path(__file__).resolve().parents[2]
    script = runpy.run_path(str(root / "tests" / "bench" / "run_cylinders.py"))
    text = (root / "examples" / "headers_before_and_after_the_blower.md").read_text()
    for case in script["CASES"]:
        told = script["figures"](script["solved"](case))
        assert told["points"] == len(script["RPM"]), case.words
        assert script["row_of"](case, told) in text
