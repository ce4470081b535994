"""Sweeps: the grid agrees with single runs and tells its units, statuses and inputs."""

from pathlib import Path

import numpy as np
import pytest

import airchain
import scenario
from airchain.base.speeds import RPM
from airchain.chain.pull import Pull
from airchain.chain.solving import solve
from airchain.sweeps import write_dataset


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full().with_surface()


AXES = {"cooler.effectiveness": [0.5, 0.8], "rpm": [4000, 5500, 7000]}


def test_grid_equals_single_points_bitwise(full: airchain.Build) -> None:
    grid = airchain.sweep(full, AXES, ["power", "boost"])
    assert grid["power"].dims == ("cooler.effectiveness", "rpm")
    for i, effectiveness in enumerate(AXES["cooler.effectiveness"]):
        cooler = full.chain.cooler.replace(effectiveness=effectiveness)
        chain = full.chain.replace(cooler=cooler)
        for j, rpm in enumerate(AXES["rpm"]):
            single = solve(chain, [rpm])
            assert grid["power"].values[i, j] == single["power"][0]
            assert grid["boost"].values[i, j] == single["boost"][0]


def test_any_number_of_threads_gives_the_same_bits(full: airchain.Build) -> None:
    one, three = (airchain.sweep(full, AXES, threads=n) for n in (1, 3))
    assert one.identical(three)


def test_levels_and_typed_texts_rebuild_the_chain(full: airchain.Build) -> None:
    axes = {"rpm": [5000, 7000], "level": ["tame", "full"], "ambient.altitude": ["0 ft", "4000 ft"]}
    grid = airchain.sweep(full, axes, ["power"])
    assert grid["power"].shape == (2, 2, 2)
    changed = full.replace({"ambient.altitude": "4000 ft"}).level("tame")
    alone = Pull.run(changed, axes["rpm"])["power"]
    assert grid["power"].values[:, 0, 1] == pytest.approx(alone, rel=0, abs=0)


def test_texts_pint_quantities_and_numbers_mean_the_same(full: airchain.Build) -> None:
    from airchain.units.convert import registry

    pint = registry()
    forms = [["25 degC"], pint.Quantity([298.15], "K"), [298.15]]
    powers = [
        airchain.sweep(full, {"ambient.temperature": f, "rpm": [6000]})["power"].item()
        for f in forms
    ]
    assert powers == pytest.approx([powers[0]] * 3, rel=1e-12)


def test_dataset_tells_units_statuses_and_inputs(full: airchain.Build) -> None:
    grid = airchain.sweep(full, AXES)
    assert grid["power"].attrs["units"] == "W"
    assert grid["rpm"].attrs["units"] == "rpm"
    meanings = grid["status"].attrs["flag_meanings"].split()
    assert meanings[0] == "matched"
    assert len(meanings) == len(grid["status"].attrs["flag_values"])
    assert grid.attrs["summary"].startswith("All 6 points solved. Knock is not judged")
    again = airchain.sweep(full, AXES).attrs["fingerprint"]
    other = airchain.sweep(full, {**AXES, "rpm": [4000, 5500, 7001]}).attrs["fingerprint"]
    assert grid.attrs["fingerprint"] == again != other
    assert airchain.sweep(full.level("tame"), AXES).attrs["fingerprint"] != again


def test_progress_ends_at_all_points(full: airchain.Build) -> None:
    told: list[tuple[int, int]] = []
    airchain.sweep(
        full, {"level": ["tame", "full"], "rpm": [5000, 6000]},
        progress=lambda done, total: told.append((done, total)),
    )  # fmt: skip
    assert told[-1] == (4, 4)
    assert told == sorted(told)


def test_files_hold_the_grid(full: airchain.Build, tmp_path: Path) -> None:
    import pandas as pd
    import xarray as xr

    grid = airchain.sweep(full, AXES)
    write_dataset(grid, tmp_path / "grid.csv")
    frame = pd.read_csv(tmp_path / "grid.csv")
    assert frame["power"].to_numpy() == pytest.approx(grid["power"].to_numpy().ravel(), nan_ok=True)
    assert frame["status"][0] == "matched"
    write_dataset(grid, tmp_path / "grid.nc")
    with xr.open_dataset(tmp_path / "grid.nc") as back:
        np.testing.assert_array_equal(back["power"], grid["power"])
        assert back.attrs["fingerprint"] == grid.attrs["fingerprint"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["grid.csv", "grid.nc"]


@pytest.mark.parametrize(
    ("axes", "columns", "message"),
    [
        ({}, None, "axes = {}; must name at least one input"),
        ({"cooler.effectiveness": [0.5]}, None, 'must hold "rpm" or "engine_speed"'),
        ({"rpm": []}, None, r"sweep: rpm = \[\]; must hold at least one value"),
        ({"rpm": [5000]}, ["powr"], 'column = "powr"; must be a column.*did you mean "power"'),
        ({"rpm": ["5000 degF"]}, None, 'sweep: rpm = "5000 degF"; must be a rotational speed'),
        ({"rpm": [np.nan]}, None, "sweep: rpm = nan; must be .*finite"),
        ({"rpm": [5000], "level": ["tam"]}, None, 'level = "tam"; must be .*did you mean "tame"'),
        ({"rpm": [5000], "cooler.efectiveness": [0.5]}, None, "efectiveness"),
        ({"rpm": [5000], "cooler.effectiveness": [1.5]}, None, "effectiveness = 1.5.*must be"),
        ({"rpm": np.full(20000, 5000), "ambient.temperature": np.ones(20000)}, None, "200,000,000"),
    ],
)
def test_names_the_bad_input(
    full: airchain.Build, axes: dict, columns: list[str] | None, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        airchain.sweep(full, axes, columns)


def test_engine_speed_axis_is_si(full: airchain.Build) -> None:
    grid = airchain.sweep(full, {"engine_speed": [6000 * RPM]}, ["power"])
    assert grid["power"].item() == pytest.approx(full.pull([6000])["power"][0], rel=1e-12)
