"""What every Python test shares."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from xdist.remote import Producer

import sharing
from airchain.cylinder import _whole_nodes, surface

os.environ.setdefault("MPLBACKEND", "Agg")
# Workers and commands inherit it: threads of linear algebra that wait for a busy processor spin,
# and a fit then takes twice the processor's time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Breathing surfaces are kept in one folder of this run, never in the user's own.
if "AIRCHAIN_CACHE" not in os.environ:
    os.environ["AIRCHAIN_CACHE"] = tempfile.mkdtemp(prefix="airchain-tests-")
    atexit.register(shutil.rmtree, os.environ["AIRCHAIN_CACHE"], ignore_errors=True)

# A surface as users get it takes some 20 s; tests of how well one stands ask for `fine_surfaces`.
surface.USUAL = "coarse"
# Likewise whole engines, of which users get some hundred.
_whole_nodes.USUAL = "coarse"

# The same examples in every run; tests/run --slow draws many, and new ones each time.
settings.register_profile("repeatable", derandomize=True, deadline=None, max_examples=60)
settings.register_profile("thorough", deadline=None, max_examples=1000)
settings.load_profile("repeatable")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that writes the files of tests/golden anew."""
    parser.addoption("--refresh-golden", action="store_true", help="write tests/golden anew")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Let the dearest files begin first."""
    items.sort(key=sharing.place)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> sharing.Sharing | None:
    """Keep files that make the same in one worker."""
    return sharing.Sharing(config, log) if config.getvalue("dist") == "loadfile" else None


@pytest.fixture
def fine_surfaces(monkeypatch: pytest.MonkeyPatch) -> None:
    """Breathing surfaces and whole engines on all the nodes that users get."""
    monkeypatch.setattr(surface, "USUAL", "fine")
    monkeypatch.setattr(_whole_nodes, "USUAL", "fine")


@pytest.fixture(scope="session")
def root() -> Path:
    """Top directory of the project."""
    return Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def published(root: Path) -> Path:
    """Directory of the published figures that tests compare with."""
    return root / "tests" / "published"
