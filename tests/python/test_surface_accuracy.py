"""Breathing surfaces against crank-resolved cycles run at states between their nodes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import cam_engine
from airchain import _core
from airchain.breathing import surface_of
from airchain.buildfile import Build


def states(build: Build, count: int, seed: int, lowest: float = 0.25) -> dict[str, Any]:
    """Random states over all that a surface spans, exhaust pressure too."""
    rng = np.random.default_rng(seed)
    exhaust = rng.uniform(80e3, 160e3, count)
    return {
        "speed": rng.uniform(lowest, 1.06, count) * build.redline,
        "plenum_pressure": rng.uniform(0.6, 2.6, count) * exhaust,
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


@pytest.mark.slow
@pytest.mark.parametrize("make", [cam_engine.built, cam_engine.built_v8], ids=["four", "v8"])
def test_a_surface_is_within_half_a_per_cent_between_its_nodes(make: Any) -> None:
    off = compare(build := make(), states(build, 50, seed=7))
    assert off["filling"].max() < 5e-3
    assert np.sqrt(np.mean(off["filling"] ** 2)) < 2e-3
    assert off["trapping"].max() < 3e-3
    # Over plenum pressure; some 1.5 kPa rms at 100 kPa would be 0.015.
    assert off["pumping"].max() < 0.02
