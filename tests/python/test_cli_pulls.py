"""Commands for measured pulls: data to standard output, words to standard error."""

import csv
import io
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

import airchain
from airchain.cli import main as cli
from logs import MAP, PLAIN, RPM, TORQUE, Log


@dataclass
class Done:
    """What a command printed."""

    stdout: str
    stderr: str


def run(*words: str, code: int = 0) -> Done:
    """Run the command line in this process."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err), pytest.raises(SystemExit) as left:
        cli.main(list(words))
    assert left.value.code == code, err.getvalue()
    return Done(out.getvalue(), err.getvalue())


@pytest.fixture(scope="module")
def folder(root: Path) -> Path:
    return root / "demo" / "pulls"


def test_read_prints_pulls_and_says_what_was_found(folder: Path) -> None:
    done = run("read", str(folder / "full.txt"))
    assert "full, run 1" in done.stdout
    assert "22.66 at" not in done.stderr
    assert "2 pulls, 2 run-downs" in done.stderr
    assert "lambda: 3 of" in done.stderr


def test_read_writes_every_reading(folder: Path) -> None:
    done = run("read", str(folder / "middle.csv"), "--csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    pull = airchain.read_pulls(folder / "middle.csv")[0]
    assert len(rows) == len(pull)
    assert [float(r["torque [N m]"]) for r in rows] == pytest.approx(pull["torque"])
    assert [int(r["line"]) for r in rows] == pull.lines.tolist()


def test_check_prints_the_mapping_and_saves_it(folder: Path, tmp_path: Path) -> None:
    saved = tmp_path / "mapping.toml"
    done = run("check", str(folder / "tame.csv"), "--save", str(saved))
    assert "mbar gauge" in done.stdout
    assert 'encoding = "utf-16"' in done.stderr
    again = run("read", str(folder / "tame.csv"), "--mapping", str(saved))
    assert again.stdout == run("read", str(folder / "tame.csv")).stdout


def test_check_asks_and_set_answers(tmp_path: Path) -> None:
    path = str(Log((PLAIN[0], ("Torque", TORQUE, 1))).write(tmp_path))
    done = run("check", path, code=1)
    assert "to be answered" in done.stderr
    assert "power_basis" in done.stderr
    answers = ["--set", "power_basis=observed", "--set", "columns.torque.unit=Nm"]
    assert "1 pull, 0 findings" in run("check", path, *answers).stderr
    assert "torque.unit = not told" in run("read", path, code=1).stderr
    assert "must be KEY=VALUE" in run("read", path, "--set", "nonsense", code=2).stderr


def test_correct_prints_corrected_power(folder: Path) -> None:
    path = str(folder / "middle.csv")
    done = run("correct", path, "--to", "sae_j1349", "--every", "500", "--csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    pull = airchain.read_pulls(path)[0].corrected("sae_j1349")
    rpm = [float(r["engine_speed [rad/s]"]) * 30.0 / np.pi for r in rows]
    assert rpm == pytest.approx(np.arange(3000.0, 7501.0, 500.0))
    expected = pull.resampled(rpm, "500 rpm")["torque"]
    assert [float(r["torque [N m]"]) for r in rows] == pytest.approx(expected)
    assert "power by SAE J1349" in done.stderr
    refused = run("correct", path, "--to", "sae_j1349", "--induction", "held_boost", code=1)
    assert "a control holds" in refused.stderr


def test_compare_prints_differences_and_draws(folder: Path, tmp_path: Path) -> None:
    files = [str(folder / name) for name in ("tame.csv", "middle.csv")]
    picture = tmp_path / "compared.png"
    words = ["--rpm", "4000", "--rpm", "7000", "--basis", "sae_j1349", "-o", str(picture)]
    done = run("compare", *files, *words)
    assert "middle less tame" in done.stdout
    assert "2 pulls, power by SAE J1349" in done.stderr
    assert picture.read_bytes()[1:4] == b"PNG"
    assert "must end in .png" in run("compare", *files, "-o", "x.doc", code=1).stderr


def test_units_are_metric_where_asked(tmp_path: Path) -> None:
    path = str(Log().write(tmp_path))
    done = run("read", path, "--units", "si")
    assert f"900.0 N m at {RPM[12]:.0f}" in done.stdout


def test_answers_lead_on_as_they_are_suggested(tmp_path: Path) -> None:
    """What a question suggests, typed as it stands there, is taken."""
    bare = tmp_path / "bare.csv"
    bare.write_text(Log().text().split("\n", 1)[1])
    said = run("read", str(bare), code=1).stderr
    assert "columns.engine_speed.column = 2 and columns.torque.column = 3" in said
    answers = (
        'columns.engine_speed.column = 1', 'columns.engine_speed.unit = "rpm"',
        "columns.torque.column=2", "columns.torque.unit='Nm'", 'power_basis = "observed"',
        "columns.plenum_pressure.column=3", "columns.plenum_pressure.unit=kPa",
        'columns.plenum_pressure.reference = "absolute"', 'columns.torque.rounding="1 N m"',
    )  # fmt: skip
    typed = [word for answer in answers for word in ("--set", answer)]
    assert "900.0 N m" in run("read", str(bare), *typed, "--units", "si").stdout
    psi = Log((*PLAIN[:2], ("MAP [psi]", 14.5 + MAP / 10.0, 2)), changes={(3, 1): "n/d"})
    path = str(psi.write(tmp_path))
    said = run("read", path, code=1).stderr
    assert 'must be "absolute" or "gauge"' in said
    assert 'set missing = ["n/d"]' in said
    marks = ["--set", 'missing = ["n/d"]']
    done = run("read", path, *marks, "--set", 'columns.plenum_pressure.reference = "absolute"')
    assert "torque: 1 of 17 readings are missing" in done.stderr
    gauge = ["--set", "columns.plenum_pressure.reference=gauge"]
    weather = ["--set", 'ambient.barometer = "29.6 inHg"']
    run("read", path, *marks, *gauge, *weather)


def test_options_of_one_log_leave_the_others_alone(folder: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.csv"
    other.write_text(Log((PLAIN[0], ("Torque [Nm]", TORQUE, 1))).text())
    files = [str(other), str(folder / "middle.csv")]
    words = ["--set", "other.csv:power_basis=observed", "--set", "lost:decimal=."]
    done = run("compare", *files, *words, "--rpm", "4000")
    assert "2 pulls, power observed" in done.stderr
    assert "lost:decimal=.: names no log that was read" in done.stderr
    saved = tmp_path / "other.toml"
    run("check", str(other), "--set", "power_basis=observed", "--save", str(saved))
    run("compare", *files, "--mapping", f"other={saved}", "--rpm", "4000")


def test_a_mapping_has_marks_aliases_and_roundings(tmp_path: Path) -> None:
    columns = (PLAIN[0], ("Mom_eff", TORQUE, 2), *PLAIN[2:])
    path = Log(columns, changes={(4, 1): "n/d"}).write(tmp_path)
    given = {
        "missing": ["n/d"],
        "aliases": {"torque": ["Mom_eff", "Md2"]},
        "power_basis": "observed",
        "columns": {"torque": {"unit": "Nm", "rounding": "0.01 N m"}},
    }
    log = airchain.read_pulls(path, given)
    assert log[0]["torque"][5] == pytest.approx(TORQUE[5], abs=6e-3)
    assert np.flatnonzero(np.isnan(log[0]["torque"])).tolist() == [4]
    assert log[0].rounding == {"torque": pytest.approx(0.01)}
    log.mapping.save(tmp_path / "m.toml")
    assert airchain.read_pulls(path, tmp_path / "m.toml")[0] == log[0]


def test_formulas_are_no_formulas_in_a_table(tmp_path: Path) -> None:
    head, body = Log().text().split("\n", 1)
    path = tmp_path / "x.csv"
    path.write_text(f"=1+1\n{head}\n{body}\n@cmd\n{head}\n{body}")
    done = run("read", str(path), "--csv")
    names = {row["pull"] for row in csv.DictReader(io.StringIO(done.stdout))}
    assert names == {"'=1+1", "'@cmd"}


VAGUE = """Engine Speed,Torque,Power,MAP,IAT
3000,400,228,20,100
3500,410,273,21,101
4000,430,327,22,102
4500,440,377,23,103
5000,450,428,24,104
5500,455,476,25,105
6000,450,514,26,106
"""


def test_every_question_shows_an_answer_that_leads_on(tmp_path: Path) -> None:
    file = tmp_path / "vague.csv"
    file.write_text(VAGUE)
    answers: list[str] = []
    for rounds in range(4):
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err), pytest.raises(SystemExit):
            cli.main(["check", str(file), *answers])
        asked = [line for line in err.getvalue().splitlines() if "to be answered" in line]
        if not asked:
            break
        assert rounds < 3
        for question in asked:
            _, *suggested = question.split(", such as --set ")
            assert len(suggested) == 1, question
            answers += ["--set", suggested[0].strip("'")]
    assert {"power_basis=observed", "columns.power.unit=hp"} <= set(answers)
    assert "1 pull" in run("check", str(file), *answers).stderr
