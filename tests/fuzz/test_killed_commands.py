"""Every command that writes, killed at random moments: the old or the new, and nothing beside."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
import seeds

ROOT = Path(__file__).resolve().parents[2]
PULLS = ROOT / "demo" / "pulls"
#: Runs a command a line in a child each, so that imports cost nothing; tells its number and end.
RUNNER = """
import json, os, sys
import matplotlib
matplotlib.use("Agg")
import jinja2, pandas, scipy.optimize, scipy.io, xarray, zarr, matplotlib.pyplot
import airchain.report.report, airchain.fit.fitting, airchain.calibration.making
import airchain.sweeps.sweeping, airchain.choosing.choosing
from airchain.cli.main import main
print("ready", flush=True)
while line := sys.stdin.readline():
    child = os.fork()
    if child == 0:
        quiet = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1):
            os.dup2(quiet, stream)
        os.dup2(os.open("said", os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 2)
        main(json.loads(line))
    print(child, flush=True)
    sys.stdin.readline()  # a child that has ended waits until it is asked for
    print(os.waitpid(child, 0)[1], flush=True)
"""
COMMANDS: dict[str, tuple[str, ...]] = {
    "sketch": (
        *("sketch", "Ours", "--bore", "4.125 in", "--stroke", "4.00 in", "--cylinders", "8"),
        *("--power", "540 hp at 6200 rpm", "--inducer-diameter", "108 mm", "--redline", "7200 rpm"),
        *("--compression-ratio", "9.0", "--rotor-speed-limit", "46000 rpm", "--step-up", "4.75"),
        *("--exducer-diameter", "200 mm", "--level", "full=40:33", "--output", "a.toml"),
    ),
    "sweep to text": (
        *("sweep", "road.toml", "--axis", "rpm=3000:7000:40"),
        *("--axis", "drive.drive_ratio=1:1.2:60", "-o", "a.csv"),
    ),
    "sweep to netCDF": (
        *("sweep", "road.toml", "--axis", "rpm=3000:7000:40"),
        *("--axis", "drive.drive_ratio=1:1.2:500", "-o", "a.nc"),
    ),
    "sweep to a folder": (
        *("sweep", "road.toml", "--axis", "rpm=3000:7000:400"),
        *("--axis", "drive.drive_ratio=1:1.2:500", "--store", "a.zarr"),
    ),
    "check": ("check", str(PULLS / "middle.csv"), "--save", "a.toml"),
    "compare": ("compare", str(PULLS / "middle.csv"), str(PULLS / "tame.csv"), "-o", "a.svg"),
    "reconcile": (
        *("reconcile", "road.toml", "--pull", f"middle={PULLS / 'middle.csv'}"),
        *("--save", "a.toml", "--figure", "a.png"),
    ),
    "calibrate": (
        *("calibrate", "road.toml", "-o", "a", "--rpm", "2000:7000:5"),
        *("--pressure", "40 kPa:250 kPa:5"),
    ),
    "fuel": ("fuel", "road.toml", "--figure", "a.pdf"),
    "choose": ("choose", "road.toml", "--target", "full=870 hp", "--figures", "maps"),
    "report": ("report", "road.toml", "-o", "a.html"),
}
#: Those that are tried in every run: one of each way to write.
EVERY_DAY = ("sweep to netCDF", "sweep to a folder", "calibrate", "fuel")
#: Those of them that are killed too; the longest, a sweep to netCDF and fuels, are in the long run.
KILLED = EVERY_DAY[1:3]
#: How each kind of file ends, or begins and ends.
ENDS = {
    ".svg": b"</svg>\n",
    ".png": b"IEND\xaeB`\x82",
    ".pdf": b"%%EOF\n",
    ".html": b"</html>",
    ".csv": b"\n",
}


class Runner:
    """A process that runs commands in children of its own."""

    def __init__(self, folder: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", RUNNER], cwd=folder, stdin=subprocess.PIPE,
            stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert self._line() == "ready"

    def _line(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def run(self, command: tuple[str, ...], killed_after: float | None = None) -> int:
        """Run a command to its end, or kill it after some seconds; tell how it ended."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps(command) + "\n")
        self.process.stdin.flush()
        child = int(self._line())
        if killed_after is not None:
            time.sleep(killed_after)
            os.kill(child, signal.SIGKILL)
        self.process.stdin.write("\n")
        self.process.stdin.flush()
        return int(self._line())


@pytest.fixture(scope="module")
def runner(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Runner, Path]]:
    folder = tmp_path_factory.mktemp("commands")
    (folder / "road.toml").write_text(seeds.road(ROOT))
    one = Runner(folder)
    yield one, folder
    one.process.communicate(timeout=60)


def is_whole(file: Path) -> None:
    """A file that was written to its end."""
    raw = file.read_bytes()
    if file.suffix == ".toml":
        tomllib.loads(raw.decode())
    elif file.suffix == ".json":
        json.loads(raw)
    elif file.suffix == ".nc":
        import xarray as xr

        with xr.open_dataset(file) as grid:
            assert grid.attrs["summary"]
            assert grid["power"].to_numpy().size == 20_000
    else:
        assert raw.rstrip(b"\n").endswith(ENDS[file.suffix].rstrip(b"\n")), file


def written(folder: Path) -> list[Path]:
    """What stands beside the build."""
    return sorted(p for p in folder.iterdir() if p.name not in ("road.toml", "said"))


def folder_is_whole(folder: Path) -> None:
    """Every file and folder that stands under its own name."""
    for one in written(folder):
        if one.name.startswith("."):
            continue  # begun beside its place; the next run takes it away
        if one.suffix == ".zarr":
            from airchain.sweeps import open_sweep

            status = open_sweep(one)["status"].to_numpy()
            assert status.size == 200_000
        elif one.is_dir():
            for inner in one.rglob("*"):
                if inner.is_file() and not inner.name.startswith("."):
                    is_whole(inner)
        else:
            is_whole(one)


def names(folder: Path) -> list[str]:
    """Every file below a folder but the build; of a Zarr folder its name alone."""
    every = (p.relative_to(folder).as_posix() for p in folder.rglob("*"))
    return sorted(n for n in every if n not in ("road.toml", "said") and ".zarr/" not in n)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here")
@pytest.mark.parametrize(
    "name", [n if n in KILLED else pytest.param(n, marks=pytest.mark.slow) for n in COMMANDS]
)
def test_a_killed_command_leaves_the_old_or_the_new(
    name: str, times: int, runner: tuple[Runner, Path]
) -> None:
    one, folder = runner
    command = COMMANDS[name]
    for left in written(folder):
        shutil.rmtree(left) if left.is_dir() else left.unlink()
    begun = time.monotonic()
    assert one.run(command) == 0, (folder / "said").read_text()
    taken = time.monotonic() - begun
    folder_is_whole(folder)
    wanted = names(folder)
    assert wanted
    draw = random.Random(name)
    latest = 1.05 if times > 1 else 0.6  # of a few, one must be killed
    kills = 0
    for turn in range(2 * min(times, 30)):
        if turn % 2 or name == "sweep to a folder":
            for left in written(folder):  # also where nothing stood before
                shutil.rmtree(left) if left.is_dir() else left.unlink()
        kills += one.run(command, draw.uniform(0.3, latest) * taken) == signal.SIGKILL
        folder_is_whole(folder)
    assert kills
    assert one.run(command) == 0, (folder / "said").read_text()
    folder_is_whole(folder)
    assert names(folder) == wanted
