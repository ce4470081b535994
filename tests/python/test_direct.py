"""Pulls straight from the cylinder's cycles, without a breathing surface."""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import airchain
import scenario
from airchain import InputError, _core
from airchain.chain.build_words import surface_words
from airchain.cylinder import surface_cache
from airchain.cylinder.surface import ERRORS

SPEEDS = [3200.0, 4500.0, 6000.0, 7400.0]


@cache
def direct() -> airchain.Build:
    """The scenario's engine, which breathes by its cycles."""
    return airchain.load(scenario.FILE)


def test_a_pull_from_cycles_needs_no_surface(monkeypatch: pytest.MonkeyPatch) -> None:
    build = direct()

    def none(*_: object) -> None:
        raise AssertionError("a surface was made")

    monkeypatch.setattr(surface_cache, "surface_from_cycles", none)
    other = build.replace({"engine.camshaft.lobe_separation": "109 deg"})
    assert other.breathes_by_cycles
    assert other.pull([5000.0]).matched.all()
    assert airchain.ladder(other, [5000.0]).steps[-1].pull.matched.all()
    assert other.timed_pull([5000.0, 5500.0], rpm_per_second=500).matched.all()
    assert other.knock_margins([5000.0])["full"]["own_margin"].size == 1
    fuels = airchain.compare_fuels(other, ["e85", "methanol"], [5000.0])
    assert fuels.vapour_share("methanol") > fuels.vapour_share("e85") > 0.0


def test_filling_is_that_of_the_cycle_at_the_matched_state() -> None:
    solved = direct().level("full").pull(SPEEDS)
    cycles = solved.cycles()
    breathing, points = solved.build.chain.breathing, cycles.points
    at = breathing.together_speed(points["speed"], points["plenum_temperature"])
    ratio = points["plenum_pressure"] / points["exhaust_pressure"]
    filled = cycles["volumetric_efficiency"] * breathing.together.at(at, ratio)
    # A cycle alone stops a little earlier than one that is matched.
    assert solved["volumetric_efficiency"] == pytest.approx(filled, abs=4e-4)
    pumping = cycles["pmep"] / points["plenum_pressure"]
    ours = solved["pumping_pressure"] / points["plenum_pressure"]
    assert ours == pytest.approx(pumping, abs=4e-4)


def test_pull_stands_within_the_surface_s_error_of_one_on_a_surface() -> None:
    for name in ("tame", "full"):
        by_cycles = direct().level(name).pull(SPEEDS)
        on_surface = direct().with_surface().level(name).pull(SPEEDS)
        assert not on_surface.build.breathes_by_cycles
        # What stands on a surface says how far it is off, by the burn.
        (words,) = surface_words(on_surface.build)
        assert all(f"{100.0 * error:g} %" in words for error in ERRORS["fine"])
        assert surface_words(by_cycles.build) == []
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
    assert hash(with_surface) != hash(direct())
    assert with_surface.with_surface() is with_surface
    assert with_surface.without_surface() == direct()
    assert hash(with_surface.without_surface()) == hash(direct())
    assert direct().naturally_aspirated().breathes_by_cycles
    assert direct().replace({"engine.breathing": "cycles"}) == direct()
    assert direct().replace({"engine.breathing": "surface"}) == with_surface


@settings(max_examples=20)
@given(
    st.permutations(["level", "weather", "cam", "surface"]),
    st.sampled_from(["cycles", "surface"]),
)
def test_the_way_to_a_build_does_not_count(order: list[str], breathing: str) -> None:
    # Of one cam only, so that its surface is made once.
    acts = {
        "level": lambda build: build.level("tame"),
        "weather": lambda build: build.replace({"ambient.temperature": "90 degF"}),
        "cam": lambda build: build.replace({"engine.breathing_scale": 1.01}),
        "surface": lambda build: build.replace({"engine.breathing": breathing}),
    }
    one = direct()
    for name in order:
        one = acts[name](one)
    other = direct()
    for name in acts:
        other = acts[name](other)
    assert one == other
    assert one.fingerprint == other.fingerprint
    assert one.breathes == breathing


