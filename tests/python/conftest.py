"""What every Python test shares."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

os.environ.setdefault("MPLBACKEND", "Agg")

# A surface as users get it takes some 20 s; tests of how well one stands ask for `whole_surfaces`.
os.environ["AIRCHAIN_SURFACE"] = "few"

# Breathing surfaces are kept in one folder of this run, never in the user's own.
if "AIRCHAIN_CACHE" not in os.environ:
    os.environ["AIRCHAIN_CACHE"] = tempfile.mkdtemp(prefix="airchain-tests-")
    atexit.register(shutil.rmtree, os.environ["AIRCHAIN_CACHE"], ignore_errors=True)

# The same examples in every run; tests/run --slow draws many, and new ones each time.
settings.register_profile("repeatable", derandomize=True, deadline=None, max_examples=60)
settings.register_profile("thorough", deadline=None, max_examples=1000)
settings.load_profile("repeatable")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that writes the files of tests/golden anew."""
    parser.addoption("--refresh-golden", action="store_true", help="write tests/golden anew")


@pytest.fixture
def whole_surfaces(monkeypatch: pytest.MonkeyPatch) -> None:
    """Breathing surfaces on all the nodes that users get."""
    from airchain.cylinder import surface as _surface_nodes

    monkeypatch.setattr(_surface_nodes, "_GROUPS", _surface_nodes._WHOLE)
    monkeypatch.setattr(_surface_nodes, "_EFFECT", _surface_nodes._WHOLE_EFFECT)


@pytest.fixture(scope="session")
def root() -> Path:
    """Top directory of the project."""
    return Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def published(root: Path) -> Path:
    """Directory of the published figures that tests compare with."""
    return root / "tests" / "published"
