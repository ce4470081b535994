"""Knock margins of a plan: what is searched, how far to trust it, and what it rejects."""

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

import airchain
import blown_cam_engine as blown
from airchain import _core
from airchain.cylinder import spark_searches as _spark_memo
from airchain.cylinder.knock_words import DOUBT, IT_KNOCKS
from airchain.plan import Plan
from airchain.plan.knock import Knock, words_of
from airchain.plan.limits import Limit
from airchain.plan.request import AS_TYPED
from airchain.plan.tables import room_table
from airchain.regearing.giving import nearest_first

DEGREE = np.pi / 180.0


@cache
def plan(least: str = "") -> Plan:
    limit = {"least": least, "source": "a test"} if least else None
    return airchain.plan_levels(blown.built({"plan.limits.knock": limit}))


def direct(asked: list[tuple[Any, str, float, bool]]) -> Any:
    """Margins of the worst cylinder by searches of the core, from nothing but the chain [rad].

    Asked are trial, weather, engine speed [rpm], and whether at the upper ends of the bands. The
    worst cylinder has 4 % more air than the mean and the same fuel.
    """
    rows = []
    for trial, weather, rpm, high in asked:
        solved = trial.solved[weather]
        told = {
            n: float(v[0])
            for n, v in _core.solve(
                solved.chain, {"engine_speed": np.array([rpm * np.pi / 30.0])}
            ).items()
        }
        i = int(np.argmin(np.abs(solved.rpm - rpm)))
        p, t = told["plenum_pressure"], told["charge_temperature"]
        if high:
            p, t = p + solved.band("boost")[1][i], t + solved.band("charge_temperature")[1][i]
        own = 8.0 * DEGREE + 0.09 * DEGREE / 1e3 * max(p - 1e5, 0.0)
        rows.append((told["engine_speed"], 1.04 * p, t, told["exhaust_pressure"],
                     told["exhaust_temperature"], own))  # fmt: skip
    names = ("speed", "plenum_pressure", "plenum_temperature", "exhaust_pressure",
             "collector_temperature", "half_burned")  # fmt: skip
    setup = blown.built().cylinder.setup
    lean = setup.mixture.replace(**{"lambda": 1.04 * getattr(setup.mixture, "lambda")})
    fine = _core.SparkSearch(tolerance=0.05 * DEGREE)
    points = dict(zip(names, np.array(rows).T.copy(), strict=True))
    found = _core.run_spark_searches(setup.replace(mixture=lean), points, fine)
    names = _core.spark_status_names()
    ended = {names[int(code)] for code in found["limit_search"]}
    assert ended <= {"found", "never_knocks"}  # where there is no knock the margin is a bound
    return _spark_memo.margin_of(found, points["half_burned"])


def test_margins_are_those_of_direct_searches() -> None:
    asked, margins = [], []
    for level, weather in (("tame", "hottest"), ("middle", AS_TYPED), ("full", "coldest")):
        trial = plan()[level].trial
        knock = trial.knock[weather]
        for i in np.flatnonzero(knock.searched)[[1, 4, 8]]:
            asked.append((trial, weather, float(knock.rpm[i]), False))
            margins.append(knock.margin[i])
    # Searches end within 0.2 deg; the limit is steep there.
    assert np.allclose(margins, direct(asked), rtol=0.0, atol=0.5 * DEGREE)


def test_doubt_is_the_formulas_and_the_chains() -> None:
    trial = plan()["full"].trial
    knock = trial.knock["hottest"]
    assert knock.formula == pytest.approx(5.0 * DEGREE)  # octane 116: beyond 100
    # The band is straight between three; at low speed there is no knock to lose margin to.
    places = np.flatnonzero(knock.searched)[[4, 6, 8]]
    plain, high = np.split(direct([(trial, "hottest", float(knock.rpm[i]), edge)
                                   for edge in (False, True) for i in places]), 2)  # fmt: skip
    assert np.all(plain > high)
    doubt = np.hypot(5.0 * DEGREE, plain - high)
    assert np.allclose(knock.doubt[places], doubt, rtol=0.0, atol=0.3 * DEGREE)


def test_doubt_is_told_with_the_fuels_octane() -> None:
    # [SAE780080] was fitted from octane 80 to 100.
    assert pytest.approx(5.0 * DEGREE) == DOUBT
    assert "± 5 degrees of doubt at best. The margin is" in " ".join(words_of(98.0))
    assert "not calibrated above octane 100 (here 116)" in " ".join(words_of(116.0))
    assert any("± 5 degrees of doubt at best" in note for note in plan().notes)


def test_an_option_passes_only_if_its_band_clears_everywhere() -> None:
    passes_where_brute_force_does([-1])  # margins fall with speed here


@pytest.mark.slow
def test_an_option_passes_only_if_its_band_clears_at_every_speed() -> None:
    passes_where_brute_force_does(list(range(9)))


