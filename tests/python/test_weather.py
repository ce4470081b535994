"""Levels on several days: bands, the standards' factors, and what is refused."""

import math
import re

import numpy as np
import pytest

import airchain
import scenario
from airchain.plan import WeatherBands
from airchain.plan.request import AS_TYPED
from airchain.units import from_si

SPEEDS = [4000.0, 5500.0, 7000.0]
COLD = {"ambient.temperature": "40 degF", "cooler.coolant_temperature": "60 degF"}
HOT = {"ambient.temperature": "95 degF", "cooler.coolant_temperature": "110 degF"}


@pytest.fixture(scope="module")
def bands() -> WeatherBands:
    build = scenario.steps().build
    return airchain.weather_bands(build, {"coldest": COLD, "hottest": HOT}, SPEEDS)


def test_every_level_on_every_day_is_its_own_pull(bands: WeatherBands) -> None:
    assert bands.levels == ["naturally aspirated", "tame", "middle", "full"]
    assert bands.verdict == "Ridge Road: 4 levels on 3 days. All 36 points solved."
    alone = bands.build.replace(HOT).level("full").pull(SPEEDS)
    for name in ("power", "boost", "charge_temperature"):
        assert bands.values("full", name)["hottest"] == pytest.approx(alone[name], rel=1e-15)


def test_a_band_holds_every_day_and_is_no_wider(bands: WeatherBands) -> None:
    days = np.array(list(bands.values("middle", "power").values()))
    low, high = bands.band("middle", "power")
    assert (low == days.min(axis=0)).all()
    assert (high == days.max(axis=0)).all()


def test_cold_days_give_power_and_boost_and_hot_days_hot_charges(
    bands: WeatherBands,
) -> None:
    # Denser air, and a compressor that runs at a higher corrected speed.
    for name, larger in (("power", "coldest"), ("boost", "coldest"), ("drive_power", "coldest")):
        values = bands.values("full", name)
        assert (values[larger] > values[AS_TYPED]).all()
        assert (values["hottest"] < values[AS_TYPED]).all()
    charge = bands.values("full", "charge_temperature")
    assert (charge["coldest"] < charge[AS_TYPED]).all()
    assert (charge[AS_TYPED] < charge["hottest"]).all()


def rows(bands: WeatherBands, system: str = "si") -> dict[tuple[str, str], list[str]]:
    correction = bands.tables(system)[2]
    return {(row[0], row[1]): row[2:] for row in correction.rows}


def test_the_standards_factor_agrees_with_its_formula(bands: WeatherBands) -> None:
    # SAE J1349 as commonly quoted: 1.180 (990 hPa / dry pressure) sqrt(T/298) - 0.180, T from
    # 273 K at 0 degC; vapour pressure by Magnus's formula (Sonntag 1990), good to 0.1 % here.
    for day, changes in (("coldest", COLD), ("hottest", HOT)):
        celsius = (float(changes["ambient.temperature"].split()[0]) - 32.0) / 1.8
        vapour = 0.45 * 611.2 * math.exp(17.62 * celsius / (243.12 + celsius))
        station = bands.days[day].build.chain.ambient.pressure
        expected = 1.18 * 99000.0 / (station - vapour) * math.sqrt((273.0 + celsius) / 298.0) - 0.18
        assert float(rows(bands)["full", day][1]) == pytest.approx(expected, abs=1.5e-4)


def test_the_chains_factor_brings_every_day_to_one_power(bands: WeatherBands) -> None:
    # The same coolant on both days: then the reference weather leaves nothing that differs.
    days = {"a": {"ambient.temperature": "50 degF"}, "b": {"ambient.humidity": "90 %"}}
    made = rows(airchain.weather_bands(bands.build, days, SPEEDS))
    for level in bands.levels:
        powers = {made[level, day][4] for day in (AS_TYPED, "a", "b")}
        assert len({round(float(power)) for power in powers}) == 1


