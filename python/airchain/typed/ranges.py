"""The range of a value in the unit that was typed, so that a refusal can be followed at once."""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite

from ..base.errors import InputError
from ..units.convert import KINDS, NUMBER, from_si, is_quantity
from .place import Typed

__all__ = ["range_rule"]


def range_rule(
    typed: Typed, kind: str, low: float, high: float, *, factor: float = 1.0,
    passes: Callable[[float], bool] = lambda _bound: True,
) -> str:  # fmt: skip
    """Return what a value must be, its bounds in the unit that it was typed in.

    Parameters
    ----------
    typed : str, number or quantity
        The value as it was typed.
    kind : str
        Its kind, a key of `airchain.units.convert.KINDS`.
    low, high : float
        Lowest and highest value [SI]; infinite where there is none.
    factor : float
        What takes the typed value to the one that the bounds are of, dimensionless.
    passes : callable
        Whether a value [SI] at the very bound would pass.

    Returns
    -------
    str
        Such as ``"be between 0.3937 and 9.843 in"``; empty where no unit was typed.
    """
    unit = _unit_of(typed)
    if not unit or kind not in KINDS:
        return ""
    try:
        shown = [_number(float(from_si(v / factor, unit, kind))) for v in (low, high)]
    except InputError:
        return ""
    open_ends = [isfinite(v) and not passes(v) for v in (low, high)]
    if isfinite(low) and isfinite(high) and not any(open_ends):
        return f"be between {shown[0]} and {shown[1]} {unit}"
    words = []
    if isfinite(low):
        words.append(f"{'above' if open_ends[0] else 'at least'} {shown[0]}")
    if isfinite(high):
        words.append(f"{'below' if open_ends[1] else 'at most'} {shown[1]}")
    return f"be {' and '.join(words)} {unit}" if words else ""


def _unit_of(typed: Typed) -> str:
    """The unit as it was typed, empty where there is none."""
    if isinstance(typed, str):
        text = typed.strip().replace("\N{MINUS SIGN}", "-")
        number = NUMBER.match(text)
        return text[number.end() :].strip() if number else ""
    return f"{typed.units:~}".strip() if is_quantity(typed) else ""


def _number(value: float) -> str:
    """Four digits, thousands parted by commas."""
    return f"{value:,.0f}" if abs(value) >= 1e4 else f"{value:.4g}"
