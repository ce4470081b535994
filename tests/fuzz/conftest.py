"""What fuzzing shares: folders of its own, and how many cases a run takes."""

import atexit
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from tally import Tally, summary

os.environ.setdefault("MPLBACKEND", "Agg")
# Workers and commands inherit it: threads of linear algebra that wait for a busy processor spin,
# and a fit then takes twice the processor's time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
if "AIRCHAIN_CACHE" not in os.environ:
    os.environ["AIRCHAIN_CACHE"] = tempfile.mkdtemp(prefix="airchain-fuzz-")
    atexit.register(shutil.rmtree, os.environ["AIRCHAIN_CACHE"], ignore_errors=True)

#: How many times as many cases the long run takes as the one of every day.
LONG = int(os.environ.get("AIRCHAIN_FUZZ", "100"))


@pytest.fixture(params=[1, pytest.param(LONG, marks=pytest.mark.slow)], ids=["quick", "long"])
def times(request: pytest.FixtureRequest) -> int:
    """Times the cases of a quick run; AIRCHAIN_FUZZ sets it for the long one."""
    return int(request.param)


@pytest.fixture(scope="session")
def root() -> Path:
    """Top directory of the project."""
    return Path(__file__).resolve().parents[2]


@pytest.fixture
def tally(request: pytest.FixtureRequest) -> Tally:
    """Counts the cases of a test; the long run prints them by class at its end."""
    request.node.fuzzed = Tally(getattr(request.module, "CLASS", "") or _words(request.function))
    return request.node.fuzzed


def _words(test: pytest.Function) -> str:
    return test.__name__.removeprefix("test_").replace("_", " ")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Iterator[None]:
    """Time a test that counts its cases; a worker hands on what it counted with its report."""
    counted: Tally | None = getattr(item, "fuzzed", None)
    if counted is None:
        return (yield)
    try:
        with counted.timed():
            return (yield)
    finally:
        if "[long" in item.name:
            item.user_properties.append(("fuzzed", counted.row))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print what the long run tried."""
    reports = [r for key in ("passed", "failed") for r in terminalreporter.stats.get(key, [])]
    rows = [row for r in reports for name, row in r.user_properties if name == "fuzzed"]
    for line in summary(rows):
        terminalreporter.write_line(line)
