"""Sweeps in a folder: the same numbers as in memory, resumed after any end, never mixed."""

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import xarray as xr

import airchain
import scenario
from airchain import InputError
from airchain.sweeps import grid as grids
from airchain.sweeps import open_sweep, store

ROOT = Path(__file__).resolve().parents[2]
AXES: dict[str, Any] = {
    "rpm": np.linspace(2500.0, 7500.0, 23),
    "level": ["even", "long"],
    "ambient.temperature": np.linspace(270.0, 310.0, 11),
}
COLUMNS = ["power", "boost"]


@pytest.fixture(scope="module")
def build() -> airchain.Build:
    return airchain.load(ROOT / "examples" / "one_point.toml")


@pytest.fixture
def small_tiles(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grids, "TILE", 60)


def same(one: xr.Dataset, other: xr.Dataset) -> None:
    """Every number, to the last bit, and what is said of it."""
    assert dict(one.sizes) == dict(other.sizes)
    for name in other.data_vars:
        assert one[name].dims == other[name].dims
        np.testing.assert_array_equal(one[name].to_numpy(), other[name].to_numpy())
        for key, said in other[name].attrs.items():
            assert np.array_equal(one[name].attrs[key], said)
    for name in other.coords:
        assert list(one[name].to_numpy()) == list(other[name].to_numpy())
        assert one[name].attrs == other[name].attrs
    assert one.attrs == other.attrs


@pytest.mark.usefixtures("small_tiles")
def test_a_folder_holds_what_memory_would(build: airchain.Build, tmp_path: Path) -> None:
    folder = tmp_path / "grid.zarr"
    kept = airchain.sweep(build, AXES, COLUMNS, store=folder)
    same(kept, airchain.sweep(build, AXES, COLUMNS))
    same(open_sweep(folder), kept)
    assert [p.name for p in tmp_path.iterdir()] == ["grid.zarr"]
    # Nothing is read before it is asked for.
    assert not isinstance(kept["power"].variable._data, np.ndarray)


@pytest.mark.usefixtures("small_tiles")
def test_any_reader_of_such_folders_finds_units_and_words(
    build: airchain.Build, tmp_path: Path
) -> None:
    kept = airchain.sweep(build, AXES, COLUMNS, store=tmp_path / "grid.zarr")
    plain = xr.open_zarr(tmp_path / "grid.zarr", chunks=None, consolidated=False)
    assert plain["power"].attrs["units"] == "W"
    assert plain["rpm"].attrs["units"] == "rpm"
    assert plain["status"].attrs["flag_meanings"].split()[0] == "matched"
    assert plain.attrs["fingerprint"] == kept.attrs["fingerprint"]
    assert int(plain["tiles_done"].sum()) == kept["power"].size


