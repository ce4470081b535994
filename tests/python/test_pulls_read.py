"""Logs of every layout give the same pull; what was guessed is shown, corrected and saved."""

import pickle
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import airchain
from airchain import InputError
from airchain.measured.log.mapping import LogMapping
from airchain.measured.log.reader import guess_mapping, read_pulls
from airchain.measured.log.segments import segments
from airchain.measured.measured import MeasuredPull
from logs import CHARGE, MAP, PLAIN, RAD, RPM, TORQUE, Log


def check(pull: MeasuredPull) -> None:
    """Every column as it was written, in SI."""
    assert pull["engine_speed"] == pytest.approx(RPM * RAD, rel=1e-12)
    assert pull["torque"] == pytest.approx(TORQUE, abs=6e-3)
    assert pull["plenum_pressure"] == pytest.approx(MAP * 1e3, abs=6.0)
    assert pull["plenum_temperature"] == pytest.approx(CHARGE + 273.15, abs=6e-3)
    assert pull["power"] == pytest.approx(TORQUE * RPM * RAD, rel=2e-5)


BARE = tuple(
    (head.split(" [")[0].replace("MAP", "Manifold pressure"), values, places)
    for head, values, places in PLAIN
)
LAYOUTS = {
    "plain": Log(),
    "semicolons": Log(delimiter=";"),
    "decimal commas": Log(delimiter=";", decimal=","),
    "tabs and decimal commas": Log(delimiter="\t", decimal=","),
    "bars": Log(delimiter="|"),
    "spaces": Log(columns=tuple((h.replace(" ", "_"), v, p) for h, v, p in PLAIN), delimiter="   "),
    "utf-8 with mark": Log(encoding="utf-8-sig"),
    "utf-16": Log(encoding="utf-16", delimiter=";", decimal=","),
    "utf-16 without mark": Log(encoding="utf-16-le"),
    "windows-1252": Log(
        columns=(*PLAIN[:3], ("Charge temp [°C]", CHARGE, 2)), encoding="windows-1252"
    ),
    "windows line ends": Log(end="\r\n"),
    "old line ends": Log(end="\r"),
    "titles and comments": Log(above="My engine, tuesday\n# made on the brake\n\n"),
    "heading after a comment mark": Log(above="# "),
    "row of units": Log(columns=BARE, units="rpm,Nm,kPa abs,degC"),
    "row of units in brackets": Log(columns=BARE, units="[1/min],[N*m],[kPa abs],[°C]"),
    "headings again": Log(below="Engine speed [rpm],Observed torque [Nm]\n"),
    "trailing delimiters": Log(end=",\n"),
    "blank lines": Log(above="\n\n", below="\n\n\n"),
    "quoted": Log(columns=tuple((f'"{h}"', v, p) for h, v, p in PLAIN)),
    "falling speed": Log(columns=tuple((h, v[::-1], p) for h, v, p in PLAIN)),
    "units in the cells": Log(
        columns=BARE,
        changes={
            (i, j): f"{values[i]:.{places}f} {unit}"
            for i in range(RPM.size)
            for j, ((_, values, places), unit) in enumerate(
                zip(BARE, ("rpm", "Nm", "kPa", "degC"), strict=True)
            )
        },
    ),
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_layout_gives_the_same_pull(name: str, tmp_path: Path) -> None:
    mapping = {"power_basis": "observed", "columns": {"plenum_pressure": {"reference": "absolute"}}}
    log = LAYOUTS[name].read(tmp_path, mapping)
    assert len(log) == 1, log
    check(log[0])


@given(
    delimiter=st.sampled_from(",;\t|"),
    decimal=st.sampled_from(".,"),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "windows-1252"]),
    end=st.sampled_from(["\n", "\r\n"]),
    above=st.sampled_from(["", "A title\n", "# note; with, marks\n\n"]),
    order=st.permutations(range(4)),
)
def test_any_mix_of_marks_gives_the_same_pull(
    tmp_path_factory: pytest.TempPathFactory,
    delimiter: str, decimal: str, encoding: str, end: str, above: str, order: list[int],
) -> None:  # fmt: skip
    if delimiter == decimal:
        decimal = "."
    columns = tuple(PLAIN[i] for i in order)
    log = Log(columns, delimiter, decimal, above, end=end, encoding=encoding)
    check(log.read(tmp_path_factory.mktemp("mix"))[0])


