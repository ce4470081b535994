"""Which cylinder is worst, by firing order and pipes: one answer for pull, ladder, plan and all."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import airchain
import blown_cam_engine as blown
import scenario
from airchain import _core
from airchain.base import cache as kept_files
from airchain.calibration import Calibration
from airchain.chain import worst_cylinders
from airchain.chain.matched_cycles import matched_points
from airchain.chain.worst_cylinders import one_for_all
from airchain.cylinder import _kept_places, _whole_nodes, every_cylinder
from airchain.cylinder.spark_searches import margin_of, searched
from airchain.cylinder.spread import Spread, spread_of, told_apart
from airchain.plan import Plan

DEGREE = np.pi / 180.0
SPEEDS = [3500.0, 5200.0, 7000.0]


def states(*rows: tuple[float, float, float, float]) -> dict[str, Any]:
    """States of engine speed [rpm], plenum and exhaust pressure [Pa], charge temperature [K]."""
    rpm, plenum, exhaust, temperature = np.array(rows).T
    return {"speed": rpm * np.pi / 30.0, "plenum_pressure": plenum, "exhaust_pressure": exhaust,
            "plenum_temperature": temperature}  # fmt: skip


STATES = (
    (3100.0, 99e3, 101e3, 300.0),
    (5130.0, 150e3, 104e3, 320.0),
    (6900.0, 210e3, 118e3, 335.0),
)


def spread(*rows: tuple[float, float, float, float], of: airchain.Build | None = None) -> Spread:
    """The spread of the V8 at states."""
    cylinder = (of or blown.eight()).cylinder
    assert cylinder is not None
    return spread_of(cylinder, states(*rows))


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own, and nothing in memory but the build."""
    assert blown.eight().chain
    monkeypatch.setenv(kept_files.FOLDER, str(tmp_path))
    forget(monkeypatch)
    return tmp_path


