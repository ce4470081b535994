"""Channels over engine speed, each with what is expected and its 90 % band."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.pull import Pull
from ..measured.quantities import QUANTITIES
from ..shown.columns import peak_of
from ..units.convert import from_si
from .fitted_chain import NINETY

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False, repr=False)
class Expected:
    """What is expected of the readings of a pull, and how far they may lie off it.

    Attributes
    ----------
    build : Build
        The build as it will be pulled, before the fit's factors.
    pull : Pull
        Every column of the fitted chain there.
    middle, spread : mapping
        By channel, what is expected to be read and its standard deviation [SI] over `rpm`.
    """

    build: Build
    pull: Pull
    middle: Mapping[str, Array]
    spread: Mapping[str, Array]

    @property
    def rpm(self) -> Array:
        """Engine speeds [rpm]."""
        rpm: Array = self.pull.rpm
        return rpm

    def get(self, name: str, unit: str | None = None) -> Array:
        """Return what is expected of a channel.

        Parameters
        ----------
        name : str
            A channel such as ``"torque"`` or ``"plenum_pressure"``, or ``"power"`` or
            ``"boost"``.
        unit : str, optional
            Unit of the values, such as ``"hp"``; SI without it.

        Returns
        -------
        ndarray
            Expected values [`unit` or SI] over `rpm`.

        Raises
        ------
        InputError
            There is no such channel, or the unit is of another kind.
        """
        return self._in(self.expected(name)[0], name, unit)

    def at(self, rpm: float, name: str, unit: str | None = None) -> float:
        """Return what is expected of a channel at one engine speed.

        Parameters
        ----------
        rpm : float
            Engine speed within the prediction [rpm].
        name : str
            As of `get`.
        unit : str, optional
            Unit of the value; SI without it.

        Returns
        -------
        float
            The expected value [`unit` or SI]; NaN beside a speed without an answer.

        Raises
        ------
        InputError
            The speed was not predicted.
        """
        return self._between(rpm, self.get(name, unit))

    def peak(self, name: str, unit: str | None = None) -> tuple[float, float]:
        """Return the largest value that is expected of a channel, and its engine speed.

        Parameters
        ----------
        name : str
            As of `get`.
        unit : str, optional
            Unit of the value; SI without it.

        Returns
        -------
        tuple of float
            The value [`unit` or SI] and the engine speed [rpm].
        """
        return peak_of(self.get(name, unit), self.rpm)

    def band(self, name: str, unit: str | None = None) -> tuple[Array, Array]:
        """Return the 90 % band of a channel.

        Parameters
        ----------
        name : str
            As of `get`.
        unit : str, optional
            Unit of the values; SI without it.

        Returns
        -------
        tuple of ndarray
            Its lower and upper edge [`unit` or SI] over `rpm`.
        """
        middle, spread = self.expected(name)
        low, high = middle - NINETY * spread, middle + NINETY * spread
        return self._in(low, name, unit), self._in(high, name, unit)

    def band_at(self, rpm: float, name: str, unit: str | None = None) -> tuple[float, float]:
        """Return the 90 % band of a channel at one engine speed.

        Parameters
        ----------
        rpm : float
            Engine speed within the prediction [rpm].
        name : str
            As of `get`.
        unit : str, optional
            Unit of the values; SI without it.

        Returns
        -------
        tuple of float
            Its lower and upper edge [`unit` or SI].

        Raises
        ------
        InputError
            The speed was not predicted.
        """
        low, high = self.band(name, unit)
        return self._between(rpm, low), self._between(rpm, high)

    @staticmethod
    def _in(values: Array, name: str, unit: str | None) -> Array:
        if unit is None:
            return values
        kinds = {"power": "power", "boost": "pressure_difference"}
        converted: Array = from_si(values, unit, kinds.get(name) or QUANTITIES[name].kind, name)
        return converted

    def _between(self, rpm: float, values: Array) -> float:
        if not self.rpm.min() <= rpm <= self.rpm.max():
            low, high = self.rpm.min(), self.rpm.max()
            rule = f"be {low:.0f} to {high:.0f} rpm" if low < high else f"be {low:.0f} rpm"
            raise refusal("Prediction", "rpm", f"{rpm} rpm", rule)
        return float(np.interp(rpm, self.rpm, values))

    def expected(self, name: str) -> tuple[Array, Array]:
        """Return what is expected of a channel and its standard deviation.

        Parameters
        ----------
        name : str
            As of `get`.

        Returns
        -------
        tuple of ndarray
            Mean and standard deviation [SI] over `rpm`.

        Raises
        ------
        InputError
            There is no such channel.
        """
        if name == "power":
            speed = self.rpm * RPM
            return self.middle["torque"] * speed, self.spread["torque"] * speed
        if name == "boost":
            ambient = float(self.build.chain.ambient.pressure)
            return self.middle["plenum_pressure"] - ambient, self.spread["plenum_pressure"]
        if name not in self.middle:
            rule = f"be one of power, boost, {', '.join(self.middle)}"
            raise refusal("Prediction", "channel", f'"{name}"', rule)
        return self.middle[name], self.spread[name]
