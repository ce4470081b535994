"""What fuzzing shares: folders of its own, and how many cases a run takes."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

import pytest

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
