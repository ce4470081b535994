"""Calibrations as files: the same tables back, and every bad file or input named."""

import csv
import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from markupsafe import escape

import airchain
import scenario
from airchain.base import places
from airchain.base import text_file as _textfile
from airchain.calibration import Calibration
from airchain.calibration.files import csv_name, read_table, write_calibration
from airchain.cli.main import cli

NASTY = 'Ridge "Road" <script>alert(1)</script> & Söhne'


@cache
def made() -> Calibration:
    """The demo's calibration under a name that wants escaping."""
    return airchain.calibrate(scenario.steps().build.replace({"build.name": NASTY}))


def test_files_hold_the_tables_to_the_printed_digits(tmp_path: Path) -> None:
    files = made().write(tmp_path / "out")
    again = airchain.read_calibration(tmp_path / "out")
    assert again.name == NASTY
    assert again.notes == made().data.notes
    assert again.provenance == made().data.provenance
    assert again.reference_temperature == pytest.approx(made().data.reference_temperature)
    for name, table in made().data.tables.items():
        assert again[name].texts == table.texts
        from_csv = read_table(tmp_path / "out" / csv_name(name), name)
        assert from_csv.texts == table.texts
        assert np.array_equal(from_csv.rpm, table.rpm)
        assert np.allclose(from_csv.pressure, table.pressure)
    for name, values in made().data.trims.items():
        assert np.allclose(again.trims[name], values, atol=6e-6, rtol=0)
    assert list(again.cylinders) == list(made().pulls)
    for level, trims in made().data.cylinders.items():
        for read, given in zip(again.cylinders[level], trims, strict=True):
            assert np.allclose(read, given, atol=5.1e-3, rtol=0)
    second = write_calibration(again, tmp_path / "second")
    assert [f.read_bytes() for f in second] == [f.read_bytes() for f in files]


def test_plain_readers_take_the_csv(tmp_path: Path) -> None:
    made().write(tmp_path)
    rows = list(csv.reader((tmp_path / "injector_time_ms.csv").read_text().splitlines()))
    assert {len(row) for row in rows} == {made().data.rpm.size + 1}
    assert [float(v) for v in rows[0][1:]] == made().data.rpm.tolist()
    assert [1e3 * float(row[0]) for row in rows[1:]] == made().data.pressure.tolist()
    lines = list(csv.DictReader((tmp_path / "cylinder_trims.csv").read_text().splitlines()))
    full = [line for line in lines if line["level"] == "full"]
    trims = made().data.cylinders["full"]
    assert len(full) == trims.fuel.size
    assert [int(line["cylinder"]) for line in full[:8]] == list(range(1, 9))
    fuel = np.array([float(line["fuel_percent"]) for line in full]).reshape(trims.fuel.shape)
    assert np.allclose(fuel, trims.fuel, atol=5.1e-3)
    assert np.allclose(fuel.mean(axis=1), 0.0, atol=6e-3)
    assert min(float(line["spark_deg"]) for line in full) == 0.0
    cells = list(csv.reader((tmp_path / "provenance.csv").read_text().splitlines()))
    assert cells[1][1:] == made().data.provenance[0]
    loaded = json.loads((tmp_path / "calibration.json").read_text(encoding="utf-8"))
    assert loaded["name"] == NASTY


def test_html_escapes_the_name() -> None:
    html = made()._repr_html_()
    assert "<script>" not in html
    assert "&lt;script&gt;" in html


def test_a_notebook_keeps_little_and_names_what_it_leaves_out() -> None:
    html, tables = made()._repr_html_(), made().tables()
    assert len(html.encode()) < 40_000
    shown = html.count("<table")
    assert 3 < shown < len(tables)
    left = tables[shown:]
    assert f"text() shows {len(left)} more tables: " in html
    for table in left:
        assert escape(table.caption.partition(":")[0]) in html.partition("text() shows")[2]
    for table in tables[:shown]:
        assert f"<caption>{escape(table.caption)}</caption>" in html or not table.caption


def test_without_a_fuel_system_injector_times_are_left_out() -> None:
    build = scenario.steps().build.replace({"fuel_system": None})
    tables = airchain.calibrate(build, knock=False)
    assert set(tables.data.tables) == {
        "volumetric_efficiency",
        "lambda_target",
        "burn_phasing",
        "fuel_mass",
    }
    assert any("has no [fuel_system]" in note for note in tables.data.notes)
    with pytest.raises(airchain.InputError, match='table = "injector_time"; must be one of volu'):
        tables["injector_time"]


