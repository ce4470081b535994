"""The command line: data to standard output, words to standard error, exit codes."""

import csv
import io
import json
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

import airchain
import scenario
from airchain import _core
from airchain.buildfile.keys import SECTIONS as SECTIONS_OF_A_FILE
from airchain.cli import build, key_meanings, options
from airchain.cli import main as cli
from airchain.cli.groups import SECTIONS
from airchain.cli.key_tables import KEY_TABLES, key_tables
from airchain.plan.limits import QUANTITIES
from airchain.shown.tables import Shown, Table
from airchain.units.convert import KINDS


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """Run the command line in a process of its own."""
    command = [sys.executable, "-m", "airchain", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)


@pytest.fixture(scope="module")
def file() -> str:
    return str(scenario.quick())


def test_pull_prints_rows_and_says_how_many(file: str) -> None:
    done = run("pull", file, "--level", "full", "--csv")
    assert done.returncode == 0, done.stderr
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    expected = airchain.load(file).level("full").pull()
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


def test_drive_and_timed_print_tables(file: str) -> None:
    drive = run("drive", file, "--rpm", "7000", "--level", "full")
    assert drive.returncode == 0, drive.stderr
    assert "40/33 teeth" in drive.stdout
    assert "drive at 7,000 rpm: solved." in drive.stderr
    timed = run("timed", file, "--rate", "500", "--level", "full", "--csv")
    assert timed.returncode == 0, timed.stderr
    rows = list(csv.DictReader(io.StringIO(timed.stdout)))
    expected = airchain.load(file).level("full").timed_pull(rpm_per_second=500)
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
    book, tables = tmp_path / "book.html", tmp_path / "tables"
    written = ["-o", str(page), "--workshop", str(book), "--tables", str(tables)]
    done = run("report", file, *written, "--live", str(tmp_path / "live.html"))
    assert done.returncode == 0, done.stderr
    owner = re.findall(r'<section id="([^"]+)"', page.read_text())
    assert owner == ["limits", "order", "cost", "weather", "track", "words", "cautions"]
    assert json.loads((tables / "tables.json").read_text())["name"] == "Ridge Road"
    document = book.read_text()
    assert document.startswith("<!DOCTYPE html>")
    parts = re.findall(r'<section id="([^"]+)"', document)
    wanted = ["levels", "map", "limits", "weather", "plan", "fuel", "calibration", "inputs"]
    assert [part for part in parts if part in wanted] == wanted, "all that the file has inputs of"
    ids = re.findall(r'\bid="([^"]+)"', document)
    assert len(ids) == len(set(ids))
    assert "maker&#x27;s sheet" in document, "who says each limit"
    assert len(document.encode()) < 1_500_000
    assert '<a class="live" href="live.html">' in document
    assert (tmp_path / "live.html").stat().st_size < 2_000_000


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
        (["sweep", "FILE", "--axis", "rpm=5000", "-o", "a.xls"], 1, "end in .csv or .nc"),
        (
            ["sweep", "FILE", "--axis", "rpm=5000", "-o", "/nowhere/a.nc"],
            1,
            "folder does not exist",
        ),
        (["keys", "engin"], 1, 'did you mean "engine"?'),
        (["glossary", "zzz"], 1, 'word = "zzz"; must be in the glossary'),
        (
            ["explain", "FILE", "tame", "full", "--rpm", "7000", "--figure", "a.doc"],
            1,
            "end in .png",
        ),
        (["sweep", "FILE", "--axis", "rpm=1 rpm:2 rad/s:3", "-o", "a.csv"], 2, "same unit"),
        (["report", "FILE", "-o", "/nowhere/at/all.html"], 1, "must be a file that can be"),
        (["report", "FILE", "-o", "a.docx"], 1, "end in .html or .pdf"),
        (["report", "FILE", "-o", "a.html", "--print-tables"], 2, "must come with --workshop"),
        (["report", "FILE", "-o", "a.html", "--workshop", "b.docx"], 1, "end in .html or .pdf"),
        (["report", "FILE", "-o", "a.html", "--workshop", "./a.html"], 2, "is named twice"),
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


