"""Burn phasing, ignition and knock over a calibration's cells, of engines with cams.

What the calibration fixes is the crank angle at which half the charge has burned. Two tables follow
from the crank-resolved cycle:

- knock margin: that angle less the one at the onset of knock in the worst cylinder, which has the
  mean's fuel, as a plan searches it;
- ignition: the start of the burn law that puts half burned there, before top centre. It is computed
  (Wiebe's slow first part stands for the growth of the flame), not measured; a delay between spark
  and flame comes on top of it.

Both are found at nodes and straight between them, in engine speed and in the logarithm of pressure.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.progress import Progress, relay, telling
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.matched_cycles import matched_points
from ..chain.pull import Pull
from ..cylinder.knock_words import BEST_TORQUE, DOUBT
from ..cylinder.spark_searches import EARLIEST, bounds_of, margin_of, searched
from ..cylinder.spread import HELD, told_apart
from ..plan.knock import searched_worst, words_of
from ..plan.reading import cylinders_of
from ._surface import answered
from ._words import SPARK_CELLS, WARMER

Array = NDArray[np.float64]
#: Nodes are the multiples of these, engine speed [rpm] and pressure [Pa]: the same whatever the
#: axes, so that another calibration need not search them again.
_SPEED, _PRESSURE = 1000.0, 40e3
#: Engine speeds of a level that are searched.
_OF_LEVEL = 9
#: Plenum temperatures from that of the tables, at which the trim is found [K].
_WARMER = (-20.0, 0.0, 20.0, 40.0)
_TRIM_SPEEDS = 3


class LevelSpark(NamedTuple):
    """One level along its pull: angles [rad] at engine speeds [rpm]."""

    rpm: Array
    margin: Array  # of the worst cylinder
    advance: Array  # computed start of the burn before top centre, mean cylinder
    best: Array  # half burned at greatest torque
    torque_left: Array  # greatest indicated work over the level's own, less 1


@dataclass(frozen=True, eq=False)
class Spark:
    """Ignition and knock over a calibration's cells, and along its levels.

    Attributes
    ----------
    margin : ndarray
        Knock margin of the worst cylinder [rad], rows over pressure, columns over engine speed;
        NaN where a search did not settle.
    advance : ndarray
        Computed start of the burn before top centre [rad], mean cylinder.
    bound : ndarray
        Where no knock was found at the earliest phasing tried: the margin is at least that.
    levels : mapping
        Each level along its pull.
    temperature, later : ndarray
        Plenum temperatures [K], and how much later than in the tables knock asks half burned to be
        there [rad], along the highest level.
    doubt : float
        Of a knock limit, either way [rad].
    notes : list of str
        What the tables are worth.
    """

    margin: Array
    advance: Array
    bound: NDArray[np.bool_]
    levels: Mapping[str, LevelSpark]
    temperature: Array
    later: Array
    doubt: float
    notes: list[str]

    @classmethod
    def of(cls, base: Build, pulls: Mapping[str, Pull], rpm: Array, pressure: Array,
           reference: float, lambda_target: Array,
           step: Callable[[], None] = lambda: None) -> Spark:  # fmt: skip
        """Search the cells of a calibration and the levels; `step` is called after each part."""
        solved = {name: pull for name, pull in pulls.items() if np.any(pull.matched)}
        nodes = _nodes(rpm, _SPEED), _nodes(pressure, _PRESSURE)
        total = nodes[0].size * nodes[1].size + 2 * _OF_LEVEL * len(solved)
        with telling("calibration: knock limits") as told:
            tell = _Counted(told, total + len(_WARMER) * _TRIM_SPEEDS)
            cells = _cells(base, nodes, rpm, pressure, reference, lambda_target, tell)
            step()
            levels = {name: _level(pull, tell) for name, pull in solved.items()}
            step()
            top = max(solved.values(), key=lambda p: float(np.nanmax(p["plenum_pressure"])))
            temperature, later = _trim(base, top, reference, tell)
            step()
        octane = float(_setup(base).octane)
        per_ten = np.degrees(np.polyfit(temperature, later, 1)[0]) * 10.0
        best = BEST_TORQUE.format(best=np.degrees(base.chain.combustion.best_phasing))
        apart = told_apart(base.cylinder)
        notes = [
            *words_of(octane, apart),
            *([HELD] if apart else []),
            best,
            SPARK_CELLS,
            _BOUND,
            WARMER.format(later=per_ten),
        ]
        return cls(*cells, levels, temperature, later, DOUBT, notes)


class _Counted:
    """Counts points over several searches, and tells how far all of them are."""

    def __init__(self, told: Progress, total: int) -> None:
        self.told, self.total, self.before = told, total, 0

    def of(self, points: int) -> Callable[[int], None] | None:
        """What the next search calls."""
        before = self.before
        self.before = min(before + points, self.total)
        self.told(before, self.total)
        return relay(self.told, before, self.total)


def _cells(base: Build, nodes: tuple[Array, Array], rpm: Array, pressure: Array,
           temperature: float, lambda_target: Array,
           tell: _Counted) -> tuple[Array, Array, NDArray[np.bool_]]:  # fmt: skip
    """Margin, ignition, and where the margin is a bound."""
    speeds, pressures = nodes
    excess = np.interp(pressures, pressure, lambda_target)
    limits, flames, bounds = [], [], []
    for p, own_lambda in zip(pressures, excess, strict=True):
        even = np.ones(speeds.size)
        states = _states(base, speeds, p * even, temperature * even, float(own_lambda))
        own, limit = states["half_burned"], _worst(base, states, float(own_lambda), tell)
        limits.append(own - margin_of(limit, own))
        bounds.append(bounds_of(limit))
        cycles = _core.run_cycles(_mixed(base, float(own_lambda)), states)
        flames.append(np.asarray(cycles["half_burned"]) - np.asarray(cycles["burn_start"]))
    own = np.array([base.chain.combustion.phasing_at(float(p)) for p in pressure])[:, None]
    limited, flame, bound = (
        _between(np.array(values, dtype=float), (speeds, pressures), rpm, pressure)
        for values in (limits, flames, bounds)
    )
    return own - limited, flame - own, bound > 0.0


def _level(pull: Pull, tell: _Counted) -> LevelSpark:
    build = pull.build
    matched = np.flatnonzero(np.asarray(pull.matched))
    at = matched[np.unique(np.linspace(0, matched.size - 1, _OF_LEVEL).round().astype(int))]
    states = matched_points(Pull.run(build, np.asarray(pull.rpm)[at]))
    excess = float(build.chain.injection.lambda_)
    own = states["half_burned"]
    best = build.chain.combustion.best_phasing
    mean = searched(_mixed(build, excess), states, tell.of(own.size), best_phasing=best)
    margin = margin_of(_worst(build, states, excess, tell), own)
    return LevelSpark(np.asarray(pull.rpm)[at], margin, -mean["own_spark"],
                      mean["best_half_burned"], mean["torque_left"])  # fmt: skip


def _trim(base: Build, top: Pull, reference: float, tell: _Counted) -> tuple[Array, Array]:
    """Plenum temperatures, and how much later knock asks half burned to be; mean of some speeds."""
    matched = np.flatnonzero(np.asarray(top.matched))
    at = matched[np.linspace(0, matched.size - 1, _TRIM_SPEEDS + 1).round().astype(int)[1:]]
    speeds, p = np.asarray(top.rpm)[at], np.asarray(top["plenum_pressure"])[at]
    excess = float(base.chain.injection.lambda_)
    temperatures = reference + np.array(_WARMER)
    rows = [_states(base, speeds, p, np.full(p.size, t), excess) for t in temperatures]
    every = {n: np.concatenate([row[n] for row in rows]) for n in rows[0]}
    worst = _worst(base, every, excess, tell)
    limits = every["half_burned"] - margin_of(worst, every["half_burned"])
    by_temperature = limits.reshape(temperatures.size, p.size)
    own = by_temperature[_WARMER.index(0.0)]
    later: Array = np.mean(by_temperature - own, axis=1)
    return temperatures, later


_BOUND = (
    f"Knock was looked for up to half burned {-np.degrees(EARLIEST):.0f} degrees before top "
    "centre. Where there was none, at low pressure, the margin is at least the one printed."
)


def _nodes(axis: Array, apart: float) -> Array:
    first, last = max(np.floor(axis[0] / apart), 1.0), max(np.ceil(axis[-1] / apart), 2.0)
    return apart * np.arange(first, last + 1.0)


def _setup(base: Build) -> _core.CycleSetup:
    assert base.cylinder is not None  # spark is searched of builds with cams alone
    return base.cylinder.setup


def _mixed(base: Build, excess: float) -> _core.CycleSetup:
    setup = _setup(base)
    return setup.replace(mixture=setup.mixture.replace(lambda_=excess))


def _worst(base: Build, states: Mapping[str, Array], excess: float,
           tell: _Counted) -> dict[str, Array]:  # fmt: skip
    """Search the worst cylinder, which has the mean's fuel."""
    cylinder, best = base.cylinder, base.chain.combustion.best_phasing
    assert cylinder is not None
    told = tell.of(states["speed"].size)
    return searched_worst(cylinder, cylinders_of(base), states, excess, best, told)


def _states(base: Build, rpm: Array, pressure: Array, temperature: Array,
            excess: float) -> dict[str, Array]:  # fmt: skip
    """Points of the cycle with the engine at plenum states, whatever feeds it."""
    injection = base.chain.injection.replace(lambda_=excess)
    chain = base.chain.replace(injection=injection)
    engine = answered(chain, rpm, pressure, temperature)
    return {
        "speed": rpm * RPM,
        "plenum_pressure": np.asarray(pressure, dtype=float),
        "plenum_temperature": np.asarray(engine["charge_temperature"]),
        "exhaust_pressure": np.asarray(engine["exhaust_pressure"]),
        "half_burned": np.array([chain.combustion.phasing_at(float(p)) for p in pressure]),
    }


def _between(values: Array, nodes: tuple[Array, Array], rpm: Array, pressure: Array) -> Array:
    """Values at cells: straight in speed and in the logarithm of pressure; NaN below all nodes."""
    off = {"left": np.nan, "right": np.nan}
    rows = np.array([np.interp(rpm, nodes[0], row, **off) for row in values])
    down, at = np.log(nodes[1]), np.log(pressure)
    cells: Array = np.array([np.interp(at, down, column, **off) for column in rows.T]).T
    return cells
