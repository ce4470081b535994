"""Numbers with units at the edge of the package: text or pint quantity in, SI float out, and back.

Inside `airchain` every number is SI and carries no unit. `to_si` converts once, when an object is
built; `from_si`, `display` and `formatted` go the other way for people to read. Pint is imported
only for a unit outside the table of common ones, and never inside a loop.

Examples
--------
>>> round(to_si("427 in^3", "volume", where="Engine", field="displacement"), 9)
0.006997276
>>> display(101325.0, "barometer")[1]
'inHg'
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from functools import lru_cache
from math import inf, isfinite
from numbers import Real
from typing import Protocol, TypeGuard, TypeVar

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError, quoted, refusal, suggestion
from .tables import KINDS, Kind
from .text import UnitRefusedError, factor_of, factor_of_any_kind, registry

__all__ = [
    "KINDS",
    "NUMBER",
    "Value",
    "display",
    "formatted",
    "from_si",
    "registry",
    "to_si",
    "unit_label",
]

#: A number, or an array of numbers.
Value = TypeVar("Value", float, NDArray[np.float64])


class Quantity(Protocol):
    """A number or an array with its unit, as pint makes it."""

    @property
    def magnitude(self) -> float | NDArray[np.float64]:
        """The number or array without its unit."""

    @property
    def units(self) -> object:
        """The unit; its long name is that of the format ``D``."""

    def __iter__(self) -> Iterator[Quantity]:
        """Go through the entries of an array."""


#: A decimal number with a point; no thousands separators, no nan or inf.
NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
#: Longer texts are read each time anew [characters].
_LONGEST_KEPT = 40
# What follows a number that goes on: "4,125 in", "1_000 m", "4 1/8 in", "1/2 in", "7 000 rpm".
_BROKEN_NUMBER = re.compile(r"[,._]|\s*[0-9]+(?!/(?:min|s)\b)|/[0-9]")


def to_si(
    value: object, kind: str, *, where: str = "", field: str, unit: str | None = None
) -> float:
    """Convert one typed value to SI, or refuse it by name.

    Parameters
    ----------
    value : str, pint.Quantity or number
        ``"427 in^3"``, ``"95 degF"``, ``"72 %"``; a bare number only where `kind` is
        dimensionless or `unit` is given.
    kind : str
        A key of `KINDS`, such as ``"volume"``. Pressures are absolute unless the kind is
        ``"pressure_difference"``: text in plain psi is then refused (write psia), while Pa, bar
        and inHg, and any pint quantity, are taken as absolute.
    where, field : str
        Place and name that the refusal starts with.
    unit : str, optional
        Unit of a bare number, for fields that carry it in their name (``speed_rpm``).

    Returns
    -------
    float
        The value in ``KINDS[kind].si_unit``.

    Raises
    ------
    InputError
        Not a number, not finite, no unit, unknown unit, wrong dimension, or a gauge reading.

    Examples
    --------
    >>> round(to_si("95 degF", "temperature", field="temperature"), 9)
    308.15
    """
    if type(value) is str and len(value) <= _LONGEST_KEPT:
        with suppress(InputError, UnitRefusedError):  # told below, with its place
            if isfinite(si := _text_to_si(value, kind, unit)):
                return si
    row = _kind(kind)
    number, unit_text = _split(value, row, where, field, unit)
    try:
        si = _scaled(number, unit_text, kind)
    except UnitRefusedError as problem:
        rule = problem.rule or f"be {row.words}, such as {quoted(_example(number, row))}"
        raise refusal(where, field, _shown(value), rule, problem.hint) from None
    if not isfinite(si):
        raise refusal(where, field, _shown(value), "be finite")
    return si


@lru_cache(maxsize=4096)
def _text_to_si(text: str, kind: str, unit: str | None) -> float:
    """A text in SI; kept, since a file is read many times with one value changed."""
    return _scaled(*_split(text, _kind(kind), "", "", unit), kind)


def _scaled(number: float, unit: str, kind: str) -> float:
    factor = factor_of(unit, kind)
    return (number + factor.offset) * factor.scale


def from_si(values: Value, unit: str, kind: str | None = None, where: str = "") -> Value:
    """Convert SI numbers or arrays to `unit`.

    Parameters
    ----------
    values : float or array
        SI values [SI]; anything that can be divided and subtracted from.
    unit : str
        The unit wanted, as in `to_si`.
    kind : str, optional
        A key of `KINDS`; checks the dimension and is needed where the unit alone does not tell,
        as for a temperature difference in degF.
    where : str
        What a refusal begins with, such as the name of the column that is asked for.

    Returns
    -------
    float or array
        The values in `unit`, of the type that came in.

    Raises
    ------
    InputError
        Unknown unit, or one that is no unit of `kind`.
    """
    if kind is not None:
        _kind(kind)
    try:
        factor = factor_of_any_kind(unit) if kind is None else factor_of(unit, kind)
    except UnitRefusedError as problem:
        rule = problem.rule
        if not rule and kind is not None:
            rule = f"be a unit of {KINDS[kind].words}, such as {quoted(KINDS[kind].trade)}"
        raise refusal(where, "unit", quoted(unit), rule, problem.hint) from None
    return values / factor.scale - factor.offset


def display(value: Value, kind: str, system: str = "trade") -> tuple[Value, str]:
    """Return SI `value` in the display unit of its kind, and that unit's label.

    Parameters
    ----------
    value : float or array
        The value in ``KINDS[kind].si_unit`` [SI].
    kind : str
        A key of `KINDS`.
    system : str
        ``"trade"`` (psi, degF, lb/min, hp, lb ft) or ``"si"`` (kPa, degC, kg/s, kW, N m).

    Returns
    -------
    tuple
        The number or array, and the label, empty for dimensionless kinds.
    """
    label = unit_label(kind, system)
    return from_si(value, label, kind), label


def formatted(value: float, kind: str, system: str = "trade") -> str:
    """Return SI `value` as text in its display unit, rounded to that unit's decimals.

    Parameters
    ----------
    value : float
        The value in ``KINDS[kind].si_unit`` [SI].
    kind : str
        A key of `KINDS`.
    system : str
        ``"trade"`` or ``"si"``, as in `display`.

    Returns
    -------
    str
        Number and unit, thousands parted by commas.

    Examples
    --------
    >>> formatted(308.15, "temperature"), formatted(308.15, "temperature", "si")
    ('95.0 degF', '35.0 degC')
    """
    number, label = display(value, kind, system)
    decimals = KINDS[kind].trade_decimals if system == "trade" else KINDS[kind].metric_decimals
    return f"{number:z,.{decimals}f} {label}".rstrip()


def unit_label(kind: str, system: str = "trade") -> str:
    """Return the display unit of a kind.

    Parameters
    ----------
    kind : str
        A key of `KINDS`.
    system : str
        ``"trade"`` or ``"si"``, as in `display`.

    Returns
    -------
    str
        The unit, empty for dimensionless kinds.

    Raises
    ------
    InputError
        There is no such kind or system.
    """
    row = _kind(kind)
    if system not in ("trade", "si"):
        raise refusal("display", "system", quoted(system), 'be "trade" or "si"')
    return row.trade if system == "trade" else row.metric


def _kind(kind: str) -> Kind:
    if kind not in KINDS:
        raise refusal(
            "units", "kind", quoted(kind), "be a quantity kind", suggestion(kind, list(KINDS))
        )
    return KINDS[kind]


def _shown(value: object) -> str:
    return quoted(str(value)) if is_quantity(value) else quoted(value)


def _example(number: float, row: Kind) -> str:
    return f"{number:.10g} {row.trade}".rstrip()


def is_quantity(value: object) -> TypeGuard[Quantity]:
    """Return whether a value is a number with its unit, a pint quantity of any registry."""
    return hasattr(value, "magnitude") and hasattr(value, "units")


def _split(value: object, row: Kind, where: str, field: str, unit: str | None) -> tuple[float, str]:
    """Return the number of a typed value and the text of its unit."""
    number: object = value
    unit_text = ""
    if isinstance(value, str):
        # Taken apart here, because pint refuses to multiply a number by an offset unit ("95 degF").
        text = value.strip().replace("\N{MINUS SIGN}", "-")
        number_match = NUMBER.match(text)
        if number_match is None or _BROKEN_NUMBER.match(text, number_match.end()):
            rule = f"be {row.words}: a number and its unit, such as {quoted(_example(1, row))}"
            hint = "write the number as a decimal with a point, without commas, spaces or fractions"
            raise refusal(where, field, _shown(value), rule, hint if number_match else "")
        number, unit_text = float(number_match[0]), text[number_match.end() :].strip()
    elif is_quantity(value):
        # By its long name, so that a quantity of any registry means what it says.
        number, unit_text = value.magnitude, f"{value.units:D}"
        unit_text = "" if unit_text == "dimensionless" else unit_text
    if not isinstance(number, float | int | Real) or isinstance(number, bool):
        raise refusal(where, field, _shown(value), f"be {row.words}")
    try:
        plain = float(number)
    except OverflowError:  # a whole number beyond the floats
        plain = inf
    if not isfinite(plain):
        raise refusal(where, field, _shown(value), f"be {row.words}, and finite")
    if not unit_text:
        unit_text = unit or ""
        if not unit_text and row.si_unit:
            rule = f"have a unit, such as {quoted(_example(plain, row))}"
            raise refusal(where, field, _shown(value), rule)
    return plain, unit_text
