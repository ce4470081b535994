"""Knock is never silent: every pull and ladder says what knocks, or that nothing is known of it."""

import numpy as np
import pytest

import airchain
import scenario
from airchain import _core
from airchain.chain.matched_cycles import matched_points
from airchain.cylinder.knock_words import DOUBT
from airchain.cylinder.spark_searches import SEARCH
from airchain.cylinder.spread import spread_of

SPEEDS = [3000.0, 5000.0, 7000.0]
#: Pump gasoline and high compression under the demo's full boost.
FOOLISH = {"engine.compression_ratio": 14.0, "fuel.name": "gasoline_regular"}


def foolish() -> airchain.Build:
    return scenario.full().replace(FOOLISH)


def test_a_build_that_must_knock_says_so_first() -> None:
    pull = foolish().pull(SPEEDS)
    assert pull.matched.all()
    assert pull.knock.knocks.all()
    assert "3 of 3 points knock by the estimate" in pull.verdict
    assert any("Do not run it so" in note for note in pull.notes)
    assert "safe" not in pull.text()
    assert all(pull.shown("knock_margin", i).startswith("est. -") for i in range(3))
    cycles = pull.cycles()
    assert (cycles["knock_integral"] > 1.0).all()
    assert "3 of 3 knock by the estimate" in cycles.verdict


def test_margins_are_those_of_searches_at_the_matched_states() -> None:
    build = scenario.full()
    pull = build.pull(SPEEDS)
    points = matched_points(pull)
    best = build.chain.combustion.best_phasing
    direct = _core.run_spark_searches(
        build.cylinder.setup, points, SEARCH.replace(earliest_best=best)
    )
    limit = np.where(direct["limit_search"] == 0, direct["limit_half_burned"], SEARCH.earliest)
    # The worst cylinder must burn later than the one that is searched.
    later = spread_of(build.cylinder, points).most_later
    assert np.array_equal(pull["knock_margin"], points["half_burned"] - limit - later)
    assert (direct["limit_search"] != 0).any(), "one that never knocked at the phasings tried"
    assert pull.at(5000, "knock_margin", "deg") == pytest.approx(
        pull.get("knock_margin", "deg")[1], abs=1e-12
    )
    margins = build.knock_margins(SPEEDS)
    # One margin, one wording: where nothing knocked, both say that it is at least so much.
    assert (
        margins.verdict.partition("Least")[2]
        == (airchain.ladder(build, SPEEDS).verdict.partition("Least")[2])
    )
    assert "≥" in margins.text()
    assert "never" not in margins.text()
    one = margins["full"]
    assert (
        np.array_equal(one["own_margin"], pull["knock_margin"], equal_nan=True)
        or (direct["limit_search"] != 0).any()
    )
    # The integral at the limit is that of its onset.
    at = {**points, "half_burned": direct["limit_half_burned"]}
    found = direct["limit_search"] == 0
    assert np.allclose(
        _core.run_cycles(build.cylinder.setup, {n: v[found] for n, v in at.items()})[
            "knock_integral"
        ],
        1.0,
        atol=0.06,
    )


def test_every_form_of_a_pull_carries_the_margin_with_its_doubt() -> None:
    build = scenario.full()
    pull = build.pull(SPEEDS)
    table = pull.tables()[0]
    place = table.headings.index("knock margin")
    assert table.units[place] == "deg"
    assert all(row[place].endswith("± 5") for row in table.rows)
    assert np.degrees(DOUBT) == pytest.approx(5.0)
    assert "knock margin" in pull.stations(7000).text()
    iced = scenario.iced().timed_pull(SPEEDS, rpm_per_second=500)
    assert "knock margin" in iced.tables()[0].headings
    margin = "Least knock margin" in iced.verdict or "knock by the estimate" in iced.verdict
    assert margin


def test_a_ladder_says_which_levels_knock() -> None:
    ladder = airchain.ladder(scenario.steps().build.replace(FOOLISH), SPEEDS)
    said = ladder.verdict.partition("By the estimate ")[2]
    assert "full" in said.partition(" knock")[0]
    row = ladder.rows()["least knock margin [deg]"]
    assert len(row) == 4
    assert all(cell.endswith("± 5") for cell in row)


def test_where_nothing_is_known_of_the_cylinder_it_says_so() -> None:
    build = scenario.typed()
    pull = build.pull(SPEEDS)
    assert pull.verdict.endswith("Knock not known.")
    assert "knock margin" not in pull.tables()[0].headings
    assert any("Knock is not known" in note for note in pull.notes)
    assert np.isnan(pull["knock_margin"]).all()
    assert pull.shown("knock_margin", 0) == "not known"
    assert airchain.ladder(build, SPEEDS).verdict.endswith("Knock not known.")


def test_a_sweep_says_that_it_does_not_judge_knock() -> None:
    grid = airchain.sweep(scenario.full(), {"rpm": [5000]}, ["power"])
    assert grid.attrs["summary"].endswith("Knock is not judged in a sweep: pull what you choose.")
    with pytest.raises(airchain.InputError, match="knock_margin"):
        airchain.sweep(scenario.full(), {"rpm": [5000]}, ["knock_margin"])


def test_points_without_an_answer_have_no_margin() -> None:
    build = scenario.full().replace({"drive.links.1.speed_ratio": 7.5})
    pull = build.pull([3000.0, 7400.0])
    lost = ~pull.matched
    assert lost.any()
    assert np.isnan(pull["knock_margin"][lost]).all()
    assert [pull.shown("knock_margin", int(i)) for i in np.flatnonzero(lost)] == ["–"] * lost.sum()


def test_no_best_torque_is_told_earlier_than_dynos_show_without_saying_why() -> None:
    margins = scenario.full().knock_margins([5000.0])
    best = np.degrees(margins["full"]["best_half_burned"])
    # Common practice, no source: 8 to 10 degrees after top centre.
    assert (best >= 8.0 - 1e-9).all()
    assert any("dynos show 8 to 10" in n and "Woschni" in n for n in margins.notes)
