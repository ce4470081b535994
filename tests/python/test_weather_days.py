"""Days typed by altitude, temperature and humidity, and tables of days."""

import re
from pathlib import Path

import pytest

import airchain
import scenario
from airchain import _core
from airchain.cli import main as cli
from airchain.plan import read_days
from airchain.plan.request import AS_TYPED

TABLE = """\
day; altitude [ft]; temperature; humidity; coolant_temperature

coast; 0; 59 degF; 0 %;
the pass; 6000; 85 degF; 20 %; 80 degF
"""


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "days.csv"
    path.write_text(TABLE)
    return path


@pytest.mark.parametrize(
    ("feet", "celsius", "pascal"),
    [(0.0, 15.0, 101325.0), (5000.0, 5.09, 84307.0), (10000.0, -4.81, 69682.0)],
)
def test_density_altitude_of_a_standard_day_agrees_with_the_handbook(
    feet: float, celsius: float, pascal: float
) -> None:
    # ISO 2533 and US Standard Atmosphere 1976 in feet, temperature and pressure as handbooks print
    # them (from memory): dry air of that height's own state must have that density altitude.
    air = _core.Ambient(pressure=pascal, temperature=celsius + 273.15)
    assert _core.air_report(air).density_altitude / 0.3048 == pytest.approx(feet, abs=12.0)


def test_density_altitude_of_a_hot_day_agrees_with_the_pilots_rule() -> None:
    # Common practice, no source: 120 ft for each degC above the standard temperature, dry air. At
    # 5000 ft and 35 degC: 5000 + 120 (35 - 5.1) = 8,590 ft; so far off it reads some 3 % high.
    day = {"hot": {"altitude": "5000 ft", "temperature": "35 degC", "humidity": "0 %"}}
    steps = airchain.weather_bands(scenario.typed(), day, [7000.0]).days["hot"]
    altitude = _core.air_report(steps.build.chain.ambient).density_altitude
    assert altitude / 0.3048 == pytest.approx(8590.0, rel=0.05)


def test_an_altitude_alone_stands_for_the_standard_atmosphere() -> None:
    day = {"the pass": {"altitude": "6000 ft", "temperature": "85 degF", "humidity": "20 %"}}
    made = airchain.weather_bands(scenario.typed(), day, [5000.0, 7000.0])
    air = made.days["the pass"].build.chain.ambient
    assert air.pressure == pytest.approx(_core.standard_pressure(1828.8), rel=1e-12)
    typed = {
        "ambient.altimeter": f"{101325 / 1000} kPa",
        "ambient.altitude": "6000 ft",
        "ambient.temperature": "85 degF",
        "ambient.humidity": "20 %",
    }
    alone = scenario.typed().replace(typed).level("full").pull([5000.0, 7000.0])
    assert made.values("full", "power")["the pass"] == pytest.approx(alone["power"], rel=1e-12)
    rows = {(row[0], row[1]): row for row in made.tables("si")[1].rows}
    own = made.days[AS_TYPED]["full"].pull.peak("power")[0]
    there = made.days["the pass"]["full"].pull.peak("power")[0]
    assert rows["full", "the pass"][5] == f"{100.0 * (there / own - 1.0):+.1f}"
    assert rows["full", AS_TYPED][5] == "–"


def test_level_table_tells_fuel_and_knock() -> None:
    made = airchain.weather_bands(scenario.steps().build, {"hot": {
        "altitude": "1150 ft", "temperature": "100 degF"}}, [5000.0, 7000.0])  # fmt: skip
    table = made.tables()[1]
    fuel, knock = (table.headings.index(name) for name in ("fuel flow", "least knock margin"))
    for row in table.rows:
        step = made.days[row[1]][row[0]]
        assert row[fuel] == f"{step.at_peak_power('fuel_flow') * 7936.641:,.1f}"
        assert row[knock] == step.knock_margin
    assert "±" in table.rows[-1][knock]