def test_the_original_file_is_not_changed(tmp_path: Path) -> None:
    path = Log().write(tmp_path)
    before = path.read_bytes(), path.stat().st_mtime_ns
    read_pulls(path)
    guess_mapping(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_thousands_marks_and_missing_readings(tmp_path: Path) -> None:
    changes = {(4, 0): '"4,000"', (7, 1): "---", (8, 1): "NaN", (9, 3): ""}
    pull = Log(changes=changes).read(tmp_path)[0]
    assert pull.rpm[4] == pytest.approx(4000.0)
    assert np.flatnonzero(np.isnan(pull["torque"])).tolist() == [7, 8]
    assert np.flatnonzero(np.isnan(pull["plenum_temperature"])).tolist() == [9]
    words = [str(f) for f in pull.findings]
    assert any("torque: 2 of 17 readings are missing (lines 9-10)" in w for w in words)
    german = Log(delimiter=";", decimal=",", changes={(4, 0): "4.000"}).read(tmp_path)[0]
    assert german.rpm[4] == pytest.approx(4000.0)


def test_a_clock_is_a_time(tmp_path: Path) -> None:
    clock = tuple(f"00:01:{i:02d}.50" for i in range(RPM.size))
    columns = (("Time [s]", np.zeros(RPM.size), 0), *PLAIN)
    pull = Log(columns, changes={(i, 0): c for i, c in enumerate(clock)}).read(tmp_path)[0]
    assert pull["time"] == pytest.approx(60.5 + np.arange(RPM.size))


def test_weather_is_read_from_the_text(tmp_path: Path) -> None:
    above = "Barometer: 29.62 inHg, Air temp: 85 F; Humidity: 40 %\n"
    pull = Log(above=above).read(tmp_path)[0]
    assert pull.ambient["barometer"] == pytest.approx(29.62 * 3386.389, rel=1e-6)
    assert pull.ambient["ambient_temperature"] == pytest.approx(302.594, abs=1e-3)
    # [ASHRAE 2017, ch. 1, table 3] 4.0 kPa at 29.0 degC and 4.2431 at 30: about 4.12 at 29.44.
    assert pull.ambient["vapour_pressure"] == pytest.approx(0.4 * 4116.0, rel=3e-3)


@pytest.mark.parametrize(
    ("heading", "values", "words"),
    [
        ("Boost [psi]", 0.145 * (MAP - 100.0), "a difference by name"),
        ("Manifold pressure [psig]", 0.145038 * (MAP - 100.0), "its unit says so"),
        ("Manifold pressure [mbar rel]", 10.0 * (MAP - 100.0), "its unit says so"),
        ("Manifold pressure [kPa]", MAP - 101.0 - 20.0, "below zero"),
        ("Manifold pressure [kPa]", MAP - 100.0, "no absolute pressure is as low"),
    ],
)
def test_gauge_is_told_with_a_reason(
    heading: str, values: np.ndarray, words: str, tmp_path: Path
) -> None:
    columns = (*PLAIN[:2], (heading, values, 3))
    log = Log(columns, above="Barometer: 100 kPa\n").read(tmp_path)
    one = log.mapping.columns["plenum_pressure"]
    assert one.reference == "gauge"
    assert words in one.reason
    expected = (values - values[0]) + log[0]["boost"][0]
    scale = (log[0]["boost"][-1] - log[0]["boost"][0]) / (values[-1] - values[0])
    assert log[0]["boost"] == pytest.approx(expected[0] + (values - values[0]) * scale, rel=1e-2)
    assert log[0]["plenum_pressure"][-1] - 1e5 == pytest.approx(log[0]["boost"][-1])


def test_rest_tells_gauge_from_absolute(tmp_path: Path) -> None:
    rpm = np.concatenate([np.zeros(5), RPM])
    for level, expected in ((100.2, "absolute"), (0.1, "gauge")):
        pressure = np.concatenate([np.full(5, level), MAP - (100.0 if expected == "gauge" else 0)])
        columns = (
            ("Engine speed [rpm]", rpm, 0),
            ("Observed torque [Nm]", np.concatenate([np.zeros(5), TORQUE]), 1),
            ("Manifold pressure [kPa]", pressure, 2),
        )
        log = Log(columns, above="Barometer: 100 kPa\n").read(tmp_path)
        one = log.mapping.columns["plenum_pressure"]
        assert one.reference == expected
        assert "at rest" in one.reason
        assert len(log[0]) == RPM.size
        assert any("in no pull" in words for words in log.all_findings)


def test_a_ratio_on_the_gasoline_scale_is_made_lambda(tmp_path: Path) -> None:
    # The same mixture of methanol, on a logger set to gasoline: 14.7 times lambda.
    columns = (*PLAIN, ("AFR", np.full(RPM.size, 12.495), 3))
    log = Log(columns).read(tmp_path)
    assert log[0]["lambda"] == pytest.approx(0.85)
    assert log.mapping.columns["lambda"].scale == 14.7
    assert "gasoline scale" in log.mapping.columns["lambda"].reason
    true_methanol = (*PLAIN, ("AFR", np.full(RPM.size, 5.5), 3))
    with pytest.raises(InputError, match=r"columns\.lambda\.scale = not told"):
        Log(true_methanol).read(tmp_path)
    log = Log(true_methanol).read(tmp_path, {"columns": {"lambda": {"scale": 6.47}}})
    assert log[0]["lambda"] == pytest.approx(5.5 / 6.47)


def test_units_left_out_follow_from_power(tmp_path: Path) -> None:
    power = TORQUE * RPM * RAD / 1e3
    columns = (PLAIN[0], ("Observed torque", TORQUE, 2), ("Observed power", power, 2))
    log = Log(columns).read(tmp_path)
    assert log[0]["torque"] == pytest.approx(TORQUE, rel=1e-4)
    assert log.mapping.columns["power"].unit == "kW"
    assert "power is torque times speed" in log.mapping.columns["power"].reason


def test_observed_is_taken_before_corrected(tmp_path: Path) -> None:
    columns = (*PLAIN, ("SAE torque [Nm]", TORQUE * 1.03, 2))
    log = Log(columns).read(tmp_path)
    assert log[0].power_basis == "observed"
    assert log[0]["torque"] == pytest.approx(TORQUE, abs=6e-3)
    assert log.mapping.ignore == ("SAE torque [Nm]",)
    only = Log((PLAIN[0], ("SAE torque [Nm]", TORQUE, 2))).read(tmp_path)
    assert only[0].power_basis == "sae_j1349"


def test_numbered_exhaust_temperatures_are_averaged(tmp_path: Path) -> None:
    egt = [(f"EGT {i} [degC]", np.full(RPM.size, 700.0 + 10.0 * i), 0) for i in range(1, 5)]
    pull = Log((*PLAIN, *egt)).read(tmp_path)[0]
    assert pull["exhaust_temperature"] == pytest.approx(np.full(RPM.size, 725.0 + 273.15))


def test_several_pulls_by_title_by_column_and_by_speed(tmp_path: Path) -> None:
    one = Log().text().split("\n", 1)[1]
    head = Log().text().split("\n", 1)[0]
    path = tmp_path / "titles.csv"
    path.write_text(f"Tuesday\nRun one\n{head}\n{one}\nRun two\n{head}\n{one}")
    log = read_pulls(path)
    assert [p.name for p in log] == ["Run one", "Run two"]
    for pull in log:
        check(pull)
    rows = one.strip().split("\n")
    path.write_text(
        "\n".join([f"Run,{head}", *(f"A,{r}" for r in rows), *(f"B,{r}" for r in rows)])
    )
    log = read_pulls(path)
    assert [p.name for p in log] == ["titles, run A", "titles, run B"]
    check(log["titles, run B"])
    path.write_text("\n".join([head, *rows, *rows]))
    log = read_pulls(path)
    assert [len(p) for p in log] == [RPM.size, RPM.size]
    check(log[1])


@given(
    noise=st.floats(0.0, 15.0),
    runs=st.integers(1, 4),
    hold=st.integers(0, 60),
    seed=st.integers(0, 10**6),
)
def test_runs_up_and_down_are_told_apart(noise: float, runs: int, hold: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    one = np.concatenate([np.full(hold, 1500.0), np.linspace(1500, 7000, 150),
                          np.linspace(7000, 1500, 90)])  # fmt: skip
    rpm = np.tile(one, runs) + rng.normal(0.0, noise, one.size * runs)
    found = segments(rpm * RAD, None)
    assert [s.up for s in found] == [True, False] * runs
    for i, segment in enumerate(s for s in found if s.up):
        # From the end of the hold to the top, within what noise and the hold's band may move.
        assert abs(segment.first - (i * one.size + hold)) <= max(12, 0.05 * 150)
        assert abs(segment.last - (i * one.size + hold + 150)) <= 8


def test_a_run_down_is_kept_apart(root: Path) -> None:
    log = read_pulls(root / "demo" / "pulls" / "full.txt")
    assert [p.name for p in log] == ["full, run 1", "full, run 2"]
    assert [p.name for p in log.run_downs] == ["full, run-down", "full, run-down (2)"]
    assert np.nanmax(log.run_downs[0]["torque"]) < 0.0
    lines = np.concatenate([p.lines for p in (*log, *log.run_downs)])
    outside = next(f for f in log.findings if "outside" in f.topic)
    # Every line of the file's table is in one pull or in the finding: nothing is dropped.
    everything = np.sort(np.concatenate([lines, outside.lines]))
    assert everything.tolist() == list(range(7, 7 + everything.size))


def test_mapping_is_shown_corrected_and_saved(tmp_path: Path) -> None:
    columns = (("Engine speed [rpm]", RPM, 0), ("X1 [Nm]", TORQUE, 2), ("X2 [kPa]", MAP, 2))
    path = Log(columns).write(tmp_path)
    guessed = guess_mapping(path)
    assert "X1 [Nm]" in guessed.ignore
    mine = {
        "power_basis": "observed",
        "columns": {
            "torque": "X1 [Nm]",
            "plenum_pressure": {"column": 3, "unit": "kPa", "reference": "absolute"},
        },
    }
    log = read_pulls(path, mine)
    assert log[0]["torque"] == pytest.approx(TORQUE, abs=6e-3)
    saved = tmp_path / "mapping.toml"
    log.mapping.save(saved)
    again = read_pulls(path, saved)
    assert again.mapping == log.mapping
    assert again[0] == log[0]
    assert pickle.loads(pickle.dumps(log.mapping)) == log.mapping
    assert "X1" in repr(log.mapping)
    assert "<table" in log._repr_html_()


def test_saved_weather_is_not_carried_to_another_day(tmp_path: Path) -> None:
    log = Log(above="Barometer: 29.62 inHg\n").read(tmp_path)
    log.mapping.save(tmp_path / "m.toml")
    other = Log(above="Barometer: 28.00 inHg\n").read(tmp_path, tmp_path / "m.toml")
    assert other[0].ambient["barometer"] == pytest.approx(28.0 * 3386.389, rel=1e-6)


def test_fingerprint_tells_file_and_mapping(tmp_path: Path) -> None:
    first = Log().read(tmp_path)[0].fingerprint
    assert Log().read(tmp_path)[0].fingerprint == first
    assert Log(end="\r\n").read(tmp_path)[0].fingerprint != first
    other = {"columns": {"torque": {"unit": "lb ft"}}}
    assert Log().read(tmp_path, other)[0].fingerprint != first


def test_a_measured_pull_is_a_value() -> None:
    columns = {"engine_speed": [3000, 4000], "torque": [500.0, np.nan]}
    units = {"engine_speed": "rpm", "torque": "lb ft"}
    pull = MeasuredPull.of("x", columns, {"barometer": 1e5}, units=units)
    assert pickle.loads(pickle.dumps(pull)) == pull
    assert pull.with_columns(torque=None) != pull
    assert pull.get("torque", "lb ft")[0] == pytest.approx(500.0)
    with pytest.raises(ValueError, match="read-only"):
        pull["torque"][0] = 1.0
    assert "500.0" in repr(pull)
    assert "<table" in pull._repr_html_()
    assert list(pull.to_frame("trade")) == ["engine_speed [rpm]", "torque [lb ft]"]
    for bad, words in (
        ({"engine_speed": [1.0], "tork": [1.0]}, 'did you mean "torque"'),
        ({"torque": [1.0]}, "must hold engine_speed"),
        ({"engine_speed": [1.0], "torque": [1.0, 2.0]}, "x: torque = 2 values"),
        ({"engine_speed": [1.0], "torque": [np.inf]}, "must be finite"),
    ):
        with pytest.raises(InputError, match=words):
            MeasuredPull.of("x", bad)


@pytest.mark.parametrize(
    ("given_mapping", "words"),
    [
        ({"colums": {}}, 'mapping: colums = .* did you mean "columns"'),
        ({"columns": {"tork": "x"}}, 'did you mean "torque"'),
        ({"columns": {"torque": {"unt": "Nm"}}}, r"columns\.torque\.unt"),
        ({"columns": {"torque": "No such"}}, r"log.csv:1: columns\.torque\.column = \"No such\""),
        ({"columns": {"torque": 9}}, "must be from 1 to 4"),
        ({"columns": {"torque": {"unit": "psi"}}}, r"columns\.torque\.unit = \"psi\""),
        ({"columns": {"plenum_pressure": {"reference": "guage"}}}, "one of absolute, gauge"),
        ({"power_basis": "sae"}, "power_basis = .* must be one of observed, sae_j1349"),
        ({"decimal": 3}, "must be text"),
        ({"ambient": {"barometer": "29.9"}}, r"ambient\.barometer = \"29.9\"; must have a unit"),
        (5, "must be a dict"),
    ],
)
def test_names_the_bad_mapping(given_mapping: object, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words):
        Log().read(tmp_path, given_mapping)


def test_names_the_line_of_a_bad_saved_mapping(tmp_path: Path) -> None:
    saved = tmp_path / "m.toml"
    saved.write_text('decimal = "."\n[columns.torque]\nunits = "Nm"\n')
    with pytest.raises(InputError, match=r"m.toml:3: columns\.torque\.units"):
        LogMapping.of(saved)


@pytest.mark.parametrize("name", ["tame.csv", "middle.csv", "full.txt"])
def test_demo_logs_are_read_without_a_question_and_say_they_are_invented(
    name: str, root: Path
) -> None:
    path = root / "demo" / "pulls" / name
    log = airchain.read_pulls(path)
    assert log.mapping.questions == ()
    raw = path.read_bytes()
    assert b"INVENTED" in raw.replace(b"\0", b"")
    build = airchain.load(root / "demo" / "ridge_road.toml").level(path.stem)
    for pull in log:
        assert {"barometer", "ambient_temperature", "vapour_pressure"} <= set(pull.ambient)
        # Invented from the build with changes of a few per cent.
        rpm = [4000.0, 5500.0, 7000.0]
        there = pull.resampled(rpm)
        assert there["power"] == pytest.approx(build.pull(rpm)["power"], rel=0.12)


def test_how_a_log_was_read_is_said_once(tmp_path: Path) -> None:
    log = Log().read(tmp_path)
    assert repr(log).count("How the log was read") == 1
    assert repr(log.mapping).count("How the log was read") == 1
    assert log.plot().axes[0].get_legend().get_texts()[0].get_text() == "log, observed"
