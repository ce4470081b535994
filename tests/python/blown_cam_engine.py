"""The demo's invented blower on an invented engine, with cams or with typed breathing."""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any
from unittest import mock

import airchain
import scenario
from airchain.chain import parse_build
from airchain.cylinder import surface
from airchain.cylinder.surface import Group, Nodes

DATA = Path(__file__).with_name("data")
_ENGINE = re.compile(r"^\[engine\]\n.*?(?=^\[combustion\])", re.MULTILINE | re.DOTALL)
#: Targets that this engine reaches with the demo's gear pairs, less spark, and room for torque.
CHANGES = {
    "plan.levels.tame.power": "680 hp",
    "plan.levels.middle.power": "860 hp",
    "plan.levels.full.power": "995 hp",
    "plan.limits.torque.most": "1300 lb ft",
    "plan.limits.knock": None,
    "plan.cylinders.worst_cylinder": 1.04,
    "combustion.phasing_retard": "0.09 deg/kPa",
    "engine.breathing": "surface",
}


def text(engine: str) -> str:
    """The build file: the demo's, with another file's [engine]."""
    demo = scenario.FILE.read_text(encoding="utf-8")
    assert len(_ENGINE.findall(demo)) == 1
    other = (DATA / engine).read_text(encoding="utf-8")
    return _ENGINE.sub(lambda _: other + "\n", demo)


@contextmanager
def few_nodes() -> Iterator[None]:
    """Surfaces that are made within stand on few nodes: quick, and good enough for a test."""
    groups = (Group((0.7, 0.95, 1.3, 1.8, 2.4), 3, 12),)
    few = Nodes(
        groups, Group((0.8, 1.4), 2, 2), (Group((0.8, 1.4), 1, 2),), (0.3, 1.06), ((0.7, 1.2),)
    )
    with mock.patch.dict(surface.NODES, {surface.USUAL: few}):
        yield


@cache
def _plain() -> airchain.Build:
    with few_nodes():
        return parse_build(text("blown_cams.toml"), "blown").replace(CHANGES)


def built(changes: Mapping[str, Any] | None = None) -> airchain.Build:
    """With cams, and other values typed."""
    if not changes:
        return _plain()
    with few_nodes():
        return _plain().replace(changes)


#: A firing order, plenum and collectors, and pipes of few cells: quick, and coarse.
EIGHT: dict[str, Any] = {
    "plan.cylinders.worst_cylinder": None,
    "engine.firing_order": [1, 8, 4, 3, 6, 5, 7, 2],
    "engine.crank": "crossplane",
    "engine.banks": [[1, 3, 5, 7], [2, 4, 6, 8]],
    "engine.plenum.volume": "6.5 L",
    "engine.collectors": {
        "merge_length": "6 in",
        "length": "18 in",
        "diameter": "3.5 in",
        "cells": 8,
    },
    "engine.runner.cells": 8,
    "engine.primary.cells": 8,
}


@cache
def eight() -> airchain.Build:
    """With cams, and geometry that tells its cylinders apart."""
    return built(EIGHT)


@cache
def typed() -> airchain.Build:
    """With a table of volumetric efficiency."""
    targets = {"tame": "700 hp", "middle": "885 hp", "full": "1000 hp"}
    changes: dict[str, Any] = {f"plan.levels.{n}.power": v for n, v in targets.items()}
    changes |= {"plan.limits.knock": None, "plan.cylinders.worst_cylinder": 1.04}
    changes["engine.valve_loss"] = 77.0  # as its cycles have it at all loads
    typed = re.sub(r"(?m)^work_scale\b.*$", "quality = 0.86", text("blown_typed.toml"))
    return parse_build(typed, "typed").replace(changes)
