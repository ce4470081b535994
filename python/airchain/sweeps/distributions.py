"""How an input scatters: evenly, normally, within a part's tolerance, or as it was recorded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.speeds import RPM
from ..chain.build import Build
from ..typed.place import Typed
from ..units.convert import KINDS, NUMBER, to_si
from .lanes import is_lane, kind_of_path, listed

__all__ = ["Distribution", "Even", "Normal", "Recorded", "Toleranced"]

Array = NDArray[np.float64]
#: What a difference of a quantity is, where that is another kind.
_DIFFERENCES = {"temperature": "temperature_difference", "pressure": "pressure_difference"}
#: Standard deviations from the middle of a tolerance to its edge: common practice, no source.
_TO_THE_EDGE = 3.0


@dataclass(frozen=True)
class Distribution:
    """Two typed numbers that say how one input scatters.

    Attributes
    ----------
    first, second : str or float
        Texts with units, or numbers [SI].
    """

    first: str | float
    second: str | float

    def samples(self, build: Build, path: str, shares: Array) -> tuple[Array, str]:
        """Return values of an input at shares of its distribution.

        Parameters
        ----------
        build : Build
            The build.
        path : str
            The input.
        shares : ndarray
            Numbers between 0 and 1 [dimensionless].

        Returns
        -------
        tuple
            Values [SI where the input is a field of a station, rpm where it is called so, else in
            the unit typed], and that unit; empty for SI.

        Raises
        ------
        InputError
            What was typed is no such distribution.
        """
        first, second, unit = _two(build, path, self.first, self.second, self._apart())
        self._check(path, first, second)
        with np.errstate(over="ignore", invalid="ignore"):  # refused by name instead
            values = self._at(first, second, shares)
        if not np.isfinite(values).all():
            typed = quoted([self.first, self.second])
            raise refusal("design", path, typed, "give values that are finite")
        return values, unit

    def _apart(self) -> bool:
        """Whether the second number is a distance from the first."""
        return True

    def _check(self, path: str, first: float, second: float) -> None:
        if not second > 0.0:
            raise refusal("design", path, quoted(self.second), "be above 0: how far it scatters")

    def _at(self, first: float, second: float, shares: Array) -> Array:
        raise NotImplementedError

    @property
    def words(self) -> str:
        """What it is, in words."""
        raise NotImplementedError


@dataclass(frozen=True)
class Even(Distribution):
    """Every value from `first` to `second` is as likely as any other.

    Attributes
    ----------
    first, second : str or float
        The ends, as texts with units or numbers [SI].
    """

    def _apart(self) -> bool:
        return False

    def _check(self, path: str, first: float, second: float) -> None:
        if not second > first:
            raise refusal("design", path, quoted([self.first, self.second]), "rise")

    def _at(self, first: float, second: float, shares: Array) -> Array:
        return first + (second - first) * shares

    @property
    def words(self) -> str:
        """What it is, in words."""
        return f"even from {self.first} to {self.second}"


@dataclass(frozen=True)
class Normal(Distribution):
    """A normal distribution.

    Attributes
    ----------
    first : str or float
        The mean, as text with its unit or number [SI].
    second : str or float
        The standard deviation, as text with its unit or number [SI].
    """

    def _at(self, first: float, second: float, shares: Array) -> Array:
        scores: Array = extra("scipy.special").ndtri(shares)
        return first + second * scores

    @property
    def words(self) -> str:
        """What it is, in words."""
        return f"normal about {self.first}, standard deviation {self.second}"


@dataclass(frozen=True)
class Toleranced(Distribution):
    """A part's dimension: normal about its nominal value, and never outside its tolerance.

    The tolerance is three standard deviations wide on either side (common practice, no source).

    Attributes
    ----------
    first : str or float
        The nominal value, as text with its unit or number [SI].
    second : str or float
        How far it may be off either way, as text with its unit or number [SI].
    """

    def _at(self, first: float, second: float, shares: Array) -> Array:
        special = extra("scipy.special")
        low = special.ndtr(-_TO_THE_EDGE)
        scores: Array = special.ndtri(low + (1.0 - 2.0 * low) * shares)
        return first + second / _TO_THE_EDGE * scores

    @property
    def words(self) -> str:
        """What it is, in words."""
        return f"{self.first} ± {self.second}"


@dataclass(frozen=True)
class Recorded:
    """Rows that were recorded, such as the weather of a year: each sample takes one whole row.

    Attributes
    ----------
    rows : mapping
        Values by path, all of one length, as texts with units or numbers [SI].
    """

    rows: Mapping[str, Any]

    def columns(self) -> dict[str, list[Typed]]:
        """Return the values by path.

        Returns
        -------
        dict
            A list each [as typed].

        Raises
        ------
        InputError
            There are none, or columns differ in length.
        """
        found = {path: listed(path, values) for path, values in self.rows.items()}
        if len({len(v) for v in found.values()}) != 1:
            lengths = {path: len(values) for path, values in found.items()}
            raise refusal("design", "rows", quoted(lengths), "be columns of one length")
        return found

    @property
    def words(self) -> str:
        """What it is, in words."""
        return f"one of {len(next(iter(self.columns().values()))):,} recorded rows"


def _two(
    build: Build, path: str, first: str | float, second: str | float, apart: bool
) -> tuple[float, float, str]:
    """Two numbers and their unit: SI, and no unit, where the core knows the field."""
    if is_lane(build, path):
        kind = kind_of_path(build, path)
        kinds = kind, _DIFFERENCES.get(kind, kind) if apart else kind
        unit = ["rpm" if path == "rpm" else KINDS[k].si_unit or None for k in kinds]
        found = [
            to_si(v, k, where="design", field=path, unit=u)
            for v, k, u in zip((first, second), kinds, unit, strict=True)
        ]
        scale = RPM if path == "rpm" else 1.0
        return found[0] / scale, found[1] / scale, ""
    numbers, units = zip(*(_split(path, one) for one in (first, second)), strict=True)
    if units[0] != units[1]:
        rule = "both have one unit"
        raise refusal("design", path, quoted([first, second]), rule, f"such as {units[0]}")
    return numbers[0], numbers[1], units[0]


def _split(path: str, value: str | float) -> tuple[float, str]:
    """A typed value as number and unit."""
    match = NUMBER.match(str(value).strip())
    if match is None:
        raise refusal("design", path, quoted(value), "begin with a number", 'such as "4.125 in"')
    return float(match[0]), str(value).strip()[match.end() :].strip()