def test_boost_is_told_as_it_was_and_never_corrected(bands: WeatherBands) -> None:
    told = bands.tables("si")[1]
    assert told.headings[4] == "boost at 7,000 rpm"
    by_day = {row[1]: row[4] for row in told.rows if row[0] == "full"}
    for day, steps in bands.days.items():
        assert by_day[day] == f"{steps['full'].pull.at(7000.0, 'boost') / 1e3:.2f}"
    assert "Boost is never corrected" in bands.tables()[2].key


def test_weather_beyond_the_standard_is_said(bands: WeatherBands) -> None:
    (said,) = [note for note in bands.notes if "does not hold there" in note]
    head, _, words = said.partition(" does not hold there: ")
    assert head == "coldest: SAE J1349"
    cold = bands.days["coldest"].build.chain.ambient.temperature
    assert words == (f"air temperature {cold * 1.8 - 459.67:.4g} degF is not within 59 to 95 degF.")
    # A page has one system of units, save for what a file types.
    assert not re.search(r"degC|hPa|kPa", f"{bands.text('trade')}{bands.notes}")


def test_no_standard_where_a_bypass_holds_the_boost(bands: WeatherBands) -> None:
    bypass = {"bypass": {"opens_at": "4 psi", "area": "40 cm^2"}}
    held = airchain.weather_bands(bands.build.replace(bypass), {"hottest": HOT}, SPEEDS)
    assert rows(held)["full", "hottest"][1:3] == ["–", "–"]
    assert rows(held)["naturally aspirated", "hottest"][1] != "–"


def test_days_come_from_the_plan_where_none_are_given() -> None:
    build = scenario.steps().build
    made = airchain.weather_bands(build, rpm=[7000.0])
    assert list(made.days) == [AS_TYPED, "coldest", "hottest"]
    air = {day: steps.build.chain.ambient for day, steps in made.days.items()}
    assert air["coldest"].temperature == pytest.approx((36.0 + 459.67) / 1.8)
    assert air["hottest"].pressure == pytest.approx(28.70 * 3386.389, rel=1e-6)
    assert air[AS_TYPED] == build.chain.ambient
    typed = {f"ambient.{key}": None for key in ("altimeter", "altitude")}
    typed |= {
        "ambient.pressure": "29.20 inHg",
        "ambient.temperature": "36 degF",
        "ambient.humidity": "60 %",
        "cooler.coolant_temperature": "60 degF",
    }
    alone = build.replace(typed).level("full").pull([7000.0])
    assert made.values("full", "power")["coldest"] == pytest.approx(alone["power"], rel=1e-15)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        ({}, "must hold at least one day"),
        ({AS_TYPED: HOT}, "must not be called as the file's own"),
        ({"hot": {"ambient.temprature": "95 degF"}}, "ambient.temprature"),
        ({"hot": {"ambient.temperature": "950 degF"}}, "ambient.temperature"),
        ({"hot": {"ambient.humidity": "140 %"}}, "ambient.humidity"),
    ],
)
def test_names_the_bad_input_of_a_day(days: dict[str, dict[str, str]], words: str) -> None:
    with pytest.raises(airchain.InputError, match=words):
        airchain.weather_bands(scenario.steps().build, days, SPEEDS)


def test_names_the_bad_input_of_a_standard_and_a_picture(bands: WeatherBands) -> None:
    with pytest.raises(airchain.InputError, match="must be one of"):
        airchain.weather_bands(bands.build, {"hot": HOT}, SPEEDS, standard="din")
    with pytest.raises(airchain.InputError, match="column"):
        bands.plot(columns=["powr"])


def test_the_picture_has_a_line_a_level_and_how_far_the_days_spread(bands: WeatherBands) -> None:
    power, boost = bands.plot(columns=["power", "boost"]).axes
    # A line, a bar and its marker each, and where the curves end.
    assert len(power.lines) == 3 * 4 + 1
    assert len(boost.lines) == 3 * 3 + 1, "no boost without a compressor"
    bars = [line.get_ydata() for line in power.lines if len(line.get_ydata()) == 2][:-1]
    for level, ends in zip(bands.levels, bars, strict=True):
        edges = [float(from_si(edge[-1], "hp", "power")) for edge in bands.band(level, "power")]
        assert list(ends) == pytest.approx(edges), level
    assert power.get_ylabel() == "Power [hp]"