def test_a_build_is_saved_and_read_with_what_it_breathes_by(tmp_path: Path) -> None:
    for build in (direct().level("full"), direct().with_surface().level("full")):
        again = airchain.load(build.save(tmp_path / "kept.toml"))
        assert again == build
        assert again.breathes == build.breathes
        assert again.pull([6000.0])["power"][0] == build.pull([6000.0])["power"][0]


def test_sweeps_stand_on_a_surface() -> None:
    grid = airchain.sweep(direct(), {"rpm": [5000.0, 6000.0]}, columns=["power"])
    on_surface = direct().with_surface().pull([5000.0, 6000.0])
    assert grid["power"].values == pytest.approx(on_surface["power"], rel=0, abs=0)
    assert grid.attrs["breathing"] == "a surface of the cylinder's cycles"
    from_surface = airchain.sweep(direct().with_surface(), {"rpm": [5000.0, 6000.0]}, ["power"])
    assert from_surface.attrs == grid.attrs


def test_what_needs_many_points_names_the_surface_it_made() -> None:
    words = "stand on a breathing surface of the cylinder's cycles"
    plan = airchain.plan_levels(direct())
    assert plan.build.breathes == "surface"
    assert any(words in note for note in plan.notes)
    tables = airchain.calibrate(direct(), knock=False)
    assert tables.build.breathes == "surface"
    assert any(words in note for note in tables.notes)
    assert all(pull.build.breathes == "surface" for pull in tables.pulls.values())
    split = airchain.explain(direct().level("tame"), direct().level("full"), rpm=6000)
    power = direct().with_surface().level("full").pull([6000.0])["power"][0]
    assert split.second == pytest.approx(power, rel=1e-9)
    log = airchain.read_pulls(scenario.FILE.parent / "pulls" / "tame.csv").pulls[0]
    drive = direct().level("tame").chain.drive
    pull = log.steady("0.28 kg m^2", f"{drive.inertia} kg m^2", drive.speed_ratio)
    fit = airchain.reconcile(direct(), {"tame": pull}, ["volumetric_efficiency"])
    assert fit.build.breathes == "surface"
    assert any(words in note for note in fit.notes)


def test_a_report_tells_one_set_of_numbers() -> None:
    short = airchain.make_report(direct(), complete=False)
    assert "run at every point" in short.workshop.html
    assert "a surface of the cylinder's cycles" not in short.workshop.html
    steps = airchain.ladder(direct(), [5000.0, 6000.0])
    with pytest.raises(InputError, match=r"steps = the cylinder's cycle.*must breathe as the rep"):
        airchain.make_report(direct(), steps=steps)


def test_an_instant_of_a_timed_pull_is_the_pull_of_its_water() -> None:
    iced = scenario.iced()
    assert iced.breathes_by_cycles
    timed = iced.timed_pull([4000.0, 5000.0, 6000.0], rpm_per_second=400)
    water = timed["coolant_temperature"]
    assert water[0] < water[1] < water[2]
    for place, rpm in ((1, 5000.0), (2, 6000.0)):
        assert timed.at(rpm, "power") == pytest.approx(timed["power"][place], rel=2e-5)
    on_surface = iced.with_surface().timed_pull([4000.0, 5000.0, 6000.0], rpm_per_second=400)
    assert timed["ice_mass"] == pytest.approx(on_surface["ice_mass"], rel=0.01)


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
    with pytest.raises(InputError, match=r"breathing = \"nothing\"; must be one of cycles, surf"):
        direct().replace({"engine.breathing": "nothing"})
    with pytest.raises(InputError, match="breathing has no table"):
        _core.engine_states(direct().chain, [500.0], [1e5], [300.0])
    chain = direct().chain
    with pytest.raises(InputError, match=r"injection\.lambda"):
        _core.solve(chain, {"engine_speed": [500.0], "injection.lambda": [0.8, 0.9]})