def test_a_table_of_days_is_read(table: Path) -> None:
    days = read_days(table, scenario.typed())
    assert list(days) == ["coast", "the pass"]
    assert days["coast"].ambient.pressure == pytest.approx(101325.0)
    assert days["the pass"].coolant == pytest.approx((80.0 + 459.67) / 1.8)
    tabs = TABLE.replace(";", "\t")
    table.write_text(tabs)
    assert read_days(table, scenario.typed())["the pass"] == days["the pass"]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("85 degF", "85 psi", 'days.csv:4: the pass.temperature = "85 psi"; must be a temp'),
        ("the pass", "coast", 'days.csv:4: day = "coast"; must be there once'),
        ("the pass", "", "days.csv:4: day = missing"),
        ("humidity", "humid", 'days.csv:1: heading = "humid"; must be a column'),
        ("humidity", "temperature", "days.csv:1: headings = .* each other column once"),
        ("6000", "60000", "days.csv:4: the pass.altitude = .*; must be"),
        ("80 degF", "80 degF; 3", "days.csv:4: row = .*; must have at most 5 cells"),
        ("85 degF", "", "days.csv:4: the pass.temperature = missing; must be given"),
        (TABLE, "day\n", "must hold a row of headings and a row for each day"),
    ],
)
def test_names_what_is_wrong_in_a_table_of_days(
    table: Path, old: str, new: str, words: str
) -> None:
    table.write_text(TABLE.replace(old, new))
    with pytest.raises(airchain.InputError, match=words):
        read_days(table, scenario.typed())


def test_names_what_is_wrong_in_a_day() -> None:
    build = scenario.typed()
    for typed, words in (
        ({"altitude": "6000 ft"}, "weather_bands: pass.temperature = missing"),
        ({"altitud": "6000 ft", "temperature": "60 degF"}, 'did you mean "altitude"'),
        ({"altitude": "90000 ft", "temperature": "60 degF"}, "pass.altitude = "),
        ({"pressure": "29 inHg", "altitude": "10 ft", "temperature": "60 degF"}, "stand only with"),
    ):
        with pytest.raises(airchain.InputError, match=words):
            airchain.weather_bands(build, {"pass": typed}, [7000.0])


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[str, str, int]:
    with pytest.raises(SystemExit) as ended:
        cli.main([*words])
    shown = capsys.readouterr()
    return shown.out, shown.err, int(ended.value.code or 0)


def test_the_command_prints_days_and_csv(
    table: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = str(scenario.quick())
    hot = "hot: altitude=300 m, temperature=100 degF"
    picture = tmp_path / "days.png"
    out, err, code = printed(
        capsys, "weather", file, "--days", str(table), "--day", hot, "--figure", str(picture)
    )
    assert code == 0, err
    assert "4 levels on 4 days" in err
    assert re.search(r"the pass +23\.98 inHg, 85\.0 degF", out)
    assert picture.stat().st_size > 10_000
    out, _, code = printed(capsys, "weather", file, "--day", hot, "--csv")
    rows = [line.split(",") for line in out.splitlines()]
    assert rows[0][:4] == ["day", "level", "rpm", "status"]
    assert {row[0] for row in rows[1:]} == {AS_TYPED, "hot"}
    assert len({len(row) for row in rows}) == 1
    plain = tmp_path / "plain.toml"
    plain.write_text(scenario.quick().read_text().partition("[plan]")[0])
    _, err, code = printed(capsys, "weather", str(plain))
    assert code == 2
    assert "say --day or --days" in err
    _, err, code = printed(capsys, "weather", file, "--day", "hot")
    assert code == 2
    assert "must be NAME: KEY=VALUE" in err


def test_the_command_prints_the_track(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file, table = str(scenario.quick()), tmp_path / "torque.csv"
    out, err, code = printed(
        capsys, "track", file, "--distance", "100 m", "-o", str(table), "--figures", str(tmp_path)
    )
    assert code == 0, err
    assert "What the tyres take" in out
    assert "rule book" in err
    assert table.read_text().startswith("level,time [s],gear")
    assert {path.name for path in tmp_path.glob("*.png")} == {
        "wheel_torque.png", "runs.png", "torque_held.png",
    }  # fmt: skip
    out, _, code = printed(capsys, "track", file, "--distance", "50 m", "--csv")
    assert out.startswith("level,time [s],gear")
    _, err, code = printed(capsys, "track", file, "--surface", "ice")
    assert code == 1
    assert 'surface = "ice"; must be one of' in err
