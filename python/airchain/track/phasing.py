"""What takes torque back at one engine speed: later burn, or a throttle that shuts.

Both are found by the chain itself, solved anew with later phasing or another opening of the
throttle, so that plenum pressure, exhaust temperature and surge follow. With cams the work of later
burn is that of the cycles, which are known to 42 degrees after top centre. Where volumetric
efficiency is typed it is the law of `Combustion`: a parabola about the best phasing, made for 20
degrees either way. Neither is used more than 34 degrees off best.

The heat into the exhaust valves is told as a ratio to that at the level's own phasing,

    (T_exhaust - T_valve)/(T_exhaust,own - T_valve),   T_valve = 900 K

with the same flow past the valve (a head's usual temperature, from memory; an index, not a
temperature).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import nan, radians
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.solving import solve

__all__ = ["LATEST", "MADE_FOR", "Later", "TorqueBack"]

Array = NDArray[np.float64]
#: Off best phasing: what the law was made for, and beyond what it is not used [rad].
MADE_FOR, LATEST = radians(20.0), radians(34.0)
_STEP, _FINE = radians(4.0), radians(0.1)
#: Openings that are tried, close together where a compressor comes to surge [dimensionless].
_OPENINGS = (
    1.0,
    0.7,
    0.5,
    0.4,
    0.3,
    0.24,
    0.19,
    0.15,
    0.13,
    0.12,
    0.11,
    0.1,
    0.09,
    0.08,
    0.07,
    0.06,
)
_VALVE = 900.0  # K
#: Engine speeds at which it is found are so far apart at most [rad/s].
_APART = 600.0 * RPM


class Later(NamedTuple):
    """Torque taken back by later burn.

    Attributes
    ----------
    later : float
        By how much half of the charge burns later than the level's own [rad]; NaN where the law
        does not reach so far.
    off_best : float
        Half burned, later than best torque has it [rad].
    exhaust_temperature : float
        Of the gas then [K].
    valve_heat : float
        Heat into the exhaust valves over that at the level's own phasing [dimensionless].
    """

    later: float
    off_best: float
    exhaust_temperature: float
    valve_heat: float


@dataclass(frozen=True, eq=False)
class TorqueBack:
    """Later burn and smaller throttle of one level over engine speed.

    Attributes
    ----------
    chain : Chain
        The level's stations.
    speed : ndarray
        Engine speeds at which both were solved [rad/s].
    later, off_best, share, temperature : ndarray
        Rows over `speed`: phasing later than own and than best [rad], torque over the level's own
        [dimensionless], exhaust temperature [K]; NaN where there is no answer.
    limit : float
        Exhaust temperature that later burn must not pass [K].
    """

    chain: _core.Chain
    speed: Array
    later: Array
    off_best: Array
    share: Array
    temperature: Array
    limit: float

    @classmethod
    def of(cls, build: Build, low: float, high: float, limit: float) -> TorqueBack:
        """Solve a level with later burn and with smaller throttle.

        Parameters
        ----------
        build : Build
            The build on its level.
        low, high : float
            Engine speeds between which it is wanted [rad/s].
        limit : float
            Exhaust temperature that later burn must not pass [K].

        Returns
        -------
        TorqueBack
            Both over engine speed.
        """
        count = 2 + int((high - low) / _APART)
        speed = np.linspace(low, high, count)
        chain = build.chain
        most = _most_phasing() - float(chain.combustion.phasing)
        last = min(LATEST, most) if most > 0.0 else 0.0
        nodes = np.linspace(0.0, last, 2 + int(last / _STEP))
        rows = [_later(chain, speed / RPM, float(one)) for one in nodes]
        torque, temperature, half = (np.array([row[i] for row in rows]).T for i in range(3))
        fine = np.arange(0.0, last + _FINE, _FINE)
        best = float(chain.combustion.best_phasing)
        return cls(
            chain,
            speed,
            fine,
            half[:, :1] - best + fine,
            _over(nodes, _share(torque), fine),
            _over(nodes, temperature, fine),
            limit,
        )

    @cached_property
    def opened(self) -> Array:
        """Torque over that wide open, rows over `speed`, columns over openings that fall."""
        rows = [solve(_throttled(self.chain, one), self.speed / RPM)["torque"]
                for one in _OPENINGS]  # fmt: skip
        return _share(np.array(rows).T)

    @cached_property
    def _both(self) -> list[tuple[float, Array, Array, Array] | None]:
        """Burn as late as the exhaust allows, at each engine speed over openings that fall.

        How much later, torque over the level's own, off best phasing, and exhaust temperature;
        None where the exhaust is too hot already.
        """
        found: list[tuple[float, Array, Array, Array] | None] = []
        for row, speed in enumerate(self.speed.tolist()):
            with np.errstate(invalid="ignore"):
                cool = (self.temperature[row] <= self.limit) & (self.off_best[row] <= LATEST)
            at = int(np.argmin(cool)) - 1 if not cool.all() else cool.size - 1
            if at <= 0:
                found.append(None)
                continue
            later = float(self.later[at])
            points = [_later(_throttled(self.chain, one), np.array([speed / RPM]), later)
                      for one in _OPENINGS]  # fmt: skip
            torque, hot, half = (np.array([float(p[i][0]) for p in points]) for i in range(3))
            shares = torque / torque[0] * self.share[row, at]
            off_best = half - float(self.chain.combustion.best_phasing)
            found.append((later, shares, off_best, hot))
        return found

    def by_phasing(self, speed: float, share: float) -> Later:
        """Return the later burn that leaves a share of the torque.

        Parameters
        ----------
        speed : float
            Engine speed [rad/s].
        share : float
            Torque wanted over the level's own [dimensionless].

        Returns
        -------
        Later
            How late, and how hot.
        """
        found = []
        for row in range(self.speed.size):
            with np.errstate(invalid="ignore"):
                enough = (self.share[row] <= share) & (self.off_best[row] <= LATEST)
            if not enough.any():
                found.append([nan] * 4)
                continue
            at = int(np.argmax(enough))
            own, hot = self.temperature[row, 0], self.temperature[row, at]
            found.append([self.later[at], self.off_best[row, at], hot,
                          (hot - _VALVE) / max(own - _VALVE, 1.0)])  # fmt: skip
        table = np.array(found).T
        return Later(*(_between(speed, self.speed, one) for one in table))

    def by_throttle(self, speed: float, share: float) -> float:
        """Return the opening of the throttle that leaves a share of the torque.

        Parameters
        ----------
        speed : float
            Engine speed [rad/s].
        share : float
            Torque wanted over the level's own [dimensionless].

        Returns
        -------
        float
            Open share of the throttle's area [dimensionless]; NaN where the chain has no answer,
            because the compressor would surge.
        """
        found = [float(np.exp(_at_share(share, row, np.log(_OPENINGS)))) for row in self.opened]
        return _between(speed, self.speed, np.array(found))

    def by_both(self, speed: float, share: float) -> tuple[Later, float]:
        """Return burn as late as the exhaust allows, and the opening that leaves a share of torque.

        Parameters
        ----------
        speed : float
            Engine speed [rad/s].
        share : float
            Torque wanted over the level's own [dimensionless].

        Returns
        -------
        tuple
            How late and how hot, and the open share of the throttle's area [dimensionless]; NaN
            where there is no answer or the exhaust passes its limit.
        """
        found = []
        for row, both in enumerate(self._both):
            if both is None:
                found.append([nan] * 5)
                continue
            later, shares, *others = both
            opening, off_best, hot = (
                _at_share(share, shares, values) for values in (np.log(_OPENINGS), *others)
            )
            if not hot <= self.limit:
                opening = nan
            heat = (hot - _VALVE) / max(self.temperature[row, 0] - _VALVE, 1.0)
            found.append([later, off_best, hot, heat, float(np.exp(opening))])
        *how, opened = (_between(speed, self.speed, one) for one in np.array(found).T)
        return Later(*how), opened


def _most_phasing() -> float:
    return float(next(row[3] for row in _core.Combustion.fields() if row[0] == "phasing"))


def _later(chain: _core.Chain, rpm: Array, later: float) -> tuple[Array, Array, Array]:
    """Torque, exhaust temperature and phasing with half of the charge burned later."""
    phasing = float(chain.combustion.phasing) + later
    moved = chain.replace(combustion=chain.combustion.replace(phasing=phasing))
    solved = solve(moved, rpm)
    half = [moved.combustion.phasing_at(float(p)) if np.isfinite(p) else nan
            for p in solved["plenum_pressure"]]  # fmt: skip
    return np.asarray(solved["torque"]), np.asarray(solved["exhaust_temperature"]), np.array(half)


def _throttled(chain: _core.Chain, opening: float) -> _core.Chain:
    throttle = chain.throttle.replace(opening=opening * float(chain.throttle.opening))
    return chain.replace(throttle=throttle)


def _at_share(share: float, shares: Array, values: Array) -> float:
    """A value where the torque's share, falling along a row, is the one wanted; else NaN."""
    known = np.isfinite(shares)
    rising = shares[known][::-1]
    if rising.size < 2 or not rising[0] <= share <= rising[-1]:
        return nan
    return float(np.interp(share, rising, values[known][::-1]))


def _share(torque: Array) -> Array:
    """Torque over that of the first column; NaN where that drives nothing."""
    own = np.where(torque[:, :1] > 0.0, torque[:, :1], nan)
    return np.asarray(torque / own)


def _over(nodes: Array, rows: Array, at: Array) -> Array:
    """Values between nodes."""
    return np.array([np.interp(at, nodes, row, right=nan) for row in rows])


def _between(speed: float, speeds: Array, values: Array) -> float:
    """A value between two engine speeds; NaN where one of both has none."""
    return float(np.interp(speed, speeds, values))
