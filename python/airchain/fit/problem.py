"""The fit as numbers: readings by channel, their covariance, and the chain's answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve, cholesky, solve_triangular

from .. import _core
from ..base.errors import refusal
from .lag import lag_of
from .load_drift import LOADS, Drift, Loads, spreads
from .own_error import OwnError
from .parameters import Unknown, applied
from .runs import Run
from .sensors import Sensor, bias_size
from .together import together

Array = NDArray[np.float64]
_STEP = 1e-4
#: Residual of a point that the chain cannot solve while others can, in standard deviations.
_LOST = 20.0
#: The one channel that a chain is told, not solved for.
_MIXTURE = "lambda"


@dataclass(frozen=True)
class Before:
    """What the chain says of prepared pulls before a fit: answers and drifts of each by column."""

    answers: Sequence[Mapping[str, Array]]
    drifts: Sequence[Mapping[str, Array]]

    @classmethod
    def of(cls, runs: Sequence[Run], chains: Sequence[_core.Chain], columns: Sequence[str],
           drifts: Sequence[Drift], fitted: Sequence[str]) -> Before:  # fmt: skip
        """Return it, by the chain of each pull."""
        solved = [
            answers(chain, run.speeds, [*columns, *LOADS])
            for run, chain in zip(runs, chains, strict=True)
        ]
        for run, here in zip(runs, solved, strict=True):
            if not np.isfinite(here["plenum_density"]).any():
                hint = "a reading is far off, or the chain is: look at the pull beside the build's"
                raise refusal(
                    run.name, "pull", "no point solved with the figures that fit its readings",
                    "lie where the chain answers", hint,
                )  # fmt: skip
        loads = Loads.of(runs, solved)
        drifted = [
            spreads(
                drifts, chain, run.speeds, loads.distance(run.rpm, here), columns, answers, fitted
            )
            for run, chain, here in zip(runs, chains, solved, strict=True)
        ]
        return cls(solved, drifted)


@dataclass
class Channel:
    """All readings of one quantity over all pulls, one behind the other.

    `y` are the readings with their lag taken out, `own` is the chain's own error there, `loose`
    the covariance of what is new with every pull (bias, lag, noise), `covariance` that of both.
    """

    sensor: Sensor
    name: str
    run: NDArray[np.int64]
    row: NDArray[np.int64]
    y: Array
    own: OwnError
    loose: Array
    covariance: Array

    @cached_property
    def lower(self) -> Array:
        """Cholesky factor of the covariance."""
        lower: Array = cholesky(self.covariance, lower=True)
        return lower

    def weighted(self, values: Array, rows: NDArray[np.bool_] | None = None) -> Array:
        """Return the inverse of the covariance (of these rows alone) times values."""
        lower = self.lower
        if rows is not None and not rows.all():
            lower = cholesky(self.covariance[np.ix_(rows, rows)], lower=True)
        weighted: Array = cho_solve((lower, True), values)
        return weighted


def channels(runs: Sequence[Run], sensors: Mapping[str, Sensor], before: Before) -> list[Channel]:
    """Return the channels that the pulls hold, where the chain has an answer.

    Errors are sized by the answers before the fit, not by the readings: a common error in
    proportion to noisy readings would draw the fit below all of them (Peelle's puzzle).
    """
    gathered, believed = [], before.answers
    for name, sensor in sensors.items():
        places = [
            (k, i)
            for k, run in enumerate(runs)
            if name in run.columns and not _meaningless(name, run)
            for i in np.flatnonzero(
                np.isfinite(run.columns[name]) & np.isfinite(believed[k][sensor.column])
            )
        ]
        if places:
            gathered.append(_channel(name, sensor, runs, np.array(places), before))
    return gathered


def _meaningless(name: str, run: Run) -> bool:
    """Whether the quantity has no counterpart: an outlet where there is no compressor."""
    return run.chain.compressor is None and name in ("rotor_speed",)


def _channel(name: str, sensor: Sensor, runs: Sequence[Run], places: NDArray[np.int64],
             before: Before) -> Channel:  # fmt: skip
    run, row = places[:, 0], places[:, 1]
    believed = before.answers

    def gathered(of: Callable[[Run], Array]) -> Array:
        return np.array([of(runs[k])[i] for k, i in places], dtype=float)

    y = gathered(lambda r: r.columns[name])
    noise = gathered(lambda r: r.noise[name])
    rpm = gathered(lambda r: r.rpm)
    level = np.array([runs[k].level_place for k in run])
    ambient = np.array([ambient_of(sensor, runs[k].chain) for k in run])
    expected = np.array([believed[k][sensor.column][i] for k, i in places])
    drift = np.array([before.drifts[k][sensor.column][i] for k, i in places])
    own = OwnError.of(sensor, expected, ambient, rpm, level, run, drift)
    lags = [lag_of(r, believed[k][sensor.column], sensor) for k, r in enumerate(runs)]
    late = np.array([lags[k][0][i] for k, i in places])
    left_open = np.array([lags[k][1][i] for k, i in places])
    same = run[:, None] == run[None, :]
    bias = bias_size(sensor, expected)
    loose = same * (np.outer(bias, bias) + left_open @ left_open.T) + np.diag(noise**2)
    return Channel(sensor, name, run, row, y + late, own, loose, loose + own.covariance(own))


def ambient_of(sensor: Sensor, chain: _core.Chain) -> float:
    """Ambient pressure or temperature that a rise is counted from [SI]."""
    pressure = "pressure" in sensor.column
    return float(chain.ambient.pressure if pressure else chain.ambient.temperature)


def answers(chain: _core.Chain, speeds: Array, columns: Sequence[str]) -> dict[str, Array]:
    """Solve a chain over crank speeds [rad/s] on one thread; NaN where it has no answer."""
    wanted = [name for name in dict.fromkeys(columns) if name != _MIXTURE]
    solved: dict[str, Array] = _core.solve(chain, {"engine_speed": speeds}, wanted, threads=1)
    if _MIXTURE in columns:
        solved[_MIXTURE] = np.full(speeds.size, getattr(chain.injection, _MIXTURE))
    return solved


@dataclass
class Problem:
    """Readings, unknowns and their priors; unknowns are counted in prior widths off the mean."""

    runs: Sequence[Run]
    unknowns: Sequence[Unknown]
    sensors: Mapping[str, Sensor]
    drifts: Sequence[Drift]
    channels: list[Channel]

    @cached_property
    def lower(self) -> Array:
        """Cholesky factor of the joint covariance of all channels' readings."""
        # Symmetric: its transpose is in LAPACK's order, and need not be copied.
        whole = together(self.channels).T
        lower: Array = cholesky(whole, lower=True, overwrite_a=True, check_finite=False)
        return lower

    def whitened(self, by_channel: Sequence[Array]) -> Array:
        """Return values over their standard deviations, correlations taken out."""
        whitened: Array = solve_triangular(
            self.lower, np.concatenate(by_channel), lower=True, check_finite=False
        )
        return whitened

    def weighted(self, values: Array) -> Array:
        """Return the inverse of the joint covariance times values of all channels."""
        weighted: Array = cho_solve((self.lower, True), values, check_finite=False)
        return weighted

    @property
    def before(self) -> Array:
        """Values of the unknowns before the fit."""
        return np.array([u.mean for u in self.unknowns])

    @property
    def widths(self) -> Array:
        """Prior standard deviations."""
        return np.array([u.width for u in self.unknowns])

    def values(self, z: Array) -> Array:
        """Values of the unknowns."""
        return self.before + self.widths * z

    @property
    def bounds(self) -> tuple[Array, Array]:
        """Bounds in prior widths."""
        low = (np.array([u.low for u in self.unknowns]) - self.before) / self.widths
        high = (np.array([u.high for u in self.unknowns]) - self.before) / self.widths
        return low, high

    def computed(self, z: Array) -> list[Array]:
        """What the chain says each channel should read, before lag, bias and noise."""
        values = self.values(z)
        columns = [c.sensor.column for c in self.channels]
        solved = [
            answers(applied(run.chain, self.unknowns, values), run.speeds, columns)
            for run in self.runs
        ]
        starts = np.cumsum([0, *(run.rpm.size for run in self.runs)])
        whole = {n: np.concatenate([one[n] for one in solved]) for n in set(columns)}
        return [whole[c.sensor.column][starts[c.run] + c.row] for c in self.channels]

    def residuals(self, z: Array) -> Array:
        """Whitened readings less computed ones, and the unknowns' distances from the prior."""
        parts = []
        for channel, f in zip(self.channels, self.computed(z), strict=True):
            lost = ~np.isfinite(f)
            r = np.where(lost, _LOST * np.sqrt(np.diag(channel.covariance)), channel.y - f)
            parts.append(r)
        return np.concatenate([self.whitened(parts), z])

    def slopes(self, z: Array) -> list[Array]:
        """Change of each channel's computed readings a prior width of each unknown."""
        columns: list[list[Array]] = [[] for _ in self.channels]
        high = self.bounds[1]
        base = self.computed(z)
        for j in range(z.size):
            aside = z.copy()
            aside[j] += _STEP if z[j] + _STEP <= high[j] else -_STEP
            for c, (a, b) in enumerate(zip(self.computed(aside), base, strict=True)):
                columns[c].append(np.nan_to_num((a - b) / (aside[j] - z[j])))
        return [np.stack(c, axis=1) for c in columns]

    def jacobian(self, z: Array) -> Array:
        """Jacobian of `residuals`."""
        return np.concatenate([-self.whitened(self.slopes(z)), np.eye(z.size)])


def covariance_of(jacobian: Array) -> Array:
    """Covariance of the unknowns in prior widths.

    One that stands at its bound counts as the others do. Nine tenths of half a normal curve lie
    within 1.645 of its deviations, so its interval on the allowed side is as wide as half of what
    it would be without the bound, or too wide where the readings push hard against it.
    """
    inverse: Array = cho_solve(cho_factor(jacobian.T @ jacobian), np.eye(jacobian.shape[1]))
    return inverse
