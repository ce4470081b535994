"""The command line: data to standard output, words to standard error, exit codes."""

import csv
import io
import re
import subprocess
import sys
from pathlib import Path

import pytest

import airchain
import scenario
from airchain.cli import main as cli


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """Run the command line in a process of its own."""
    command = [sys.executable, "-m", "airchain", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)


@pytest.fixture(scope="module")
def file() -> str:
    return str(scenario.FILE)


def test_pull_prints_rows_and_says_how_many(file: str, full: airchain.Build) -> None:
    done = run("pull", file, "--level", "full", "--csv")
    assert done.returncode == 0, done.stderr
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    expected = full.pull()
    assert [float(r["power [W]"]) for r in rows] == pytest.approx(expected["power"], nan_ok=True)
    assert [r["status"] for r in rows] == expected.status
    assert expected.summary in done.stderr


def test_stations_and_ladder_print_tables(file: str) -> None:
    stations = run("stations", file, "--rpm", "7000", "--units", "si")
    assert stations.returncode == 0, stations.stderr
    assert "kPa" in stations.stdout
    assert "plenum" in stations.stdout
    ladder = run("ladder", file)
    assert ladder.returncode == 0, ladder.stderr
    assert ladder.stdout.splitlines()[0].split()[-3:] == ["tame", "middle", "full"]
    assert "4 levels" in ladder.stderr


def test_drive_and_timed_print_tables(file: str, full: airchain.Build) -> None:
    drive = run("drive", file, "--rpm", "7000", "--level", "full")
    assert drive.returncode == 0, drive.stderr
    assert "40/33 teeth" in drive.stdout
    assert "drive at 7,000 rpm: solved." in drive.stderr
    timed = run("timed", file, "--rate", "500", "--level", "full", "--csv")
    assert timed.returncode == 0, timed.stderr
    rows = list(csv.DictReader(io.StringIO(timed.stdout)))
    expected = full.timed_pull(500)
    assert [float(r["time [s]"]) for r in rows] == pytest.approx(expected["time"])
    assert [float(r["power [W]"]) for r in rows] == pytest.approx(expected["power"], nan_ok=True)


# A whole report through the command line, with a surface for every fuel.
@pytest.mark.slow
def test_sweep_and_report_write_files(file: str, tmp_path: Path) -> None:
    grid, page = tmp_path / "grid.csv", tmp_path / "page.html"
    axis = ["--axis", "rpm=5000:7000:3", "--axis", "ambient.temperature=60 degF,95 degF"]
    done = run("sweep", file, *axis, "-o", str(grid))
    assert done.returncode == 0, done.stderr
    assert done.stdout == ""
    assert len(grid.read_text().splitlines()) == 1 + 3 * 2
    assert run("report", file, "-o", str(page)).returncode == 0
    document = page.read_text()
    assert document.startswith("<!DOCTYPE html>")
    parts = re.findall(r'<section id="([^"]+)"', document)
    wanted = ["levels", "map", "limits", "weather", "plan", "fuel", "calibration", "inputs"]
    assert [part for part in parts if part in wanted] == wanted, "all that the file has inputs of"
    ids = re.findall(r'\bid="([^"]+)"', document)
    assert len(ids) == len(set(ids))
    assert "maker&#x27;s sheet" in document, "who says each limit"


@pytest.mark.parametrize(
    ("words", "code", "message"),
    [
        (["pull", "FILE", "--level", "tam"], 1, 'level = "tam"; must be one of'),
        (["pull", "missing.toml"], 1, "there is no such file"),
        (["stations", "FILE", "--rpm", "-5"], 1, "rpm = "),
        (["stations", "FILE"], 2, "--rpm"),
        (["drive", "FILE", "--rpm", "nan"], 1, "rpm = "),
        (["timed", "FILE", "--rate", "0"], 1, "rpm_per_second = 0"),
        (["nothing"], 2, "No such command"),
        (["sweep", "FILE", "--axis", "rpm", "-o", "a.csv"], 2, "must be PATH=A:B:N"),
        (["sweep", "FILE", "--axis", "rpm=1:2:x", "-o", "a.csv"], 2, "N of at least 2"),
        (["sweep", "FILE", "--axis", "rpm=5000", "-o", "a.xls"], 2, "end in .csv or .nc"),
        (["sweep", "FILE", "--axis", "rpm=1 rpm:2 rad/s:3", "-o", "a.csv"], 2, "same unit"),
        (["report", "FILE", "-o", "/nowhere/at/all.html"], 1, "must be a file that can be"),
        (["report", "FILE", "-o", "a.docx"], 1, "end in .html or .pdf"),
        (["report", "FILE", "-o", "a.pdf", "--paper", "a4"], 1, "must be A4 or Letter"),
        (["report", "FILE", "-o", "a.html", "-o", "/nowhere/b.pdf"], 1, "folder does not exist"),
    ],
)
def test_names_the_bad_input_without_traceback(
    words: list[str],
    code: int,
    message: str,
    file: str,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit) as end:
        cli.main([file if word == "FILE" else word for word in words])
    shown = capsys.readouterr()
    assert end.value.code == code
    assert message in shown.err
    assert "Traceback" not in shown.err
    assert shown.out == ""
    assert list(tmp_path.iterdir()) == []


def test_debug_shows_where(file: str) -> None:
    done = run("--debug", "pull", file, "--level", "tam")
    assert done.returncode == 1
    assert "Traceback" in done.stderr


def test_a_fault_of_ours_is_one_line_too(
    file: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(cli, "_load", fail)
    with pytest.raises(SystemExit) as end:
        cli.main(["pull", file])
    assert end.value.code == 1
    assert "unexpected ZeroDivisionError: division by zero; --debug" in capsys.readouterr().err


def test_interrupt_is_130(
    file: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli, "_load", interrupt)
    with pytest.raises(SystemExit) as end:
        cli.main(["pull", file])
    assert end.value.code == 130
    assert "interrupted" in capsys.readouterr().err


def test_import_leaves_the_heavy_packages_alone() -> None:
    heavy = ("matplotlib", "xarray", "pandas", "pint", "jinja2", "click", "scipy")
    code = f"import airchain, sys; print([m for m in {heavy} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_every_public_name_is_there() -> None:
    assert all(hasattr(airchain, name) for name in airchain.__all__)
    with pytest.raises(AttributeError, match=r"attribute '?nothing"):
        _ = airchain.nothing
