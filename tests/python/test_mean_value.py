"""The mean-value cylinder beside the cycles of engines that its constants were not fitted to."""

from __future__ import annotations

import numpy as np
import pytest

import engine_family
from airchain import _core
from engine_family import Array

#: Engines that no constant has seen: the fit has those below 1000.
HELD_OUT = range(1000, 1012)
R_AIR = 287.05


def typed(engine: engine_family.Engine, d: dict[str, Array]) -> dict[str, Array]:
    """What an engine of that size makes of the cycle's own volumetric efficiency."""
    size = _core.Engine(
        displacement=0.25 * np.pi * engine.bore**2 * engine.stroke,
        stroke=engine.stroke,
        compression_ratio=engine.compression,
        speed_limit=engine.build.redline,
    )
    density = d["plenum_pressure"] / (R_AIR * d["plenum_temperature"])
    state = (d["compression"], d["lambda"], d["oxygen_ratio"], density,
             engine.stroke * d["speed"] / np.pi, d["half_burned"])  # fmt: skip
    burn = _core.Combustion()
    heat = d["gross"] / d["work"]
    return {
        "gross": heat * np.asarray(burn.indicated_efficiency(*state)),
        "wall_heat": np.asarray(burn.wall_heat(*state)),
        "pumping": np.asarray(
            size.pumping_pressure(
                d["exhaust_pressure"], d["plenum_pressure"], density, d["speed"],
                d["volumetric_efficiency"],
            )
        ),
    }  # fmt: skip


def off_the_cycle(seed: int) -> dict[str, Array]:
    """How far each quantity is off, state by state."""
    engine = engine_family.draw(seed)
    d = engine_family.run(engine, seed)
    found = typed(engine, d)
    return {
        "net_work": (found["gross"] - found["pumping"]) / (d["gross"] - d["pmep"]) - 1.0,
        "pumping": (found["pumping"] - d["pmep"]) / d["gross"],
        "wall_heat": found["wall_heat"] / d["wall_heat"] - 1.0,
    }


# Every quantity of every state is judged by itself, with the doubts that the core states.
@pytest.mark.slow
def test_a_typed_engine_agrees_with_cycles_it_has_not_seen() -> None:
    near: dict[str, list[Array]] = {}
    for seed in HELD_OUT:
        for name, off in off_the_cycle(seed).items():
            usual, most = _core.MEAN_VALUE_DOUBTS[name]
            print(seed, name, float(np.abs(off).max()))
            assert np.abs(off).max() < most, (name, seed)
            near.setdefault(name, []).append(np.abs(off) < usual)
    for name, parts in near.items():
        assert np.concatenate(parts).mean() > 0.93, name
