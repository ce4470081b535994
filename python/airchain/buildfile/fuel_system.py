"""The fuel system of a build file: injectors, regulator, pumps, lines and tank."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Any

from .. import _core
from ..cylinder.charge import Charge
from ..typed.kept_parts import of_tables
from ..typed.keys import TABLE, TABLES, Key, Keys, choice, core_keys
from ..typed.place import KeyPath, NotedError, Typed
from ..typed.section import Section
from .source import Source

FUEL_SYSTEM: Keys = {
    "voltage": Key("voltage", "voltage"),
    "viscosity": Key("viscosity", "viscosity"),
    "injectors": TABLE,
    "regulator": TABLE,
    "pumps": TABLE,
    "supply_line": TABLE,
    "return_line": TABLE,
    "tank": TABLE,
}
INJECTORS: Keys = {
    "count": Key("count", "injectors"),
    "flow": Key("fuel_flow", "rated_flow"),
    "volume_flow": Key("liquid_flow"),
    "at_pressure": Key("pressure_difference", "rated_pressure"),
    "at_density": Key("density", "rated_density"),
    "pulses_per_cycle": Key("count", "pulses"),
    "duty_limit": Key("dimensionless", "duty_limit"),
    "dead_time": TABLE,
}
DEAD_TIME: Keys = {
    "voltage": Key("voltage", "voltage"),
    "pressure": Key("pressure_difference", "pressure_difference"),
    "values": Key("pulse_time", "dead_time"),
}
REGULATOR: Keys = {
    "pressure": Key("pressure_difference", "rail_pressure"),
    "reference": choice("plenum", "ambient"),
    "place": choice("rail", "tank"),
}
PUMPS: Keys = {
    "count": Key("count", "count"),
    "margin": Key("dimensionless", "pump_margin"),
    "curves": TABLES,
}
PUMP_CURVE: Keys = {
    "voltage": Key("voltage", "voltage"),
    "pressure": Key("pressure_difference", "pressure"),
    "flow": Key("pump_flow", "flow"),
}
LINE = core_keys(_core.Line)
TANK: Keys = {"volume": Key("volume")}


@dataclass(frozen=True)
class FuelSystem:
    """The fuel system that a build file describes.

    Attributes
    ----------
    supply : Supply
        Injectors, pumps, regulator and lines.
    tank_volume : float
        What the tank holds [m^3]; infinite where it was not typed.
    return_line : bool
        Whether a return line was typed.
    """

    supply: _core.Supply
    tank_volume: float
    return_line: bool


def fuel_system(source: Source, charge: Charge | None) -> FuelSystem | None:
    """Return the fuel system, or None where the file has none.

    `charge` is the build's; None where it was refused.
    """
    if "fuel_system" not in source.file.data:
        return None
    typed = Section(source, ("fuel_system",), FUEL_SYSTEM, source.file.data["fuel_system"])
    typed.need("injectors", "regulator", "pumps", "supply_line")
    wanted: list[tuple[Any, ...]] = [
        (("injectors",), _injectors),
        (("regulator",), _regulator),
        (("pumps", "voltage"), _pumps),
        (("supply_line", "return_line"), _lines),
        ((), _liquid, charge),
        ((), _tank),
    ]
    parts = source.every(lambda *row: of_tables(typed, *row), wanted)
    if charge is None:
        raise NotedError
    injectors, regulator, pumps, lines, viscosity, volume = parts
    values = {**injectors, **regulator, **pumps, **lines, **viscosity}
    supply = typed.make(_core.Supply, density=charge.fuel.density, **values)
    return FuelSystem(supply, volume, typed.has("return_line"))


def _injectors(parent: Section) -> dict[str, float | _core.Injector]:
    typed = parent.sub("injectors", INJECTORS)
    typed.need("count", "at_pressure", "at_density", "dead_time")
    values = typed.fields(_core.Injector)
    if typed.one_of("flow", "volume_flow", needed=True) == "volume_flow":
        values["rated_flow"] = typed.number("volume_flow") * typed.number("at_density")
    dead_time = _dead_time(typed.sub("dead_time", DEAD_TIME))
    injector = typed.make(_core.Injector, dead_time=dead_time, **values)
    return {"injector": injector, **typed.fields(_core.Supply)}


def _dead_time(typed: Section) -> tuple[list[float], list[float], list[list[float]]]:
    """Rows over voltage; one row of values serves where pressure was not typed."""
    typed.need("voltage", "values")
    voltages = typed.numbers("voltage")
    if typed.has("pressure"):
        pressures, rows = typed.numbers("pressure"), typed.rows("values")
    else:
        pressures, rows = [0.0], [[value] for value in typed.numbers("values")]
    if len(rows) != len(voltages) or len(rows[0]) != len(pressures):
        wanted = f"({len(voltages)}), with one value for each pressure ({len(pressures)})"
        typed.refuse("values", f"have one row for each voltage {wanted}")
    return voltages, pressures, rows


def _regulator(parent: Section) -> dict[str, float | str]:
    typed = parent.sub("regulator", REGULATOR)
    typed.need("pressure", "reference", "place")
    values = typed.fields(_core.Supply)
    return {**values, "reference": typed.text("reference"), "place": typed.text("place")}


def _pumps(parent: Section) -> dict[str, float | _core.Pump]:
    typed = parent.sub("pumps", PUMPS)
    parent.need("voltage")
    rows = [Section(parent.source, *row) for row in _curve_rows(typed)]
    for row in rows:
        row.need("voltage", "pressure", "flow")
    rows.sort(key=lambda row: row.number("voltage"))
    pressures = rows[0].numbers("pressure")
    for row in rows:
        if row.numbers("pressure") != pressures:
            row.refuse("pressure", "be the same for every curve", "read all curves at them")
        if len(row.numbers("flow")) != len(pressures):
            row.refuse("flow", f"have one value for each of the {len(pressures)} pressures")
    voltages = [row.number("voltage") for row in rows]
    curves = (voltages, pressures, [row.numbers("flow") for row in rows])
    count, voltage = typed.get("count", 1), parent.number("voltage")
    pump = rows[0].make(_core.Pump, count=count, curves=curves)
    same = _core.Pump.same_voltage
    if not voltages[0] * (1.0 - same) <= voltage <= voltages[-1] * (1.0 + same):
        rule = f"lie within the pump's curves, {voltages[0]:g} to {voltages[-1]:g} V"
        parent.refuse("voltage", rule, "a pump's flow at another voltage is not guessed")
    values = typed.fields(_core.Supply)
    return {"pump": parent.make(pump.replace, voltage=voltage), **values}


def _curve_rows(typed: Section) -> list[tuple[KeyPath, Keys, Mapping[str, Typed]]]:
    return [(path, PUMP_CURVE, table) for path, table in typed.tables("curves")]


def _lines(parent: Section) -> dict[str, _core.Line]:
    typed = parent.sub("supply_line", LINE)
    supply = typed.make(_core.Line, **typed.fields(_core.Line))
    if not parent.has("return_line"):
        return {"supply_line": supply, "return_line": supply.replace(length=0.0)}
    back = parent.sub("return_line", LINE)
    return {
        "supply_line": supply,
        "return_line": back.make(_core.Line, **back.fields(_core.Line)),
    }


def _liquid(parent: Section, charge: Charge | None) -> dict[str, float]:
    """The fuel's viscosity: as typed, or that of the generic fuel."""
    if parent.has("viscosity"):
        return {"viscosity": parent.number("viscosity")}
    if charge is None:
        raise NotedError
    if charge.name not in _core.generic_fuel_names():
        parent.refuse("viscosity", "be given", "[fuel] names no generic fuel that has one")
    return {"viscosity": _core.generic_viscosity(charge.name)}


def _tank(parent: Section) -> float:
    if not parent.has("tank"):
        return inf
    typed = parent.sub("tank", TANK)
    typed.need("volume")
    typed.positive("volume")
    return typed.number("volume")
