"""Long work tells how far it is, on standard error, and stops cleanly."""

import io
import signal
import subprocess
import sys
from pathlib import Path

import pytest

import airchain
import cam_engine
from airchain.base import progress
from airchain.cylinder import surface
from airchain.cylinder import surface_cache as breathing


class Terminal(io.StringIO):
    """A text stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """A clock that goes on when told to."""
    now = [100.0]
    monkeypatch.setattr(progress.time, "monotonic", lambda: now[0])
    return now


@pytest.mark.parametrize("kind", [io.StringIO, Terminal])
def test_quick_work_tells_nothing(kind: type[io.StringIO], clock: list[float]) -> None:
    stream = kind()
    with progress.telling("work", stream=stream) as tell:
        for done in range(1, 20):
            clock[0] += 0.05
            tell(done, 20)
    assert stream.getvalue() == ""


def test_long_work_writes_a_line_every_ten_seconds(clock: list[float]) -> None:
    stream = io.StringIO()
    with progress.telling("work", "cycles", stream) as tell:
        for done in range(1, 1501):
            clock[0] += 0.01
            tell(done, 1500)
    assert stream.getvalue() == (
        "work: 6 %, 100 of 1,500 cycles\nwork: 73 %, 1,100 of 1,500 cycles\n"
    )


def test_a_terminal_keeps_one_line_and_loses_it_at_the_end(clock: list[float]) -> None:
    stream = Terminal()

    def work() -> None:
        with progress.telling("work", stream=stream) as tell:
            clock[0] += 3.0
            tell(1, 2)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        work()
    line = "work: 50 %, 1 of 2 points"
    assert stream.getvalue() == f"\r{line}\r{' ' * len(line)}\r"


def test_a_surface_tells_how_far_it_is(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cam_engine.coarsen(monkeypatch, tmp_path)
    monkeypatch.setattr(progress, "PATIENCE", 0.0)
    build = cam_engine.built()
    told = capsys.readouterr().err
    assert told.startswith(
        f"A breathing surface of {build.name} is made first, from 127 cycles; it is then kept.\n"
    )
    assert f"breathing surface of {build.name}: " in told
    counted: list[tuple[int, int]] = []
    monkeypatch.setattr(breathing, "_made", {})
    monkeypatch.setenv("AIRCHAIN_CACHE", str(tmp_path / "other"))
    breathing.surface_of(build.cylinder.setup, build.redline, progress=lambda *n: counted.append(n))
    assert counted[-1] == (127, 127)  # as announced
    assert counted == sorted(counted)
    assert capsys.readouterr().err == ""


_MAKING = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from airchain.base import progress
progress.PATIENCE = 0.0
from cam_engine import built
built()
"""


def test_ctrl_c_stops_the_making_of_a_surface(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("AIRCHAIN_CACHE", str(tmp_path))
    command = [sys.executable, "-c", _MAKING, str(Path(__file__).parent)]
    process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    assert process.stderr is not None
    try:
        said = process.stderr.readline()
        assert said.startswith("A breathing surface of ")
        assert said.endswith(" is made first, from 5,952 cycles; it is then kept.\n")
        assert "breathing surface of " in process.stderr.readline()
        process.send_signal(signal.SIGINT)
        rest = process.communicate(timeout=60)[1]
    finally:
        process.kill()
    assert process.returncode in (-signal.SIGINT, 130, 1)
    assert "KeyboardInterrupt" in rest
    assert list(tmp_path.iterdir()) == []


def test_a_build_may_ask_for_a_coarse_surface(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    cam_engine.coarsen(monkeypatch, tmp_path)
    monkeypatch.setattr(surface, "USUAL", "fine")
    few = surface.NODES["coarse"]
    monkeypatch.setitem(surface.NODES, "fine", few._replace(effect=surface.Group((0.8, 1.4), 2, 3)))
    typed = 'breathing = "surface"'
    coarse = cam_engine.built(typed, 'breathing = "coarse surface"')
    fine = cam_engine.built()
    assert coarse.chain.breathing.surface != fine.chain.breathing.surface
    assert coarse.fingerprint != fine.fingerprint
    assert "coarse surface" in " ".join(coarse.cautions)
    assert fine.cautions == ()
    assert "a coarse surface of the cylinder's cycles" in repr(coarse)
    with pytest.raises(
        airchain.InputError, match=r'breathing = "rough"; must be one of cycles, surface, coarse'
    ):
        cam_engine.built(typed, 'breathing = "rough"')


def test_parts_that_are_not_alike_tell_no_share_and_no_rest(clock: list[float]) -> None:
    stream = io.StringIO()
    with progress.telling("report", "parts", stream, alike=False) as tell:
        for done in range(1, 4):
            clock[0] += 60.0
            tell(done, 30)
    assert stream.getvalue() == "".join(f"report: {done} of 30 parts\n" for done in (1, 2, 3))


#: Commands that last, with what they cannot do without; each stops at its first word.
_LASTING = {
    "ladder": "", "reconcile": "--pull tame=a.csv", "predict": "a.fit",
    "explain": "one two --rpm 5000", "diagnose": "a.csv", "plan": "", "fuel": "",
    "choose": "--target full=900", "track": "",
    "calibrate": "-o out", "report": "-o a.html", "daysheet": "-o a.html", "page": "-o a.html",
    "weather": "", "regear": "1.2", "sweep": "--axis rpm=5000 -o a.nc",
}  # fmt: skip
_FIRST_WORDS = """
import sys
import click
from airchain.cli import options
from airchain.cli.main import cli

class Stopped(Exception):
    pass

def echo(text, err=False):
    heavy = [n for n in ("numpy", "airchain.chain.build", "airchain.report") if n in sys.modules]
    raise Stopped(f"{text} {err} {heavy}")

options.click.echo = echo
for line in sys.argv[1:]:
    try:
        cli.main(line.split(), standalone_mode=False)
    except Stopped as told:
        print(told)
    except click.ClickException as error:
        print(line, error.format_message())
"""


def test_a_command_that_lasts_speaks_before_it_imports_what_is_heavy() -> None:
    lines = [f"{name} a.toml {more}" for name, more in _LASTING.items()]
    command = [sys.executable, "-c", _FIRST_WORDS, *lines]
    told = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    assert told.stdout.splitlines() == ["Reading a.toml True []"] * len(lines)