def test_a_folder_that_cannot_be_made_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("here first")
    for place in (tmp_path / "file" / "out", tmp_path / "file"):
        with pytest.raises(airchain.InputError, match="must be a folder that can be written; "):
            made().write(place)
    assert (tmp_path / "file").read_text() == "here first"
    assert [p.name for p in tmp_path.iterdir()] == ["file"]


def test_an_earlier_calibration_is_replaced_whole(tmp_path: Path) -> None:
    made().write(tmp_path / "out", {"coverage.png": b"a picture"})
    (tmp_path / "out" / "fuel_mass_old.csv").write_text("1,2\n")
    files = made().write(tmp_path / "out")
    assert {p.name for p in (tmp_path / "out").iterdir()} == {f.name for f in files}
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


STRANGE = {
    "notes.txt": ("of the workshop", r'it holds "notes.txt", which is no file of a calibration'),
    "pull.csv": ("rpm,torque\n", r'it holds "pull.csv", which is no file of a calibration'),
    "fuel_mass_mg.csv": ("rpm\n", r"there is no calibration.json to be read"),
    "calibration.json": ('{"format": "other"}', r"its calibration.json is of another layout"),
}


@pytest.mark.parametrize("name", STRANGE)
def test_a_folder_of_other_things_is_left_alone(name: str, tmp_path: Path) -> None:
    text, why = STRANGE[name]
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / name).write_text(text)
    with pytest.raises(airchain.InputError, match=f"must be empty or one that may .*{why}"):
        made().write(tmp_path / "out")
    assert (tmp_path / "out" / name).read_text() == text
    assert [p.name for p in tmp_path.rglob("*")] == ["out", name]


