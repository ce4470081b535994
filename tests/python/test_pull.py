"""Pulls, station tables and ladders of the demo build: what they hold and how they read."""

from itertools import pairwise

import numpy as np
import pytest

import airchain
import scenario
from airchain import _core
from airchain.base.speeds import RPM
from airchain.chain import Ladder
from airchain.chain.pull import Pull
from airchain.chain.solving import solve


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


@pytest.fixture(scope="module")
def steps() -> Ladder:
    return scenario.steps()


def test_columns_come_in_si_and_in_the_unit_asked_for(full: airchain.Build) -> None:
    pull = full.pull([5000, 7000])
    # One mechanical horsepower is 550 ft lbf/s = 745.69987 W [NIST SP 811, appendix B.9].
    assert pull.get("power", "hp") == pytest.approx(pull["power"] / 745.69987, rel=1e-7)
    assert pull["engine_speed"] == pytest.approx([523.598776, 733.038286])  # 5000 and 7000 rpm
    assert pull.rpm == pytest.approx([5000, 7000])
    assert pull["power"] == pytest.approx(pull["torque"] * pull["engine_speed"], rel=1e-12)


def test_text_counts_the_points_first(full: airchain.Build) -> None:
    pull = full.pull()
    first = repr(pull).splitlines()[0]
    assert pull.matched.all()
    assert first == f"{full.title}: All {len(pull)} points solved. {pull.knock.verdict}"
    assert "± 5 deg" in first
    assert f"All {len(pull)} points solved." in pull._repr_html_()


def test_a_verdict_never_calls_a_point_beyond_a_limit_sound(full: airchain.Build) -> None:
    slow = full.replace({"compressor.rotor_speed_limit": "34000 rpm"})
    pull = slow.pull([3000, 5000, 6000, 7000])
    over = int((pull["rotor_speed"] > 34000 * np.pi / 30.0).sum())
    assert 1 < over < 4
    said = f"All 4 points solved. {over} of 4 pass a limit (rotor speed): do not run them."
    assert pull.summary == said
    assert said in pull.text().splitlines()[0]
    assert "(rotor speed): do not run them." in airchain.ladder(slow, [6000, 7000]).verdict
    one = slow.pull([7000])
    assert one.summary.endswith("The point passes a limit (rotor speed): do not run it.")
    assert "(rotor speed): do not run it." in one.stations(7000).verdict
    swept = airchain.sweep(slow, {"rpm": [6000, 7000]})
    assert "All 2 pass a limit (rotor speed)" in swept.attrs["summary"]
    assert "limit" not in full.pull([3000]).summary


def test_an_efficiency_is_told_in_per_cent_beside_margins(full: airchain.Build) -> None:
    pull = full.pull([5000])
    share = 100.0 * pull["isentropic_efficiency"][0]
    assert pull.shown("isentropic_efficiency", 0) == f"{share:.1f}"
    head, units = pull.text().splitlines()[1:3]
    # Headings and units stand above each other, flush right.
    end = head.index("compressor efficiency") + len("compressor efficiency")
    assert units[:end].endswith(" %")


def test_unsolved_points_are_nan_and_say_what_to_do(full: airchain.Build) -> None:
    chain = full.chain.replace(drive=full.chain.drive.replace(drive_ratio=1.3))
    pull = Pull(full, _core.solve(chain, {"engine_speed": np.array([500.0, 900.0])}))
    assert pull.status == ["matched", "outside_map"]
    assert pull.summary == "1 of 2 points solved; 1 lies outside the map."
    assert np.isnan(pull["power"]).tolist() == [False, True]
    assert any(
        n.startswith("1 point lies outside the map. The corrected speed") for n in pull.notes
    )
    assert pull.peak("power") == (pull["power"][0], pytest.approx(pull.rpm[0]))
    lost = Pull(full, _core.solve(chain, {"engine_speed": np.array([940.0, 960.0])}))
    assert np.isnan(lost.peak("power")).all()


def test_status_is_one_of_the_names(full: airchain.Build) -> None:
    assert set(full.pull().status) <= set(_core.status_names())


def test_peak_names_its_engine_speed(full: airchain.Build) -> None:
    pull = full.pull()
    value, rpm = pull.peak("power", "hp")
    assert value == pytest.approx(pull.get("power", "hp")[pull.rpm == rpm][0])
    assert value == pytest.approx(np.nanmax(pull.get("power", "hp")))


def test_frame_has_a_row_a_point(full: airchain.Build) -> None:
    pull = full.pull([4000, 6000])
    frame = pull.to_frame("trade")
    assert list(frame["rpm"]) == pytest.approx([4000, 6000])
    assert frame["power [hp]"].to_numpy() == pytest.approx(pull.get("power", "hp"))