def passes_where_brute_force_does(places: list[int]) -> None:
    """Every fitting that meets a target, in every weather, each point searched on its own."""
    limit, made = 1.5 * DEGREE, plan("1.5 deg")
    asked = []
    trials = [trial for trial in made.trials if trial.knock]
    for trial in trials:
        for weather in made.request.weather:
            knock = trial.knock[weather]
            rpm = knock.rpm[np.flatnonzero(knock.searched)[places]]
            asked += [(trial, weather, float(n), edge) for n in rpm for edge in (False, True)]
    margins = direct(asked).reshape(-1, 2)
    left = margins[:, 0] - np.hypot(5.0 * DEGREE, np.maximum(margins[:, 0] - margins[:, 1], 0.0))
    least = left.reshape(len(trials), -1).min(axis=1)
    seen = set()
    for trial, room in zip(trials, least, strict=True):
        if abs(room - limit) > 0.4 * DEGREE:  # searches end within 0.2 deg
            assert (not trial.objections) == bool(room >= limit), trial.fitting.words
            seen.add(bool(room >= limit))
    assert seen == {True, False}


def test_every_fitting_that_could_run_a_level_is_searched() -> None:
    made = plan("1.5 deg")
    for trial in made.trials:
        if any(trial.deviation(t) <= 1.0 for t in made.request.targets):
            assert trial.knock or trial.objections
            assert any("knock" not in text for text in trial.objections) or trial.knock
    assert not made.found
    near = next(note for note in made.notes if note.startswith("full"))
    assert "knock margin: it is est. " in near
    assert "the limit is at least 1.5 deg (a test)" in near


def test_without_a_limit_only_the_levels_told_are_searched() -> None:
    used = {level.trial for level in plan().levels}
    assert {trial for trial in plan().trials if trial.knock} == used
    for level in plan().levels:
        margin = next(m for m in level.margins["hottest"] if m.name == "knock")
        assert margin.value_text().startswith("est. ")
        assert margin.room_text() == "no limit typed"


def test_without_a_limit_a_level_that_knocks_is_not_sent_out() -> None:
    made = airchain.plan_levels(blown.built({"fuel.research_octane": 91.0}))
    knocking = [level for level in made.levels if level.trial.knocks]
    assert knocking
    table = next(t for t in made.tables() if t.caption.startswith("Order of work"))
    for level in made.levels:
        told = f"{level.name}: {IT_KNOCKS}"
        assert (told in made.verdict) == (level in knocking)
        (row,) = [row for row in table.rows if row[0].endswith(f" {level.name}")]
        assert (row[-1] == IT_KNOCKS) == (level in knocking)


def test_a_fitting_that_something_cheaper_stops_is_not_searched() -> None:
    ruled = [trial for trial in plan("1.5 deg").trials if trial.at_once]
    assert ruled
    for trial in ruled:
        assert not trial.knock
        # A part that cannot be fitted has no knock; one that turns too fast says what is open.
        told = [text for text in trial.objections if text.startswith("knock margin: not looked at")]
        assert bool(told) == (not trial.fitting.obstacles)
        assert all("since rotor speed fails first" in text for text in told)


def test_knock_is_told_of_what_comes_nearest_though_another_limit_fails_first() -> None:
    limits = {
        "plan.limits.knock": {"least": "1.5 deg", "source": "a test"},
        "plan.limits.charge_temperature": {"most": "50 degF", "source": "a test"},
    }
    made = airchain.plan_levels(blown.built(limits))
    assert not made.found
    for name in ("tame", "middle", "full"):
        (near,) = (note for note in made.notes if note.startswith(f"{name} ("))
        assert "charge temperature: it is" in near
        assert "not looked at" not in near
    (near,) = (note for note in made.notes if note.startswith("full ("))
    assert "knock margin: it is est." in near
    unseen = [t for t in made.trials if t.solved and not t.knock]
    assert unseen
    for trial in unseen:
        assert trial.objections[-1].startswith("knock margin: not looked at, since")


def test_hot_charge_knocks_first_at_one_boost() -> None:
    build = blown.built()
    pull = build.level("middle").pull([7000.0])
    from airchain.chain.matched_cycles import matched_points

    point = matched_points(pull)
    hot = {**point, "plenum_temperature": point["plenum_temperature"] + 15.0}
    dense = {**point, "plenum_pressure": 1.05 * point["plenum_pressure"]}
    plain, hotter, denser = (
        float(_spark_memo.searched(build.cylinder.setup, p)["limit_half_burned"][0])
        for p in (point, hot, dense)
    )
    assert hotter > plain + 0.3 * DEGREE  # common practice, no source
    assert denser > plain + 0.3 * DEGREE


