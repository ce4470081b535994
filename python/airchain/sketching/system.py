"""Weather, ways of the air, cooler and fuel of a sketch."""

from __future__ import annotations

from collections.abc import Mapping
from math import log, pi

import numpy as np

from .. import _core
from .engine import flow_without_blower
from .facts import Facts
from .lines import GUESSED, TYPED, UNLESS_TOLD, WORKED_OUT, Line, Writer
from .stage import design_flow

#: Lambda for best torque with some reserve, and the lines' comment (common practice, no source).
FUELS = {"gasoline_regular": 0.86, "gasoline_premium": 0.86, "race_gasoline_leaded": 0.86,
         "e85": 0.84, "ethanol": 0.84, "methanol": 0.80}  # fmt: skip
#: UA of a cooler rises with charge flow to about this power (Kays and London, from memory).
_TRANSFER = 0.6
_PIPE_SPEED = {"discharge": 75.0, "charge_duct": 60.0}
_CHARGE_DENSITY = {"discharge": 2.0, "charge_duct": 2.2}
_INLET_SPEED = 60.0


def full_flow(facts: Facts) -> float:
    """Air that sizes pipes, cooler and fuel system [kg/s]."""
    return design_flow(facts) if facts.supercharged else flow_without_blower(facts)


def way_lines(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    """Return the lines of weather, ways of the air, cooler, throttle and fuel."""
    flow = full_flow(facts)
    lines = [*_weather(facts, writer), *_inlet(flow, values, writer)]
    if facts.supercharged:
        lines += [*_pipe("discharge", flow, values, writer), *_cooler(facts, flow, values, writer)]
        lines += _pipe("charge_duct", flow, values, writer)
    return [*lines, *_throttle(facts, values, writer), *_fuel(facts, values, writer)]


def _weather(facts: Facts, writer: Writer) -> list[Line]:
    reference = "reference of ISO 1585: 990 hPa dry, 25 degC; type the site's own"
    standard = {"barometer": ("pressure", 99000.0, "barometer"),
                "temperature": ("temperature", 298.15, "temperature")}  # fmt: skip
    lines = []
    for fact, (key, value, kind) in standard.items():
        if facts.has(fact):
            lines.append(Line(("ambient", key), facts.typed[fact], TYPED))
        else:
            text = writer.text(value, kind)
            lines.append(Line(("ambient", key), text, WORKED_OUT, reference))
    if facts.has("humidity"):
        return [*lines, Line(("ambient", "humidity"), facts.typed["humidity"], TYPED)]
    return [*lines, Line(("ambient", "humidity"), "0 %", WORKED_OUT, reference)]


def _inlet(flow: float, values: Mapping[str, float], writer: Writer) -> list[Line]:
    rise = writer.text(max(values["inlet_rise"], 0.0), "temperature_difference")
    drop = writer.text(values["inlet_drop"], "pressure_difference", _drop_unit(writer))
    return [
        Line(("scoop", "temperature_rise"), rise, GUESSED, "", "inlet_rise"),
        Line(("inlet", "drop"), drop, GUESSED, "", "inlet_drop"),
        Line(("inlet", "at_flow"), writer.text(flow, "mass_flow"), WORKED_OUT, "full flow"),
    ]


def _drop_unit(writer: Writer) -> str:
    return "inH2O" if writer.system == "trade" else "kPa"


def _pipe(name: str, flow: float, values: Mapping[str, float], writer: Writer) -> list[Line]:
    speed = _PIPE_SPEED[name]
    diameter = (4.0 * flow / (_CHARGE_DENSITY[name] * speed * pi)) ** 0.5
    how = f"{speed:.0f} m/s at full flow; common practice"
    return [
        Line((name, "loss_coefficient"), writer.plain(values["duct_loss"]), GUESSED, "",
             "duct_loss"),
        Line((name, "diameter"), writer.text(diameter, "length"), WORKED_OUT, how),
    ]  # fmt: skip


def _cooler(facts: Facts, flow: float, values: Mapping[str, float], writer: Writer) -> list[Line]:
    """Effectiveness 1 - exp(-NTU) of much coolant; NTU falls as flow rises."""
    if facts.cooler == "none":
        return []
    units = -log(1.0 - min(values["effectiveness"], 0.97))
    shares = np.array([0.2, 0.4, 0.7, 1.0, 1.3])
    curve = 1.0 - np.exp(-units * shares ** (_TRANSFER - 1.0))
    points = [writer.plain(float(v)) for v in curve]
    flows = writer.texts(list(shares * flow), "mass_flow")
    drop = writer.text(values["cooler_drop"], "pressure_difference")
    return [
        _word(("cooler", "kind"), facts, "cooler"),
        Line(("cooler", "measured", "flow"), flows, WORKED_OUT, "about full flow"),
        Line(("cooler", "measured", "effectiveness"), points, GUESSED, "", "effectiveness"),
        *_coolant(facts, values, writer),
        Line(("cooler", "drop"), drop, GUESSED, "", "cooler_drop"),
        Line(("cooler", "at_flow"), writer.text(flow, "mass_flow"), WORKED_OUT, "full flow"),
        Line(("cooler", "at_density"), writer.text(2.0, "density"), WORKED_OUT, "at 15 psi or so"),
    ]


def _word(path: tuple[str, str], facts: Facts, name: str) -> Line:
    """The line of a word that was told, or is the usual one."""
    word = {"cooler": facts.cooler, "fuel": facts.fuel}[name]
    if name in facts.assumed:
        return Line(path, word, WORKED_OUT, UNLESS_TOLD)
    return Line(path, word, TYPED)


def _coolant(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    if facts.cooler == "air_to_air":
        rise = writer.text(values["coolant"], "temperature_difference")
        return [Line(("cooler", "coolant_rise"), rise, GUESSED, "", "coolant")]
    key = "coolant_temperature" if facts.cooler == "air_to_water" else "water_temperature"
    if facts.has("coolant_temperature"):
        lines = [Line(("cooler", key), facts.typed["coolant_temperature"], TYPED)]
    else:
        water = writer.text(max(values["coolant"], 273.2), "temperature")
        lines = [Line(("cooler", key), water, GUESSED, "", "coolant")]
    if facts.cooler == "ice_tank":
        usual = "a usual tank; common practice"
        lines += [
            Line(("cooler", "water_mass"), writer.text(12.0, "mass"), WORKED_OUT, usual),
            Line(("cooler", "ice_mass"), writer.text(5.0, "mass"), WORKED_OUT, usual),
            Line(("cooler", "ice_conductance"), "3000 W/K", WORKED_OUT, usual),
        ]
    return lines


def _throttle(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    volume = facts.displacement * facts["redline"] / (4.0 * pi)
    diameter = (4.0 * volume / (values["throttle_speed"] * pi)) ** 0.5
    text = writer.text(diameter, "length")
    return [
        Line(("throttle", "diameter"), text, GUESSED, "", "throttle_speed"),
        Line(("throttle", "discharge_coefficient"), 0.88, WORKED_OUT, "common practice"),
    ]


def _fuel(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    mixture = "best torque with some reserve; common practice"
    share = writer.plain(min(max(values["evaporated"], 0.0), 1.0))
    return [
        _word(("fuel", "name"), facts, "fuel"),
        Line(("fuel", "lambda"), FUELS[facts.fuel], WORKED_OUT, mixture),
        Line(("fuel", "place"), "port", WORKED_OUT, "usual"),
        Line(("fuel", "evaporated_fraction"), share, GUESSED, "", "evaporated"),
        Line(("fuel", "temperature"), writer.text(298.15, "temperature"), WORKED_OUT, "a mild day"),
    ]


def fuel_flow(facts: Facts, air: float) -> float:
    """Fuel for so much air [kg/s]."""
    fuel = _core.generic_fuel(facts.fuel)
    return float(air / (FUELS[facts.fuel] * fuel.stoichiometric_ratio))
