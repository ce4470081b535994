"""Injectors, pumps and lines of a sketch, sized by the fuel of the strongest level.

Injectors at 80 % of the time open with 30 % to spare, pumps with 50 % to spare, lines at 3 m/s
(common practice, no source). What is to spare is for a cold day, some 8 % more air, and for the
doubt of a sketch, some 14 %: a plan asks for both, and the pumps keep 15 % besides. Curves fall
with pressure as those of usual parts do; type the maker's own. They move neither boost nor power.
"""

from __future__ import annotations

from math import pi

from .. import _core
from .facts import Facts
from .lines import WORKED_OUT, Line, Writer
from .system import fuel_flow

_DUTY, _SPARE, _PUMP_SPARE, _LINE_SPEED = 0.80, 1.30, 1.50, 3.0
_RATED = 300e3
_DEAD_TIMES = [["1.5 ms", "1.7 ms"], ["1.1 ms", "1.2 ms"], ["0.85 ms", "0.95 ms"],
               ["0.7 ms", "0.75 ms"]]  # fmt: skip
#: Pump flow at these pressures over that at the rail's.
_PUMP = ((200e3, 1.30), (350e3, 1.15), (500e3, 1.0), (650e3, 0.84), (800e3, 0.64))
_LESS_VOLTAGE = 0.84
_RAIL_BOOST = 345e3


def supply_lines(facts: Facts, air: float, writer: Writer) -> list[Line]:
    """Return the lines of [fuel_system] for so much air [kg/s]."""
    fuel = fuel_flow(facts, air)
    density = float(_core.generic_fuel(facts.fuel).density)
    return [
        Line(("fuel_system", "voltage"), "13.5 V", WORKED_OUT, "a charged system"),
        *_injectors(facts, fuel, density, writer),
        Line(("fuel_system", "regulator", "pressure"),
             writer.text(_RAIL_BOOST, "pressure_difference"), WORKED_OUT, "usual"),
        Line(("fuel_system", "regulator", "reference"), "plenum", WORKED_OUT, "usual with boost"),
        Line(("fuel_system", "regulator", "place"), "rail", WORKED_OUT, "usual"),
        *_pumps(fuel / density * _PUMP_SPARE, writer),
        *_line("supply_line", fuel / density, writer),
        *_line("return_line", fuel / density, writer),
    ]  # fmt: skip


def _injectors(facts: Facts, fuel: float, density: float, writer: Writer) -> list[Line]:
    place = ("fuel_system", "injectors")
    real = (_RAIL_BOOST / _RATED) ** 0.5
    each = _SPARE * fuel / (facts.cylinders * _DUTY * real)
    how = "full power at 80 % open, 30 % to spare for cold and doubt"
    pressures = writer.texts([275e3, 415e3], "pressure_difference")
    usual = "usual; type the maker's"
    return [
        Line((*place, "count"), facts.cylinders, WORKED_OUT, "one a cylinder"),
        Line((*place, "flow"), writer.text(each, "fuel_flow"), WORKED_OUT, how),
        Line((*place, "at_pressure"), writer.text(_RATED, "pressure_difference"), WORKED_OUT,
             "as makers rate them"),
        Line((*place, "at_density"), writer.text(density, "density"), WORKED_OUT,
             "of this fuel"),
        Line((*place, "duty_limit"), 0.85, WORKED_OUT, "common practice"),
        Line((*place, "dead_time", "voltage"), ["10 V", "12 V", "14 V", "16 V"], WORKED_OUT, usual),
        Line((*place, "dead_time", "pressure"), pressures, WORKED_OUT, usual),
        Line((*place, "dead_time", "values"), _DEAD_TIMES, WORKED_OUT, usual),
    ]  # fmt: skip


def _pumps(volume: float, writer: Writer) -> list[Line]:
    """Two curves of all pumps together, at less and at full voltage."""
    lines = [Line(("fuel_system", "pumps", "margin"), 0.15, WORKED_OUT, "common practice")]
    pressures = writer.texts([p for p, _ in _PUMP], "pressure_difference")
    sized = f"full power with {100 * (_PUMP_SPARE - 1):.0f} % to spare"
    for number, (voltage, share) in enumerate((("12.0 V", _LESS_VOLTAGE), ("13.5 V", 1.0))):
        place = ("fuel_system", "pumps", "curves", number)
        flows = writer.texts([share * volume * part for _, part in _PUMP], "pump_flow")
        lines += [
            Line((*place, "voltage"), voltage, WORKED_OUT, "usual"),
            Line((*place, "pressure"), pressures, WORKED_OUT, "usual"),
            Line((*place, "flow"), flows, WORKED_OUT, sized),
        ]
    return lines


def _line(name: str, volume: float, writer: Writer) -> list[Line]:
    place = ("fuel_system", name)
    diameter = (4.0 * volume * 2.0 / (_LINE_SPEED * pi)) ** 0.5
    return [
        Line((*place, "length"), writer.text(4.0, "length"), WORKED_OUT, "tank to rail; usual"),
        Line((*place, "diameter"), writer.text(diameter, "length"), WORKED_OUT,
             "3 m/s with twice the fuel under way"),
        Line((*place, "loss_coefficient"), 8.0, WORKED_OUT, "filter and bends; usual"),
    ]  # fmt: skip