def forget(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of whole engines stays in memory but how all cylinders fill together."""
    monkeypatch.setattr(_whole_nodes._kept, "made", {})


def counted(monkeypatch: pytest.MonkeyPatch, stop_at: int = 0) -> list[int]:
    """How many whole engines each call of the core solves; one call may be interrupted."""
    real, calls = _core.run_engines, list[int]()

    def run(*given: Any, **more: Any) -> Any:
        calls.append(len(given[7]["speed"]))
        if len(calls) == stop_at:
            raise KeyboardInterrupt
        return real(*given, **more)

    monkeypatch.setattr(_core, "run_engines", run)
    return calls


def test_a_place_of_the_lattice_is_the_whole_engine_itself() -> None:
    build = blown.eight()
    cylinder = build.cylinder
    assert cylinder is not None
    lattice = _whole_nodes.lattice_of(cylinder)
    rpm, ratio = 7.0 * lattice.step_of(cylinder), lattice.ratios[1]
    found = spread((rpm, ratio * 110e3, 110e3, 320.0))
    half = np.deg2rad(14.0)
    given = {"plenum_temperature": 320.0, "half_burned": half}
    engine = airchain.CrankEngine.of(build)
    whole = every_cylinder(engine, [rpm], ratio * 110e3, 110e3, **given)
    one = engine.points([rpm], ratio * 110e3, 110e3, **given)
    assert found.charge == pytest.approx(whole["fresh_mass"] / one["fresh_mass"], rel=1e-9)
    assert found.residual == pytest.approx(
        whole["residual_fraction"] - one["residual_fraction"], abs=1e-9
    )
    assert np.ptp(found.air) > 0.005
    assert found.air.mean() == pytest.approx(1.0, rel=1e-12)
    assert found.settled.all()
    assert not found.held.any()


def test_equal_fuel_counts_in_peak_pressure_and_knock() -> None:
    """The worst cylinder with as much fuel in each, against whole engines solved so."""
    build = blown.eight()
    cylinder = build.cylinder
    assert cylinder is not None
    rpm = 6.0 * _whole_nodes.lattice_of(cylinder).step_of(cylinder)
    found, half = spread((rpm, 110e3, 110e3, 320.0)), np.deg2rad(14.0)
    engine = airchain.CrankEngine.of(build)
    given = {"plenum_temperature": 320.0, "half_burned": half}
    equal = every_cylinder(engine, [rpm], 110e3, 110e3, fuel="equal", **given)
    one = engine.points([rpm], 110e3, 110e3, **given)
    assert np.ptp(equal["lambda"]) > 0.03
    assert found.peak == pytest.approx(equal["peak_pressure"] / one["peak_pressure"], rel=0.01)
    # The worst cylinder, burning later by what is told, is as far from knock as the one was.
    at = int(found.number("later")[0]) - 1
    trims = np.zeros(8)
    trims[at] = -float(found.later[0, at])
    eased = every_cylinder(
        engine, [rpm], 110e3, 110e3, fuel="equal", spark_trim=trims.tolist(), **given
    )
    away = np.log(eased["knock_integral"][0, at] / one["knock_integral"][0])
    before = np.log(equal["knock_integral"][0, at] / one["knock_integral"][0])
    assert abs(away) < max(0.15 * abs(before), 0.03)


def test_a_state_has_one_answer_whoever_asks(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = counted(monkeypatch)
    alone = [spread(row) for row in STATES]
    solved = sum(calls)
    whole = spread(*STATES[::-1])
    assert sum(calls) == solved, "each place is solved once"
    for i, one in enumerate(alone[::-1]):
        for name in ("charge", "peak", "later", "residual"):
            assert np.array_equal(getattr(whole, name)[i], getattr(one, name)[0])
    # Read back, nothing is solved and no number moves; a fresh run moves none either.
    forget(monkeypatch)
    again = spread(*STATES[::-1])
    assert sum(calls) == solved
    assert np.array_equal(again.later, whole.later)
    (file,) = kept_files.entries()
    assert not file.unfinished
    assert file.words == "cylinders told apart"
    file.path.write_text(file.path.read_text()[:-40] + "x" * 40)
    forget(monkeypatch)
    assert np.array_equal(spread(STATES[1]).later[0], whole.later[1])
    assert sum(calls) > solved, "a damaged file counts as none"


def test_an_interrupt_keeps_what_is_done(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_kept_places, "_BATCH", 4)
    calls = counted(monkeypatch, stop_at=2)
    with pytest.raises(KeyboardInterrupt):
        spread(STATES[1])
    assert calls == [4, 4]
    forget(monkeypatch)
    spread(STATES[1])
    assert calls == [4, 4, 4], "of 8 places 4 were kept"


def test_states_without_an_answer_have_none_and_edges_are_told() -> None:
    found = spread(STATES[1], (np.nan, 1e5, 1e5, 300.0))
    assert np.isfinite(found.later[0]).all()
    assert np.isnan(found.later[1]).all()
    assert list(found.number("later") > 0) == [True, False]
    assert not found.settled[1]
    beyond = spread((5000.0, 500e3, 100e3, 320.0))
    assert beyond.held.all()
    assert np.array_equal(beyond.later, spread((5000.0, 400e3, 100e3, 320.0)).later)


def test_another_firing_order_is_another_engine() -> None:
    flat = blown.built({
        **blown.EIGHT, "engine.crank": "flat", "engine.firing_order": [1, 8, 3, 6, 7, 2, 5, 4]
    })  # fmt: skip
    assert flat.fingerprint != blown.eight().fingerprint
    even = spread(STATES[0], of=flat)
    assert np.ptp(even.air) < 1e-3  # each bank of a flat crank fires evenly
    assert even.number("air")[0] == 0, "none is fullest"
    assert np.ptp(spread(STATES[0]).air) > 0.01
    assert abs(even.filling[0] - 1.0) > 0.01  # and still one cylinder is not the engine


def test_a_factor_and_the_geometry_do_not_stand_together() -> None:
    typed = {"plan.cylinders.worst_cylinder": 1.04}
    with pytest.raises(airchain.InputError) as refused:
        airchain.plan_levels(blown.eight().replace(typed))
    text = str(refused.value)
    assert "plan.cylinders.worst_cylinder = 1.04" in text
    assert "left out where firing order and collectors tell the cylinders apart" in text
    assert "take the line out" in text
    # Without collectors no cylinder feels another: the factor is what is known.
    alone = blown.built({**blown.EIGHT, **typed, "engine.collectors": None})
    assert not told_apart(alone.cylinder)
    with pytest.raises(airchain.InputError, match="firing_order and a table"):
        worst_cylinders(alone.pull([5000.0]))
    with pytest.raises(airchain.InputError, match=r"engine\.camshaft"):
        worst_cylinders(blown.typed().pull([5000.0]))


def test_one_cylinder_may_be_typed_to_stand_for_all() -> None:
    typed = {"engine.spread": "one cylinder", "plan.cylinders.worst_cylinder": 1.04}
    alone = blown.eight().replace(typed)
    assert not told_apart(alone.cylinder)
    assert alone.fingerprint != blown.eight().fingerprint
    pull = alone.pull(SPEEDS[:1])
    assert any("for the mean cycle, " in note for note in pull.notes)
    assert "in cylinder" not in pull.verdict
    saved = one_for_all(blown.eight())
    assert one_for_all(saved) is saved
    with pytest.raises(airchain.InputError, match=r"spread.*\n?.*firing_order and a table"):
        blown.built({"engine.spread": "one cylinder"})
    with pytest.raises(airchain.InputError, match="spread"):
        blown.eight().replace({"engine.spread": "two cylinders"})


@cache
def plan() -> Plan:
    """A plan of the V8."""
    return airchain.plan_levels(blown.eight())


@cache
def calibrated() -> Calibration:
    """A calibration of the V8, on a few cells."""
    rpm, pressure = np.arange(3000.0, 7001.0, 1000.0), np.arange(120e3, 241e3, 40e3)
    return airchain.calibrate(blown.eight(), rpm=rpm, pressure=pressure)


def test_pull_ladder_and_levels_tell_the_worst_cylinder() -> None:
    build = blown.eight()
    full = build.level("full").pull(SPEEDS)
    points = matched_points(full)
    cylinder = build.cylinder
    assert cylinder is not None
    best = build.chain.combustion.best_phasing
    one = margin_of(searched(cylinder.setup, points, best_phasing=best), points["half_burned"])
    found = spread_of(cylinder, points)
    assert full["knock_margin"] == pytest.approx(one - found.most_later, abs=1e-12)
    assert np.array_equal(full.knock.cylinder, found.number("later"))
    least = full.knock.least
    assert least is not None
    assert f"deg at {full.knock.place(least)}" in full.verdict
    unblown = build.naturally_aspirated().pull(SPEEDS[:1])
    number = spread_of(cylinder, matched_points(unblown)).number("later")[0]
    assert number > 0
    assert f"at {SPEEDS[0]:,.0f} rpm in cylinder {number}" in unblown.verdict
    assert any("worst cylinder" in note and "firing order" in note for note in full.notes)
    ladder, margins = airchain.ladder(build, SPEEDS), build.knock_margins(SPEEDS)
    assert margins.verdict.partition("Least")[2] == ladder.verdict.partition("Least")[2]
    table = margins.tables()[0]
    place = table.headings.index("worst cylinder")
    shown = [row[place] for row in table.rows if row[0] == "full"]
    assert shown == [str(number) if number else "–" for number in full.knock.cylinder]
    alone = full.at(SPEEDS[1], "knock_margin")
    assert alone == pytest.approx(full["knock_margin"][1], abs=1e-12)


def test_a_table_names_the_fullest_the_highest_and_the_one_nearest_to_knock() -> None:
    pull = blown.eight().naturally_aspirated().pull(SPEEDS)
    apart = worst_cylinders(pull)
    found = apart.spread
    assert apart.mixture == pytest.approx(0.86 * found.air)
    assert np.nanmin(apart.knock_margin, axis=1) == pytest.approx(pull["knock_margin"])
    assert apart.peak_pressure.max(axis=1) == pytest.approx(pull["peak_pressure"] * found.most_peak)
    assert found.most_peak == pytest.approx(found.peak.max(axis=1) / found.filling)
    rows = apart.tables()[0].rows
    assert [row[1] for row in rows] == [str(n) for n in found.number("air")]
    assert [row[5] for row in rows] == [str(n) for n in found.number("peak")]
    assert [row[7] for row in rows] == [str(n) for n in found.number("later")]
    assert float(rows[0][2]) == pytest.approx(100.0 * (found.most_air[0] - 1.0), abs=0.06)
    assert f"{100.0 * np.ptp(found.air, axis=1).max():.1f} % at most" in apart.verdict
    assert "Unlike injectors" in apart.text()


def test_why_fuller_cylinders_can_be_farther_from_knock_is_said_where_they_are() -> None:
    apart = worst_cylinders(blown.eight().naturally_aspirated().pull(SPEEDS))
    even = np.ones_like(apart.spread.later)
    said = "the charge is cooler and burns faster. At 5,200 rpm they take 4.0 % more, hold 2.7 %"
    at = np.array([[1.0], [2.0], [0.5]])
    for charge, residual, later, told in (
        (1.04, -0.027, -2.0 * DEGREE, True),
        (1.04, -0.027, 2.0 * DEGREE, False),
        (1.04, 0.027, -2.0 * DEGREE, False),
        (0.96, -0.027, -2.0 * DEGREE, False),
    ):
        found = replace(
            apart.spread, charge=charge * even, residual=residual * even, later=later * at * even
        )
        text = " ".join(replace(apart, spread=found).notes)
        assert (said in text) == told
        assert ("may burn 4.0 degrees earlier" in text) == told


def test_the_speeds_that_tell_most_have_every_worst_cylinder() -> None:
    apart = worst_cylinders(blown.eight().naturally_aspirated().pull(SPEEDS))
    speeds = np.arange(2600.0, 7700.0, 200.0)
    air, peak, margin = np.ones((3, speeds.size, 8))
    air[7, 2], peak[11, 5], margin[17, 0] = 1.3, 2.0, 0.5
    wide = SimpleNamespace(
        rpm=speeds, spread=SimpleNamespace(air=air), peak_pressure=peak, knock_margin=margin
    )
    shown = type(apart).telling.fget(wide)
    assert {7, 11, 17} <= {*shown}
    assert {0.0, *(speeds[shown] % 1000.0)} - {200.0, 600.0, 800.0} == {0.0}
    assert {3000.0, 4000.0, 5000.0, 6000.0, 7000.0} <= {*speeds[shown]}
    assert {speeds[0], speeds[-1]} <= {*speeds[shown]}
    assert len(shown) <= 10
    margin[3, 0] = np.nan
    assert 17 in type(apart).telling.fget(wide)


def test_plan_and_calibration_have_the_pulls_margin() -> None:
    for level in plan().levels:
        knock = level.trial.knock["as typed"]
        at = knock.searched
        pull = level.pull
        assert np.allclose(pull.rpm, knock.rpm)
        assert np.allclose(knock.margin[at], pull["knock_margin"][at], atol=1e-9)
        own = calibrated().spark.levels[level.name]
        assert np.allclose(own.rpm, knock.rpm[at])
        assert np.allclose(own.margin, knock.margin[at], atol=1e-9)
    assert "firing order" in plan().text()


def test_limits_of_peak_pressure_count_with_the_worst_cylinder() -> None:
    cylinder = blown.eight().cylinder
    assert cylinder is not None
    level = plan().levels[-1]
    margin = next(m for m in level.margins["as typed"] if m.name == "peak_pressure")
    solved = level.trial.solved["as typed"]
    worst = 1.28 * spread_of(cylinder, solved.states).most_peak * solved.band("peak_pressure")[0]
    assert margin.value == pytest.approx(worst[solved.rpm == margin.rpm][0], rel=1e-12)
    assert 1.28 * 0.9 < np.nanmin(worst / solved.band("peak_pressure")[0]) < 1.28 * 1.2


def test_a_calibration_trims_every_cylinder() -> None:
    made = calibrated()
    assert list(made.cylinders) == ["tame", "middle", "full"]
    tables = [t for t in made.tables() if t.caption.startswith("Trims by cylinder")]
    assert [len(t.rows) for t in tables] == [8, 8, 8]
    cells = [[tuple(map(float, cell.split(" / "))) for cell in row[1:]] for row in tables[0].rows]
    fuel, spark = np.moveaxis(np.array(cells), 2, 0)
    assert np.allclose(fuel.mean(axis=0), 0.0, atol=0.06)
    assert np.all(spark.min(axis=0) == 0.0)  # the worst cylinder is the one that others wait for
    levels = made.tables()[0]
    lean = levels.rows[0][levels.headings.index("leanest lambda")]
    assert float(lean.split()[0]) == pytest.approx(
        np.nanmax(made.cylinders["tame"].mixture), abs=6e-4
    )
    assert (
        "leanest lambda"
        not in airchain.calibrate(
            blown.built(), rpm=[4000.0, 6000.0], pressure=[160e3, 200e3]
        ).text()
    )


@pytest.mark.slow
@pytest.mark.usefixtures("fine_surfaces")
def test_between_places_cylinders_are_those_of_whole_engines() -> None:
    """At the demo's own states, without a compressor and at its lowest and highest level."""
    rpm = np.array([3100.0, 4370.0, 5130.0, 5630.0, 7120.0, 7600.0])
    demo = scenario.full()
    cylinder, engine = demo.cylinder, airchain.CrankEngine.of(demo)
    assert cylinder is not None
    worst: dict[str, list[np.ndarray]] = {n: [] for n in ("air", "filling", "peak", "later")}
    for build in (demo.naturally_aspirated(), demo.level("tame"), demo):
        points = matched_points(build.pull(rpm))
        found = spread_of(cylinder, points)
        given = {name: values for name, values in points.items() if name != "speed"}
        trimmed = every_cylinder(engine, rpm, **given)
        equal = every_cylinder(engine, rpm, **given, fuel="equal")
        one = _core.run_cycles(cylinder.setup, points)
        later = {**points, "half_burned": points["half_burned"] + 3.0 * DEGREE}
        eased = _core.run_cycles(cylinder.setup, later)
        fall = np.log(one["knock_integral"] / eased["knock_integral"]) / (3.0 * DEGREE)
        nearer = np.log(equal["knock_integral"] / one["knock_integral"][:, None])
        charge = trimmed["fresh_mass"] / one["fresh_mass"][:, None]
        mean = charge.mean(axis=1)
        peak = equal["peak_pressure"] / one["peak_pressure"][:, None]
        worst["air"].append(np.abs(found.air - charge / mean[:, None]).max(axis=1))
        worst["filling"].append(np.abs(found.filling / mean - 1.0))
        worst["peak"].append(np.abs(found.peak.max(axis=1) - peak.max(axis=1)))
        off = found.most_later - (nearer / fall[:, None]).max(axis=1)
        worst["later"].append(np.abs(off) / DEGREE)
    # As README says it: at 3,100 rpm, then above 4,000 rpm.
    low, high = (
        {name: np.max(np.array(values)[:, at]) for name, values in worst.items()}
        for at in (slice(0, 1), slice(1, None))
    )
    for name, of_low, of_high in (
        ("air", 0.025, 0.01), ("filling", 0.02, 0.01), ("peak", 0.025, 0.01), ("later", 0.8, 0.4)
    ):  # fmt: skip
        assert low[name] < of_low, (name, worst)
        assert high[name] < of_high, (name, worst)
