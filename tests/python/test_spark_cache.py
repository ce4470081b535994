"""Knock searches that are kept from one run to the next: they save time and change no bit."""

from functools import cache as once
from pathlib import Path

import numpy as np
import pytest

import blown_cam_engine as blown
from airchain import InputError, _core
from airchain.base import cache
from airchain.cylinder import spark_searches

Columns = dict[str, np.ndarray]


@once
def coarse() -> _core.CycleSetup:
    """A cylinder with few cells, quickly searched."""
    setup = blown.built().cylinder.setup
    pipes = {side: getattr(setup, side).replace(cells=6) for side in ("intake", "exhaust")}
    return setup.replace(**pipes)


def points(*rpm: float) -> Columns:
    """States at some engine speeds."""
    speed = np.array(rpm) * np.pi / 30.0
    return {
        "speed": speed, "plenum_pressure": 1.4e5 + 10.0 * speed,
        "plenum_temperature": np.full(speed.shape, 331.7), "exhaust_pressure": 1.1e5 + speed,
        "half_burned": np.full(speed.shape, 0.2),
    }  # fmt: skip


def same(one: Columns, other: Columns) -> bool:
    """Whether two searches are equal bit for bit, NaN among them; statuses may be whole numbers."""
    bits = [{n: v.astype(float).tobytes() for n, v in each.items()} for each in (one, other)]
    return bits[0] == bits[1]


@pytest.fixture
def kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder of the test's own, and nothing in memory."""
    coarse()  # its surface is kept elsewhere
    monkeypatch.setenv(cache.FOLDER, str(tmp_path / "kept"))
    forget(monkeypatch)
    return tmp_path / "kept"


def forget(monkeypatch: pytest.MonkeyPatch) -> None:
    """As a new process begins."""
    monkeypatch.setattr(spark_searches, "_made", {})


def forbid(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every search fail."""

    def forbidden(*_: object, **__: object) -> None:
        raise AssertionError("a search was run")

    monkeypatch.setattr(_core, "run_spark_searches", forbidden)


def test_a_kept_search_is_the_computed_one_bit_for_bit(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup, asked = coarse(), points(1500.0, 4000.0, 6500.0)
    direct = _core.run_spark_searches(setup, asked, spark_searches.SEARCH)
    first = spark_searches.searched(setup, points(4000.0))
    forget(monkeypatch)
    assert same(spark_searches.searched(setup, asked), direct)  # one was kept, two are new
    assert first["own_trapped_mass"][0] == direct["own_trapped_mass"][1]
    (entry,) = cache.entries()
    assert entry.words == "knock searches"
    assert not entry.unfinished
    forget(monkeypatch)
    forbid(monkeypatch)
    assert same(spark_searches.searched(setup, asked), direct)


def test_what_a_search_depends_on_tells_files_apart(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup, asked = coarse(), points(4000.0)
    spark_searches.searched(setup, asked)
    rich = setup.replace(mixture=setup.mixture.replace(lambda_=0.8))
    for other, more in ((rich, {}), (setup, {"best_phasing": 0.1})):
        forget(monkeypatch)
        with monkeypatch.context() as patch:
            forbid(patch)
            with pytest.raises(AssertionError, match="a search was run"):
                spark_searches.searched(other, asked, **more)  # type: ignore[arg-type]
    for name, told in (("core_digest", cache), ("instruction_set", _core)):
        forget(monkeypatch)
        with monkeypatch.context() as patch:
            patch.setattr(told, name, lambda: "another")
            forbid(patch)
            with pytest.raises(AssertionError, match="a search was run"):
                spark_searches.searched(setup, asked)


@pytest.mark.parametrize("damage", ["cut", "number", "sealed nonsense", "noise"])
def test_a_damaged_file_costs_time_and_changes_no_number(
    kept: Path, damage: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup, asked = coarse(), points(5000.0)
    first = spark_searches.searched(setup, asked)
    (file,) = kept.iterdir()
    text = file.read_text()
    if damage == "cut":
        file.write_text(text[: len(text) // 2])
    elif damage == "number":
        file.write_text(text.replace("0.2", "0.3", 1))
    elif damage == "sealed nonsense":
        cache.write_sealed(file.name, text.split("\n")[0], '[["a"], [[1, 2]]]')
    else:
        file.write_bytes(b"\xff\x00" * 100)
    forget(monkeypatch)
    assert same(spark_searches.searched(setup, asked), first)
    assert file.read_text() == text  # whole again


def test_searches_of_another_process_are_kept_beside_ones_own(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    spark_searches.searched(coarse(), points(3000.0))
    with monkeypatch.context() as other:  # a process that began before and ends in between
        other.setattr(spark_searches, "_made", {})
        spark_searches.searched(coarse(), points(3500.0))
    spark_searches.searched(coarse(), points(4500.0))
    forget(monkeypatch)
    forbid(monkeypatch)
    found = spark_searches.searched(coarse(), points(3000.0, 3500.0, 4500.0))
    assert np.isfinite(found["best_half_burned"]).all()


def test_of_too_many_those_made_last_are_kept(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spark_searches, "_MOST_IN_FILE", 2)
    setup = coarse()
    for rpm in (3000.0, 3500.0, 4500.0):
        spark_searches.searched(setup, points(rpm))
    forget(monkeypatch)
    forbid(monkeypatch)
    spark_searches.searched(setup, points(3500.0, 4500.0))
    with pytest.raises(AssertionError, match="a search was run"):
        spark_searches.searched(setup, points(3000.0))


def test_a_bad_limit_of_the_folder_is_named_before_any_search(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup = coarse()
    monkeypatch.setenv(cache.LIMIT, "much")
    forbid(monkeypatch)
    with pytest.raises(InputError, match="AIRCHAIN_CACHE_LIMIT"):
        spark_searches.searched(setup, points(3000.0))
