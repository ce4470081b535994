"""Overlay of measured pulls, what is derived from them, and their pictures."""

import pickle
from pathlib import Path

import numpy as np
import pytest

import airchain
import scenario
from airchain import InputError, _core
from airchain.chain import Pull
from airchain.measured.compare import overlay
from airchain.measured.measured import MeasuredPull
from logs import RAD, RPM, TORQUE


def simple(name: str, factor: float = 1.0, **columns: object) -> MeasuredPull:
    return MeasuredPull.of(
        name, {"engine_speed": RPM * RAD, "torque": factor * TORQUE, **columns}, {"barometer": 1e5}
    )


@pytest.fixture(scope="module")
def build() -> airchain.Build:
    return scenario.steps().build.level("full")


@pytest.fixture(scope="module")
def solved(build: airchain.Build) -> Pull:
    return build.pull(np.arange(4000.0, 7001.0, 500.0))


@pytest.fixture(scope="module")
def of_chain(build: airchain.Build, solved: Pull) -> MeasuredPull:
    """A pull whose readings are what sensors would read in the chain."""
    air = build.chain.ambient
    names = (
        "engine_speed", "torque", "power", "plenum_pressure", "air_flow", "fuel_flow",
        "compressor_inlet_temperature", "compressor_inlet_pressure", "rotor_speed",
        "compressor_outlet_temperature", "compressor_outlet_pressure",
    )  # fmt: skip
    columns = {name: solved[name] for name in names}
    columns["plenum_temperature"] = solved["plenum_temperature"]
    columns["lambda"] = np.full(len(solved), getattr(build.chain.injection, "lambda"))
    saturation = float(_core.saturation_pressure(air.temperature))
    weather = {
        "barometer": air.pressure,
        "ambient_temperature": air.temperature,
        "vapour_pressure": air.relative_humidity * saturation,
    }
    return MeasuredPull.of("of the chain", columns, weather)


def test_overlay_gives_values_differences_and_peaks() -> None:
    made = overlay([simple("a"), simple("b", 1.1)], [3000.0, 5000.0, 7000.0])
    expected = 900.0 - 60.0 * ((made.rpm - 6000.0) / 1000.0) ** 2
    assert made.columns["torque"][0] == pytest.approx(expected, rel=2e-3)
    assert made.ratio("torque")[1] == pytest.approx(np.full(3, 1.1))
    assert made.difference("power")[1] == pytest.approx(0.1 * made.columns["power"][0])
    headings, _, rows = made.peaks()
    assert headings[:3] == ["highest", "power", "torque"]
    # 900 N m are 663.8 lb ft.
    assert rows[0][2] == "663.8 at 6000"
    assert "b less a" in made.text()
    assert made._repr_html_().count("<table") == 3


def test_overlay_leaves_out_what_is_not_measured() -> None:
    short = simple("short").rows(RPM <= 5000.0)
    boosted = simple("boosted", plenum_pressure=np.linspace(1.2e5, 2e5, RPM.size))
    made = overlay([boosted, short], [4000.0, 6000.0])
    assert np.isnan(made.columns["torque"][1, 1])
    assert np.isnan(made.columns["boost"][1]).all()
    assert made.columns["boost"][0, 0] == pytest.approx(0.4e5, rel=1e-6)
    assert "plenum_temperature" not in made.columns


def test_overlay_lays_a_computed_pull_over_a_measured_one() -> None:
    pull = scenario.full().pull([3000, 4000, 5000, 6000])
    measured = simple("dyno")
    both = overlay([measured, pull], [4000.0, 5000.0, 6000.0], ["power", "boost", "air_flow"])
    name = f"{pull.label} (computed)"
    assert list(both.pulls) == ["dyno", name]
    assert both.basis == "observed"
    assert both.at(5000, "power")[name] == pytest.approx(pull["power"][2], rel=1e-9)
    assert both.at(5000, "boost")[name] == pytest.approx(pull["boost"][2], rel=1e-6)
    assert np.isfinite(both.get("air_flow")[1]).all()
    # Its own weather is known, so that a standard's can be asked for.
    factor = _core.power_correction("sae_j1349", *_dry(pull.build.chain.ambient))
    named = overlay({"model": pull}, [5000.0], ["power"], basis="sae_j1349")
    assert named.at(5000, "power")["model"] == pytest.approx(factor * pull["power"][2], rel=1e-3)
    assert both.computed == (name,)
    head = both.plot().axes[0].get_title()
    assert head == "Torque and power, measured and computed"
    assert overlay([measured]).plot().axes[0].get_title() == "Torque and power as measured"


def _dry(air: _core.Ambient) -> tuple[float, float]:
    return air.pressure - _core.air_report(air).vapour_pressure, air.temperature


def test_overlay_takes_solved_points_only() -> None:
    full = scenario.full().replace({"drive.links.1.speed_ratio": 6.8})
    pull = full.pull([3000, 5000, 7000])
    assert not pull.matched.all()
    row = overlay([pull], [3000.0, 7000.0], ["power"]).get("power")[0]
    assert np.isfinite(row).tolist() == [pull.matched[0], pull.matched[2]]


def test_overlay_wants_one_footing() -> None:
    other = simple("b").replace(power_basis="sae_j1349")
    with pytest.raises(InputError, match=r"observed and sae_j1349; must stand on one footing"):
        overlay([simple("a"), other])
    with pytest.raises(InputError, match=r"names = .*; must differ"):
        overlay([simple("a"), simple("a")])
    with pytest.raises(InputError, match="be a measured pull, or a pull of a build"):
        overlay({"a": 3})
    with pytest.raises(InputError, match="at least one pull"):
        overlay([])


