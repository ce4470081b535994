"""Files are written beside their place and renamed: what was there stays until the new is whole."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from airchain import InputError
from airchain.base.text_file import checked_target, write_bytes, write_text, write_with
from airchain.shown.figure import NotebookFigure, as_png, save


def test_text_and_bytes_replace_what_was_there(tmp_path: Path) -> None:
    file = tmp_path / "a.txt"
    write_text(file, "first \u00fc\n")
    write_bytes(file, b"\x00\x01")
    assert file.read_bytes() == b"\x00\x01"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]


def test_what_breaks_while_it_writes_leaves_the_old_file(tmp_path: Path) -> None:
    file = tmp_path / "a.png"
    file.write_text("old")

    def breaks(beside: Path) -> None:
        assert beside.suffix == ".png"
        beside.write_text("half")
        raise MemoryError

    with pytest.raises(MemoryError):
        write_with(file, breaks)
    assert file.read_text() == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.png"]


def test_a_killed_writer_leaves_the_old_file(tmp_path: Path) -> None:
    file = tmp_path / "a.svg"
    file.write_text("old")
    code = (
        "import sys, time\nfrom airchain.base.text_file import write_with\n"
        "def slow(beside):\n    beside.write_text('half')\n    print('half', flush=True)\n"
        "    time.sleep(60)\nwrite_with(sys.argv[1], slow)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(file)], stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "half\n"
        writer.send_signal(signal.SIGKILL)
    assert file.read_text() == "old"


def test_figures_are_written_the_same_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    figure = NotebookFigure(figsize=(1.0, 1.0))
    for ending, start in ((".png", b"\x89PNG"), (".SVG", b"<?xml"), (".pdf", b"%PDF")):
        file = save(figure, tmp_path / f"a{ending}")
        assert file.read_bytes().startswith(start)
    assert as_png(figure).startswith(b"\x89PNG")
    monkeypatch.setattr(figure, "savefig", lambda *_, **__: time.sleep(0.0))
    assert save(figure, tmp_path / "b.png").read_bytes() == b""
    assert not [p for p in tmp_path.iterdir() if ".tmp" in p.name]


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("a.docx", r'file = ".*a\.docx"; must end in \.png or \.svg'),
        ("missing/a.png", "must be a file that can be written; its folder does not exist"),
        ("folder.png", "must be a file that can be written; Is a directory"),
        ("a\0.png", "null byte"),
    ],
)
def test_names_the_bad_input_before_any_work(tmp_path: Path, name: str, message: str) -> None:
    (tmp_path / "folder.png").mkdir()
    with pytest.raises(InputError, match=message):
        checked_target(tmp_path / name, ".png", ".svg")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_names_the_bad_input_of_a_folder_that_is_read_only(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(InputError, match="Permission denied"):
        checked_target(tmp_path / "a.png")