def test_help_lists_every_command_in_the_order_of_the_job(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit) as end:
        cli.main(["-h"])
    assert end.value.code == 0
    printed = capsys.readouterr().out
    names = [name for names in SECTIONS.values() for name in names]
    assert sorted(names) == sorted(cli.cli.commands)
    listed = re.findall(r"^  ([a-z]+)  ", printed, re.MULTILINE)
    assert [name for name in listed if name in names] == names
    assert "..." not in printed.partition("Find the words")[2], "none is cut short"
    for name in names:
        sentence = (cli.cli.commands[name].help or "").split("\n\n")[0]
        assert " ".join(sentence.split()) in " ".join(printed.split())


def test_glossary_and_keys_print_data_and_say_how_many(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit):
        cli.main(["glossary", "plenum pressure"])
    shown = capsys.readouterr()
    assert "plenum pressure [psia], column plenum_pressure" in shown.out
    assert "each for one quantity" in shown.err
    with pytest.raises(SystemExit):
        cli.main(["keys", "scoop"])
    shown = capsys.readouterr()
    (row,) = [line for line in shown.out.splitlines() if line.startswith("recovery")]
    assert row.split()[1:4] == ["0", "1", "0"], "lowest, highest, default"
    assert "share of the dynamic pressure" in row
    assert "in 1 table of a build file" in shown.err


def test_keys_tell_every_table_of_a_build_file() -> None:
    told = [table.name for table in KEY_TABLES]
    assert len(told) == len(set(told))
    assert {name.split(".")[0] for name in told} == set(SECTIONS_OF_A_FILE)
    for table in KEY_TABLES:
        inner = [name for name, key in table.keys.items() if key.kind == "table"]
        # Their tables have names of the user's own, or all the same two keys.
        if table.name not in ("levels", "plan", "plan.limits"):
            lacking = [name for name in inner if f"{table.name}.{name}" not in told]
            assert lacking == [], table.name
    for one in key_tables().tables():
        assert len(one.rows) > 0
        assert [row[0] for row in one.rows if len(row[5].split()) < 2] == [], one.caption


def test_keys_tell_the_limits_of_a_plan_and_what_must_be_typed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit):
        cli.main(["keys", "plan.limits"])
    told = {line.split()[0] for line in capsys.readouterr().out.splitlines()[2:]}
    assert told == set(QUANTITIES)
    assert "tolerance" in next(t.keys for t in KEY_TABLES if t.name == "plan.levels")


def test_a_sketch_writes_over_no_file_unasked(tmp_path: Path) -> None:
    file = tmp_path / "engine.toml"
    file.write_text("# typed for an hour\n")
    size = ["--bore", "86 mm", "--stroke", "86 mm", "--redline", "7000 rpm"]
    asked = ["sketch", "two", *size, "--compression-ratio", "9", "-o", str(file)]
    refused = CliRunner().invoke(cli.cli, asked)
    assert refused.exit_code == 2
    assert "--again writes over" in refused.output
    assert file.read_text() == "# typed for an hour\n"
    assert CliRunner().invoke(cli.cli, [*asked, "--again"]).exit_code == 0
    assert "[engine]" in file.read_text()


def test_meanings_of_keys_are_those_of_keys_that_there_are() -> None:
    tables = {table.name: table.keys for table in KEY_TABLES}
    for name, meanings in key_meanings.MEANINGS.items():
        assert set(meanings) <= set(tables[name]), name
    general = {kind.words for kind in KINDS.values()}
    for one in key_tables().tables():
        for row in one.rows:
            assert row[5] not in general, row[0]
            if row[0].endswith("_diameter"):
                assert "radius" not in row[5], row[0]


