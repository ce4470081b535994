"""The bypass valve that is fitted, judged at every level and weather."""

from typing import Any

import pytest

import airchain
from airchain.buildfile.bypass import bypass_valve
from airchain.plan.throttle_shut import shut_table
from airchain.shown.words import milliseconds
from test_planning import build, plan


@pytest.mark.parametrize(
    ("valve", "words", "holds"),
    [
        ({"diameter": "25 mm"}, "one 25 mm valve passes 0.76 of the ", False),
        ({"diameter": "38 mm", "count": 2}, "two 38 mm valves pass 3.52 in^2, ", True),
        # The curtain under the lid: pi d times lift, here two thirds of the seat.
        ({"diameter": "38 mm", "count": 2, "lift": "6.333 mm"}, "two 38 mm valves pass 2.34 in^2",
         True),
    ],
)  # fmt: skip
def test_the_valve_fitted_is_judged_in_words(valve: Any, words: str, holds: bool) -> None:
    made = airchain.plan_levels(build().replace({"bypass": valve}))
    fastest = plan().levels[-1].fitted
    trial = next(one for one in made.trials if one.fitting.words == fastest)
    assert trial.shut is not None
    assert trial.shut.valve is not None
    assert [day.weather for day in trial.shut.days] == ["as typed", "coldest", "hottest"]
    every, worst = (shut_table({"fast": trial.shut}, worst_day=one) for one in (False, True))
    assert len(every.rows) == 3
    assert worst.rows == [row for row in every.rows if row[2] == trial.shut.weather]
    assert trial.shut.holds is holds
    assert trial.shut.judgement.startswith(words)
    end = "by estimate holds" if holds else "by estimate surge, "
    square_inch = 0.0254**2
    assert f"{trial.shut.area / square_inch:.2f} in^2 needed: {end}" in trial.shut.judgement
    assert f"{1e4 * trial.shut.area:.2f} cm^2 needed: {end}" in trial.shut.judged("si")
    for system, unit in (("trade", " in^2"), ("si", " cm^2")):
        assert trial.shut.judged(system) in trial.shut.told(system)
        assert unit in trial.shut.told(system)
        assert (f"It may take {milliseconds(trial.shut.longest_opening)} to open." in
                trial.shut.told(system)) is holds  # fmt: skip
    # A valve that holds lies on the right side of the edge, and in surge on none of the days.
    assert (trial.shut.valve.effective_area >= trial.shut.effective_area) is holds
    assert all((day.course.kind == "none") is holds for day in trial.shut.days)
    # A valve that is too small stops the level, and whoever reads why is told.
    assert made.found is holds
    said = [why for why in trial.objections if why.startswith(f"bypass: {words}")]
    assert bool(said) is not holds
    assert all("as the throttle shuts at 7,600 rpm, coldest" in why for why in said)
    if holds:
        assert made.levels[-1].shut is trial.shut
        assert any(trial.shut.told("si") in note for note in made.notes_in("si"))
        assert any(trial.shut.verdict in note for note in made.notes)
    else:
        assert made.rejected[fastest] == trial.objections


def test_a_short_time_is_told_with_three_digits() -> None:
    told = [milliseconds(seconds) for seconds in (0.14671, 0.05, 0.00834, 1.2345, 0.0)]
    assert told == ["147 ms", "50 ms", "8.34 ms", "1,230 ms", "0 ms"]


def test_a_rated_flow_is_an_effective_area() -> None:
    # Choked air, St Venant and Wantzel with CoolProp's or any table's figures for air of 20 degC:
    # W sqrt(T)/(A p) = 0.040416 sqrt(K) s/m for a gamma of 1.4 and R of 287.05 (from memory).
    valve = {"flow": "0.2 kg/s", "at_pressure": "200 kPa"}
    fitted = bypass_valve(build().replace({"bypass": valve}).source)
    assert fitted is not None
    expected = 0.2 * 293.15**0.5 / (0.040416 * 301325.0)
    assert fitted.effective_area == pytest.approx(expected, rel=2e-4)


@pytest.mark.parametrize(
    ("valve", "words"),
    [
        ({"diameter": "25 mm", "area": "5 cm^2"}, "not stand beside area"),
        ({"count": 2}, "area = missing; must be given; or diameter, or flow"),
        ({"flow": "0.2 kg/s"}, "at_pressure = missing"),
        ({"area": "5 cm^2", "lift": "5 mm"}, "stand only with a diameter"),
        ({"diameter": "25 mm", "discharge_coefficient": 1.2}, "be above 0 and at most 1"),
    ],
)
def test_names_the_bad_bypass(valve: Any, words: str) -> None:
    with pytest.raises(airchain.InputError) as refused:
        build().replace({"bypass": valve})
    assert words in str(refused.value)
