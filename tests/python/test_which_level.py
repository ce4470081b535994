"""A drive level is asked for, or settled by rotor speed with a word; it is never assumed."""

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

import airchain
from airchain import InputError
from airchain.cli.main import cli
from fitted import both, pull
from synthetic_pulls import DRIVES, UNKNOWNS, build

RATIO = 4.75
ASKED = "must be named where a build has several levels: tame, middle, full, high"


def turning(level: str, ratio: float) -> airchain.MeasuredPull:
    """A pull whose rotor turns at a ratio to the crank."""
    read = pull(level, 1)
    return read.with_columns(rotor_speed=ratio * read["engine_speed"])


def test_a_level_that_nobody_named_is_asked_for() -> None:
    read = pull("tame", 1)
    for ask, such in (
        (lambda: airchain.reconcile(build(), [read], UNKNOWNS), r'such as \{"tame": pull\}'),
        (lambda: airchain.reconcile(build(), {"": read}, UNKNOWNS), "or tame=LOG after --pull"),
        (lambda: airchain.diagnose(build(), read), r'diagnose\(fit, pull, "tame"\)'),
        (lambda: airchain.predict(both()), r'predict\(fit, "tame"\), or --level tame'),
        (lambda: airchain.predict(both(), {"ambient.temperature": "290 K"}), "--level tame"),
        (lambda: airchain.calibrate(build(), {"": read}), "tame=LOG after --pull"),
    ):
        with pytest.raises(InputError, match=f"level = none named; {ASKED}; .*{such}"):
            ask()


def test_a_build_on_a_level_or_a_typed_drive_is_named_enough() -> None:
    fit = airchain.reconcile(build().level("full"), [pull("full", 2)], UNKNOWNS)
    assert fit.levels == ("full",)
    assert airchain.predict(fit, rpm=[5000.0]).build.level_name == "full"
    other = airchain.predict(both(), {"drive.links.1.speed_ratio": 4.5}, [5000.0]).build
    assert other.chain.drive.speed_ratio == pytest.approx(4.5 * DRIVES["full"])


def test_rotor_speed_settles_the_level_and_says_so() -> None:
    named = airchain.reconcile(build(), {"middle": turning("middle", RATIO * DRIVES["middle"])})
    settled = airchain.reconcile(build(), [turning("middle", RATIO * DRIVES["middle"])])
    assert settled.levels == ("middle",)
    assert np.array_equal(settled.values, named.values)
    assert any("Its rotor speed over engine speed is that of middle" in n for n in settled.notes)
    assert not any("nobody named" in n for n in named.notes)


def test_rotor_speed_that_slips_or_lies_between_settles_nothing() -> None:
    read = pull("full", 1)
    between = turning("full", RATIO * 1.08)
    slipping = read.with_columns(
        rotor_speed=read["engine_speed"] * RATIO * DRIVES["full"] * np.linspace(1.0, 0.96, 60)
    )
    near = turning("full", RATIO * 1.245)  # within 3 % of full and of high
    for one in (between, slipping, near):
        with pytest.raises(InputError, match=ASKED):
            airchain.reconcile(build(), [one])


def test_a_level_that_rotor_speed_contradicts_is_told() -> None:
    wrong = turning("full", RATIO * DRIVES["full"])
    said = "rotor speed over engine speed is that of full, not that of tame"
    assert any(said in n for n in airchain.reconcile(build(), {"tame": wrong}).notes)
    assert any(said in n for n in airchain.diagnose(build(), wrong, "tame").notes)
    assert any(said in n for n in airchain.predict(both(), "tame").compare(wrong).notes)


def test_one_level_needs_no_name(tmp_path: Path) -> None:
    file = build().save(tmp_path / "build.toml")
    lines = file.read_text().splitlines()
    kept, skip = [], False
    for line in lines:
        skip = line.startswith("[levels.") and "tame" not in line if line.startswith("[") else skip
        kept += [] if skip else [line]
    file.write_text("\n".join(kept) + "\n")
    one = airchain.load(file)
    assert list(one.levels) == ["tame"]
    fit = airchain.reconcile(one, [pull("full", 2)], UNKNOWNS)
    assert any("the drive as the file has it is taken, not tame" in note for note in fit.notes)
    assert airchain.predict(fit, rpm=[5000.0]).build.level_name == ""