def test_torque_and_power_cross_where_they_must() -> None:
    for system in ("trade", "si"):
        figure = simple("a").plot(system=system)
        left, right = figure.axes[0], figure.axes[-1]
        torque, power = left.lines[0].get_xydata(), right.lines[0].get_xydata()
        heights = [
            data[:, 1] / axes.get_ylim()[1] for data, axes in ((torque, left), (power, right))
        ]
        gap = heights[1] - heights[0]
        crossing = np.interp(0.0, gap, torque[:, 0])
        # One hp is 550 ft lbf/s, so power in hp is torque in lb ft at 550 rad/s.
        assert crossing == pytest.approx(550.0 * 30.0 / np.pi, abs=3.0)
        assert left.get_ylim()[0] == right.get_ylim()[0] == 0.0
    assert simple("a").plot().axes[0].get_ylim()[1] == pytest.approx(
        simple("a").plot().axes[-1].get_ylim()[1]
    )


def test_derived_agrees_with_the_chain_that_made_the_readings(
    build: airchain.Build, solved: Pull, of_chain: MeasuredPull
) -> None:
    made = of_chain.derive(build)
    assert made.lacking == {}
    for name in (
        "air_flow", "brake_specific_fuel", "cooler_effectiveness", "rotor_speed", "pressure_ratio",
        "isentropic_efficiency", "corrected_flow", "corrected_speed", "air_per_power",
    ):  # fmt: skip
        assert made[name] == pytest.approx(solved[name], rel=2e-3), name
    # The power of acceleration is none here; the chain's own is into gas and fuel vapour alike.
    assert made["compressor_power"] == pytest.approx(solved["compressor_power"], rel=5e-3)
    assert made["drive_power"] == pytest.approx(solved["drive_power"], rel=5e-3)
    # Against plenum temperature without fuel vapour, where the chain takes the charge with it: the
    # charge cools by evaporation, which raises the chain's temperature-based figure a little.
    assert made["volumetric_efficiency"] == pytest.approx(solved["volumetric_efficiency"], rel=0.06)
    assert pickle.loads(pickle.dumps(made)).how == made.how


def test_derived_agrees_with_textbook_formulas(build: airchain.Build) -> None:
    # [Heywood 1988, eq. 2.27] dry air: eta_v = 2 m / (rho V_d N), rho = p/(287.05 T).
    columns = {
        "plenum_pressure": np.full(RPM.size, 1.5e5),
        "plenum_temperature": np.full(RPM.size, 320.0),
        "air_flow": np.full(RPM.size, 0.6),
        "fuel_flow": np.full(RPM.size, 0.05),
    }
    made = simple("x", **columns).derive(build)
    volume = build.chain.engine.displacement
    expected = 2.0 * 0.6 / (1.5e5 / (287.05 * 320.0) * volume * RPM / 60.0)
    assert made["volumetric_efficiency"] == pytest.approx(expected, rel=2e-4)
    assert made["brake_specific_fuel"] == pytest.approx(0.05 / (TORQUE * RPM * RAD))
    assert "air taken as dry" in made.how["volumetric_efficiency"]


def test_what_cannot_be_derived_says_why(build: airchain.Build) -> None:
    made = simple("x").derive(build)
    assert made.lacking["air_flow"] == "no air flow, nor fuel flow with lambda"
    assert made.lacking["volumetric_efficiency"].startswith("no air flow: no air flow, nor fuel")
    assert made.lacking["cooler_effectiveness"] == (
        "no compressor outlet temperature and no plenum temperature"
    )
    with pytest.raises(InputError, match="x: air_flow = not derived"):
        made["air_flow"]
    with pytest.raises(InputError, match='did you mean "air_flow"'):
        made["airflow"]
    assert "not derived: no air flow" in repr(made)
    aspirated = simple("x").derive(build.naturally_aspirated())
    assert aspirated.lacking["pressure_ratio"] == "the build has no compressor"
    assert "engine speed times" in made.how["rotor_speed"]


def test_sensor_lag_is_stated_in_a_sweep(root: Path, build: airchain.Build) -> None:
    log = airchain.read_pulls(root / "demo" / "pulls" / "middle.csv")
    made = log[0].derive(build.level("middle"))
    assert "lags 1 to 3 s" in made.how["isentropic_efficiency"]
    assert "lags" not in made.how["corrected_flow"]


def test_pictures_show_every_pull(root: Path, build: airchain.Build) -> None:
    log = airchain.read_pulls(root / "demo" / "pulls" / "full.txt")
    figure = log.plot()
    texts = [t.get_text() for t in figure.axes[0].get_legend().get_texts()]
    assert texts == ["full, run 1, observed", "full, run 2, observed"]
    assert [a.get_ylabel() for a in figure.axes] == [
        "Torque [lb ft], thin lines", "Boost [psi]", "Plenum temperature [degF]",
        "Power [hp], thick lines",
    ]  # fmt: skip
    on_map = log[0].plot_map(build, beside=log[1:])
    labels = [t.get_text() for t in on_map.axes[0].get_legend().get_texts()]
    assert {"full, run 1", "full, run 2"} <= set(labels)
    with pytest.raises(InputError, match="no compressor outlet pressure"):
        simple("x").plot_map(build)
    with pytest.raises(InputError, match="naturally aspirated; must have a compressor"):
        log[0].plot_map(build.naturally_aspirated())