@pytest.mark.parametrize("fails_at", [0, 3])
def test_a_write_that_fails_leaves_what_was_there(
    fails_at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made().write(tmp_path / "out")
    before = {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()}
    real, calls = _textfile.write_bytes, iter(range(99))

    def full_disk(path: Path, data: bytes) -> None:
        if next(calls) == fails_at:
            raise OSError(28, "No space left on device")
        real(path, data)

    monkeypatch.setattr(_textfile, "write_bytes", full_disk)
    for place in ("out", "new"):
        with pytest.raises(airchain.InputError, match="No space left on device"):
            made().write(tmp_path / place)
        calls = iter(range(99))
    assert {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()} == before
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_the_old_folder_returns_when_the_new_one_cannot_take_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made().write(tmp_path / "out")
    real = Path.rename

    def refused(self: Path, target: Path) -> Path:
        if self.name.endswith(".tmp"):
            raise OSError(5, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(places, "_exchanged", lambda *_: False)  # as where a system cannot
    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(airchain.InputError, match="Input/output error"):
        made().write(tmp_path / "out")
    monkeypatch.undo()
    assert airchain.read_calibration(tmp_path / "out").name == NASTY
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def calibrated(**given: Any) -> Callable[[], object]:
    """A calibration of the demo with an input."""
    return lambda: airchain.calibrate(scenario.steps().build, **given)


def bare_pull() -> airchain.MeasuredPull:
    """A pull that does not say where in the table it ran."""
    return airchain.MeasuredPull.of("bare", {"engine_speed": [300.0, 400.0], "torque": [1.0, 2.0]})


BAD = {
    "an axis that falls": (calibrated(rpm=[3000, 2000]), r"rpm = .*; must be above 0 and rise"),
    "an axis of one": (calibrated(pressure=[1e5]), r"pressure = .*; must hold two finite values"),
    "gauge pressure": (calibrated(pressure=["5 psig", "9 psig"]), r"calibrate: pressure = .5 psig"),
    "axes that no level passes": (
        calibrated(pressure=["30 kPa", "40 kPa"]),
        r"levels = no coverage; must pass through the tables; give rpm and pressure axes",
    ),
    "a pull of no level": (
        calibrated(pulls={"wild": []}), r'pulls = "wild"; must name one of tame, middle, full'
    ),
    "a pull without pressure": (
        calibrated(pulls={"tame": bare_pull()}), r"no plenum_pressure; must hold plenum pressure"
    ),
    "a temperature without unit": (
        calibrated(reference_temperature="50"), r"reference_temperature = .50.; must have a unit"
    ),
    "a lambda out of range": (
        calibrated(lambda_target={"100 kPa": 14.7}), r"Injection: lambda = 14.7; must be between"
    ),
    "one pressure in two units": (
        calibrated(lambda_target={"100 kPa": 0.9, "1 bar": 0.9}), r"must name each pressure once"
    ),
    "a build without answers": (
        lambda: airchain.calibrate(
            scenario.steps().build.replace({"compressor.diameter_ratio": None,
                                            "drive.links.1.speed_ratio": 20.0})
        ),
        r"levels = no answer; must have solved points",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD)
def test_names_the_bad_input(case: str) -> None:
    act, refusal = BAD[case]
    with pytest.raises(airchain.InputError, match=refusal):
        act()


def spoilt(**changes: Any) -> str:
    """The demo's JSON with something else in it."""
    from airchain.calibration.files import as_json

    return json.dumps({**as_json(made().data), **changes})


BAD_JSON = {
    "no JSON": ("{", "must be JSON"),
    "another layout": ('{"format": "other"}', 'format = "other"; must be "airchain calibration 2"'),
    "a list": ("[1]", "must be .airchain calibration 2."),
    "an axis that falls": (None, "must be above 0 and rise"),
    "rows of unlike length": (None, "must be complete"),
    "an unknown table": (None, 'name = "mystery"; must be one of'),
    "trims of too few speeds": (None, "full.fuel_percent = .1, 2.; must hold 2 rows"),
}


@pytest.mark.parametrize("case", BAD_JSON)
def test_names_the_bad_file(case: str, tmp_path: Path) -> None:
    text, refusal = BAD_JSON[case]
    rpm = made().data.rpm.tolist()
    values = {"values": [[1.0, 2.0], [1.0]]}
    own = {"engine_speed_rpm": [3e3, 4e3], "fuel_percent": [[1, 2]], "spark_deg": [[1, 2]]}
    ready = {
        "an axis that falls": lambda: spoilt(engine_speed_rpm=rpm[::-1]),
        "rows of unlike length": lambda: spoilt(tables={"fuel_mass": values}),
        "an unknown table": lambda: spoilt(tables={"mystery": {"values": [[1.0]]}}),
        "trims of too few speeds": lambda: spoilt(cylinder_trims={"full": own}),
    }
    (tmp_path / "calibration.json").write_text(text if text is not None else ready[case]())
    with pytest.raises(airchain.InputError, match=f"calibration.json: .*{refusal}"):
        airchain.read_calibration(tmp_path)


BAD_CSV = {
    "p,1000,x\n40,1,2\n60,3,4\n": r"fuel_mass_mg.csv:1: cell = .x.; must be a number",
    "p,1000,2000\n40,1,2\n60,3\n": r"fuel_mass_mg.csv:3: row = 2 cells; must have 3 cells",
    "p,1000,2000\n60,1,2\n40,3,4\n": r"fuel_mass_mg.csv: .*rise from value to value",
    "p,1000\n": r"must hold a row of speeds",
}


@pytest.mark.parametrize("text", BAD_CSV)
def test_names_the_bad_table(text: str, tmp_path: Path) -> None:
    file = tmp_path / "fuel_mass_mg.csv"
    file.write_text(text)
    with pytest.raises(airchain.InputError, match=BAD_CSV[text]):
        read_table(file, "fuel_mass")


def test_command_writes_tables_and_pictures(tmp_path: Path) -> None:
    out = tmp_path / "out"
    typed = ["calibrate", str(scenario.FILE), "-o", str(out), "--figures", "--rpm", "2000:8000:7",
             "--pressure", "40 kPa:280 kPa:7", "--lambda", "80 kPa=1.0",
             "--lambda", "160 kPa=0.84"]  # fmt: skip
    told = CliRunner().invoke(cli, typed)
    assert told.exit_code == 0, told.output
    assert "49 cells" in told.stderr
    assert "gears 41/32" in told.stderr
    assert {p.name for p in out.iterdir()} >= {"calibration.json", "coverage.png", "filling.png"}
    table = read_table(out / "volumetric_efficiency_percent.csv", "volumetric_efficiency")
    assert table.rpm.tolist() == [2000, 3000, 4000, 5000, 6000, 7000, 8000]
    target = airchain.read_calibration(out)["lambda_target"]
    assert target.at(3000.0, [40e3, 120e3, 280e3]) == pytest.approx([1.0, 0.92, 0.84])


@pytest.mark.parametrize("text", ["80 kPa", "80 kPa=rich", "=0.9"])
def test_command_names_a_bad_lambda(text: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    told = CliRunner().invoke(
        cli, ["calibrate", str(scenario.FILE), "-o", str(out), "--lambda", text]
    )
    assert told.exit_code != 0
    assert 'must be a pressure, = and a number, such as "60 kPa=1.0"' in str(told.exception)
    assert not out.exists()
