"""What a dynamometer's log can hold: each quantity's name, kind and words."""

from __future__ import annotations

from typing import NamedTuple

from ..base.errors import quoted, refusal, suggestion
from ..shown.glossary import word

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
        Quantity("time", "time", word("time")),
        Quantity("engine_speed", "speed", word("engine_speed")),
        Quantity("torque", "torque", word("torque")),
        Quantity("power", "power", word("power")),
        Quantity("plenum_pressure", "pressure", word("plenum_pressure")),
        Quantity("plenum_temperature", "temperature", word("plenum_temperature")),
        Quantity(
            "compressor_inlet_temperature", "temperature", word("compressor_inlet_temperature")
        ),
        Quantity("compressor_inlet_pressure", "pressure", word("compressor_inlet_pressure")),
        Quantity(
            "compressor_outlet_temperature", "temperature", word("compressor_outlet_temperature")
        ),
        Quantity("compressor_outlet_pressure", "pressure", word("compressor_outlet_pressure")),
        Quantity("air_flow", "mass_flow", word("air_flow")),
        Quantity("fuel_flow", "fuel_flow", word("fuel_flow")),
        Quantity("lambda", "dimensionless", word("lambda")),
        Quantity("exhaust_temperature", "temperature", word("exhaust_temperature")),
        Quantity("coolant_temperature", "temperature", word("coolant_temperature")),
        Quantity("barometer", "barometer", word("barometer")),
        Quantity("ambient_temperature", "temperature", word("ambient_temperature")),
        Quantity("relative_humidity", "dimensionless", word("relative_humidity")),
        Quantity("rotor_speed", "speed", word("rotor_speed")),
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
