"""What a dynamometer's log can hold: each quantity's name, kind and words."""

from __future__ import annotations

from typing import NamedTuple

from ..base.errors import quoted, refusal, suggestion

__all__ = ["QUANTITIES", "Quantity", "quantity"]


class Quantity(NamedTuple):
    """One measured quantity: its name, its kind in `airchain.units.KINDS`, and its words."""

    name: str
    kind: str
    words: str


#: Every quantity a measured pull may hold, by its name; pressures are absolute.
QUANTITIES: dict[str, Quantity] = {
    row.name: row
    for row in (
        Quantity("time", "time", "time"),
        Quantity("engine_speed", "speed", "engine speed"),
        Quantity("torque", "torque", "torque"),
        Quantity("power", "power", "power"),
        Quantity("plenum_pressure", "pressure", "plenum pressure"),
        Quantity("plenum_temperature", "temperature", "plenum temperature"),
        Quantity("compressor_inlet_temperature", "temperature", "compressor inlet temperature"),
        Quantity("compressor_inlet_pressure", "pressure", "compressor inlet pressure"),
        Quantity("compressor_outlet_temperature", "temperature", "compressor outlet temperature"),
        Quantity("compressor_outlet_pressure", "pressure", "compressor outlet pressure"),
        Quantity("air_flow", "mass_flow", "air flow"),
        Quantity("fuel_flow", "fuel_flow", "fuel flow"),
        Quantity("lambda", "dimensionless", "lambda"),
        Quantity("exhaust_temperature", "temperature", "exhaust temperature"),
        Quantity("coolant_temperature", "temperature", "coolant temperature"),
        Quantity("barometer", "barometer", "barometer"),
        Quantity("ambient_temperature", "temperature", "air temperature"),
        Quantity("relative_humidity", "dimensionless", "relative humidity"),
        Quantity("rotor_speed", "speed", "compressor speed"),
    )
}


def quantity(name: str, where: str) -> Quantity:
    """Return one quantity, or refuse a name that is none.

    Parameters
    ----------
    name : str
        The name, such as ``"torque"``.
    where : str
        Place that the refusal starts with.

    Returns
    -------
    Quantity
        Its kind and words.

    Raises
    ------
    InputError
        There is no such quantity.
    """
    if name not in QUANTITIES:
        known = list(QUANTITIES)
        hint = suggestion(name, known) or "one of " + ", ".join(known)
        raise refusal(where, "column", quoted(name), "be a measured quantity", hint)
    return QUANTITIES[name]


def kind_of(name: str) -> str:
    """Return the quantity kind of a measured column or of boost, a key of `airchain.units.KINDS`.

    Raises
    ------
    InputError
        There is no such column.
    """
    if name == "boost":
        return "pressure_difference"
    if name not in QUANTITIES:
        known = ", ".join(("boost", *QUANTITIES))
        raise refusal("overlay", "column", quoted(name), f"be one of {known}")
    return QUANTITIES[name].kind


def words_for(name: str) -> str:
    """Return the words of a measured column or of boost."""
    return QUANTITIES[name].words if name in QUANTITIES else name