def test_a_search_is_done_once_and_the_same_in_any_batch() -> None:
    setup = blown.built().cylinder.setup
    rpm = np.array([3100.0, 5100.0, 6900.0, 7300.0, 4700.0])
    points = {
        "speed": rpm * np.pi / 30.0, "plenum_pressure": np.linspace(1.5e5, 2.3e5, 5),
        "plenum_temperature": 330.0, "exhaust_pressure": 1.1e5, "half_burned": 0.2,
        "collector_temperature": 1100.0,
    }  # fmt: skip
    whole = _spark_memo.searched(setup, points)
    again = _spark_memo.searched(setup, points)
    assert all(np.array_equal(whole[n], again[n], equal_nan=True) for n in whole)
    alone = {n: v[2:3] if isinstance(v, np.ndarray) else v for n, v in points.items()}
    one = _core.run_spark_searches(setup, alone, _spark_memo.SEARCH)
    assert all(np.array_equal(whole[n][2:3], one[n], equal_nan=True) for n in whole)


def test_a_margin_beyond_what_was_tried_is_a_bound() -> None:
    code = {name: i for i, name in enumerate(_core.spark_status_names())}
    found = {
        "limit_search": np.array([code[n] for n in
                                  ("found", "never_knocks", "always_knocks", "not_converged")]),
        "limit_half_burned": np.array([0.1, np.nan, np.nan, np.nan]),
    }  # fmt: skip
    margin = _spark_memo.margin_of(found, 0.2)
    assert list(_spark_memo.bounds_of(found)) == [False, True, False, False]
    assert margin[0] == pytest.approx(0.1)
    assert margin[1] == pytest.approx(0.2 + 10.0 * DEGREE)
    assert margin[2] == pytest.approx(0.2 - 45.0 * DEGREE)
    assert np.isnan(margin[3])


def test_a_search_that_did_not_settle_is_not_known() -> None:
    rpm = np.array([3000.0, 5000.0])
    unsettled = Knock(
        rpm,
        np.array([0.2, np.nan]),
        np.array([0.1, np.nan]),
        np.zeros(2, dtype=bool),
        0.1,
        settled=False,
    )
    assert unsettled.band is None


def test_room_to_a_knock_limit_is_used_up_where_the_band_reaches_it() -> None:
    limit = Limit("knock", 2.0 * DEGREE, "a test")
    assert limit.least
    assert limit.used(2.0 * DEGREE) == pytest.approx(1.0)
    assert limit.used(1.9 * DEGREE) > 1.0
    assert limit.used(20.0 * DEGREE) == pytest.approx(0.0)
    assert limit.text() == "at least 2.0 deg"


def test_a_margin_where_nothing_knocked_is_told_as_a_floor_and_has_no_rank() -> None:
    knock = plan()["tame"].trial.knock["hottest"]
    never = replace(knock, bound=np.ones_like(knock.bound))
    level = plan()["tame"]
    limits = {**level.trial.request.limits, "knock": Limit("knock", 0.0, "a test")}
    request = replace(level.trial.request, limits=limits)
    told = {}
    for floor, room in ((False, replace(never, bound=~never.bound)), (True, never)):
        trial = replace(level.trial, request=request, knock=dict.fromkeys(request.weather, room))
        told[floor] = next(m for m in trial.worst_margins() if m.name == "knock")
        assert told[floor].floor == floor
        table = room_table(replace(level, trial=trial), "trade")
        assert ("≥ means" in table.key) == floor
        ordered = [m.name for m in nearest_first(trial) if m.limit is not None and m.known]
        assert (ordered[-1] == "knock") == floor
        if floor:
            assert trial.tightest is not None
            assert trial.tightest.name != "knock"
    assert told[True].value_text() == told[False].value_text().replace("est. ", "est. ≥")
    assert told[True].room_text() == told[False].room_text().replace("est. ", "est. ≥")
    assert "≥" not in told[False].value_text() + told[False].room_text()


def test_typed_breathing_says_why_knock_is_not_known() -> None:
    made = airchain.plan_levels(blown.typed())
    assert made.found
    told = next(m for m in made.levels[-1].margins["hottest"] if m.name == "knock")
    assert told.room_text() == told.value_text() == "not known"
    assert any("Not known: knock margin. A margin" in note for note in made.notes)
    assert any("volumetric efficiency is typed" in note for note in made.notes)
    assert made.knock is None
    with pytest.raises(airchain.InputError, match=r"needs \[engine.camshaft\]"):
        made.plot_knock_room()
    typed = {"plan.limits.knock": {"least": "2 deg", "source": "a test"}}
    found = airchain.plan_levels(blown.typed().replace(typed))
    assert not found.found
    assert any(
        "knock margin: it is not known, so nobody can show that at least 2.0 deg" in note
        for note in found.notes
    )


def test_the_table_has_every_level_weather_and_speed() -> None:
    table = plan().knock
    assert table is not None
    assert len(table.rows) == 3 * len(plan().request.weather)
    assert table.headings[-1] == "± up to"
    assert all(np.isfinite(float(cell.removeprefix("≥"))) for row in table.rows for cell in row[2:])
    assert "safe" not in plan().text()
    figure = plan().plot_knock_room()
    assert [axes.get_title().split(",")[0] for axes in figure.axes] == ["tame", "middle", "full"]
