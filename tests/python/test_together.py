"""The chain's air is the mean of all cylinders: against whole engines, and the same everywhere."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import blown_cam_engine as blown
import scenario
from airchain import _core
from airchain.base import cache as kept_files
from airchain.chain import one_for_all
from airchain.chain.matched_cycles import matched_points
from airchain.cylinder import _kept_places, every_cylinder, together
from airchain.cylinder.spread import spread_of, told_apart
from airchain.cylinder.together import together_of

SPEEDS = [2700.0, 3500.0, 4300.0, 5200.0, 7000.0]
ALONE = {"engine.spread": "one cylinder"}


@cache
def direct() -> airchain.Build:
    """The V8 pulled straight from its cycles."""
    return blown.eight().without_surface()


@cache
def alone() -> airchain.Build:
    """The V8 with one cylinder standing for all."""
    return blown.built({**blown.EIGHT, **ALONE})


def mean_over_one(build: airchain.Build, points: dict[str, Any]) -> np.ndarray:
    """Mean charge of all cylinders over that of the one, by whole engines at each state."""
    engine = airchain.CrankEngine.of(build)
    given = {name: values for name, values in points.items() if name != "speed"}
    whole = every_cylinder(engine, points["speed"] * 30.0 / np.pi, **given)
    one = _core.run_cycles(build.cylinder.setup, points)
    return np.asarray(whole["fresh_mass"].mean(axis=1) / one["fresh_mass"])


def test_a_place_of_the_table_is_the_mean_of_the_whole_engine() -> None:
    build = blown.eight()
    cylinder = build.cylinder
    assert cylinder is not None
    table = together_of(cylinder).table
    assert build.chain.breathing.together == table
    i, j = 6, 1
    speed, ratio = float(table.engine_speed[i]), float(table.pressure_ratio[j])
    point = {
        "speed": np.array([speed]), "plenum_pressure": np.array([110e3 * ratio]),
        "exhaust_pressure": np.array([110e3]), "half_burned": np.deg2rad([12.0]),
        "plenum_temperature": np.array([_core.Breathing.TOGETHER_TEMPERATURE]),
    }  # fmt: skip
    # The table's whole engines stop and step more coarsely.
    assert table.values[i, j] == pytest.approx(mean_over_one(build, point)[0], rel=3e-3)
    assert np.ptp(table.values) > 0.05


def test_places_lie_at_speeds_that_cycles_run_at() -> None:
    low, high = next(f[2:4] for f in _core.CyclePoint.fields() if f[0] == "speed")
    for redline in ("600 rpm", "18500 rpm"):
        cylinder = (
            alone().without_surface().replace({"engine.redline": redline, "vehicle": None}).cylinder
        )
        assert cylinder is not None
        speeds = together.LATTICES["fine"].rpm(cylinder) * np.pi / 30.0
        assert low <= speeds[0] * (1.0 + 1e-12), redline
        assert speeds[-1] <= high * (1.0 + 1e-12), redline


@pytest.mark.parametrize("level", ["naturally aspirated", "full"])
def test_the_chains_air_is_the_cycles_times_what_all_fill_more(level: str) -> None:
    build = direct().naturally_aspirated() if level != "full" else direct().level("full")
    pull = build.pull(SPEEDS)
    points = matched_points(pull)
    cycles = pull.cycles()
    assert build.cylinder is not None
    found = spread_of(build.cylinder, points)
    assert np.abs(found.filling - 1.0).max() > 0.01
    wanted = cycles["volumetric_efficiency"] * found.filling
    assert pull["volumetric_efficiency"] == pytest.approx(wanted, rel=5e-4)
    off = float(cycles.notes[1].partition("within ")[2].split()[0])
    assert off < 0.06
    low, high = np.percentile(100.0 * (found.filling - 1.0), [0, 100])
    assert f"fill {low:+.1f} to {high:+.1f} % more than this one" in cycles.notes[0]


def test_it_moves_the_match_as_air_does() -> None:
    """More air through the same blower is less boost; both roads to a pull have it."""
    off = []
    for all_of, one_of in ((blown.eight(), alone()), (direct(), alone().without_surface())):
        ours, one = (build.level("full").pull(SPEEDS) for build in (all_of, one_of))
        assert one.build.chain.breathing.together is None
        more = ours["volumetric_efficiency"] / one["volumetric_efficiency"]
        assert np.abs(more - 1.0).max() > 0.01
        up = more > 1.002
        assert up.any()
        assert (ours["air_flow"][up] > one["air_flow"][up]).all()
        assert (ours["boost"][up] < one["boost"][up]).all()
        off.append(more)
    assert off[0] == pytest.approx(off[1], abs=3e-3)


def test_stations_single_points_and_time_have_the_pulls_air() -> None:
    for build in (blown.eight().level("full"), direct().level("full")):
        pull = build.pull(SPEEDS)
        assert build.pull(SPEEDS[:1])["air_flow"][0] == pull["air_flow"][0]
        states = pull.stations(SPEEDS[2]).states
        assert states["plenum"]["dry_air_flow"] == pytest.approx(pull["air_flow"][2], rel=1e-9)
        timed = build.timed_pull(SPEEDS, rpm_per_second=2.0)
        assert timed["volumetric_efficiency"] == pytest.approx(
            pull["volumetric_efficiency"], rel=2e-3
        )


def test_without_collectors_or_with_typed_breathing_one_stands_for_all() -> None:
    plain = blown.built({**blown.EIGHT, "engine.collectors": None,
                         "plan.cylinders.worst_cylinder": 1.04})  # fmt: skip
    for build in (plain, blown.typed(), alone()):
        assert not told_apart(build.cylinder)
        assert build.chain.breathing.together is None
        assert build.chain == build.stations
    assert blown.eight().chain != blown.eight().stations


def test_held_from_another_build_it_stays_whatever_is_replaced(tmp_path: Path) -> None:
    build = blown.eight().level("full")
    with blown.few_nodes():
        held = one_for_all(build)
    assert not told_apart(held.cylinder)
    ours, theirs = build.pull(SPEEDS), held.pull(SPEEDS)
    for name in ("air_flow", "power", "boost"):
        assert np.array_equal(ours[name], theirs[name])
    assert any("is held as it was" in note for note in theirs.notes)
    other = held.without_surface().replace({"engine.compression_ratio": 8.0})
    assert other.chain.breathing.together == build.chain.breathing.together
    path = other.save(tmp_path / "held.toml")
    assert airchain.load(path) == other
    assert airchain.load(path).chain == other.chain
    assert held != build
    # Typed volumetric efficiency is of all cylinders, whatever was held.
    with pytest.raises(airchain.InputError, match="of all cylinders already"):
        _core.Breathing(
            table=_core.breathing_table([1.0], [1.0], [[1.0]]),
            together=build.chain.breathing.together,
        )


def test_the_exhausts_loss_begins_behind_what_cycles_hold() -> None:
    """Collectors that whole engines have are not counted a second time."""
    with_collectors, without = blown.eight(), blown.built()
    right = {"exhaust.begins": "behind the collectors"}
    assert blown.built({**blown.EIGHT, **right}).chain == with_collectors.chain
    for build, typed, wanted in (
        (with_collectors, "behind the primaries", "behind the collectors"),
        (with_collectors, "at the ports", "behind the collectors"),
        (without, "behind the collectors", "behind the primaries"),
    ):
        with pytest.raises(airchain.InputError, match=f'be "{wanted}" on this engine') as refused:
            build.replace({"exhaust.begins": typed})
        assert "must not count twice" in str(refused.value)
    typed_engine = blown.typed()
    for begins in ("at the ports", "behind the primaries"):
        assert typed_engine.replace({"exhaust.begins": begins}).chain == typed_engine.chain


def test_states_beyond_the_whole_engines_are_flagged() -> None:
    chain = blown.eight().chain
    states = _core.engine_states(
        chain, np.full(2, 4000.0 * np.pi / 30.0), np.array([60e3, 101e3]), np.full(2, 300.0)
    )
    bit = 1 << list(_core.flag_names()).index("outside_breathing_table")
    beyond = [bool(int(flags) & bit) for flags in states["flags"]]
    assert beyond == [True, False]


def test_it_is_made_once_and_an_interrupt_keeps_what_is_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cylinder = blown.eight().cylinder
    assert cylinder is not None
    before = together_of(cylinder).table
    monkeypatch.setenv(kept_files.FOLDER, str(tmp_path))
    monkeypatch.setattr(_kept_places, "_BATCH", 16)
    real, calls = _core.run_engines, list[int]()

    def run(*given: Any, **more: Any) -> Any:
        calls.append(len(given[7]["speed"]))
        if len(calls) == 2:
            raise KeyboardInterrupt
        return real(*given, **more)

    monkeypatch.setattr(_core, "run_engines", run)

    def anew() -> Any:
        monkeypatch.setattr(together, "_made", type(together._made)(8))
        monkeypatch.setattr(together._kept, "made", {})
        return together_of(cylinder).table

    with pytest.raises(KeyboardInterrupt):
        anew()
    assert calls == [16, 16]
    assert anew() == before
    assert sum(calls[2:]) == 40 - 16
    solved = len(calls)
    assert anew() == before
    assert len(calls) == solved, "read back"
    (file,) = kept_files.entries()
    assert file.words == "all cylinders together"


def test_a_dead_engine_is_refused_and_lost_places_are_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    cylinder = blown.eight().cylinder
    assert cylinder is not None

    def solved(dead: slice) -> Any:
        def solve(*given: Any) -> Any:
            places = given[3]
            found = np.stack([np.full(len(places), 0.97), np.ones(len(places))], axis=1)
            found[dead, 0] = np.nan
            return found

        monkeypatch.setattr(together, "_solved", solve)
        monkeypatch.setattr(together, "_made", type(together._made)(8))
        monkeypatch.setattr(together, "_kept", _kept_places.KeptPlaces("together", "all"))
        monkeypatch.setattr(kept_files, "read", lambda name: None)
        monkeypatch.setattr(kept_files, "write", lambda name, text: None)
        return together_of(cylinder)

    told = solved(slice(0, 1))
    assert "have no answer" in told.cautions[0]
    assert np.all(told.table.values == 0.97)
    with pytest.raises(airchain.InputError, match="dies everywhere"):
        solved(slice(None))


@pytest.mark.slow
@pytest.mark.usefixtures("fine_surfaces")
def test_the_chains_air_is_that_of_whole_engines() -> None:
    """At the demo's own states, without a compressor and at its lowest and highest level."""
    rpm = np.array([2500.0, 3100.0, 4370.0, 4900.0, 5630.0, 7120.0, 7600.0])
    demo = scenario.full()
    for build in (demo.naturally_aspirated(), demo.level("tame"), demo):
        points = matched_points(build.without_surface().pull(rpm))
        wanted = mean_over_one(build, points)
        assert build.cylinder is not None
        off = spread_of(build.cylinder, points).filling / wanted - 1.0
        assert np.abs(off).max() < 0.011, (build.title, off)
        assert np.sqrt(np.mean(off**2)) < 0.0055, (build.title, off)
        assert np.abs(wanted - 1.0).max() > 0.02
