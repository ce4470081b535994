"""The commands for fits, as they are typed."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from airchain.cli.main import cli

DEMO = Path(__file__).resolve().parents[2] / "demo"
BUILD = str(DEMO / "ridge_road.toml")


def test_reconcile_saves_and_predict_reads(tmp_path: Path) -> None:
    fit = str(tmp_path / "fit.toml")
    log = f"tame={DEMO / 'pulls' / 'tame.csv'}"
    typed = ["reconcile", BUILD, "--pull", log, "--inertia", "0.28 kg m^2", "--save", fit]
    first = CliRunner().invoke(cli, typed)
    assert first.exit_code == 0, first.output
    assert "compressor_head" in first.stdout
    second = CliRunner().invoke(cli, ["predict", BUILD, fit, "--level", "middle"])
    assert second.exit_code == 0, second.output
    assert "rotor speed by" in second.output


# A whole report through the command line, with a surface for every fuel.
@pytest.mark.slow
def test_a_pull_that_was_run_is_compared_and_split(tmp_path: Path) -> None:
    fit, both = str(tmp_path / "fit.toml"), str(tmp_path / "both.toml")
    heavy = ["--inertia", "0.28 kg m^2"]
    logs = {n: str(DEMO / "pulls" / f"{n}.csv") for n in ("tame", "middle")}
    tame = ["reconcile", BUILD, "--pull", f"tame={logs['tame']}", *heavy]
    drawn = str(tmp_path / "residuals.png")
    assert CliRunner().invoke(cli, [*tame, "--save", fit, "--figure", drawn]).exit_code == 0
    picture = tmp_path / "band.png"
    typed = ["predict", BUILD, fit, "--level", "middle", "--pull", logs["middle"], *heavy]
    told = CliRunner().invoke(cli, [*typed, "--figure", str(picture)])
    assert told.exit_code == 0, told.output
    assert "The pull agrees with the prediction" in told.output
    assert picture.stat().st_size > 1000
    assert Path(drawn).stat().st_size > 1000
    page = tmp_path / "page.html"
    typed = ["report", BUILD, "-o", str(page), "--fit", fit, "--pull", f"middle={logs['middle']}"]
    assert CliRunner().invoke(cli, [*typed, *heavy]).exit_code == 0
    assert "Measured against predicted" in page.read_text()
    CliRunner().invoke(cli, [*tame, "--pull", f"middle={logs['middle']}", "--save", both])
    typed = ["explain", BUILD, "1", "2", "--fit", both, "--rpm", "7000", "--budget"]
    told = CliRunner().invoke(cli, [*typed, "--figure", str(tmp_path / "split.png")])
    assert told.exit_code == 0, told.output
    assert "tame, measured" in told.output
    assert "drive speed" in told.output
    told = CliRunner().invoke(cli, ["explain", BUILD, "1", "3", "--fit", both, "--rpm", "7000"])
    assert told.exit_code == 2
    assert "3: must be the number of a pull of the fit, 1 to 2" in told.output


def test_explain_draws_its_waterfall(tmp_path: Path) -> None:
    figure = tmp_path / "split.png"
    typed = ["explain", BUILD, "tame", "full", "--rpm", "7000", "--figure", str(figure)]
    told = CliRunner().invoke(cli, typed)
    assert told.exit_code == 0, told.output
    assert "drive speed" in told.stdout
    assert figure.stat().st_size > 1000


def test_predict_names_a_bad_change(tmp_path: Path) -> None:
    told = CliRunner().invoke(cli, ["predict", BUILD, "fit.toml", "--change", "nothing"])
    assert told.exit_code == 2
    assert "must be PATH=VALUE" in told.output
