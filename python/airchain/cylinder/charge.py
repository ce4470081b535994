"""The fuel of an engine and how it is mixed, from the table that names it."""

from __future__ import annotations

from typing import NamedTuple

from .. import _core
from ..base.errors import suggestion
from ..typed.section import Section


class Charge(NamedTuple):
    """A fuel, how it is injected, and the table that says so."""

    name: str
    fuel: _core.Fuel
    injection: _core.Injection
    typed: Section


def charge_of(typed: Section) -> Charge:
    """The fuel, generic with its own figures over it or all its own, and its injection."""
    makers = [(_fuel,), (_injection,)]
    fuel, injection = typed.source.every(lambda make: make(typed), makers)
    return Charge(typed.text("name", "own figures"), fuel, injection, typed)


#: What every fuel of one's own has to say of itself.
_OWN = ("hydrogen_ratio", "vapour_molar_mass", "lower_heating_value", "latent_heat",
        "vapour_pressure", "density", "research_octane", "motor_octane")  # fmt: skip


def _fuel(typed: Section) -> _core.Fuel:
    given = typed.fields(_core.Fuel)
    if typed.has("name"):
        name, known = typed.text("name"), list(_core.generic_fuel_names())
        if name not in known:
            near = suggestion(name, known)
            hint = near or "leave the name out to give a fuel's own figures"
            typed.refuse("name", f"be one of {', '.join(known)}", hint)
        return typed.make(_core.generic_fuel(name).replace, **given)
    if not any(field in given for field in _OWN):
        hint = f"one of {', '.join(_core.generic_fuel_names())}, or all figures of your own fuel"
        typed.refuse("name", "be given", hint)
    return typed.make(_core.Fuel, **given)


def _injection(typed: Section) -> _core.Injection:
    values: dict[str, float | str] = {**typed.fields(_core.Injection)}
    if typed.has("place"):
        values["place"] = typed.text("place")
    return typed.make(_core.Injection, **values)
