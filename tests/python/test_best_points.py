"""The best points of a sweep: what a plain search finds, with ties and the room to limits."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import xarray as xr
from hypothesis import given
from hypothesis import strategies as st

import airchain
from airchain import InputError
from airchain.sweeps import best, best_points, open_sweep
from airchain.sweeps import grid as grids

ROOT = Path(__file__).resolve().parents[2]
AXES: dict[str, Any] = {
    "cooler.effectiveness": np.linspace(0.5, 0.9, 9),
    "level": ["even", "middle", "long"],
    "rpm": np.linspace(2500.0, 7500.0, 21),
}


@pytest.fixture(scope="module")
def build() -> airchain.Build:
    return airchain.load(ROOT / "examples" / "one_point.toml")


@pytest.fixture(scope="module")
def grid(build: airchain.Build) -> xr.Dataset:
    return airchain.sweep(build, AXES)


def by_hand(grid: xr.Dataset, where: np.ndarray, name: str) -> float:
    """The largest value where something holds."""
    return float(np.nanmax(np.where(where & (grid["status"].to_numpy() == 0), grid[name], np.nan)))


def test_finds_what_a_plain_search_finds(grid: xr.Dataset) -> None:
    where = {"boost": (None, "9 psi"), "level": ["even", "long"], "rpm": (3000, 7000)}
    found = best_points(grid, "power", where, count=5)
    allowed = (
        (grid["boost"] <= 9 * 6894.757293168)
        & (grid["level"] != "middle")
        & (grid["rpm"] >= 3000) & (grid["rpm"] <= 7000)
    ).transpose(*grid["power"].dims).to_numpy()  # fmt: skip
    assert found.values[0] == by_hand(grid, allowed, "power")
    assert found.point()["power"].item() == found.values[0]
    assert list(found.values) == sorted(found.values, reverse=True)
    assert found.point()["boost"].item() <= 9 * 6894.757293168
    assert found.solved == int((grid["status"] == 0).sum())
    assert found.allowed == int((allowed & (grid["status"].to_numpy() == 0)).sum())
    smallest = best_points(grid, "power", where, largest=False)
    assert smallest.values[0] < found.values[0]


def test_tells_ties_room_and_what_a_limit_costs(grid: xr.Dataset) -> None:
    found = best_points(grid, "power", {"boost": (None, "9 psi"), "speed_margin": (0.0, None)})
    free = best_points(grid, "power")
    text = found.text()
    if found.values[0] < free.values[0]:
        assert "The limit 'boost at most 9.00 psi' binds: without it" in text
    room = 9.0 - found.point()["boost"].item() / 6894.757293168
    assert f"{room:,.3g}" in text
    assert "room" in text
    assert "Knock is not judged in a sweep" in text
    wide = best_points(grid, "power", tie=0.05)
    near = grid["power"].to_numpy() >= 0.95 * free.values[0]
    assert wide.ties == int((near & (grid["status"].to_numpy() == 0)).sum()) > 1
    assert f"{wide.ties - 1} more points within 5 % of it" in wide.verdict


def test_no_point_says_which_limit_leaves_none(grid: xr.Dataset) -> None:
    found = best_points(grid, "power", {"boost": ("90 psi", None), "rpm": (3000, None)})
    assert found.values.size == 0
    assert found.verdict.startswith("No point keeps to the limits: ")
    assert "Without 'boost at least 90.00 psi', a point keeps to the others." in found.notes


def test_a_folder_is_read_piece_by_piece(
    build: airchain.Build, grid: xr.Dataset, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(grids, "TILE", 60)
    airchain.sweep(build, AXES, store=tmp_path / "grid.zarr")
    kept = open_sweep(tmp_path / "grid.zarr")
    sizes = [piece["power"].size for _, piece in best._pieces(kept, ["power", "status"])]
    assert max(sizes) <= 60
    assert sum(sizes) == grid["power"].size
    where = {"boost": (None, "9 psi")}
    one, other = (best_points(g, "power", where, tie=0.02) for g in (kept, grid))
    assert one.text() == other.text()


@given(st.data())
def test_random_grids_with_equals_agree_with_sorting(data: st.DataObject) -> None:
    shape = data.draw(st.tuples(st.integers(1, 5), st.integers(1, 6)))
    size = shape[0] * shape[1]
    power = np.array(data.draw(st.lists(st.integers(-3, 3), min_size=size, max_size=size)), float)
    status = np.array(data.draw(st.lists(st.sampled_from([0, 0, 1]), min_size=size, max_size=size)))
    power[status != 0] = np.nan
    made = xr.Dataset(
        {"power": (("a", "rpm"), power.reshape(shape)), "status": (("a", "rpm"),
          status.astype(np.int8).reshape(shape))},
        {"a": np.arange(float(shape[0])), "rpm": 1000.0 + np.arange(float(shape[1]))},
    )  # fmt: skip
    count = data.draw(st.integers(1, 8))
    largest = data.draw(st.booleans())
    found = best_points(made, "power", count=count, largest=largest)
    sign = -1.0 if largest else 1.0
    order = sorted((sign * v, i) for i, v in enumerate(power) if not np.isnan(v))[:count]
    assert [p["a"] * shape[1] + p["rpm"] for p in found.places] == [i for _, i in order]


@pytest.mark.parametrize(
    ("name", "where", "message"),
    [
        ("powr", {}, r'name = "powr"; .*did you mean "power"'),
        ("status", {}, "must be a column of the sweep"),
        ("power", {"bost": (0, 1)}, r'where = "bost"; .*did you mean "boost"'),
        ("power", {"boost": 3.0}, "must be a pair: lowest and highest"),
        ("power", {"boost": (2.0, 1.0)}, "must rise"),
        ("power", {"boost": (None, None)}, "at least one end"),
        ("power", {"boost": (None, "9 lb/min")}, "must be a pressure difference"),
        ("power", {"level": "full"}, "level = .*must be of even, middle, long"),
    ],
)
def test_names_the_bad_question(
    grid: xr.Dataset, name: str, where: dict[str, Any], message: str
) -> None:
    with pytest.raises(InputError, match=message):
        best_points(grid, name, where)
