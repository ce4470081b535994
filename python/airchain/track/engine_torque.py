"""The engine's torque over its speed, from the chain's pull of a level."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from math import nan
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ..base.extras import extra
from ..chain.pull import Pull

__all__ = ["Curve", "PullTorque"]

Array = NDArray[np.float64]


class Torque(Protocol):
    """Torque over engine speed, known from `low` to `high` [rad/s]."""

    @property
    def low(self) -> float:
        """Lowest engine speed with an answer [rad/s]."""
        ...

    @property
    def high(self) -> float:
        """Highest engine speed with an answer [rad/s]."""
        ...

    def __call__(self, speed: float) -> float:
        """Return the torque [N m] at an engine speed [rad/s]."""
        ...


class Curve:
    """Values over engine speed: monotone cubics from point to point (Fritsch and Carlson).

    Parameters
    ----------
    speed, value : array_like
        Rising engine speeds [rad/s], and a value at each [SI].
    """

    def __init__(self, speed: Array, value: Array) -> None:
        made = extra("scipy.interpolate").PchipInterpolator(speed, value)
        self._knots: list[float] = made.x.tolist()
        self._cubics: list[list[float]] = made.c.T.tolist()

    def __call__(self, speed: float) -> float:
        """Return the value at an engine speed; what lies off the ends is cut to them.

        Parameters
        ----------
        speed : float
            Engine speed [rad/s].

        Returns
        -------
        float
            The value [SI].
        """
        at = min(max(speed, self._knots[0]), self._knots[-1])
        cell = min(max(bisect_right(self._knots, at) - 1, 0), len(self._cubics) - 1)
        c3, c2, c1, c0 = self._cubics[cell]
        x = at - self._knots[cell]
        return ((c3 * x + c2) * x + c1) * x + c0


@dataclass(frozen=True, eq=False)
class PullTorque:
    """Torque of a pull, about an engine speed that is needed, as far as every point has an answer.

    Attributes
    ----------
    curve : Curve or None
        The torque; None where the pull has no answer at the speed that is needed.
    low, high : float
        Engine speeds between which every point has an answer [rad/s]; NaN where none has.
    """

    curve: Curve | None
    low: float
    high: float

    @classmethod
    def of(cls, pull: Pull, needed: float) -> PullTorque:
        """Return the torque of a pull about an engine speed.

        Parameters
        ----------
        pull : Pull
            The pull, speeds rising.
        needed : float
            Engine speed that must lie within [rad/s].

        Returns
        -------
        PullTorque
            The torque over the solved points about that speed, without a gap.
        """
        speed, solved = np.asarray(pull["engine_speed"]), pull.matched
        near = int(np.argmin(np.abs(speed - needed)))
        lost = np.flatnonzero(~solved)
        before, after = lost[lost <= near], lost[lost >= near]
        start = int(before[-1]) + 1 if before.size else 0
        end = int(after[0]) - 1 if after.size else speed.size - 1
        slack = 1e-9 * needed
        if end <= start or not speed[start] - slack <= needed <= speed[end] + slack:
            return cls(None, nan, nan)
        known = slice(start, end + 1)
        curve = Curve(speed[known], np.asarray(pull["torque"])[known])
        return cls(curve, float(speed[start]), float(speed[end]))

    def __call__(self, speed: float) -> float:
        """Return the torque.

        Parameters
        ----------
        speed : float
            Engine speed, from `low` to `high` [rad/s].

        Returns
        -------
        float
            The torque [N m]; NaN where the pull has none.
        """
        return nan if self.curve is None else self.curve(speed)
