"""A build file and `CrankEngine` make the same cylinder of the same tables, to the last bit."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import airchain
import cam_engine
from airchain import _core
from airchain.buildfile import stations
from airchain.buildfile.source import Source
from airchain.buildfile.toml_lines import TomlFile
from airchain.cylinder import keys
from airchain.cylinder.parts import Cylinder
from airchain.typed.keys import Keys

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "tests" / "python" / "data"
FUEL = {"name": "gasoline_premium", "lambda": 0.85}
#: Tables of an engine, the keys of each, and the core's classes that its numbers belong to.
TABLES: dict[tuple[str, ...], tuple[Keys, tuple[Any, ...]]] = {
    ("engine",): (keys.CYLINDER, (_core.Crank, _core.Engine, _core.ChargeMixture)),
    ("engine", "camshaft"): (keys.CAMSHAFT, (_core.Camshaft,)),
    ("engine", "camshaft", "intake"): (keys.LOBE, (_core.Lobe,)),
    ("engine", "camshaft", "exhaust"): (keys.LOBE, (_core.Lobe,)),
    ("engine", "intake_port"): (keys.PORT, (_core.FlowBench,)),
    ("engine", "exhaust_port"): (keys.PORT, (_core.FlowBench,)),
    ("engine", "runner"): (keys.PIPE, (_core.Pipe, _core.Runner)),
    ("engine", "primary"): (keys.PIPE, (_core.Pipe, _core.Runner)),
    ("engine", "plenum"): (keys.PLENUM, (_core.EngineRoom, _core.Pipe, _core.Runner)),
    ("engine", "collectors"): (keys.COLLECTORS, (_core.EngineRoom, _core.Pipe, _core.Runner)),
    ("engine", "burn"): (keys.BURN, (_core.Burn,)),
    ("engine", "heat_loss"): (keys.HEAT_LOSS, (_core.HeatLoss,)),
    ("fuel",): (keys.FUEL, (_core.Fuel, _core.Injection)),
}
#: What a key is typed as where no engine has it.
VALUES = {
    "place": "plenum",
    "convention": "compressible",
    "piston_gap": "0.5 in",
    "valves": 1,
    "cells": 23,
    "humidity_ratio": 0.012,
    "mixture_unevenness": 0.03,
    "end_correction": 0.82,
    "evaporated_fraction": 0.4,
    "temperature": "25 degC",
    "pressure": "99 kPa",
    "wall_temperature": "480 K",
    "friction_factor": 0.005,
    "crank": "crossplane",
    "merge_length": "150 mm",
}
#: Keys of how the cylinders stand together, which mean nothing each by itself.
TOGETHER = {
    "firing_order": [1, 3, 4, 2],
    "throws": ["0 deg", "180 deg", "180 deg", "0 deg"],
    "crank": "flat",
    "banks": [[1, 2], [3, 4]],
    "bank_angle": "180 deg",
    "runner_lengths": ["300 mm", "310 mm", "310 mm", "300 mm"],
    "primary_lengths": ["700 mm", "710 mm", "710 mm", "700 mm"],
    "runner_diameters": ["40 mm", "41 mm", "41 mm", "40 mm"],
    "primary_diameters": ["38 mm", "39 mm", "39 mm", "38 mm"],
    "throttle": {"diameter": "45 mm", "count": 4, "discharge_coefficient": 0.85, "opening": 0.7},
    "secondaries": {
        "pairs": [[1, 4], [2, 3]],
        "volume": "0.2 L",
        "length": ["0.3 m", "0.4 m"],
        "diameter": "48 mm",
        "outer_diameter": "50 mm",
        "cells": 7,
        "friction_factor": 0.007,
    },
    "primaries": [[1, 4], [2, 3]],
}


def _tables(name: str) -> dict[str, Any]:
    if name == "four":
        return tomllib.loads(cam_engine.CAMS)
    if name == "blown_cams":
        return {**tomllib.loads((DATA / "blown_cams.toml").read_text()), "fuel": FUEL}
    return tomllib.loads((ROOT / "demo" / "ridge_road.toml").read_text())


ENGINES = ("ridge_road", "blown_cams", "four")


def by_file(data: dict[str, Any]) -> Cylinder:
    """The cylinder as a build file makes it."""
    source = Source(TomlFile("build.toml", data, {}))
    made = source.whole(lambda: stations.engine(source, stations.fuel(source)))
    assert made.cylinder is not None
    return made.cylinder


def by_arguments(data: dict[str, Any]) -> airchain.CrankEngine:
    """The engine as Python makes it of the same tables."""
    typed = {k: v for k, v in data["engine"].items() if not k.startswith("breathing")}
    return airchain.CrankEngine(**typed, fuel=data["fuel"])


@cache
def plain_one(engine: str) -> Cylinder:
    """An engine as its tables stand."""
    return by_file(_tables(engine))


def same(data: dict[str, Any]) -> Cylinder:
    """Both are equal in every number; the cylinder that the file makes."""
    return equal(by_file(data), by_arguments(data))


def equal(one: Cylinder, other: airchain.CrankEngine) -> Cylinder:
    """A file's cylinder and an engine of arguments are equal in every number."""
    assert repr(one.setup) == repr(other.setup)
    assert one.setup == other.setup
    assert repr(one.size) == repr(other.engine)
    assert one.clearances == other.clearances
    assert one.fuel_name == other.fuel_name
    assert one.layout == other.layout
    again = airchain.CrankEngine(**one.typed)
    assert again.fingerprint == other.fingerprint
    return one


