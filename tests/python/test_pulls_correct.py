"""Power correction, smoothing, resampling and sweep tests of measured pulls."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import airchain
import scenario
from airchain import InputError, _core
from airchain.measured.correct import correction_factor
from airchain.measured.measured import MeasuredPull
from airchain.measured.smooth import local_lines
from logs import RAD, RPM, TORQUE

STANDARDS = ("sae_j1349", "std_29_92", "iso_1585")


def pull(
    pressure: float = 100e3, temperature: float = 305.15, vapour: float = 2e3, **columns: object
) -> MeasuredPull:
    weather = {
        "barometer": pressure,
        "ambient_temperature": temperature,
        "vapour_pressure": vapour,
    }
    made = {"engine_speed": RPM * RAD, "torque": TORQUE, **columns}
    return MeasuredPull.of("x", made, weather)


def test_agrees_with_the_published_formulas(published: Path) -> None:
    # Sources: tests/published/SOURCES.md.
    with (published / "power_correction.csv").open() as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 15
    for row in rows:
        dry, kelvin = 1e3 * float(row["dry_pressure_kpa"]), float(row["temperature_degc"]) + 273.15
        factor = correction_factor(pull(dry, kelvin, 0.0), row["standard"])
        assert factor == pytest.approx(float(row["factor"]), rel=float(row["tolerance"]))


def test_agrees_with_a_worked_example() -> None:
    # 500 kW at 100.0 kPa, 32 degC and 60 % humidity: dry air 97.1449 kPa, J1349 1.03658 and
    # 518.288 kW, older standard 1.07226 and 536.13 kW [formulas of SAE J1349 and J607, saturation
    # of ASHRAE 2017; computed, six figures].
    vapour = 0.6 * float(_core.saturation_pressure(305.15))
    assert (100e3 - vapour) / 1e3 == pytest.approx(97.1449, abs=6e-4)
    one = pull(vapour=vapour).with_columns(torque=None, power=np.full(RPM.size, 500e3))
    for standard, kilowatts, tolerance in (
        ("sae_j1349", 518.288, 1e-5),
        ("std_29_92", 536.13, 2e-4),
    ):
        made = one.corrected(standard)
        assert made["power"] / 1e3 == pytest.approx(kilowatts, rel=tolerance)


@given(
    pressure=st.floats(65e3, 108e3),
    temperature=st.floats(250.0, 325.0),
    vapour=st.floats(0.0, 5e3),
    first=st.sampled_from(STANDARDS),
    second=st.sampled_from(STANDARDS),
)
def test_correct_and_uncorrect_return_the_pull(
    pressure: float, temperature: float, vapour: float, first: str, second: str
) -> None:
    start = pull(pressure, temperature, vapour)
    there = start.corrected(first)
    assert there.power_basis == first
    assert there.observed()["torque"] == pytest.approx(start["torque"], rel=1e-12)
    assert there.corrected(second).observed()["torque"] == pytest.approx(TORQUE, rel=1e-12)
    direct = start.corrected(second)["power"]
    assert there.corrected(second)["power"] == pytest.approx(direct, rel=1e-12)


def test_boost_is_never_corrected() -> None:
    start = pull(plenum_pressure=np.linspace(1.1e5, 2e5, RPM.size))
    for standard in STANDARDS:
        made = start.corrected(standard)
        assert np.array_equal(made["plenum_pressure"], start["plenum_pressure"])
        assert not np.array_equal(made["torque"], start["torque"])


def test_outside_the_standard_is_said_and_not_clamped() -> None:
    hot = pull(85e3, 312.0, 0.0).corrected("iso_1585")
    (finding,) = hot.findings
    assert "outside ISO 1585: " in finding.words
    assert "38.85 degC is not within 15 to 35 degC" in finding.words
    assert "factor" in finding.words
    assert hot["torque"][0] / TORQUE[0] > 1.07
    assert pull().corrected("iso_1585").findings == ()


def test_a_standard_refuses_held_boost_and_unknown_weather() -> None:
    assert pull().corrected("sae_j1349", "aspirated")["torque"][0] > TORQUE[0]
    with pytest.raises(InputError, match="a control holds the manifold pressure; compare as obs"):
        pull().corrected("sae_j1349", "held_boost")
    with pytest.raises(InputError, match="must be one of observed, sae_j1349"):
        pull().corrected("sae")
    for lacking in ("barometer", "ambient_temperature", "vapour_pressure"):
        start = pull()
        weather = {k: v for k, v in start.ambient.items() if k != lacking}
        with pytest.raises(InputError, match=rf"x: ambient\.{lacking} = missing"):
            start.replace(ambient=weather).corrected("sae_j1349")


def test_weather_normalisation_follows_the_chain() -> None:
    build = scenario.steps().build.level("full")
    rpm = np.arange(4000.0, 7001.0, 500.0)
    solved = build.pull(rpm)
    air = build.chain.ambient
    vapour = air.relative_humidity * float(_core.saturation_pressure(air.temperature))
    weather = {
        "barometer": air.pressure,
        "ambient_temperature": air.temperature,
        "vapour_pressure": vapour,
    }
    columns = {"engine_speed": rpm * RAD, "torque": solved["torque"]}
    start = MeasuredPull.of("x", columns, weather)
    made = start.weather_normalised(build)
    # A pull that is the chain's own must come out as the chain in that weather.
    _, pressure, temperature = _core.power_standards()["sae_j1349"]
    there = build.chain.replace(
        ambient=_core.Ambient(pressure=pressure, temperature=temperature, relative_humidity=0.0)
    )
    expected = _core.solve(there, {"engine_speed": rpm * RAD})["power"]
    assert made["power"] == pytest.approx(expected, rel=1e-9)
    assert "99.00 kPa dry, 25.0 degC" in made.power_basis
    # The standard knows no compressor: near, but not the same (common practice, no source).
    standard = start.corrected("sae_j1349")["power"]
    assert made["power"] == pytest.approx(standard, rel=0.02)
    assert not np.allclose(made["power"], standard, rtol=1e-4)
    with pytest.raises(InputError, match="power_basis"):
        made.corrected("sae_j1349")


def test_weather_normalisation_lists_rows_without_an_answer() -> None:
    build = scenario.steps().build.level("full")
    rpm = np.array([5000.0, 6000.0, 14000.0])
    start = MeasuredPull.of(
        "x", {"engine_speed": rpm * RAD, "torque": [800.0] * 3}, dict(pull().ambient)
    )
    made = start.weather_normalised(build)
    assert len(made) == 2
    assert any("left out" in str(f) for f in made.findings)


@given(
    slope=st.floats(-0.2, 0.2), level=st.floats(100.0, 1000.0), window=st.floats(50.0, 3000.0),
    seed=st.integers(0, 10**6),
)  # fmt: skip
def test_smoothing_and_resampling_keep_a_straight_line(
    slope: float, level: float, window: float, seed: int
) -> None:
    rng = np.random.default_rng(seed)
    rpm = np.sort(rng.uniform(2000.0, 7000.0, 80))
    torque = level + slope * (rpm - 4000.0)
    start = MeasuredPull.of("x", {"engine_speed": rpm * RAD, "torque": torque})
    assert start.smoothed(window)["torque"] == pytest.approx(torque, rel=1e-9, abs=1e-7)
    at = np.linspace(rpm[0], rpm[-1], 37)
    expected = level + slope * (at - 4000.0)
    found = start.resampled(at, window)["torque"]
    known = np.isfinite(found)
    assert found[known] == pytest.approx(expected[known], rel=1e-9, abs=1e-7)


def test_smoothing_cuts_noise_and_states_its_window() -> None:
    rng = np.random.default_rng(1)
    rpm = np.linspace(3000.0, 7000.0, 400)
    torque = 900.0 - 60.0 * ((rpm - 6000.0) / 1000.0) ** 2
    noisy = torque * (1.0 + rng.normal(0.0, 0.01, rpm.size))
    start = MeasuredPull.of("x", {"engine_speed": rpm * RAD, "torque": noisy})
    made = start.smoothed("300 rpm")
    assert np.std(made["torque"] - torque) < 0.35 * np.std(noisy - torque)
    assert "window of 300 rpm" in str(made.findings[-1])
    assert np.std(start.smoothed("1 rpm")["torque"] - noisy) < 1e-9


def test_resampling_invents_nothing() -> None:
    torque = TORQUE.copy()
    torque[5:11] = np.nan
    start = MeasuredPull.of("x", {"engine_speed": RPM * RAD, "torque": torque})
    found = start.resampled(RPM)["torque"]
    assert np.isnan(found[6:10]).all()
    assert np.isfinite(found[[0, 1, 2, 3, 12, 16]]).all()
    with pytest.raises(InputError, match="within the pull, 3000 to 7000 rpm"):
        start.resampled([2900.0])
    with pytest.raises(InputError, match="window = 0"):
        start.smoothed(0.0)
    end_missing = MeasuredPull.of(
        "x", {"engine_speed": RPM * RAD, "torque": np.where(RPM > 6500.0, np.nan, TORQUE)}
    )
    assert np.isnan(end_missing.resampled([6900.0])["torque"]).all()


def test_local_lines_agree_with_numpy_polyfit() -> None:
    # [numpy.polyfit] the weighted straight line at one place; its weights are square roots.
    rng = np.random.default_rng(3)
    x = np.sort(rng.uniform(0.0, 10.0, 60))
    y = np.sin(x) + rng.normal(0.0, 0.1, x.size)
    at, width = 5.0, 3.0
    near = np.abs(x - at) <= 0.5 * width
    weights = (1.0 - np.abs((x[near] - at) / (0.6 * width)) ** 3) ** 3
    fit = np.polyfit(x[near] - at, y[near], 1, w=np.sqrt(weights))
    assert local_lines(x, y, np.array([at]), width)[0] == pytest.approx(fit[1], rel=1e-6)


def test_a_sweep_is_taken_back_to_steady_running() -> None:
    # By hand: (0.25 + 0.10 + 0.0016 5.7576^2) kg m^2 at 300 rpm/s = 31.416 rad/s^2: 12.662 N m.
    made = pull().steady("0.25 kg m^2", "0.0016 kg m^2", 5.7576, "0.10 kg m^2", "300 rpm/s")
    assert made["torque"] - TORQUE == pytest.approx(12.662, abs=1e-3)
    assert made["power"] == pytest.approx(made["torque"] * made["engine_speed"])
    assert "raised by 12.7 N m" in str(made.findings[-1])
    back = made.steady("0.25 kg m^2", "0.0016 kg m^2", 5.7576, "0.10 kg m^2", "-300 rpm/s")
    assert back["torque"] == pytest.approx(TORQUE, rel=1e-12)
    with pytest.raises(InputError, match="rate = missing; must be given; the pull has no times"):
        pull().steady("0.25 kg m^2")


def test_the_rate_is_found_from_the_times() -> None:
    time = np.arange(0.0, 12.0, 0.05)
    rng = np.random.default_rng(5)
    rpm = 3000.0 + 320.0 * time + rng.normal(0.0, 4.0, time.size)
    start = MeasuredPull.of(
        "x", {"time": time, "engine_speed": rpm * RAD, "torque": np.full(time.size, 500.0)}
    )
    rise = start.steady("1 kg m^2")["torque"] - 500.0
    assert np.median(rise) == pytest.approx(320.0 * RAD, rel=0.01)
    assert rise == pytest.approx(np.full(time.size, 320.0 * RAD), rel=0.12)


def test_both_pulls_of_one_log_agree_on_any_footing(root: Path) -> None:
    log = airchain.read_pulls(root / "demo" / "pulls" / "full.txt")
    for basis in ("observed", *STANDARDS):
        made = airchain.overlay(log, [4000.0, 6000.0, 7000.0], basis=basis)
        # A bias per pull of about 1 %.
        assert made.ratio("power")[1] == pytest.approx(np.ones(3), abs=0.02)


def test_relative_humidity_is_enough_and_units_may_be_typed() -> None:
    columns = {"engine_speed": [3000.0, 4000.0], "torque": [500.0, 510.0]}
    weather = {"barometer": "29.0 inHg", "ambient_temperature": "86 degF"}
    units = {"engine_speed": "rpm", "torque": "N m"}
    humid = MeasuredPull.of("x", columns, {**weather, "relative_humidity": "40 %"}, units=units)
    # 4.246 kPa over water at 30 degC (86 degF), handbook value from memory.
    assert humid.ambient["vapour_pressure"] == pytest.approx(0.4 * 4246.0, rel=5e-4)
    same = MeasuredPull.of("x", columns, {**weather, "relative_humidity": 0.4}, units=units)
    assert same == humid
    assert humid.corrected("sae_j1349")["torque"][0] > 500.0
    for bad, words in (
        ({"relative_humidity": 0.4}, r"relative_humidity = 40 %; must come with ambient_temp"),
        ({**weather, "relative_humidity": 40.0}, r"relative_humidity = 40 .*between 0 and 1"),
        (
            {**weather, "relative_humidity": 0.4, "vapour_pressure": 900.0},
            "must stand alone; vapour_pressure says the same",
        ),
    ):
        with pytest.raises(InputError, match=words):
            MeasuredPull.of("x", columns, bad, units=units)


def test_one_value_is_read_at_a_speed() -> None:
    start = pull()
    assert start.at(start.rpm[3], "torque") == pytest.approx(start["torque"][3])
    assert start.at(4125.0, "torque", "kN m") == pytest.approx(
        np.interp(4125.0, start.rpm, start["torque"]) / 1e3
    )
    with pytest.raises(InputError, match=r"rpm = 99 rpm; must be an engine speed within"):
        start.at(99.0, "torque")
    assert start.get("torque") == pytest.approx(start["torque"])


def test_rounding_belongs_to_a_pull() -> None:
    columns = {"engine_speed": [300.0, 400.0], "torque": [500.0, 510.0]}
    rounded = MeasuredPull.of("x", columns, rounding={"torque": "1 lb ft"})
    assert rounded.rounding["torque"] == pytest.approx(1.35582, rel=1e-5)
    assert MeasuredPull.of("x", columns, rounding={"torque": 1.0}) != rounded
    with pytest.raises(InputError, match=r"rounding.torque = \"1 psi\""):
        MeasuredPull.of("x", columns, rounding={"torque": "1 psi"})
