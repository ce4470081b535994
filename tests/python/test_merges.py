"""Primaries that meet in two steps, collectors that differ, and a plenum behind a throttle."""

from __future__ import annotations

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
}
COLLECTORS: dict[str, Any] = {"merge_length": "6 in", "length": "0.45 m", "diameter": "4 in"}
PAIRS: dict[str, Any] = {
    "pairs": [[1, 5], [3, 7], [2, 6], [4, 8]],
    "merge_length": "3 in",
    "length": "15 in",
    "diameter": "2.5 in",
}
TWO_STEPS: dict[str, Any] = {**COLLECTORS, "secondaries": PAIRS}


def engine(**more: Any) -> airchain.CrankEngine:
    """An invented V8; what is given replaces its parts."""
    return crank_engines.engine(**{**V_EIGHT, **more})


def layout(**more: Any) -> Any:
    """The layout of it."""
    made = engine(**more).layout
    assert made is not None
    return made


@pytest.fixture(scope="module")
def solved() -> CylinderPoints:
    """Two speeds of four into two into one."""
    whole = engine(collectors=TWO_STEPS, plenum={"volume": "7 L"})
    return every_cylinder(whole, [3000, 4500], "100 kPa", "103 kPa")


def test_four_into_two_into_one_are_rooms_one_after_another() -> None:
    made = layout(collectors=TWO_STEPS)
    assert made.collector == (0, 1, 0, 1, 0, 1, 0, 1)
    assert made.into == (-1, -1, 0, 0, 1, 1)
    assert made.outlet == (2, 4, 3, 5, 2, 4, 3, 5)
    first, pair = made.collectors[0], made.collectors[2]
    bore = engine().setup.exhaust.taper.diameter
    inch = 0.0254

    def area(diameter: float) -> float:
        return 0.25 * np.pi * diameter**2

    assert pair.volume == pytest.approx(1.5 * inch * (2 * area(bore) + area(2.5 * inch)))
    assert first.volume == pytest.approx(3 * inch * (2 * area(2.5 * inch) + area(4 * inch)))
    # A secondary goes over into merges at both ends; a collector's pipe ends in the open.
    assert (pair.pipe.end_correction, pair.outer_correction) == (0.0, 0.0)
    assert (first.pipe.end_correction, first.outer_correction) == (0.0, 0.6133)
    typed = layout(collectors={**COLLECTORS, "end_correction": 0.3, "inner_end_correction": 0.2})
    assert typed.collectors[1].outer_correction == 0.3
    assert typed.collectors[1].pipe.end_correction == 0.2
    assert typed.outlet == typed.collector


def test_a_list_gives_each_collector_its_own() -> None:
    unlike = {**COLLECTORS, "length": ["18 in", "30 in"], "diameter": ["4 in", "3 in"]}
    one, other = layout(collectors=unlike).collectors
    assert (one.pipe.taper.length, other.pipe.taper.length) == pytest.approx((0.4572, 0.762))
    assert other.volume < one.volume
    assert other.pipe.cells > one.pipe.cells
    pairs = {**PAIRS, "length": ["15 in", "15 in", "12 in", "12 in"]}
    rooms = layout(collectors={**COLLECTORS, "secondaries": pairs}).collectors
    assert [round(room.pipe.taper.length / 0.0254) for room in rooms[2:]] == [15, 15, 12, 12]


def test_each_cylinder_may_have_pipes_of_its_own() -> None:
    widths = ["1.75 in"] * 4 + ["2 in"] * 4
    made = layout(collectors={**COLLECTORS, "primary_diameters": widths})
    assert [round(pipe.diameter / 0.0254, 2) for pipe in made.primaries] == [1.75] * 4 + [2.0] * 4
    usual = engine().setup
    assert {pipe.length for pipe in made.primaries} == {usual.exhaust.taper.length}
    assert set(made.runners) == {(usual.intake.taper.length, usual.intake.taper.diameter)}


def test_merges_are_told_beside_collectors(solved: CylinderPoints) -> None:
    assert solved.converged.all()
    assert solved["collector_pressure"].shape == (2, 2)
    assert solved["merge_pressure"].shape == (2, 4)
    assert np.array_equal(solved["outlet_pressure"][:, 0], solved["merge_pressure"][:, 0])
    assert np.max(np.abs(solved["whole_mass_error"])) < 1e-9
    assert np.max(np.abs(solved["whole_energy_error"])) < 1e-9
    waves = solved.waves(4500)
    assert waves.merges.shape[1] == 4
    assert "merge 4" in str(waves)
    assert "merge_4" in waves.to_frame()
    lines = {line.get_label() for line in waves.plot().axes[1].get_lines()}
    assert {"collector 2", "merge 4"} <= lines


