"""Breathing surfaces against crank-resolved cycles run at states between their nodes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
import cam_engine
import scenario
from airchain import _core
from airchain.base.speeds import RPM
from airchain.chain import Build
from airchain.cylinder import surface as nodes
from airchain.cylinder import surface_cache as breathing
from airchain.cylinder.surface import Group, Nodes
from airchain.cylinder.surface_cache import surface_of

Span = tuple[float, float]


def states(
    build: Build, count: int, seed: int, speeds: Span = (0.25, 1.06), ratios: Span = (0.6, 2.6)
) -> dict[str, Any]:
    """Random states over speed over redline, ratio, temperature and exhaust pressure."""
    rng = np.random.default_rng(seed)
    exhaust = rng.uniform(80e3, 160e3, count)
    return {
        "speed": rng.uniform(*speeds, count) * build.redline,
        "plenum_pressure": rng.uniform(*ratios, count) * exhaust,
        "exhaust_pressure": exhaust,
        "plenum_temperature": rng.uniform(260.0, 400.0, count),
        "half_burned": np.full(count, build.cylinder.setup.burn.half_burned),
    }


def compare(build: Build, points: dict[str, Any]) -> dict[str, Any]:
    """Volumetric efficiency off the cycle's (relative), trapping and pumping (differences)."""
    found = _core.run_cycles(build.cylinder.setup, points)
    assert np.isfinite(found["volumetric_efficiency"]).all()
    surface = surface_of(build.cylinder.setup, build.redline).surface
    ratio = points["plenum_pressure"] / points["exhaust_pressure"]
    at = (points["speed"], ratio, points["plenum_temperature"], points["exhaust_pressure"])
    assert surface.inside(*at).all()
    filling = surface.volumetric_efficiency_at(*at)
    return {
        "filling": np.abs(filling / found["volumetric_efficiency"] - 1.0),
        "trapping": np.abs(surface.trapping_at(*at) - 1.0 + found["scavenging_loss"]),
        "pumping": np.abs(surface.pumping_at(*at) - found["pmep"] / points["plenum_pressure"]),
    }


MAKERS = pytest.mark.parametrize(
    "make", [cam_engine.built, cam_engine.built_v8], ids=["four", "v8"]
)


@MAKERS
def test_part_of_a_surface_is_within_half_a_per_cent(
    make: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    # As close as the whole, where exhaust comes back and waves crowd.
    ratios = (0.73, 0.81, 0.88, 0.94, 1.0, 1.06)
    effect = Group((0.73, 0.81, 0.94, 1.06), 3, 4)
    part = Nodes((Group(ratios, 4, 11),), effect, (0.4, 0.46))
    monkeypatch.setenv("AIRCHAIN_CACHE", str(tmp_path))
    monkeypatch.setattr(breathing, "_made", {})
    monkeypatch.setitem(nodes.NODES, nodes.USUAL, part)
    build = make()
    off = compare(build, states(build, 20, 11, (0.4, 0.46), (0.82, 0.99)))
    assert off["filling"].max() < 5e-3
    assert off["trapping"].max() < 3e-3
    assert off["pumping"].max() < 0.01


def matched_air(build: Build, on_surface: Build, count: int, seed: int) -> Any:
    """Air on the surface over that of the cycles, less 1, at random matched states."""
    rng, off = np.random.default_rng(seed), []
    for _ in range(count):
        weather = {"ambient.temperature": f"{rng.uniform(0.0, 40.0)} degC"}
        level = str(rng.choice(["", *build.levels]))
        rpm = rng.uniform(0.3, 1.0) * build.redline / RPM
        pulls = [one.replace(weather).level(level).pull([rpm]) for one in (build, on_surface)]
        if all(pull.matched.all() for pull in pulls):
            by_cycles, by_surface = (float(pull["air_flow"][0]) for pull in pulls)
            off.append(by_surface / by_cycles - 1.0)
    return np.array(off)


# One answer to one question: a pull straight from the cycles, and one on the surface of them.
@pytest.mark.slow
@pytest.mark.parametrize("name", ["ridge_road", "four"])
def test_a_pull_on_a_surface_is_the_pull_of_its_cycles(name: str, fine_surfaces: None) -> None:
    file = cam_engine.built() if name == "four" else airchain.load(scenario.FILE)
    off = matched_air(file.without_surface(), file.with_surface(), 60, seed=60)
    assert off.size > 50
    assert np.abs(off).max() < 3e-3  # what the surface errs by between its nodes
    assert np.sqrt(np.mean(off**2)) < 1.5e-3


@pytest.mark.slow
@MAKERS
def test_a_surface_is_within_half_a_per_cent_between_its_nodes(
    make: Any, fine_surfaces: None
) -> None:
    off = compare(build := make(), states(build, 50, seed=7))
    assert off["filling"].max() < 5e-3
    assert np.sqrt(np.mean(off["filling"] ** 2)) < 2e-3
    assert off["trapping"].max() < 3e-3
    # Over plenum pressure.
    assert off["pumping"].max() < 0.02
