"""Gear pairs, maps, cams and fuels as axes of a sweep, by name."""

import pickle
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import scenario
from airchain import InputError
from airchain.sweeps.axes import axes_of
from airchain.sweeps.grid import grid_of
from airchain.sweeps.sweeping import moves_the_cylinder

ROOT = Path(__file__).resolve().parents[2]
PAIRS = {
    "40 to 40": {},
    "43 to 37": {"drive.links.0.driving_teeth": 43, "drive.links.0.driven_teeth": 37},
}
FUELS = {"pump": {}, "methanol": {"fuel.name": "methanol"}}


@pytest.fixture(scope="module")
def build() -> airchain.Build:
    return airchain.load(ROOT / "examples" / "one_point.toml")


def test_named_options_are_outer_axes_of_one_folder(build: airchain.Build, tmp_path: Path) -> None:
    own_map = tmp_path / "smaller.csv"
    own_map.write_text((ROOT / "examples" / "one_point_map.csv").read_text())
    maps = {"as it is": {}, "the other": {"compressor.map": str(own_map)}}
    axes: dict[str, Any] = {"pair": PAIRS, "fuel": FUELS, "map": maps, "rpm": [4000.0, 6000.0]}
    grid = airchain.sweep(build, axes, ["power"], store=tmp_path / "options.zarr")
    assert grid["power"].dims == ("pair", "fuel", "map", "rpm")
    assert list(grid["pair"].to_numpy()) == list(PAIRS)
    for pair, pair_typed in PAIRS.items():
        for fuel, fuel_typed in FUELS.items():
            typed = {**pair_typed, **fuel_typed, **maps["the other"]}
            alone = build.replace(typed).pull([4000.0, 6000.0])["power"]
            got = grid["power"].sel(pair=pair, fuel=fuel, map="the other").to_numpy()
            np.testing.assert_array_equal(got, alone)
    other = {**PAIRS, "43 to 37": {**PAIRS["43 to 37"], "drive.links.1.speed_ratio": 4.9}}
    with pytest.raises(InputError, match="hold the sweep that is asked for"):
        airchain.sweep(build, {**axes, "pair": other}, ["power"], store=tmp_path / "options.zarr")


CAMS = {"as it is": {}, "later": {"engine.camshaft.intake_centreline": "114 deg"}}


def test_cams_are_solved_by_what_the_build_breathes_by(tmp_path: Path) -> None:
    build = airchain.load(scenario.FILE).level("full")
    axes: dict[str, Any] = {"cam": CAMS, "rpm": [4000.0, 6500.0]}
    cycles = airchain.sweep(build, axes, ["power"], store=tmp_path / "cams.zarr")
    assert cycles.attrs["breathing"] == "the cylinder's cycle, run at every point"
    for name, typed in CAMS.items():
        alone = build.replace(typed).pull(axes["rpm"])["power"]
        np.testing.assert_array_equal(cycles["power"].sel(cam=name).to_numpy(), alone)
    plain = axes_of(build, {"rpm": [4000.0], "drive.drive_ratio": [1.1, 1.2]})
    assert not moves_the_cylinder(build, plain)
    assert moves_the_cylinder(build, axes_of(build, axes))


@pytest.mark.slow
def test_cams_on_a_surface_get_one_each() -> None:
    build = airchain.load(scenario.FILE).level("full")
    axes: dict[str, Any] = {"cam": CAMS, "rpm": [4000.0, 6500.0]}
    cycles = airchain.sweep(build, axes, ["power"])
    surface = airchain.sweep(build.with_surface(), axes, ["power"])
    assert "surface" in surface.attrs["breathing"]
    off = surface["power"].to_numpy() / cycles["power"].to_numpy() - 1.0
    assert 0.0 < np.abs(off).max() < 0.03


def test_what_goes_to_a_cluster_can_be_packed() -> None:
    build = airchain.load(scenario.FILE).level("full")
    grid = grid_of(build, axes_of(build, {"cam": CAMS, "rpm": [5000.0]}), ["power", "status"])
    again = pickle.loads(pickle.dumps(grid))
    block = ((0, 2), (0, 1))
    assert (
        again.solve(block, 1, None)["power"].tobytes()
        == grid.solve(block, 1, None)["power"].tobytes()
    )


@pytest.mark.parametrize(
    ("axis", "message"),
    [
        ({}, r"cam = \[\]|must hold at least one value"),
        ({"a": 5}, "must map each name to the paths it changes"),
        ({"a": {"engine.bor": "4 in"}}, "bor"),
        ({"a": {"level": "fulll"}}, 'level = "fulll"; .*did you mean'),
    ],
)
def test_names_the_bad_option(axis: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError, match=message):
        airchain.sweep(scenario.typed(), {"cam": axis, "rpm": [5000]})
