"""The likely slip behind a value that was refused: another unit, a per cent, a factor of ten."""

from __future__ import annotations

from collections.abc import Callable

from ..base.errors import InputError, quoted
from ..units.convert import NUMBER
from .place import Typed

#: Units that are taken for each other in a shop (common practice, no source).
_TAKEN_FOR = {
    "mm": ("in", "cm"),
    "cm": ("mm", "in"),
    "m": ("mm", "in"),
    "in": ("mm", "cm"),
    "ft": ("in",),
    "mm^2": ("cm^2", "in^2"),
    "cm^2": ("mm^2", "in^2"),
    "in^2": ("cm^2", "mm^2"),
    "m^2": ("cm^2",),
    "L": ("in^3", "cm^3"),
    "cm^3": ("in^3", "L"),
    "in^3": ("cm^3", "L"),
    "psi": ("kPa", "inH2O"),
    "psia": ("kPa", "inHg"),
    "kPa": ("psi", "mbar", "Pa"),
    "mbar": ("kPa", "bar"),
    "bar": ("psi", "mbar", "kPa"),
    "Pa": ("kPa", "mbar"),
    "inHg": ("inH2O", "kPa", "mbar"),
    "inH2O": ("inHg",),
    "degC": ("degF", "K"),
    "degF": ("degC", "K"),
    "K": ("degC", "degF"),
    "rad": ("deg",),
    "deg": ("rad",),
    "rpm": ("rad/s",),
    "rad/s": ("rpm",),
    "kg/s": ("lb/min", "kg/min"),
    "lb/min": ("kg/s", "lb/h"),
    "lb/h": ("lb/min",),
    "deg/kPa": ("deg/psi", "deg/bar"),
    "deg/psi": ("deg/kPa", "deg/bar"),
    "MJ/kg": ("kJ/kg", "BTU/lb"),
    "kJ/kg": ("MJ/kg", "BTU/lb"),
    "BTU/lb": ("kJ/kg", "MJ/kg"),
    "kg": ("lb", "g"),
    "lb": ("kg", "g"),
    "g": ("kg",),
}


def likely_slip(
    typed: Typed, in_si: Callable[[str | float], float], passes: Callable[[float], bool]
) -> str:
    """Return what may have been meant, as a question; empty where nothing near passes.

    Parameters
    ----------
    typed : str or number
        The value as it was typed.
    in_si : callable
        Returns another typed value in SI, or refuses it.
    passes : callable
        Says whether a value in SI would be taken.

    Returns
    -------
    str
        ``did you mean "4.0 in"?``, or an empty text.
    """
    for other in _others(typed):
        try:
            value = in_si(other)
        except InputError:
            continue
        if passes(value):
            return f"did you mean {quoted(other)}?"
    return ""


def _others(typed: Typed) -> list[str | float]:
    """What the value may have been meant as."""
    if isinstance(typed, int | float) and not isinstance(typed, bool):
        return [float(f"{typed * factor:.6g}") for factor in (0.01, 100.0)]
    if not isinstance(typed, str):
        return []
    text = typed.strip()
    number = NUMBER.match(text)
    if number is None:
        return []
    unit = text[number.end() :].strip()
    if unit == "%":
        return [float(number[0])]
    return [f"{number[0]} {other}" for other in _TAKEN_FOR.get(unit, ())]
