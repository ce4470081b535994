"""The limits a plan keeps: what each is, which way it bounds, and who says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, overload

import numpy as np
from numpy.typing import NDArray

from ..shown.columns import shown_as
from ..shown.glossary import word
from ..shown.tables import Table
from ..units.convert import display, unit_label

Array = NDArray[np.float64]
__all__ = ["QUANTITIES", "Limit", "Quantity", "limits_table"]


class Quantity(NamedTuple):
    """What can be limited.

    `kind` is its quantity kind, ``"share"`` for one shown in per cent. `bound` says which way the
    limit bounds it and how load and capacity follow from it: ``"most"`` (a load), ``"capacity"``
    (what is carried over the load), ``"surge"`` (1 - surge flow / flow), ``"excess"``
    (capacity / load - 1), ``"spark"`` (crank angle left, none of it used at `FREE`).
    """

    words: str
    kind: str
    bound: str


#: Everything that can be limited, in the order it is shown.
QUANTITIES: dict[str, Quantity] = {
    "surge_margin": Quantity("surge margin", "share", "surge"),
    "choke_margin": Quantity("choke margin", "share", "excess"),
    "rotor_speed": Quantity(word("rotor_speed"), "speed", "most"),
    "tip_speed": Quantity("tip speed", "velocity", "most"),
    "belt_margin": Quantity("belt margin", "share", "excess"),
    "gear_bending": Quantity("gear bending capacity", "dimensionless", "capacity"),
    "gear_contact": Quantity("gear contact capacity", "dimensionless", "capacity"),
    "pitch_line_speed": Quantity("pitch-line speed", "velocity", "most"),
    "drive_torque": Quantity("torque into the drive", "torque", "most"),
    "peak_pressure": Quantity(word("worst_cycle_peak_pressure"), "pressure", "most"),
    "head_clamp": Quantity("head clamp over lift", "dimensionless", "capacity"),
    "charge_temperature": Quantity("charge temperature", "temperature", "most"),
    "boost": Quantity("boost", "pressure_difference", "most"),
    "power": Quantity("power", "power", "most"),
    "torque": Quantity("torque", "torque", "most"),
    "injector_duty": Quantity("injector duty", "share", "most"),
    "pump_load": Quantity("fuel pump load", "share", "most"),
    "knock": Quantity("knock margin", "angle", "spark"),
}


@dataclass(frozen=True)
class Limit:
    """One limit.

    Attributes
    ----------
    name : str
        A key of `QUANTITIES`.
    value : float
        The limit [SI].
    source : str
        Who says so: the maker's sheet, a rule book, common practice.
    usual : bool
        Whether nobody typed it. Such a limit rejects nothing where its quantity is not known.
    """

    name: str
    value: float
    source: str
    usual: bool = False

    @property
    def quantity(self) -> Quantity:
        """What is limited."""
        return QUANTITIES[self.name]

    @property
    def least(self) -> bool:
        """Whether the quantity must not fall below the limit."""
        return self.quantity.bound != "most"

    @overload
    def used(self, value: float) -> float: ...

    @overload
    def used(self, value: Array) -> Array: ...

    def used(self, value: float | Array) -> float | Array:
        """Return which share of what is allowed a value takes, above 1 where it is over.

        Parameters
        ----------
        value : float or ndarray
            The quantity [SI].

        Returns
        -------
        float or ndarray
            Load over capacity in the terms of the limit [dimensionless].
        """
        bound = self.quantity.bound
        with np.errstate(divide="ignore", invalid="ignore"):
            if bound == "most":
                if self.quantity.kind == "temperature":
                    # A share of absolute temperature would always look nearly used up.
                    return (value - _COLD) / (self.value - _COLD)
                return value / self.value
            if bound == "spark":
                return (FREE - value) / (FREE - self.value)
            if bound == "surge":
                return (1.0 - value) / (1.0 - self.value)
            if bound == "excess":
                carried = np.maximum(np.asarray(value, dtype=float) + 1.0, 0.0)
                return (1.0 + self.value) / carried
            share: Array = self.value / np.maximum(np.asarray(value, dtype=float), 0.0)
            return share

    def text(self, system: str = "trade", signs: bool = False) -> str:
        """Return the limit with its unit.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.
        signs : bool
            Whether signs say which way it bounds, where room is short.

        Returns
        -------
        str
            Such as ``"at most 46,000 rpm"``.
        """
        way = ("≥" if signs else "at least") if self.least else ("≤" if signs else "at most")
        return f"{way} {with_unit(self.quantity.kind, self.value, system)}"


#: From where charge temperature counts as a load [K].
_COLD = 273.15
#: Knock margin at which none of its limit counts as used: about what an engine without boost has
#: on its fuel (common practice, no source) [rad].
FREE = 20.0 * np.pi / 180.0


#: Decimals of thousands would say more than is known.
_THOUSANDS = 1000.0


def number(kind: str, value: float, system: str = "trade", whole: bool = False) -> str:
    """Return a value of a quantity kind without unit; shares in per cent."""
    if kind == "share":
        return f"{100.0 * value:.0f}" if np.isfinite(value) else shown_as("dimensionless", value)
    if kind == "angle":
        return f"{np.degrees(value):.1f}"
    if kind == "dimensionless":
        return f"{value:.2f}" if np.isfinite(value) else shown_as(kind, value)
    if whole or abs(float(display(value, kind, system)[0])) >= _THOUSANDS:
        return f"{float(display(value, kind, system)[0]):,.0f}"
    return shown_as(kind, value, system)


def unit(kind: str, system: str = "trade") -> str:
    """Return the display unit of a quantity kind; per cent for shares."""
    return "%" if kind == "share" else unit_label(kind, system)


def with_unit(kind: str, value: float, system: str = "trade") -> str:
    """Return a value of a quantity kind with its unit."""
    return f"{number(kind, value, system)} {unit(kind, system)}".strip()


def limits_table(limits: Sequence[Limit], system: str = "trade") -> Table:
    """Return the limits with who says so.

    Parameters
    ----------
    limits : sequence of Limit
        The limits.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Table
        One row a limit.
    """
    rows = [
        [
            limit.quantity.words,
            "at least" if limit.least else "at most",
            number(limit.quantity.kind, limit.value, system),
            unit(limit.quantity.kind, system),
            limit.source,
        ]
        for limit in limits
    ]
    headings = ["limit", "bound", "value", "unit", "source"]
    caption = "The limits, and who sets each of them"
    return Table(headings, [""] * 5, rows, caption=caption, flush=(0, 1, 3, 4))
