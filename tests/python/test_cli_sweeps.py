"""Many combinations on the command line: in a folder, the best of them, what moves a figure."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import airchain
from airchain.cli.main import main
from airchain.sweeps import best_points, open_sweep, sensitivities

FILE = str(Path(__file__).resolve().parents[2] / "examples" / "one_point.toml")
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command here: exit code, data and words."""

    def run(*words: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as ended:
            main(list(words))
        told = capsys.readouterr()
        code = ended.value.code
        assert isinstance(code, int)
        return code, told.out, told.err

    return run


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Samples of three inputs at two levels and three speeds."""
    place = str(tmp_path_factory.mktemp("sweep") / "samples.zarr")
    with pytest.raises(SystemExit) as ended:
        main([
            "sweep", FILE, "--axis", "rpm=5000:7000:3", "--axis", "level=even,long",
            "--scatter", "cooler.effectiveness=0.70 +- 0.05", "--samples", "128",
            "--scatter", "ambient.temperature=50 degF to 95 degF",
            "--scatter", "combustion.quality=0.86 sd 0.01", "--store", place,
        ])  # fmt: skip
    assert ended.value.code == 0
    return place


def test_what_scatters_is_drawn_as_the_package_draws_it(folder: str) -> None:
    grid = open_sweep(folder)
    assert dict(grid.sizes) == {"sample": 128, "rpm": 3, "level": 2}
    assert grid["cooler.effectiveness"].attrs["sampled"] == "0.7 ± 0.05"
    assert "sampled" in grid["combustion.quality"].attrs
    warm = grid["ambient.temperature"].to_numpy()
    assert warm.min() > 283.1
    assert warm.max() < 308.2
    one = grid.isel(sample=17, rpm=1).sel(level="long")
    typed = {n: one[n].item() for n in ("cooler.effectiveness", "combustion.quality")}
    build = airchain.load(FILE).level("long").replace(typed)
    build = build.replace({"ambient.temperature": f"{one['ambient.temperature'].item()!r} K"})
    np.testing.assert_allclose(one["power"], build.pull([6000])["power"][0], rtol=1e-12)


def test_the_best_are_those_of_the_package(folder: str, run: Run) -> None:
    limits = ["--where", "boost<=12 psi", "--where", "boost>=5 psi", "--where", "level=even,long"]
    code, data, words = run("best", folder, "power", *limits, "--count", "2", "--units", "si")
    found = best_points(
        open_sweep(folder), "power", {"boost": ("5 psi", "12 psi"), "level": ["even", "long"]},
        count=2,
    )  # fmt: skip
    assert code == 0
    assert data.strip() == found.tables_text("si").strip()
    assert found.verdict in words
    assert "binds" in words
    code, data, _ = run("best", folder, "power", "--least", "--count", "1", "--where", "rpm=6000")
    least = best_points(open_sweep(folder), "power", {"rpm": (6000, 6000)}, largest=False, count=1)
    assert code == 0
    assert data.strip() == least.tables_text("trade").strip()


def test_no_point_within_the_limits_is_an_answer_of_its_own(folder: str, run: Run) -> None:
    code, data, words = run("best", folder, "power", "--where", "boost<=0.1 psi")
    assert (code, data) == (1, "")
    assert "No point keeps to the limits" in words


def test_what_moves_most_is_that_of_the_package(folder: str, run: Run, tmp_path: Path) -> None:
    picture = tmp_path / "tornado.png"
    code, data, words = run(
        "moves", folder, "power", "--at", "level=long", "--figure", str(picture)
    )
    found = sensitivities(open_sweep(folder).sel(level="long"), "power")
    assert code == 0
    assert data.strip() == found.tables_text("trade").strip()
    assert found.verdict in words
    assert "ambient temperature moves peak power most" in words
    assert picture.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "code", "message"),
    [
        (["best", "FOLDER", "powr"], 1, 'name = "powr"; must be a column of the sweep'),
        (["best", "/nowhere.zarr", "power"], 1, "must be the folder of a sweep"),
        (["best", "FOLDER", "power", "--where", "boost"], 2, "must be NAME<=VALUE, NAME>=VALUE"),
        (
            ["best", "FOLDER", "power", "--where", "boost<=5 psi", "--where", "boost>=9 psi"],
            1,
            "rise, and have at least one",
        ),
        (["best", "FOLDER", "power", "--where", "boost<=12 kg"], 1, "boost"),
        (["best", "FOLDER", "power", "--where", "level=wild"], 1, "be of even, long"),
        (["moves", "FOLDER", "power", "--at", "level=wild"], 2, "must be one of even, long"),
        (["moves", "FOLDER", "power", "--at", "boost=1"], 2, "must be AXIS=VALUE, of rpm, level"),
        (["moves", "FOLDER", "power", "--figure", "a.doc"], 1, "end in .png"),
        (["sweep", FILE, "-o", "a.csv"], 2, "say at least one of --axis and --scatter"),
        (["sweep", FILE, "--scatter", "x=1", "-o", "a.csv"], 2, "must be PATH=A to B"),
        (
            ["sweep", FILE, "--scatter", "cooler.effectiveness=0.8 to 0.7", "-o", "a.csv"],
            1,
            "must rise",
        ),
    ],
)
def test_names_the_bad_input(
    words: list[str], code: int, message: str, folder: str, run: Run, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    found, data, told = run(*(folder if word == "FOLDER" else word for word in words))
    assert found == code, told
    assert data == ""
    assert message in " ".join(told.split())
    assert "Traceback" not in told
