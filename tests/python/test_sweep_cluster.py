"""Sweeps on a cluster: the same bits as on one machine, also where a worker dies in the middle."""

import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import scenario
from airchain import InputError
from airchain.sweeps import CamPulls, cluster
from airchain.sweeps import grid as grids

distributed = pytest.importorskip("distributed")

ROOT = Path(__file__).resolve().parents[2]
AXES: dict[str, Any] = {
    "ambient.temperature": np.linspace(270.0, 310.0, 60),
    "level": ["even", "long"],
    "rpm": np.linspace(2500.0, 7500.0, 200),
}
COLUMNS = ["power", "boost"]


@pytest.fixture(scope="module")
def client() -> Iterator[Any]:
    """Two processes of one thread each."""
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as local,
        distributed.Client(local) as one,
    ):
        yield one


@pytest.fixture
def build(monkeypatch: pytest.MonkeyPatch) -> airchain.Build:
    monkeypatch.setattr(grids, "TILE", 500)
    return airchain.load(ROOT / "examples" / "one_point.toml")


def test_the_same_bits_as_here(client: Any, build: airchain.Build, tmp_path: Path) -> None:
    here = airchain.sweep(build, AXES, COLUMNS)
    assert airchain.sweep(build, AXES, COLUMNS, client=client).identical(here)
    kept = airchain.sweep(build, AXES, COLUMNS, client=client, store=tmp_path / "grid.zarr")
    assert kept.load().identical(here)


def test_a_worker_that_is_killed_costs_no_point(
    client: Any, build: airchain.Build, tmp_path: Path
) -> None:
    processes = client.run(os.getpid)
    killed: list[int] = []

    def kill(done: int, total: int) -> None:
        if not killed and done > total // 4:
            killed.append(next(iter(processes.values())))
            os.kill(killed[0], signal.SIGKILL)

    folder = tmp_path / "grid.zarr"
    kept = airchain.sweep(build, AXES, COLUMNS, client=client, store=folder, progress=kill)
    assert killed
    assert kept.load().identical(airchain.sweep(build, AXES, COLUMNS))


@pytest.fixture
def swept() -> Callable[..., CamPulls]:
    """A sweep over three camshafts of the demo's engine."""
    build = airchain.load(scenario.FILE)

    def sweep(**more: Any) -> CamPulls:
        return airchain.cam_sweep(
            build, [3500.0, 5500.0], ["tame", "full"],
            centreline=["104 deg", "107 deg", "110 deg"], **more,
        )  # fmt: skip

    return sweep


def test_camshafts_have_the_same_bits_as_here(
    client: Any, swept: Callable[..., CamPulls], tmp_path: Path
) -> None:
    here, there = swept(), swept(client=client)
    kept = swept(client=client, store=tmp_path / "cams.zarr")
    assert there.cams == kept.cams == here.cams
    for name in here["full"][here.cams[0]].columns:
        np.testing.assert_array_equal(there.of_cam(name), here.of_cam(name))
        np.testing.assert_array_equal(kept.of_cam(name), here.of_cam(name))


def test_camshafts_outlive_a_worker(client: Any, swept: Callable[..., CamPulls]) -> None:
    killed: list[int] = []

    def kill(done: int, total: int) -> None:
        if not killed and 0 < done < total:
            killed.append(next(iter(client.run(os.getpid).values())))
            os.kill(killed[0], signal.SIGKILL)

    there = swept(client=client, progress=kill)
    assert killed
    np.testing.assert_array_equal(there.of_cam("power"), swept().of_cam("power"))


def test_another_airchain_on_a_worker_is_refused(
    client: Any, build: airchain.Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "code_digest", lambda: "0.0.1 another core")
    with pytest.raises(InputError, match="the same airchain on every worker as here"):
        airchain.sweep(build, AXES, COLUMNS, client=client)


def test_names_what_is_no_client(build: airchain.Build) -> None:
    with pytest.raises(InputError, match=r"client = .*must be a dask\.distributed\.Client"):
        airchain.sweep(build, AXES, client="tcp://nowhere:8786")
    with pytest.raises(InputError, match=r"^cam_sweep: client = .*must be a dask"):
        airchain.cam_sweep(airchain.load(scenario.FILE), duration="230 deg", client=2)
