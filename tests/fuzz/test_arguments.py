"""Arguments of calls drawn at random: refused as bad input, or answered with a status."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from checks import pull_is_possible, refused
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tally import Tally

import airchain
from airchain import InputError, _core
from airchain.sweeps import BestPoints, Even, Normal, Toleranced, best_points, design
from airchain.units.convert import KINDS, to_si
from core_stations import NEEDED

#: What the tally calls them all.
CLASS = "arguments of calls"
ROOT = Path(__file__).resolve().parents[2]
ODD = st.one_of(
    st.floats(),
    st.integers(-(10**30), 10**30),
    st.sampled_from([None, "", "1 in", "nan", True, b"1", 1j, (), [], {}, object(), math.inf,
                     np.float32(0.3), np.array([1.0, 2.0]), np.ma.masked, np.int64(-1)]),
)  # fmt: skip
ROWS = st.one_of(
    ODD,
    st.lists(st.floats(), max_size=4),
    st.lists(st.lists(st.floats(), max_size=3), max_size=3),
    st.lists(ODD, max_size=3),
)
FEW = settings(max_examples=60, derandomize=True, deadline=None, database=None,
               suppress_health_check=list(HealthCheck))  # fmt: skip


@cache
def build() -> airchain.Build:
    """A build that loads at once."""
    return airchain.load(ROOT / "examples" / "one_point.toml")


def answered(act: Callable[[], object]) -> object:
    """As `refused`; a type that is none of a call's own is Python's own to refuse."""
    try:
        return refused(act)
    except TypeError as error:
        text = str(error)
        words = ("incompatible", "argument", "keyword", "must be")
        assert any(word in text for word in words), text
        return error


CLASSES = [
    name
    for name in sorted(NEEDED)
    if isinstance(getattr(_core, name, None), type) and hasattr(getattr(_core, name), "fields")
]


@pytest.mark.parametrize("name", CLASSES)
def test_stations_take_no_nonsense(name: str, times: int, tally: Tally) -> None:
    station = getattr(_core, name)
    rows = station.fields()

    @settings(FEW, max_examples=10 * times)
    @given(st.data())
    def check(data: st.DataObject) -> None:
        field, _, low, high, _ = data.draw(st.sampled_from(rows))
        value = data.draw(ODD)
        key = f"{field}_" if field == "lambda" else field
        made = answered(lambda: station(**{**NEEDED[name], key: value}))
        tally.case(isinstance(made, station))
        if isinstance(made, station):
            kept = getattr(made, key)
            assert not isinstance(kept, float) or low <= kept <= high
            assert eval(repr(kept), {"inf": math.inf}) == kept

    check()


def test_pulls_take_no_nonsense(times: int, tally: Tally) -> None:
    @settings(FEW, max_examples=60 * times)
    @given(ROWS)
    def check(rpm: Any) -> None:
        pull = answered(lambda: build().pull(rpm))
        tally.case(not isinstance(pull, Exception))
        if not isinstance(pull, Exception):
            pull_is_possible(pull)  # type: ignore[arg-type]

    check()


def test_replacements_take_no_nonsense(times: int, tally: Tally) -> None:
    paths = [*build().inputs, "cooler", "engine", "levels.even", "plan", "bypass", "", "a.b", "."]

    @settings(FEW, max_examples=80 * times)
    @given(st.dictionaries(st.sampled_from(paths), ROWS, min_size=1, max_size=2))
    def check(changes: dict[str, Any]) -> None:
        other = answered(lambda: build().replace(changes))
        tally.case(not isinstance(other, Exception))
        if isinstance(other, airchain.Build):
            pull = answered(lambda: other.pull([3000.0, 6000.0]))
            if not isinstance(pull, Exception):
                pull_is_possible(pull)  # type: ignore[arg-type]

    check()


def test_sweeps_take_no_nonsense(times: int, tally: Tally) -> None:
    names = ["rpm", "engine_speed", "level", "cooler.effectiveness", "cooler", "",
             "bypass.opens_at", "drive.drive_ratio", "compressor.efficiency_scale",
             "ambient.temperature"]  # fmt: skip

    @settings(FEW, max_examples=40 * times)
    @given(st.dictionaries(st.sampled_from(names), ROWS, max_size=3), ODD)
    def check(axes: dict[str, Any], threads: Any) -> None:
        axes = {**axes, "rpm": [5000.0]}
        grid = answered(lambda: airchain.sweep(build(), axes, ["power"], threads=threads))
        tally.case(not isinstance(grid, Exception))
        if not isinstance(grid, Exception):
            matched = grid["status"].values == 0  # type: ignore[index]
            assert np.all(np.isfinite(grid["power"].values[matched]))  # type: ignore[index]

    check()


@cache
def grid() -> Any:
    """A small sweep of that build."""
    axes = {"rpm": [3000.0, 5000.0, 7000.0], "level": ["even", "long"],
            "cooler.effectiveness": [0.5, 0.7, 0.9]}  # fmt: skip
    return airchain.sweep(build(), axes, ["power", "boost", "surge_margin"])


def test_best_points_take_no_nonsense(times: int, tally: Tally) -> None:
    names = [
        "power",
        "boost",
        "rpm",
        "level",
        "cooler.effectiveness",
        "status",
        "flags",
        "speed",
        "",
    ]
    pairs = st.one_of(ROWS, st.tuples(ODD, ODD), st.sampled_from(["even", ["even", "long"]]))

    @settings(FEW, max_examples=60 * times)
    @given(st.sampled_from(names), st.dictionaries(st.sampled_from(names), pairs, max_size=2),
           st.one_of(ODD, st.integers(1, 20)), ODD)  # fmt: skip
    def check(name: str, where: dict[str, Any], count: Any, tie: Any) -> None:
        found = answered(lambda: best_points(grid(), name, where, count=count, tie=tie))
        tally.case(not isinstance(found, Exception))
        if isinstance(found, BestPoints):
            assert np.all(np.isfinite(found.values))
            assert found.ties <= max(found.allowed, 0)
            assert found.text()

    check()


def test_designs_take_no_nonsense(times: int, tally: Tally) -> None:
    paths = ["cooler.effectiveness", "engine.bore", "rpm", "ambient.temperature", "level", "x"]
    typed = st.one_of(ODD, st.sampled_from(["0.7", "50 degF", "4.5 in", "0.01 in", "5 K", "10 kg"]))
    scatter = st.builds(lambda kind, a, b: kind(a, b),
                        st.sampled_from([Even, Normal, Toleranced]), typed, typed)  # fmt: skip

    @settings(FEW, max_examples=20 * times)
    @given(st.dictionaries(st.sampled_from(paths), st.one_of(ODD, scatter), max_size=2),
           st.one_of(ODD, st.just(4)))  # fmt: skip
    def check(inputs: dict[str, Any], count: Any) -> None:
        drawn = answered(lambda: design(inputs, count))
        tally.case(not isinstance(drawn, Exception))
        if isinstance(drawn, Exception):
            return
        axes = {"sample": drawn, "rpm": [5000.0]}
        found = answered(lambda: airchain.sweep(build(), axes, ["power"]))  # type: ignore[dict-item]
        if not isinstance(found, Exception):
            matched = found["status"].values == 0  # type: ignore[index]
            assert np.all(np.isfinite(found["power"].values[matched]))  # type: ignore[index]

    check()


def test_engine_states_and_shut_throttles_take_no_nonsense(times: int, tally: Tally) -> None:
    @settings(FEW, max_examples=40 * times)
    @given(ROWS, ROWS, ROWS, ODD)
    def check(speed: Any, pressure: Any, temperature: Any, factor: Any) -> None:
        chain = build().chain
        states = answered(lambda: _core.engine_states(chain, speed, pressure, temperature))
        tally.case(isinstance(states, dict))
        if isinstance(states, dict):
            matched = states["status"] == 0
            assert np.all(np.isfinite(states["air_flow"]) == matched)
        there = chain.replace(operation=_core.Operation(engine_speed=600.0))
        how = _core.LiftOff(volume=0.01, plenum_volume=0.006, length=1.0, flow_area=0.005)
        lift = answered(
            lambda: _core.lift_off(there, how.replace(volume=factor), _core.ReliefValve())
        )
        assert not isinstance(lift, dict) or math.isfinite(lift["lowest_share"]) == (
            lift["status"] == "matched"
        )

    check()


def test_units_take_no_nonsense(times: int, tally: Tally) -> None:
    units = st.text(alphabet="mink psdegKCF/*^()%0123456789.µ²_-", max_size=12)

    @settings(FEW, max_examples=150 * times)
    @given(st.one_of(ODD, units, st.builds("{} {}".format, st.floats(), units)),
           st.sampled_from(sorted(KINDS)))  # fmt: skip
    def check(typed: Any, kind: str) -> None:
        value = answered(lambda: to_si(typed, kind, field="x"))
        tally.case(not isinstance(value, Exception))
        assert isinstance(value, InputError | TypeError) or math.isfinite(value)  # type: ignore[arg-type]

    check()