def _table(data: dict[str, Any], path: tuple[str, ...]) -> dict[str, Any]:
    for name in path:
        data = data.setdefault(name, {})
    return data


def _default(name: str, keys_of: Keys, classes: tuple[Any, ...], cylinder: Cylinder) -> Any:
    """A value a little off what the engine has by default, as a file may type it."""
    if name in VALUES:
        return VALUES[name]
    key = keys_of[name]
    for station in classes:
        for field, unit, low, high, _ in station.fields():
            if field == key.field:
                parts = (cylinder.setup.burn, cylinder.setup.heat_loss, cylinder.size,
                         cylinder.setup.mixture.fuel)  # fmt: skip
                usual = next((getattr(p, field) for p in parts if hasattr(p, field)), None)
                value = 1.01 * usual if usual else low + 0.1 * (high - low)
                value = min(max(value, low), high) / key.factor
                return value if unit == "1" else f"{value!r} {unit}"
    return None


def _cases() -> Iterator[Any]:
    """Every key of every engine; quick are the first engine that has it and the first without."""
    met = set()
    for engine in ENGINES:
        tables = _tables(engine)
        for path, (known, _) in TABLES.items():
            for name, key in known.items():
                if key.kind not in ("table", "tables"):
                    case = (path, name, name in _table(tables, path))
                    marks = [pytest.mark.slow] if case in met else []
                    met.add(case)
                    yield pytest.param(engine, path, name, marks=marks)


@pytest.mark.parametrize("engine", ENGINES)
def test_the_same_tables_make_the_same_cylinder(engine: str) -> None:
    same(_tables(engine))


@pytest.mark.parametrize(("engine", "path", "name"), list(_cases()))
def test_every_key_means_the_same_typed_or_left_out(
    engine: str, path: tuple[str, ...], name: str
) -> None:
    data = copy.deepcopy(_tables(engine))
    plain = plain_one(engine)
    table = _table(data, path)
    if name in table:
        table.pop(name)
        made = made_by_both(data)
        if made:
            equal(*made)
        return
    if name in ("lift_file", "at"):
        return  # test_a_lift_file_means_the_same
    if name in TOGETHER or path[-1] in ("plenum", "collectors"):
        return  # test_a_layout_means_the_same
    if name in ("least_clearance", "inclination"):
        table |= {"piston_gap": "0.6 in", name: {"inclination": "9 deg"}.get(name, "2.2 mm")}
    elif name == "lash":
        table["lash"] = "0.2 mm"
    elif name == "seat_lift":
        table["seat_lift"] = "0.15 mm"
    else:
        table[name] = _default(name, *TABLES[path], plain)
    assert table[name] is not None, name
    changed = same(data)
    told = (changed.setup, changed.size, changed.clearances)
    moved = repr(told) != repr((plain.setup, plain.size, plain.clearances))
    # Place and temperature of the injection matter to a chain only; one valve is the default.
    idle = (*path, name) in (("fuel", "place"), ("fuel", "temperature")) or name == "valves"
    assert moved or idle, "the key changed nothing"