@pytest.mark.parametrize(
    ("rpm", "message"),
    [
        ([], r"^Pull: rpm = \[\]; must be positive finite"),
        ([np.nan], "Pull: rpm = .*nan.*must be positive finite"),
        ([-3000.0], "Pull: rpm = .*-3000.*must be positive finite"),
    ],
)
def test_names_the_bad_input_of_rpm(full: airchain.Build, rpm: list[float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Pull.run(full, rpm)


def test_names_the_bad_input_of_a_column(full: airchain.Build) -> None:
    pull = full.pull([5000])
    with pytest.raises(airchain.InputError, match=r'column = "powr"; must be a column.*"power"'):
        pull["powr"]
    with pytest.raises(airchain.InputError, match="must be a unit of a power"):
        pull.get("power", "degF")


def test_stations_stand_in_the_order_of_the_air(full: airchain.Build) -> None:
    table = full.pull([7000]).stations(7000)
    assert table.names == [
        *("ambient", "scoop", "compressor_inlet", "compressor_outlet", "cooler_inlet"),
        *("cooler_outlet", "throttle_inlet", "plenum", "charge", "exhaust"),
    ]
    lines = table.text().splitlines()
    places = [next(i for i, s in enumerate(lines) if s.startswith(n.replace("_", " ")))
              for n in table.names]  # fmt: skip
    assert places == sorted(places)
    assert table.text().startswith(f"{full.title} at 7,000 rpm: solved.")
    assert table["power"] == pytest.approx(full.pull([7000])["power"][0], rel=1e-12)


def test_total_pressure_falls_through_every_passive_part(full: airchain.Build) -> None:
    states = full.pull([7000]).stations(7000).states
    after = ["compressor_outlet", "cooler_inlet", "cooler_outlet", "throttle_inlet", "plenum"]
    pressures = [states[name]["pressure"] for name in after]
    assert all(b < a for a, b in pairwise(pressures))
    assert states["compressor_inlet"]["pressure"] < states["scoop"]["pressure"]


def test_si_and_trade_tell_the_same(full: airchain.Build) -> None:
    table = full.pull([7000]).stations(7000)
    kelvin = table.states["plenum"]["temperature"]
    assert f"{kelvin - 273.15:.1f}" in table.text("si")
    assert f"{kelvin * 1.8 - 459.67:.1f}" in table.text("trade")


def test_naturally_aspirated_engine_has_no_compressor_rows(full: airchain.Build) -> None:
    table = full.naturally_aspirated().pull([6000]).stations(6000)
    assert not {"compressor_outlet", "cooler_outlet"} & set(table.names)
    assert "surge margin" not in table.text()


def test_ladder_shows_each_level_beside_the_plain_engine(steps: Ladder) -> None:
    assert [s.name for s in steps.steps] == ["naturally aspirated", "tame", "middle", "full"]
    # [demo/ridge_road.toml]: 33/40, 37/36 and 40/33 teeth.
    ratios = [s.drive_ratio for s in steps.steps[1:]]
    assert ratios == pytest.approx([33 / 40, 37 / 36, 40 / 33])
    at_reference = [s.pull.at(steps.reference_rpm, "boost") for s in steps.steps[1:]]
    assert at_reference == sorted(at_reference)
    assert steps["full"].pull.peak("power") > steps["naturally aspirated"].pull.peak("power")
    assert steps.text().startswith("Ridge Road: 4 levels")


def test_a_predicted_surge_margin_is_shown_as_an_estimate(steps: Ladder) -> None:
    assert all(cell.startswith("est. ") for cell in steps.rows()["least surge margin"][1:])
    pull = steps["full"].pull
    assert pull.shown("surge_margin", 0).startswith("est. ")
    assert any("no surge line was measured" in note for note in pull.notes)
    assert "est." not in pull.shown("speed_margin", 0)


def test_one_value_at_one_speed_in_a_unit(full: airchain.Build) -> None:
    pull = full.pull([5000, 7000])
    # 550 ft lbf/s make a horsepower.
    assert pull.at(7000, "power", "hp") == pytest.approx(pull["power"][1] / 745.6998715822702)
    assert pull.at(7000, "power") == pull["power"][1] == pull.get("power")[1]
    assert pull.peak("power", "hp")[0] == np.max(pull.get("power", "hp"))
    point = pull.stations(7000)
    assert point.get("boost") == point["boost"] == pull.at(7000, "boost")
    with pytest.raises(ValueError, match="did you mean"):
        pull.at(7000, "powr")


def test_a_margin_without_data_reads_not_known(full: airchain.Build) -> None:
    data = full.chain.compressor.map.data.replace(left_end="last_point")
    compressor = full.chain.compressor.replace(map=_core.CompressorMap(data))
    pull = Pull(full, solve(full.chain.replace(compressor=compressor), [7000]))
    assert pull.shown("surge_margin", 0) == "not known"
    assert np.isnan(pull["surge_margin"][0])


def test_stations_tell_flow_water_and_fuel(full: airchain.Build) -> None:
    table = full.pull([7000]).stations(7000)
    states = table.states
    # What the pull's columns say on their own.
    assert states["charge"]["dry_air_flow"] == pytest.approx(table["air_flow"], rel=1e-12)
    assert states["compressor_inlet"]["mass_flow"] == pytest.approx(table["compressor_flow"])
    fuel = states["charge"]["mass_flow"] - states["plenum"]["mass_flow"]
    assert fuel == pytest.approx(table["fuel_flow"], rel=1e-9)
    # demo/ridge_road.toml: 40 % evaporated, injected at the port.
    liquid, vapour = states["charge"]["fuel_liquid"], states["charge"]["fuel_vapour"]
    assert vapour / (vapour + liquid) == pytest.approx(0.4)
    assert states["plenum"]["vapour"] == pytest.approx(table["humidity_ratio"], rel=1e-12)
    lines = table.tables_text("si").splitlines()
    assert max(len(line) for line in lines) <= 125
    assert "g/kg" in table._repr_html_()


def test_reference_speed_is_that_of_the_file(steps: Ladder) -> None:
    assert steps.reference_rpm == pytest.approx(7000)
    assert steps.build.reference_speed == pytest.approx(7000 * RPM)