def test_keys_give_ranges_and_defaults_of_the_core_in_typed_units() -> None:
    (table,) = key_tables("scoop").tables("si")
    rows = {row[0]: row for row in table.rows}
    low, high = next(f[2:4] for f in _core.Scoop.fields() if f[0] == "temperature_rise")
    assert rows["temperature_rise"][1:5] == ["K", f"{low:g}", f"{high:g}", "0"]
    impeller = key_tables("compressor.stage.impeller").tables("si")[0]
    highest = {row[0]: float(row[3].replace(",", "") or "nan") for row in impeller.rows}
    radii = [name for name in highest if name.endswith("_radius")]
    assert radii
    for name in radii:  # typed as a diameter it may be twice as much
        assert highest[name.replace("radius", "diameter")] == pytest.approx(2.0 * highest[name])


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_words_are_wrapped_where_they_go_to_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    text = "- " + "word " * 30
    assert options.wrapped(text, io.StringIO()) == text
    lines = options.wrapped(text, Terminal()).split("\n")
    assert max(map(len, lines)) <= 40
    assert all(line.startswith("  ") for line in lines[1:])
    assert " ".join("\n".join(lines).split()) == text.strip()


def test_words_of_a_table_keep_to_the_terminal_too() -> None:
    table = Table(
        ["what", "why"], ["", ""], [["a", "long " * 40], ["b", "short"]], "caption " * 20,
        "key " * 40, flush=(0, 1),
    )  # fmt: skip

    class Told(Shown):
        def _tables(self, system: str) -> list[Table]:
            return [table]

    text = Told().tables_text("trade", 40)
    assert max(map(len, text.split("\n"))) <= 40
    assert text.count("long") == 40
    assert text.count("key") == 40
    (row,) = [line for line in text.split("\n") if line.startswith("b")]
    assert row.split() == ["b", "short"]
    assert "long " * 39 in Told().tables_text("trade", 0)


def test_what_is_wrong_is_refused_before_anything_is_printed(file: str) -> None:
    for words, refusal in (
        (("fuel", file, "--against", "e58"), 'fuels = "e58"; must be one of'),
        (("fuel", file, "--level", "ful"), 'level = "ful"; must be one of tame, middle, full'),
        (("calibrate", file, "-o", "nowhere", "--pull", "taem=none.csv"),
         '--pull: level = "taem"; must be a level of the build; one of tame, middle, full'),
    ):  # fmt: skip
        done = run(*words)
        assert done.returncode == 1, words
        assert done.stdout == "", words
        assert refusal in done.stderr


def test_a_table_wider_than_the_terminal_stands_in_pieces(full: airchain.Build) -> None:
    pull = full.pull([3000, 5000])
    whole, pieces = pull.tables_text(), pull.tables_text(width=60)
    assert max(map(len, pieces.splitlines())) <= 60
    assert pieces.count("3000") == pieces.count("\n\n") + 1 > 1
    assert sorted(set(whole.split())) == sorted(set(pieces.split()))


def test_a_request_to_end_leaves_no_half_of_a_file(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_text("old")
    code = (
        "import time\nfrom airchain.base.text_file import write_with\n"
        "from airchain.cli import build, main\n"
        "def slow(beside):\n    beside.write_text('half'); print('half', flush=True)\n"
        "    time.sleep(60)\n"
        "build.load_build = lambda *_: write_with('a.png', slow)\nmain.main(['pull', 'x.toml'])\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], cwd=tmp_path, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "half\n"
        process.send_signal(signal.SIGTERM)
        assert process.wait(timeout=30) == 143
    assert [p.name for p in tmp_path.iterdir()] == ["a.png"]
    assert (tmp_path / "a.png").read_text() == "old"


def test_debug_shows_where(file: str) -> None:
    done = run("--debug", "pull", file, "--level", "tam")
    assert done.returncode == 1
    assert "Traceback" in done.stderr


def test_a_fault_of_ours_is_one_line_too(
    file: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(build, "load_build", fail)
    with pytest.raises(SystemExit) as end:
        cli.main(["pull", file])
    assert end.value.code == 1
    assert "unexpected ZeroDivisionError: division by zero; --debug" in capsys.readouterr().err


def test_interrupt_is_130(
    file: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(build, "load_build", interrupt)
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
