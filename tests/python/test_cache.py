"""The folder that surfaces are kept in: its limit, and what else may stand there."""

import os
import time
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import airchain
from airchain import _core
from airchain.base import cache
from airchain.cli.main import cli
from airchain.cylinder import surface_cache
from cam_engine import built, coarsen

NAMES = [f"surface-{digit * 32}.json" for digit in "abcdef"]


@pytest.fixture
def kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Surfaces of few nodes, kept in a folder of the test's own."""
    folder = tmp_path / "kept"
    coarsen(monkeypatch, folder)
    return folder


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str, _core.BreathingSurface]:
    """Name and text of a kept surface of few nodes, and the surface, made once."""
    folder = tmp_path_factory.mktemp("made") / "kept"
    with pytest.MonkeyPatch.context() as patch:
        coarsen(patch, folder)
        found = built().chain.breathing.surface
    (file,) = folder.iterdir()
    return file.name, file.read_text(), found


def forget(monkeypatch: pytest.MonkeyPatch) -> None:
    """As a new process begins."""
    monkeypatch.setattr(surface_cache, "_made", {})


def test_what_was_used_longest_ago_goes_first(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(cache.LIMIT, "0.0035")  # 3,500 bytes
    for place, name in enumerate(NAMES[:3]):
        cache.write(name, "x" * 1000)
        os.utime(kept / name, (1000.0 + place, 1000.0 + place))
    assert cache.read(NAMES[0]) == "x" * 1000  # used now
    (kept / "notes of mine.txt").write_text("y" * 10_000)
    cache.write(NAMES[3], "x" * 1000)
    assert {one.path.name for one in cache.entries()} == {NAMES[0], NAMES[2], NAMES[3]}
    assert (kept / "notes of mine.txt").exists()
    cache.write(NAMES[4], "x" * 4000)  # never fits, and drives nothing out
    assert {one.path.name for one in cache.entries()} == {NAMES[0], NAMES[2], NAMES[3]}


def test_a_limit_of_nothing_keeps_nothing(
    kept: Path, monkeypatch: pytest.MonkeyPatch, made: tuple[str, str, _core.BreathingSurface]
) -> None:
    monkeypatch.setenv(cache.LIMIT, "0")
    assert built().chain.breathing.surface == made[2]
    assert not kept.exists()


@pytest.mark.parametrize("typed", ["much", "-1", "nan", "inf"])
def test_names_the_bad_limit_before_any_work(
    kept: Path, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    monkeypatch.setenv(cache.LIMIT, typed)
    monkeypatch.setattr(_core, "run_cycles", None)
    with pytest.raises(airchain.InputError, match=f'{cache.LIMIT} = "{typed}"; must be a number'):
        built()


def test_another_process_may_empty_the_folder_at_any_time(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(cache.LIMIT, "0.0015")
    for name in NAMES[:2]:
        cache.write(name, "x" * 700)
    listed = cache.entries()
    (kept / NAMES[0]).unlink()
    monkeypatch.setattr(cache, "entries", lambda: listed)
    cache.write(NAMES[2], "x" * 700)
    assert cache.read(NAMES[2]) == "x" * 700
    assert cache.read(NAMES[0]) is None


def odd(path: Path, kind: str) -> None:
    """Something that is no regular file, or no file of ours."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.unlink(missing_ok=True)
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    elif kind == "device":
        path.symlink_to("/dev/zero")
    elif kind == "nowhere":
        path.symlink_to(path.with_name("gone"))
    else:
        path.write_bytes(b"\xff\x00" * 100)


# What blocks and what is no text in every run; each makes its surface.
@pytest.mark.parametrize("kind", [
    "pipe", "device", "noise",
    *(pytest.param(kind, marks=pytest.mark.slow) for kind in ("folder", "nowhere")),
])  # fmt: skip
def test_no_file_in_the_folder_blocks_or_changes_a_number(
    kept: Path, kind: str, made: tuple[str, str, _core.BreathingSurface]
) -> None:
    name, _, first = made
    odd(kept / name, kind)
    odd(kept / name.replace("surface", "begun"), kind)
    began = time.monotonic()
    assert built().chain.breathing.surface == first
    assert time.monotonic() - began < 60.0  # not for ever
    assert isinstance(cache.entries(), list)


class Stopped(KeyboardInterrupt):
    """Ctrl-C in the test's own hand."""


def test_an_interrupted_surface_goes_on_where_it_was(
    monkeypatch: pytest.MonkeyPatch, made: tuple[str, str, _core.BreathingSurface], kept: Path
) -> None:
    whole = made[2]
    assert not kept.exists()
    real, calls = _core.run_cycles, [0]

    def interrupted(*rest: Any, **more: Any) -> Any:
        calls[0] += 1
        if calls[0] == 3:
            raise Stopped
        return real(*rest, **more)

    monkeypatch.setattr(_core, "run_cycles", interrupted)
    monkeypatch.setattr(airchain.cylinder._node_cycles, "_BATCH", 20)
    with pytest.raises(Stopped):
        built()
    (begun,) = cache.entries()
    assert begun.unfinished
    calls[0] = 100
    assert built().chain.breathing.surface == whole
    # 54 nodes in batches of 20, twice 8, five times 4 with other burns, 11 mixtures of the shapes:
    # 21 calls, two of them before the interrupt.
    assert calls[0] == 119
    (done,) = cache.entries()
    assert not done.unfinished


def test_the_command_shows_and_empties_the_folder(
    kept: Path, made: tuple[str, str, _core.BreathingSurface]
) -> None:
    run = CliRunner().invoke
    shown = run(cli, ["cache"])
    assert shown.exit_code == 0
    assert "0 files, 0.0 of at most 200 MB" in shown.output
    name, text, _ = made
    kept.mkdir(exist_ok=True)
    file = kept / name
    file.write_text(text)
    built()
    assert file.read_text() == text
    (kept / "mine.json").write_text("{}")
    shown = run(cli, ["cache"])
    assert file.name in shown.output
    assert "breathing surface" in shown.output
    emptied = run(cli, ["cache", "--empty"])
    assert emptied.exit_code == 0
    assert "1 files deleted" in emptied.output
    assert [path.name for path in kept.iterdir()] == ["mine.json"]


def test_a_folder_that_cannot_be_written_is_told_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv(cache.FOLDER, str(tmp_path / "file" / "folder"))
    cache._say_unkept.cache_clear()
    for name in NAMES[:2]:
        cache.write(name, "text")
    said = capsys.readouterr().err
    assert said.count("Nothing can be kept in") == 1
    assert str(tmp_path / "file" / "folder") in said
    assert cache.FOLDER in said