@pytest.mark.usefixtures("small_tiles")
def test_the_same_call_goes_on_where_it_stopped(
    build: airchain.Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "grid.zarr"
    solved: list[object] = []
    solve = grids.Grid.solve

    def counted(self: grids.Grid, block: Any, *rest: Any) -> Any:
        solved.append(block)
        return solve(self, block, *rest)

    monkeypatch.setattr(grids.Grid, "solve", counted)

    def stop(done: int, total: int) -> None:
        if done > total / 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        airchain.sweep(build, AXES, COLUMNS, store=folder, progress=stop)
    begun = open_sweep(folder)
    waiting = begun["status"].to_numpy() == -1
    assert 0 < waiting.sum() < waiting.size
    assert np.isnan(begun["power"].to_numpy()[waiting]).all()
    assert f"{waiting.sum()} are not reached yet" in begun.attrs["summary"]
    told: list[tuple[int, int]] = []
    kept = airchain.sweep(build, AXES, COLUMNS, store=folder, progress=lambda *n: told.append(n))
    same(kept, airchain.sweep(build, AXES, COLUMNS))
    assert told[0][0] > waiting.size - waiting.sum()
    assert told[-1] == (waiting.size, waiting.size)
    in_folder = solved[: -len(grids.blocks((2, 23, 11), (1, 5, 11)))]
    assert len(set(in_folder)) in (len(in_folder), len(in_folder) - 1)  # at most the one cut short
    airchain.sweep(build, AXES, COLUMNS, store=folder, progress=lambda *n: pytest.fail("again"))


@pytest.mark.parametrize(
    "other",
    [
        {"columns": ["power"]},
        {"axes": {**AXES, "rpm": [3000.0, 4000.0]}},
        {"axes": {**AXES, "level": ["even", "middle"]}},
        {"build": {"cooler.effectiveness": 0.61}},
    ],
    ids=["columns", "speeds", "levels", "build"],
)
def test_another_sweep_is_refused(
    build: airchain.Build, tmp_path: Path, other: dict[str, Any]
) -> None:
    folder = tmp_path / "grid.zarr"
    kept = airchain.sweep(build, AXES, COLUMNS, store=folder).load()
    changed = build.replace(other["build"]) if "build" in other else build
    with pytest.raises(InputError, match=r"hold the sweep that is asked for: .*another folder"):
        airchain.sweep(
            changed, other.get("axes", AXES), other.get("columns", COLUMNS), store=folder
        )
    same(open_sweep(folder).load(), kept)


def test_another_core_is_refused(
    build: airchain.Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    airchain.sweep(build, AXES, COLUMNS, store=tmp_path / "grid.zarr")
    monkeypatch.setattr("airchain.sweeps.described.code_digest", lambda: "0.1.0 compiled anew")
    with pytest.raises(InputError, match="another airchain"):
        airchain.sweep(build, AXES, COLUMNS, store=tmp_path / "grid.zarr")


def lay(kind: str, folder: Path) -> Path:
    """A place where no sweep can be kept."""
    if kind == "file":
        (folder / "grid.zarr").write_text("mine")
    elif kind == "strange":
        (folder / "grid.zarr").mkdir()
        (folder / "grid.zarr" / "mine.txt").write_text("mine")
    elif kind == "inside a file":
        (folder / "sub").write_text("mine")
        return folder / "sub" / "grid.zarr"
    return folder / {"nowhere": "sub/grid.zarr", "ending": "grid.nc"}.get(kind, "grid.zarr")


@pytest.mark.parametrize(
    ("kind", "message"),
    [
        ("file", r"store = .*grid\.zarr\"; must be a folder that can be written; a file has"),
        ("strange", "must be empty, not there yet, or a sweep that was begun; choose another"),
        ("nowhere", "what it should lie in is no folder"),
        ("inside a file", "what it should lie in is no folder"),
        ("ending", r"must end in \.zarr"),
    ],
)
def test_names_the_bad_folder_before_any_work(
    build: airchain.Build, tmp_path: Path, kind: str, message: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(grids.Grid, "solve", lambda *_: pytest.fail("worked"))
    folder = lay(kind, tmp_path)
    before = sorted(p.name for p in tmp_path.rglob("*"))
    with pytest.raises(InputError, match=message):
        airchain.sweep(build, AXES, COLUMNS, store=folder)
    assert sorted(p.name for p in tmp_path.rglob("*")) == before


def test_a_disk_without_room_is_named(
    build: airchain.Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    used = shutil.disk_usage(tmp_path)._replace(free=1000)
    monkeypatch.setattr(store.shutil, "disk_usage", lambda _: used)
    with pytest.raises(InputError, match=r"fit in the 0\.0 GiB that are free where the folder"):
        airchain.sweep(build, AXES, COLUMNS, store=tmp_path / "grid.zarr")


def test_a_sweep_beyond_memory_says_where_it_can_be_kept(
    build: airchain.Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("airchain.sweeps.sweeping.free_memory", lambda: 2.0**30)
    axes = {"rpm": np.linspace(3000, 7000, 10_000), "ambient.temperature": np.full(5000, 300.0)}
    with pytest.raises(InputError, match=r"memory that are free; keep it in a folder: sweep\(\.\."):
        airchain.sweep(build, axes)


def test_a_folder_takes_one_process_at_a_time(build: airchain.Build, tmp_path: Path) -> None:
    pytest.importorskip("fcntl")
    folder = tmp_path / "grid.zarr"
    refused: list[str] = []

    def try_too(done: int, total: int) -> None:
        with pytest.raises(InputError, match="one process at a time, and another one") as caught:
            airchain.sweep(build, AXES, COLUMNS, store=folder)
        refused.append(str(caught.value))

    kept = airchain.sweep(build, AXES, COLUMNS, store=folder, progress=try_too)
    assert refused
    same(kept, airchain.sweep(build, AXES, COLUMNS))


SWEEPS = """
import sys, numpy as np, xarray, zarr, airchain
from airchain.sweeps import grid, store
grid.TILE, store._BETWEEN = 2000, 0.0
build = airchain.load(sys.argv[1])
axes = {"ambient.temperature": np.linspace(270.0, 310.0, 300), "level": ["even", "long"],
        "rpm": np.linspace(2500.0, 7500.0, 300)}
print("ready", flush=True)
airchain.sweep(build, axes, ["power", "boost"], store=sys.argv[2])
"""


@pytest.mark.parametrize("turns", [6, pytest.param(60, marks=pytest.mark.slow)])
def test_killed_at_random_moments_it_ends_as_if_never_killed(
    build: airchain.Build, tmp_path: Path, turns: int
) -> None:
    folder = tmp_path / "grid.zarr"
    draw = np.random.default_rng(3)
    command = [sys.executable, "-c", SWEEPS, str(ROOT / "examples" / "one_point.toml"), str(folder)]
    done, unfinished, longest = [0], 0, 0.9
    for turn in range(turns):
        one = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
        if turn < turns - 1:
            time.sleep(draw.uniform(0.05, longest))
            one.send_signal(signal.SIGKILL)
        one.communicate()
        if folder.exists():
            status = open_sweep(folder)["status"].to_numpy()
            done.append(int((status >= 0).sum()))
            unfinished += 0 < done[-1] < status.size
        # Where the machine is busy, nothing is marked in so short a time.
        longest *= 1.0 if done[-1] else 2.0
    assert one.returncode == 0
    assert unfinished
    assert done == sorted(done)  # what was done stays done
    kept = open_sweep(folder).load()
    axes = {n: kept[n].to_numpy() for n in kept["power"].dims}
    same(kept, airchain.sweep(build, axes, COLUMNS).load())
    assert [p.name for p in tmp_path.iterdir()] == ["grid.zarr"]
    assert list(folder.rglob("*.partial")) == []


def test_what_a_killed_making_left_goes_with_the_next_run(
    build: airchain.Build, tmp_path: Path
) -> None:
    from airchain.base.places import place_beside

    folder = tmp_path / "grid.zarr"
    own = place_beside(folder, folder.name)
    dead = own.with_name(own.name.replace(f"-{os.getpid()}-", f"-{2**22 + 1}-"))
    dead.mkdir()
    (dead / "zarr.json").write_text("{")
    airchain.sweep(build, AXES, COLUMNS, store=folder)
    assert [p.name for p in tmp_path.iterdir()] == ["grid.zarr"]


def test_the_command_line_fills_a_folder_and_goes_on(tmp_path: Path) -> None:
    command = [
        *(sys.executable, "-m", "airchain", "sweep", str(scenario.quick())),
        *("--axis", "rpm=3000:7000:900", "--axis", "drive.drive_ratio=0.8:1.2:9000"),
        *("--column", "power", "--store", "grid.zarr"),
    ]
    one = subprocess.Popen(command, cwd=tmp_path, stderr=subprocess.PIPE, text=True)
    assert one.stderr is not None
    until = time.monotonic() + 60.0
    while not list(tmp_path.glob("grid.zarr/power/c/*/*")) and time.monotonic() < until:
        time.sleep(0.02)
    one.send_signal(signal.SIGINT)
    said = one.communicate(timeout=60)[1]
    assert one.returncode == 130, said
    assert "kept in grid.zarr: the same command goes on from there.\n" in said
    assert said.endswith("interrupted\n")
    begun = open_sweep(tmp_path / "grid.zarr")
    assert (begun["status"].to_numpy() == -1).any()
    assert [p.name for p in tmp_path.iterdir()] == ["grid.zarr"]


def test_the_command_line_names_a_bad_target(tmp_path: Path) -> None:
    command = [*(sys.executable, "-m", "airchain", "sweep", str(scenario.quick())),
               *("--axis", "rpm=3000:7000:3")]  # fmt: skip
    for more, message in [
        ([], "one of --output and --store"),
        (["-o", "a.csv", "--store", "a.zarr"], "one of --output and --store"),
        (["--store", "sub/a.zarr"], "what it should lie in is no folder"),
    ]:
        done = subprocess.run(
            [*command, *more], cwd=tmp_path, capture_output=True, text=True, check=False
        )
        assert done.returncode in (1, 2)
        assert message in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("small_tiles")
def test_chunks_that_were_lost_or_cut_are_solved_again(
    build: airchain.Build, tmp_path: Path
) -> None:
    folder = tmp_path / "grid.zarr"
    before = airchain.sweep(build, AXES, COLUMNS, store=folder).load()
    lost, cut = sorted((folder / "status" / "c").rglob("*/*/*"))[:2]
    lost.unlink()
    power = folder / "power" / cut.relative_to(folder / "status")
    power.write_bytes(power.read_bytes()[:-8])
    told: list[int] = []
    kept = airchain.sweep(
        build, AXES, COLUMNS, store=folder, progress=lambda done, _: told.append(done)
    )
    assert told[0] > before["power"].size // 2
    same(kept, before)


GROWS = """
import resource, sys, numpy as np, airchain
build = airchain.load(sys.argv[1])
axes = {"ambient.temperature": np.linspace(270.0, 310.0, int(sys.argv[3])),
        "rpm": np.linspace(2500.0, 7500.0, 1000)}
airchain.sweep(build, axes, ["power", "boost", "torque", "air_flow"], store=sys.argv[2])
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0)
"""


@pytest.mark.slow
@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks Linux for the most memory")
def test_memory_does_not_grow_with_the_sweep(tmp_path: Path) -> None:
    """Megabytes of a sweep of two and of ten million points."""
    file = str(ROOT / "examples" / "one_point.toml")
    most = [
        float(
            subprocess.run(
                [sys.executable, "-c", GROWS, file, str(tmp_path / f"{rows}.zarr"), str(rows)],
                capture_output=True, text=True, check=True,
            ).stdout
        )
        for rows in (2_000, 10_000)
    ]  # fmt: skip
    assert most[1] < most[0] + 40.0
    assert most[1] < 500.0