@pytest.mark.slow
def test_rooms_that_grow_leave_one_cylinder_that_stands_for_all() -> None:
    """What is felt of other cylinders falls as one over the volume of merges and collectors."""

    def large(volume: str) -> Any:
        own = {"volume": volume, "length": "4 in"}
        pairs = {"pairs": PAIRS["pairs"], **own, "diameter": "5.5 in"}
        collectors = {**own, "diameter": "7.5 in", "secondaries": pairs}
        whole = every_cylinder(engine(collectors=collectors), 2500, "100 kPa", "103 kPa")
        return whole["fresh_mass"][0]

    one = engine().points(2500, "100 kPa", "103 kPa")["fresh_mass"]
    small, larger = large("50 L") / one - 1.0, large("200 L") / one - 1.0
    assert np.mean(larger) == pytest.approx(0.0, abs=0.003)
    assert np.ptp(small) / np.ptp(larger) == pytest.approx(4.0, rel=0.25)


def test_how_primaries_meet_moves_the_charge(solved: CylinderPoints) -> None:
    one_step = engine(collectors=COLLECTORS, plenum={"volume": "7 L"})
    points = every_cylinder(one_step, [3000, 4500], "100 kPa", "103 kPa")
    assert "merge_pressure" not in points.columns
    moved = solved["fresh_mass"] / points["fresh_mass"] - 1.0
    assert np.max(np.abs(moved)) > 0.02
    longer = solved.engine.replace({"collectors.secondaries.length": "30 in"})
    again = every_cylinder(longer, 4500, "100 kPa", "103 kPa")
    assert np.max(np.abs(again["fresh_mass"][0] / solved["fresh_mass"][1] - 1.0)) > 0.01


def test_a_throttle_holds_the_plenum_below_what_stands_before_it() -> None:
    def held(bores: dict[str, Any]) -> CylinderPoints:
        plenum = {"volume": "7 L", "throttle": bores}
        return every_cylinder(engine(plenum=plenum), 4500, "100 kPa", "103 kPa")

    wide = held({"diameter": "4.5 in", "count": 2})
    half = held({"diameter": "4.5 in", "count": 2, "opening": 0.12})
    assert wide.converged.all()
    assert half.converged.all()
    assert 0.99e5 < wide["plenum_pressure"][0] < 1e5
    assert half["plenum_pressure"][0] < 0.95 * wide["plenum_pressure"][0]
    assert abs(half.filling_error()[0]) < 0.1


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"pairs": [[1, 5], [3, 7], [2, 6], [4]]}, "not one that meets another first: 8"),
        ({"pairs": [[1, 2], [3, 7], [5, 6], [4, 8]]}, "cylinders 1 and 2 end in different ones"),
        ({"pairs": [1, 5]}, "be lists of cylinder numbers"),
        ({"pairs": None}, "pairs"),
        ({"length": None}, "length"),
        ({"length": ["15 in", "15 in"]}, "one for each of the 4 pairs"),
        ({"volume": "0.3 L"}, "not stand beside"),
        ({"merge_length": None}, "or merge_length"),
        ({"end_correction": 0.6}, "be a key of"),
    ],
)
def test_refuses_pairs_that_do_not_fit(more: dict[str, Any], words: str) -> None:
    typed = {name: value for name, value in {**PAIRS, **more}.items() if value is not None}
    with pytest.raises(airchain.InputError) as refused:
        engine(collectors={**COLLECTORS, "secondaries": typed})
    assert words in str(refused.value)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"collectors": {**COLLECTORS, "length": ["18 in"]}}, "one for each of the 2 collectors"),
        ({"collectors": {**COLLECTORS, "diameter": ["4 in", "3 ft"]}}, "diameter"),
        ({"collectors": {"volume": "1 L", "end_correction": 0.6}}, "stand only with a length"),
        ({"collectors": {**COLLECTORS, "end_correction": 2}}, "end_correction"),
        ({"collectors": {**COLLECTORS, "primary_diameters": ["2 in"]}}, "each of the 8 cylinders"),
        (
            {"collectors": {**COLLECTORS, "primary_diameters": ["9 ft"] * 8}},
            "be diameters between",
        ),
        ({"plenum": {"volume": "7 L", "throttle": {}}}, "diameter"),
        (
            {"plenum": {"volume": "7 L", "length": "1 ft", "diameter": "4 in",
                        "throttle": {"diameter": "4 in"}}},
            "not stand beside a length",
        ),
        ({"plenum": {"volume": "7 L", "throttle": {"diameter": "4 in", "opening": 2}}}, "opening"),
    ],
)  # fmt: skip
def test_refuses_rooms_that_contradict_themselves(more: dict[str, Any], words: str) -> None:
    with pytest.raises(airchain.InputError) as refused:
        engine(**more)
    assert words in str(refused.value)
