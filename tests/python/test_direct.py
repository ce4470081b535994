"""Pulls straight from the cylinder's cycles, without a breathing surface."""

from functools import cache

import numpy as np
import pytest

import airchain
import scenario
from airchain import InputError, _core
from airchain.cylinder import surface_cache

SPEEDS = [3200.0, 4500.0, 6000.0, 7400.0]


@cache
def direct() -> airchain.Build:
    """The scenario's engine, its pulls made by cycles."""
    return airchain.load(scenario.FILE).without_surface()


def test_a_pull_from_cycles_needs_no_surface(monkeypatch: pytest.MonkeyPatch) -> None:
    build = direct()

    def none(*_: object) -> None:
        raise AssertionError("a surface was made")

    monkeypatch.setattr(surface_cache, "surface_from_cycles", none)
    other = build.replace({"engine.camshaft.lobe_separation": "109 deg"})
    assert other.breathes_by_cycles
    assert other.pull([5000.0]).matched.all()


def test_filling_is_that_of_the_cycle_at_the_matched_state() -> None:
    solved = direct().level("full").pull(SPEEDS)
    cycles = solved.cycles()
    filling = np.asarray(cycles["volumetric_efficiency"])
    # The collector's gas is as hot as the chain has it there, not as the cycle sends it.
    assert solved["volumetric_efficiency"] == pytest.approx(filling, rel=3e-3)


def test_pull_stands_within_the_surface_s_error_of_one_on_a_surface() -> None:
    for name in ("tame", "full"):
        by_cycles = direct().level(name).pull(SPEEDS)
        on_surface = direct().with_surface().level(name).pull(SPEEDS)
        assert not on_surface.build.breathes_by_cycles
        # Tests stand on a coarse surface: 2.6 % off at worst.
        assert by_cycles["air_flow"] == pytest.approx(on_surface["air_flow"], rel=0.03)
        assert by_cycles["power"] == pytest.approx(on_surface["power"], rel=0.03)


def test_one_point_is_its_place_in_a_pull_bitwise() -> None:
    whole = direct().level("full").pull(SPEEDS)
    for i, rpm in enumerate(SPEEDS):
        assert direct().level("full").pull([rpm])["power"][0] == whole["power"][i]
    assert whole.stations(6000.0)["power"] == whole["power"][2]


def test_stations_are_those_of_the_matched_point() -> None:
    table = direct().level("full").pull([6000.0]).stations(6000.0)
    assert table.states["cylinder" if "cylinder" in table.states else table.names[-2]]
    point = direct().level("full").pull([6000.0])
    plenum = table.states["plenum"]["pressure"]
    assert plenum == pytest.approx(point["plenum_pressure"][0], rel=1e-6)


def test_breathing_by_cycles_is_part_of_a_build_s_state() -> None:
    with_surface = direct().with_surface()
    assert with_surface != direct()
    assert with_surface.fingerprint != direct().fingerprint
    assert with_surface.with_surface() is with_surface
    assert with_surface.without_surface() == direct()
    assert direct().naturally_aspirated().breathes_by_cycles


def test_sweeps_stand_on_a_surface() -> None:
    grid = airchain.sweep(direct(), {"rpm": [5000.0, 6000.0]}, columns=["power"])
    on_surface = direct().with_surface().pull([5000.0, 6000.0])
    assert grid["power"].values == pytest.approx(on_surface["power"], rel=0, abs=0)


def test_a_fit_s_factor_acts_on_cycles_too() -> None:
    more = direct().replace({"engine.breathing_scale": 1.05}).naturally_aspirated()
    ratio = (
        more.pull([5000.0])["volumetric_efficiency"]
        / (direct().naturally_aspirated().pull([5000.0])["volumetric_efficiency"])
    )
    assert ratio == pytest.approx(1.05, rel=5e-3)


def test_names_the_bad_input_of_cycles() -> None:
    with pytest.raises(InputError, match="camshaft"):
        scenario.typed().without_surface()
    with pytest.raises(InputError, match=r"surface = \"nothing\"; must be one of"):
        airchain.load(scenario.FILE).replace({"engine.surface": "nothing"})
    chain = direct().chain
    with pytest.raises(InputError, match=r"injection\.lambda"):
        _core.solve(chain, {"engine_speed": [500.0], "injection.lambda": [0.8, 0.9]})