def made_by_both(data: dict[str, Any]) -> tuple[Cylinder, airchain.CrankEngine] | None:
    """What both make of the tables, or None where both refuse them for the same key."""
    try:
        one = by_file(data)
    except airchain.InputError as error:
        told = str(error)
    else:
        return one, by_arguments(data)
    with pytest.raises((airchain.InputError, TypeError)) as other:
        by_arguments(data)
    if isinstance(other.value, airchain.InputError):
        rules = [[line.partition(" = ")[2] for line in text.split("\n")]
                 for text in (told, str(other.value))]  # fmt: skip
        assert rules[0] == rules[1]
    return None


@pytest.mark.parametrize("path", [("engine", "plenum"), ("engine", "collectors")])
def test_a_layout_means_the_same(path: tuple[str, ...]) -> None:
    data = _tables("four")
    table = data["engine"]
    table["firing_order"] = TOGETHER["firing_order"]
    rooms = table[path[-1]] = {"volume": "2 L"}
    plain = by_file(data)
    assert plain.layout is not None
    told = {repr(plain.layout)}
    for name in TABLES[path][0]:
        rooms |= {"length": "0.4 m", "diameter": "60 mm"}
        rooms.pop("throttle", None)
        if name == "throttle":
            rooms = table[path[-1]] = {"volume": "2 L"}
        rooms.pop("merge_length", None)
        if name == "merge_length":
            rooms.pop("volume")
        rooms[name] = TOGETHER.get(name) or _default(name, TABLES[path][0], TABLES[path][1], plain)
        assert rooms[name] is not None, name
        told.add(repr(same(data).layout))
        rooms.setdefault("volume", "2 L")
    assert len(told) > len(TABLES[path][0]) - 2, "a key changed nothing"
    for more in ({"crank": "flat"}, {"throws": TOGETHER["throws"]}):
        same({**data, "engine": {**table, **more}})
    wrong = {"crank": "flat", "firing_order": [1, 4, 2, 3]}
    assert made_by_both({**data, "engine": {**table, **wrong}}) is None


@pytest.mark.parametrize("at", ["valve", "tappet"])
def test_a_lift_file_means_the_same(
    at: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = _tables("four")
    cam = by_file(data).cam
    curve = cam.curve("intake")
    step = (curve.closing - curve.opening) / 160
    angles = [curve.opening + i * step for i in range(161)]
    rows = [f"{a!r}, {max(float(curve.at(a)), 0.0)!r}" for a in angles]
    (tmp_path / "lobe.csv").write_text("\n".join(["angle [rad], lift [m]", *rows]))
    monkeypatch.chdir(tmp_path)
    lobe = {"lift_file": "lobe.csv", "at": at, "rocker_ratio": 1.05}
    data["engine"]["camshaft"]["intake"] = lobe | ({"lash": "0.1 mm"} if at == "tappet" else {})
    same(data)
    assert by_file(data).cam.curve("intake").highest == pytest.approx(
        curve.highest if at == "valve" else 1.05 * curve.highest - 1e-4, rel=1e-3
    )


def test_a_valve_too_near_the_piston_is_refused_by_the_file_too() -> None:
    data = _tables("ridge_road")
    data["engine"]["intake_port"]["piston_gap"] = "0.20 in"
    with pytest.raises(airchain.InputError, match=r"build.toml:1: engine.intake_port.piston_gap ="):
        by_file(data)
    assert made_by_both(data) is None