def log_of(read: airchain.MeasuredPull, path: Path, turns: bool = False) -> Path:
    """A log of a pull with its times, and with its rotor speed where it turns."""
    rows = ["RPM,Observed torque (Nm),MAP (kPa abs),Charge temp (C),Air flow (g/s),Time (s)"
            + ",Blower speed (rpm)" * turns]  # fmt: skip
    for i in range(len(read)):
        rows.append(
            f"{read.rpm[i]:.0f},{read['torque'][i]:.0f},{read['plenum_pressure'][i] / 1e3:.1f},"
            f"{read['plenum_temperature'][i] - 273.15:.1f},{1e3 * read['air_flow'][i]:.0f},"
            f"{read['time'][i]:.2f}"
            + (f",{read['rotor_speed'][i] * 30.0 / np.pi:.0f}" if turns else "")
        )  # fmt: skip
    weather = "Barometer: 98.0 kPa\nAir temperature: 25 C\nHumidity: 0 %\n"
    path.write_text(weather + "\n".join(rows) + "\n")
    return path


def test_commands_ask_for_the_level_alike(tmp_path: Path) -> None:
    log = str(log_of(pull("tame", 1), tmp_path / "pull.csv"))
    typed = str(build().save(tmp_path / "build.toml"))
    fit = str(both().save(tmp_path / "fit.toml"))
    for command in (
        ["reconcile", typed, "--pull", log],
        ["predict", typed, fit],
        ["predict", typed, fit, "--pull", log],
        ["diagnose", typed, log, "--fit", fit],
        ["calibrate", typed, "-o", str(tmp_path / "tables"), "--pull", log],
        ["report", typed, "-o", str(tmp_path / "r.html"), "--fit", fit, "--pull", log],
    ):
        result = CliRunner().invoke(cli, command)
        assert result.exit_code != 0
        assert ASKED in str(result.exception), result.output
    result = CliRunner().invoke(cli, ["reconcile", typed, "--pull", f"tmae={log}"])
    assert '"tmae"; must be a level of the build; one of tame, middle, full, high' in str(
        result.exception
    )


def test_a_command_takes_the_level_that_rotor_speed_tells(tmp_path: Path) -> None:
    read = turning("tame", RATIO * DRIVES["tame"])
    log = str(log_of(read, tmp_path / "pull.csv", turns=True))
    typed = str(build().save(tmp_path / "build.toml"))
    result = CliRunner().invoke(cli, ["reconcile", typed, "--pull", log])
    assert result.exit_code == 0, result.output
    assert "rotor speed over engine speed is that of tame, so tame is taken" in result.output


def test_a_sweep_without_an_inertia_is_told(tmp_path: Path) -> None:
    log = str(log_of(pull("tame", 1), tmp_path / "pull.csv"))
    typed = str(build().save(tmp_path / "build.toml"))
    command = ["reconcile", typed, "--pull", f"tame={log}"]
    said = "torque is taken as that of held speeds"
    swept = CliRunner().invoke(cli, command)
    assert f"engine speed climbs by 300 rpm a second, and {said}" in swept.output
    assert "takes 2.3 lb ft of it" in swept.output  # 0.1 kg m^2 times 31.4 rad/s^2
    held = CliRunner().invoke(cli, [*command, "--inertia", "0.28 kg m^2"])
    assert said not in held.output
    read = pull("tame", 1)
    slow = read.with_columns(time=20.0 * read["time"])
    fit = airchain.reconcile(build(), {"tame": slow}, UNKNOWNS)
    assert not any(said in note for note in fit.notes)
    told = airchain.predict(both(), "tame").compare(read)
    assert any(said in note for note in told.notes)
    assert any(said in note for note in airchain.diagnose(both(), read, "tame").notes)
