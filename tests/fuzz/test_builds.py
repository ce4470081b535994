"""Build files and maps changed at random: refused by name, or solved to what is possible."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import seeds
from checks import pull_is_possible, put, refused
from mutator import Mutator
from tally import Tally

import airchain
from airchain import Build, InputError
from airchain.buildfile.map_file import parse_map
from airchain.buildfile.vehicle import Vehicle
from airchain.chain import Pull
from airchain.track import Run
from airchain.track.engine_torque import PullTorque
from airchain.track.gearing import Gearing
from airchain.track.motion import Motion
from airchain.track.tyres import Body

SPEEDS = [2500.0, 4500.0, 6500.0]


def solved(path: Path, outcomes: Counter[str]) -> bool:
    """Load a build, pull it, and look at every point; say whether it loads."""
    build = refused(lambda: airchain.load(path))
    if isinstance(build, InputError):
        outcomes["refused"] += 1
        return False
    assert isinstance(build, airchain.Build)
    outcomes["loaded"] += 1
    for level in [*build.levels][:1] or [""]:
        pull = refused(lambda level=level: build.level(level).pull(SPEEDS))  # type: ignore[misc]
        if isinstance(pull, InputError):
            outcomes["pull refused"] += 1
            continue
        outcomes["matched"] += pull_is_possible(pull)
        outcomes["unsolved"] += int((~pull.matched).sum())
        assert pull.verdict
        assert isinstance(pull.text(), str)
        assert pull._repr_html_()
    return True


def test_changed_build_files(times: int, tally: Tally, tmp_path: Path, root: Path) -> None:
    outcomes: Counter[str] = Counter()
    texts = seeds.builds(root)
    (tmp_path / "one_point_map.csv").write_text(seeds.blower(root))
    count = 110 * times
    for seed in range(count):
        text = texts[seed % len(texts)]
        path = tmp_path / "build.toml"
        put(path, Mutator(seed).build(text))
        try:
            tally.case(solved(path, outcomes))
        except BaseException as error:
            error.add_note(f"build seed {seed}; file kept at {path}")
            raise
    print(dict(outcomes))
    assert outcomes["loaded"] >= count / 2, outcomes
    assert outcomes["matched"] > count / 2, outcomes


def test_changed_vehicles(times: int, tally: Tally, tmp_path: Path, root: Path) -> None:
    outcomes: Counter[str] = Counter()
    text = seeds.road(root)
    start, end = text.index("[vehicle]"), text.index("[report]")
    path = tmp_path / "build.toml"
    path.write_text(text)
    engine = airchain.load(path).naturally_aspirated()
    pull = engine.pull(np.linspace(2400.0, 7600.0, 27))
    count = 40 * times
    for seed in range(count):
        changed = Mutator(seed).build(text[start:end])
        put(path, f"{text[:start]}{changed}\n{text[end:]}")
        try:
            build = refused(lambda: airchain.load(path))
            tally.case(not isinstance(build, InputError))
            if isinstance(build, InputError):
                outcomes["refused"] += 1
            elif build.vehicle is not None:
                outcomes["loaded"] += 1
                driven(build.vehicle, engine, pull, outcomes)
        except BaseException as error:
            error.add_note(f"vehicle seed {seed}; file kept at {path}")
            raise
    print(dict(outcomes))
    assert outcomes["loaded"] >= count / 2, outcomes
    assert outcomes["finished"] > count / 2, outcomes


def driven(vehicle: Vehicle, engine: Build, pull: Pull, outcomes: Counter[str]) -> None:
    """Drive a changed vehicle: every run ends in words, and its work balances."""
    gearing = Gearing(vehicle, vehicle.engine_inertia)
    torque = PullTorque.of(pull, min(vehicle.launch_speed, gearing.held_speed()))
    body = Body.of(vehicle, engine.chain.ambient)
    for managed in (False, True):
        friction = vehicle.surface().low
        motion = Motion(body, gearing, torque, friction, engine.redline, managed)
        run = Run.of("any", motion, vehicle.distance)
        outcomes[run.status] += 1
        assert run.verdict
        assert isinstance(run.text(), str)
        assert all(np.isfinite(values).all() for values in run.columns.values())
        if run.finished:
            spent = sum(value for name, value in run.work.items() if name != "engine")
            assert abs(spent - run.work["engine"]) <= 1e-6 * run.work["engine"]


def test_changed_maps(times: int, tally: Tally, tmp_path: Path, root: Path) -> None:
    text = seeds.blower(root)
    build = (root / "examples" / "one_point.toml").read_text()
    (tmp_path / "build.toml").write_text(build)
    outcomes: Counter[str] = Counter()
    count = 100 * times
    for seed in range(count):
        changed = Mutator(seed).table(text)
        put(tmp_path / "one_point_map.csv", changed)
        try:
            refused(lambda changed=changed: parse_map(changed, "map.csv"))  # type: ignore[misc]
            tally.case(solved(tmp_path / "build.toml", outcomes))
        except BaseException as error:
            error.add_note(f"map seed {seed}")
            raise
    print(dict(outcomes))
    assert outcomes["loaded"] >= count / 2, outcomes
