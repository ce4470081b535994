"""The 90 % bands of a sketch, and which guesses make them.

Let P be the covariance of the guesses in widths of each and R its symmetric root, so that each
column of R moves one guess, and with it those that today's figures tie to it. A column f of a level
is u and d off its value where the guesses stand sqrt(3) to either side along a column of R. Its
slope and mean there are t = (u - d)/(2 sqrt(3)) and m = (u + d)/6, and

    half = 1.645 sqrt(sum (u^2 + d^2)/6 - m^2 + (sum m)^2 + tuning^2 + own^2)

(Gauss and Hermite's rule of three points, Abramowitz and Stegun 25.4.46, from memory). It is right
for parabolas and for a bend at the guess itself, as choke makes one: there a narrower wheel loses
what a wider one does not gain.
Measuring guess j would take (R t)_j^2 / P_jj out of the variance. The chain's own error is that of
fits; power has besides what torque per air drifts by with density.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..chain.build import Build
from ..fit.fitted_chain import NINETY
from ..fit.sensors import SENSORS, own_size
from .cam_doubts import cam_moves
from .cams import with_cams
from .driving import Pair
from .model import COLUMNS, Model
from .moves import KNOWN, moves_of, root_of, there, without_curve
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
    `alone` is what of its square each guess makes, with those that today's figures tie to it and
    with what bends: levels, guesses.
    """

    levels: tuple[str, ...]
    rpm: Array
    base: Mapping[str, Array]
    half: Mapping[str, Array]
    slopes: Mapping[str, Array]
    peaks: Mapping[str, Array]
    spread: Mapping[str, Array]
    alone: Mapping[str, Array]
    covariance: Array

    @classmethod
    def of(cls, model: Model, known: Known, pairs: Mapping[str, Pair], build: Build) -> Bands:
        """Return the bands of a model about what its build makes."""
        base = model.solved(build, [pair.ratio for pair in pairs.values()])
        cams = with_cams(model.facts)
        if cams:
            known = without_curve(model, known)
        root = root_of(known.covariance)
        curve = model.levels(known.z, pairs) if cams else base
        of_cams = cam_moves(model, known, build) if cams else {}
        columns, largest = moves_of(model, known, root, pairs, curve, of_cams)
        filling = model.names.index("filling")
        share = model.guesses["filling"].doubt / model.values(known.z)["filling"]
        tuning = tuning_error(_plenum_ratio(model, base)) / share
        slopes, peaks = ({name: one.of_guesses(root) for name, one in moves.items()}
                         for moves in (columns, largest))  # fmt: skip
        half, spread = {}, {}
        for name in COLUMNS:
            local = slopes[name][:, :, filling] * tuning
            beside = local**2 + _own(name, base, model) ** 2
            half[name] = NINETY * np.sqrt(columns[name].parts.sum(axis=-1) + beside)
            spread[name] = np.sqrt(largest[name].parts.sum(axis=-1) + there(beside, base[name]))
        levels = tuple(pairs) or ("today",)
        alone = {name: one.parts for name, one in largest.items()}
        return cls(levels, model.rpm, base, half, slopes, peaks, spread, alone, known.covariance)

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
        moved, own = self.covariance @ self.peaks[name][row], np.diag(self.covariance)
        variance = self.spread[name][row] ** 2
        shares: Array = moved**2 / np.where(own > KNOWN, own, np.inf) / variance
        return shares

    def share_of(self, level: str, name: str, chosen: list[int]) -> float:
        """Return which share of the variance at the peak some guesses make."""
        row = self.levels.index(level)
        made = self.alone[name][row, chosen].sum() / self.spread[name][row] ** 2
        return float(made)


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
