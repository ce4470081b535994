"""The 90 % bands of a sketch, and which guesses make them.

For a column f of a level, slopes s and curvatures c of f with each guess in widths, and their
covariance P,

    half = 1.645 sqrt(s' P s + sum (c P_jj)^2/2 + (sum c P_jj)^2/4 + tuning^2 + own^2)

where the terms of c are the variance and the square of the mean of the parabola that each guess
makes alone: near choke a narrower wheel loses more than a wider one gains.
Measuring guess j would take (P s)_j^2 / P_jj out of the variance. The chain's own error is that of
fits; power has besides what torque per air drifts by with density.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..chain.build import Build
from ..fit.fitted_chain import NINETY
from ..fit.sensors import SENSORS, own_size
from .cams import with_cams
from .driving import Pair
from .model import COLUMNS, STEP, Model
from .today import Known, tuning_error

Array = NDArray[np.float64]
#: Torque per air at half as much charge density again, a standard deviation over it: added up from
#: its parts, see the drifts of fits; burn that comes later is a guess of its own.
_PER_AIR = 0.013
_SENSORS = {"power": "torque", "torque": "torque", "boost": "plenum_pressure",
            "charge_temperature": "plenum_temperature", "air_flow": "air_flow"}  # fmt: skip


@dataclass(frozen=True)
class Bands:
    """Columns of every level with half their 90 % band [SI], over engine speed.

    `slopes` are by column: levels, speeds, guesses; `peaks` those of the largest value: levels,
    guesses. Where a guess moves the place of the largest value, that value moves less than the
    column does where it stood. `spread` is the standard deviation of the largest value: levels.
    """

    levels: tuple[str, ...]
    rpm: Array
    base: Mapping[str, Array]
    half: Mapping[str, Array]
    slopes: Mapping[str, Array]
    peaks: Mapping[str, Array]
    spread: Mapping[str, Array]
    covariance: Array

    @classmethod
    def of(cls, model: Model, known: Known, pairs: Mapping[str, Pair], build: Build) -> Bands:
        """Return the bands of a model about what its build makes."""
        base = model.solved(build, [pair.ratio for pair in pairs.values()])
        # An engine with cams has the doubts of the curve of filling that stands for them.
        curve = model.levels(known.z, pairs) if with_cams(model.facts) else base
        columns, largest = _moves(model, known.z, pairs, curve)
        filling = model.names.index("filling")
        share = model.guesses["filling"].doubt / model.values(known.z)["filling"]
        tuning = tuning_error(_plenum_ratio(model, base)) / share
        half, spread = {}, {}
        for name in COLUMNS:
            local = columns[name].slope[:, :, filling] * tuning
            beside = local**2 + _own(name, base, model) ** 2
            half[name] = NINETY * np.sqrt(columns[name].variance(known.covariance) + beside)
            top = np.argmax(np.where(np.isfinite(base[name]), base[name], -np.inf), axis=-1)
            there = np.take_along_axis(beside, top[:, None], axis=-1)[:, 0]
            spread[name] = np.sqrt(largest[name].variance(known.covariance) + there)
        slopes, peaks = ({name: one.slope for name, one in moves.items()}
                         for moves in (columns, largest))  # fmt: skip
        levels = tuple(pairs) or ("today",)
        return cls(levels, model.rpm, base, half, slopes, peaks, spread, known.covariance)

    def at(self, level: str, name: str) -> tuple[float, float, float]:
        """Return the largest of a column, half its band there, and the speed [rpm]."""
        row = self.levels.index(level)
        values = self.base[name][row]
        if not np.isfinite(values).any():
            return float("nan"), float("nan"), float("nan")
        top = int(np.nanargmax(values))
        return float(values[top]), NINETY * float(self.spread[name][row]), float(self.rpm[top])

    def shares(self, level: str, name: str) -> Array:
        """Return what measuring each guess would take out of the variance at the peak."""
        row = self.levels.index(level)
        moved = self.covariance @ self.peaks[name][row]
        variance = self.spread[name][row] ** 2
        shares: Array = moved**2 / np.diag(self.covariance) / variance
        return shares


class _Moves(NamedTuple):
    """Slope and curvature with each guess, in widths of it: the last axis."""

    slope: Array
    bend: Array

    def variance(self, covariance: Array) -> Array:
        """What guesses of a covariance make."""
        bent = self.bend * np.diag(covariance)
        straight = np.einsum("...i,ij,...j->...", self.slope, covariance, self.slope)
        variance: Array = straight + 0.5 * (bent**2).sum(axis=-1) + 0.25 * bent.sum(axis=-1) ** 2
        return variance


def _moves(model: Model, z: Array, pairs: Mapping[str, Pair],
           base: Mapping[str, Array]) -> tuple[dict[str, _Moves], dict[str, _Moves]]:  # fmt: skip
    """How every column, and its largest value, moves with the guesses."""
    columns: dict[str, list[_Moves]] = {name: [] for name in COLUMNS}
    largest: dict[str, list[_Moves]] = {name: [] for name in COLUMNS}
    for j in range(z.size):
        ends = []
        for side in (STEP, -STEP):
            moved = z.copy()
            moved[j] += side
            ends.append(model.levels(moved, pairs))
        for name in COLUMNS:
            rows = ends[0][name], base[name], ends[1][name]
            columns[name].append(_moved(*rows))
            largest[name].append(_moved(*(_largest(row) for row in rows)))
    return _stacked(columns), _stacked(largest)


def _stacked(rows: Mapping[str, list[_Moves]]) -> dict[str, _Moves]:
    return {name: _Moves(*(np.stack(part, axis=-1) for part in zip(*of_name, strict=True)))
            for name, of_name in rows.items()}  # fmt: skip


def _moved(above: Array, at: Array, below: Array) -> _Moves:
    """By one guess; straight from one side where the other has no answer."""
    up, down = above - at, at - below
    both = 0.5 * (up + down)
    one = np.where(np.isfinite(up), up, down)
    slope = np.nan_to_num(np.where(np.isfinite(both), both, one) / STEP)
    return _Moves(slope, np.nan_to_num((up - down) / STEP**2))


def _largest(column: Array) -> Array:
    """Largest value of every level."""
    known = np.where(np.isfinite(column), column, -np.inf).max(axis=-1)
    largest: Array = np.where(np.isfinite(known), known, np.nan)
    return largest


def _plenum_ratio(model: Model, base: Mapping[str, Array]) -> Array:
    """Plenum over ambient pressure."""
    ambient = model.facts.numbers.get("barometer", 99000.0)
    ratio: Array = 1.0 + np.nan_to_num(base["boost"]) / ambient
    return ratio


def _own(name: str, base: Mapping[str, Array], model: Model) -> Array:
    """Standard deviation of the chain's own error [SI]."""
    values = base[name]
    if name not in _SENSORS:
        return np.zeros_like(values)
    sensor = SENSORS[_SENSORS[name]]
    if name == "charge_temperature":
        own = own_size(sensor, values, model.facts.numbers.get("temperature", 298.15))
    else:
        own = own_size(sensor, values, 0.0)
    if name == "power":
        own = np.hypot(sensor.structure, sensor.narrow) * np.abs(values)
    if name in ("power", "torque"):
        density = np.nan_to_num(base["plenum_density"], nan=1.2)
        drift = _PER_AIR * np.log(np.maximum(density / 1.15, 1.0)) / np.log(1.5)
        own = np.hypot(own, drift * values)
    return own
