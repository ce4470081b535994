"""Many camshafts in the car, each at its own boost."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import scenario
from airchain import InputError, _core
from airchain.sweeps import CamPulls, open_sweep

SPEEDS = [3500.0, 5500.0, 7300.0]


@pytest.fixture(scope="module")
def cams() -> CamPulls:
    return airchain.cam_sweep(
        airchain.load(scenario.FILE), SPEEDS, duration=["222 deg", "244 deg"],
        lobe_separation=["108 deg", "116 deg"],
    )  # fmt: skip


def test_each_point_is_the_pull_of_the_build_with_that_cam(cams: CamPulls) -> None:
    assert cams.levels == ("naturally aspirated", "tame", "middle", "full")
    assert cams.cams[1] == "duration 222 deg, lobe separation 116 deg"
    assert cams.of_cam("power").shape == (4, 4, 3)
    by_hand = cams.build.replace(
        {
            "engine.camshaft.intake.duration": "222 deg",
            "engine.camshaft.intake.seat_duration": "268 deg",
            "engine.camshaft.exhaust.duration": "234 deg",
            "engine.camshaft.exhaust.seat_duration": "282 deg",
            "engine.camshaft.lobe_separation": "116 deg",
        }
    )
    pull = by_hand.level("full").pull(SPEEDS)
    # An angle that is rounded otherwise moves a step of the cycle by a hair.
    assert cams["full"][cams.cams[1]]["power"] == pytest.approx(pull["power"], rel=1e-5)
    assert cams.builds[cams.cams[1]].level("full").pull(SPEEDS)["power"] == pytest.approx(
        cams["full"][cams.cams[1]]["power"], rel=0.0, abs=0.0
    )


def test_every_cam_finds_its_own_boost(cams: CamPulls) -> None:
    boost, air = cams.of_cam("boost")[:, 1:, -1], cams.of_cam("air_flow")[:, 1:, -1]
    for level in range(boost.shape[1]):
        # On one speed line of a compressor more flow is less pressure.
        assert list(np.argsort(boost[:, level])) == list(np.argsort(-air[:, level]))
    assert float(np.ptp(boost[:, -1])) > 1000.0


def test_it_stands_on_cycles_whatever_the_build_breathes_by() -> None:
    build = airchain.load(scenario.FILE)
    swept = airchain.cam_sweep(build, [5500.0], ["full"], centreline="110 deg")
    again = airchain.cam_sweep(
        build.with_surface(), [5500.0], "full", centreline=["110 deg", "106 deg"], threads=1
    )
    assert again.build.breathes_by_cycles
    first = again["full"][again.cams[0]]["power"][0]
    assert first == swept["full"][swept.cams[0]]["power"][0]


def test_reads_and_draws(cams: CamPulls) -> None:
    assert cams.verdict.startswith("Ridge Road: 4 camshafts at 4 levels. ")
    assert "Least knock margin est. " in cams.verdict
    text = cams.text()
    row = next(line for line in text.splitlines() if line.startswith("full"))
    step = airchain.ladder(cams.builds[cams.cams[0]], SPEEDS)["full"]
    assert row.endswith(f"{step.knock_margin}")
    assert step.margin("surge_margin") in row
    assert "duration 244 deg, lobe separation 108 deg" in text
    assert "finds its own boost" in text
    figure = cams.plot(columns=["boost", "torque"], levels=["tame", "full"])
    assert len(figure.axes) == 4
    with pytest.raises(InputError, match='level = "wild"; must be one of naturally aspirated'):
        cams.plot(levels=["wild"])


def test_tells_progress_over_all_points() -> None:
    told: list[tuple[int, int]] = []
    airchain.cam_sweep(
        airchain.load(scenario.FILE), [4000.0, 6000.0], ["tame", "full"],
        lobe_separation=["110 deg", "112 deg", "114 deg"], progress=lambda *n: told.append(n),
    )  # fmt: skip
    assert list(dict.fromkeys(told)) == [(4, 12), (8, 12), (12, 12)]


def test_an_interrupt_ends_all_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    heard: list[int] = []

    def stop(done: int, total: int) -> None:
        heard.append(done)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        airchain.cam_sweep(
            airchain.load(scenario.FILE), [4000.0], ["tame"], progress=stop, threads=2,
            lobe_separation=[f"{s} deg" for s in np.linspace(108.0, 116.0, 12)],
        )  # fmt: skip
    assert heard == [1]


def test_a_folder_keeps_camshafts_and_goes_on(tmp_path: Path) -> None:
    build = airchain.load(scenario.FILE)

    def swept(**more: Any) -> CamPulls:
        return airchain.cam_sweep(
            build, SPEEDS, ["tame", "full"], centreline=["104 deg", "110 deg"], **more
        )

    folder = tmp_path / "cams.zarr"
    kept, here = swept(store=folder), swept()
    assert kept.cams == here.cams
    for name in here["full"][here.cams[0]].columns:
        np.testing.assert_array_equal(kept.of_cam(name), here.of_cam(name))
    again = swept(store=folder, progress=lambda *_: pytest.fail("solved again"))
    np.testing.assert_array_equal(again.of_cam("power"), here.of_cam("power"))
    grid = open_sweep(folder)
    assert grid["power"].dims == ("camshaft", "level", "rpm")
    assert grid.attrs["breathing"] == "the cylinder's cycle, run at every point"
    with pytest.raises(InputError, match="hold the sweep that is asked for"):
        airchain.cam_sweep(build, SPEEDS, ["full"], centreline="110 deg", store=folder)


BAD: dict[str, tuple[dict[str, Any], str]] = {
    "nothing": ({}, "cam_sweep: axes = none; must be at least one of duration"),
    "level": (
        {"levels": ["fulll"], "duration": "230 deg"},
        'cam_sweep: levels = "fulll"; must be one of .*did you mean',
    ),
    "no level": ({"levels": [], "duration": "230 deg"}, r"levels = \[\]; must name at least one"),
    "lift beyond the bench": (
        {"lobe_lift": "0.6 in"},
        "cam_sweep: lobe lift 0.600 in: Cam: intake.duration = .*durations and lift must go",
    ),
    "events": ({"lobe_separation": "60 deg"}, "cam_sweep: lobe separation 60 deg: "),
    "no unit in a text": (
        {"duration": "230"},
        '^cam_sweep: duration = "230"; must have a unit, such as "230 deg"$',
    ),
    "no unit": (
        {"duration": 230},
        '^cam_sweep: duration = 230; must have a unit, such as "230 deg"$',
    ),
    "no unit in a row": (
        {"lobe_separation": [110, 114]},
        r'^cam_sweep: lobe_separation \(1\) = 110; must have a unit, such as "110 deg"$',
    ),
    "no unit of a lift": (
        {"lobe_lift": 0.36},
        'lobe_lift = 0.36; must have a unit, such as "0.36 in"',
    ),
    "speed": ({"rpm": [-3.0], "duration": "230 deg"}, "cam_sweep"),
    "too many": (
        {"centreline": [f"{d} deg" for d in np.linspace(100, 112, 30_000)]},
        "points; must make at most 200,000",
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_names_the_bad_sweep(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_core, "solve_chains", None)  # before any work
    given, message = BAD[name]
    with pytest.raises(InputError, match=message):
        airchain.cam_sweep(airchain.load(scenario.FILE), **given)


def test_names_a_build_without_cams_and_chains_without_cylinder() -> None:
    with pytest.raises(InputError, match=r"must have a table \[engine.camshaft\]|camshaft"):
        airchain.cam_sweep(scenario.typed(), duration="230 deg")
    with pytest.raises(InputError, match="a chain without a cylinder"):
        _core.solve_chains([scenario.typed().chain], [500.0])
