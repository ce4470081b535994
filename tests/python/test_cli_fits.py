"""The commands for fits, as they are typed."""

from pathlib import Path

from click.testing import CliRunner

from airchain.cli import cli

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
    assert "compressor speed by" in second.stdout


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
