"""The stations of a build file without compressor and drive, each from its table."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from .. import _core
from ..base.errors import suggestion
from ..cylinder.assembly import assembled, swept_volume
from ..cylinder.charge import Charge, charge_of
from ..cylinder.keys import FUEL, OWN
from ..cylinder.parts import Cylinder
from ..cylinder.spread import EVERY
from ..cylinder.surface import COARSE, CYCLES
from ..typed.keys import Keys
from ..typed.place import NotedError
from ..typed.section import Section
from .breathing import typed_breathing
from .keys import (
    AMBIENT,
    COMBUSTION,
    COOLER,
    COOLER_KINDS,
    DUCT,
    ENGINE,
    EXHAUST,
    LOSS,
    MEASURED_COOLER,
    SCOOP,
    SECTIONS,
    THROTTLE,
)
from .source import Source

#: Air density that a loss measured on a flow bench refers to unless said otherwise [kg/m^3].
BENCH_DENSITY = 1.2
#: Pressure of the standard atmosphere at sea level (ISO 2533) [Pa].
SEA_LEVEL = 101325.0


def section(source: Source, name: str, keys: Keys, optional: bool = True) -> Section:
    """Return a table of the top level; one that is misspelt was refused already."""
    if not optional and name not in source.file.data:
        strange = [other for other in source.file.data if other not in SECTIONS]
        if any(f'"{name}"' in suggestion(other, list(SECTIONS)) for other in strange):
            raise NotedError
    return Section(source, (name,), keys, source.file.data.get(name), optional)


def ambient(source: Source) -> _core.Ambient:
    """Weather: barometer or altimeter setting, relative humidity or dew point."""
    return weather(section(source, "ambient", AMBIENT, optional=False))


def weather(typed: Section, standard: bool = False) -> _core.Ambient:
    """The weather that a table describes.

    Where `standard` allows it, an altitude alone stands for the pressure that the standard
    atmosphere has there: the altimeter setting is then that of its sea level.
    """
    typed.need("temperature")
    fields = typed.fields(_core.Ambient)
    alone = typed.has("altitude") and not (typed.has("pressure") or typed.has("altimeter"))
    if standard and alone:
        altitude = typed.number("altitude")
        fields["pressure"] = typed.make(_core.station_pressure, SEA_LEVEL, altitude)
    elif typed.one_of("pressure", "altimeter", needed=True) == "altimeter":
        setting, altitude = typed.number("altimeter"), typed.number("altitude")
        fields["pressure"] = typed.make(_core.station_pressure, setting, altitude)
    else:
        typed.only_with("an altimeter setting; a barometer on site already reads it", "altitude")
    if typed.one_of("humidity", "dew_point") == "dew_point":
        pair = typed.number("temperature"), typed.number("dew_point")
        fields["relative_humidity"] = typed.make(_core.relative_humidity_from_dew_point, *pair)
    return typed.make(_core.Ambient, **fields)


def scoop(source: Source) -> _core.Scoop:
    """Ram and under-bonnet heat."""
    typed = section(source, "scoop", SCOOP)
    return typed.make(_core.Scoop, **typed.fields(_core.Scoop))


def loss(typed: Section) -> dict[str, float]:
    """Loss coefficient and area of a table that gives them, or one measured drop."""
    way = typed.one_of("loss_coefficient", "drop")
    if way == "drop":
        typed.only_with("a loss_coefficient", "area", "diameter")
        typed.need("at_flow")
        measured = {"density": BENCH_DENSITY, **typed.fields(_Drop)}
        typed.made_of |= {"loss_coefficient": "drop", "area": "drop"}
        duct = typed.make(_core.duct_from_pressure_drop, **measured)
        return {"loss_coefficient": duct.loss_coefficient, "area": duct.area}
    typed.only_with("a drop", "at_flow", "at_density")
    if not way:
        typed.only_with("a loss_coefficient", "area", "diameter")
        return {"loss_coefficient": 0.0}
    return {"loss_coefficient": typed.number("loss_coefficient"), **typed.area(needed=True)}


class _Drop:
    """What a measured drop is made of, in the form of a core class."""

    @staticmethod
    def fields() -> list[tuple[str]]:
        return [("pressure_drop",), ("mass_flow",), ("density",)]


def duct(source: Source, name: str) -> _core.Duct:
    """A duct: one loss, or several parts one after another."""
    typed = section(source, name, DUCT)
    if not typed.has("parts"):
        return typed.make(_core.Duct, **loss(typed))
    typed.only_with("no parts", *LOSS)
    parts = [(Section(source, path, LOSS, table),) for path, table in typed.tables("parts")]
    ducts = source.every(lambda part: part.make(_core.Duct, **loss(part)), parts)
    return typed.make(_core.ducts_in_series, ducts)


_BY_KIND = {
    "air_to_air": ("coolant_rise",),
    "air_to_water": ("coolant_temperature",),
    "ice_tank": ("water_mass", "ice_mass", "water_temperature", "ice_conductance"),
}
_TRANSFER = ("conductance", "flow_arrangement", "reference_flow", "coolant_capacity_rate")


def cooler(source: Source) -> tuple[_core.Cooler, _core.IceTank | None]:
    """The charge cooler, and its tank where it has one."""
    typed = section(source, "cooler", COOLER)
    if not typed.table:
        return _core.Cooler(), None
    typed.need("kind")
    kind = typed.text("kind")
    if kind == "none":
        typed.only_with(f"kind {', '.join(COOLER_KINDS[1:])}", *(k for k in COOLER if k != "kind"))
        return _core.Cooler(), None
    for other, names in _BY_KIND.items():
        if other != kind:
            typed.only_with(f'kind = "{other}"', *names)
    values: dict[str, float | _core.Curve] = {
        **typed.fields(_core.Cooler),
        **loss(typed),
        **_effectiveness(typed),
    }
    tank = None
    if kind == "air_to_air":
        values["ambient_cooled"] = True
    elif kind == "air_to_water":
        typed.need("coolant_temperature")
    else:
        tank = typed.make(_core.IceTank, **typed.fields(_core.IceTank))
        values["coolant_temperature"] = tank.water_temperature
    return typed.make(_core.Cooler, **values), tank


def _effectiveness(typed: Section) -> dict[str, float | _core.Curve]:
    """Effectiveness as a number, as a measured curve, or from conductance and arrangement."""
    way = typed.one_of("effectiveness", "measured", "conductance", needed=True)
    if way != "conductance":
        typed.only_with("a conductance", *_TRANSFER, "flow_exponent", "most_flow")
    if way == "effectiveness":
        return {"effectiveness": typed.number("effectiveness")}
    if way == "measured":
        points = typed.sub("measured", MEASURED_COOLER)
        flow, effectiveness = points.numbers("flow"), points.numbers("effectiveness")
        if len(flow) != len(effectiveness):
            points.refuse("effectiveness", f"have one value for each of the {len(flow)} flows")
        shape = points.make(_core.measured_effectiveness, flow, effectiveness)
        return {"effectiveness": 1.0, "shape": shape}
    typed.need(*_TRANSFER)
    reference = typed.number("reference_flow")
    shape = typed.make(
        _core.effectiveness_curve,
        typed.text("flow_arrangement"),
        typed.number("conductance"),
        reference,
        typed.get("flow_exponent", 0.0),
        typed.number("coolant_capacity_rate"),
        typed.get("most_flow", 3.0 * reference),
    )
    return {"effectiveness": 1.0, "shape": shape}


def throttle(source: Source) -> _core.Throttle:
    """Throttle blades by area or by diameter and count."""
    typed = section(source, "throttle", THROTTLE)
    return typed.make(_core.Throttle, **{**typed.fields(_core.Throttle), **typed.area()})


def fuel(source: Source) -> Charge:
    """The fuel, generic with its own figures over it or all its own, and its injection."""
    return charge_of(section(source, "fuel", FUEL, optional=False))


class EngineParts(NamedTuple):
    """Size and friction, and typed breathing or the cylinder that makes it.

    `breathing_scale` is a factor on what the cylinder breathes, `breathes` says by what.
    """

    size: _core.Engine
    breathing: _core.Breathing | None
    cylinder: Cylinder | None = None
    breathing_scale: float = 1.0
    breathes: str = ""


def engine(source: Source, charge: Charge | None, whose: str = "") -> EngineParts:
    """The engine by its cams, ports and pipes, or by its typed breathing."""
    typed = section(source, "engine", ENGINE, optional=False)
    if typed.has("camshaft") and typed.has("volumetric_efficiency"):
        hint = (
            "take the typed table out: delete it in the file, or replace "
            '"engine.volumetric_efficiency" by None'
        )
        if typed.has("valve_loss"):
            hint += ', and "engine.valve_loss" with it'
        typed.refuse("camshaft", "not stand beside volumetric_efficiency", hint)
    way = typed.one_of("volumetric_efficiency", "camshaft", needed=True)
    size = typed.one_of("bore", "displacement", needed=True)
    if way == "camshaft":
        if typed.has("valve_loss"):
            hint = "a camshaft; the surface tells the work of the gas exchange"
            typed.refuse("valve_loss", f"not stand beside {hint}")
        cylinder = assembled(typed, charge)
        if cylinder.layout is None or cylinder.layout.collectors is None:
            typed.only_with("a firing_order and a table [engine.collectors]", "spread")
        breathes, told = typed.text("breathing", CYCLES), typed.text("spread", EVERY)
        cylinder = replace(cylinder, spread=told == EVERY, coarse=breathes == COARSE, whose=whose)
        scale = typed.get("breathing_scale", 1.0)
        return EngineParts(cylinder.size, None, cylinder, scale, breathes)
    typed.only_with("a camshaft", *OWN, "breathing_scale", "breathing", "spread")
    breathing = source.attempt(typed_breathing, typed)
    typed.need("stroke", "compression_ratio", "redline")
    typed.positive("bore", "stroke")
    values = typed.fields(_core.Engine)
    if size == "bore":
        values["displacement"] = swept_volume(typed)
    else:
        typed.only_with("a bore", "cylinders")
    return EngineParts(typed.make(_core.Engine, **values), breathing)


def _with_cams(source: Source) -> bool:
    engine = source.file.data.get("engine")
    return isinstance(engine, dict) and "camshaft" in engine


def combustion(source: Source) -> _core.Combustion:
    """Quality or work scale, and phasing of the burn."""
    typed = section(source, "combustion", COMBUSTION)
    if _with_cams(source) and typed.has("quality"):
        hint = "work_scale is the factor on the work of the cycles"
        typed.refuse("quality", "not stand beside a camshaft, whose cycles give the work", hint)
    if not _with_cams(source) and typed.has("work_scale"):
        hint = "quality sets the work where volumetric efficiency is typed"
        typed.refuse("work_scale", "stand beside a camshaft, whose cycles give the work", hint)
    return typed.make(_core.Combustion, **typed.fields(_core.Combustion))


def exhaust(source: Source) -> _core.Exhaust:
    """Back pressure of what the cycles do not hold: they have primaries and collectors already."""
    typed = section(source, "exhaust", EXHAUST)
    engine = source.file.data.get("engine")
    typed_of = engine if isinstance(engine, dict) else {}
    held = "collectors" if "collectors" in typed_of else "primaries"
    begins = f"behind the {held}" if "camshaft" in typed_of else typed.text("begins")
    if typed.text("begins") not in ("", begins):
        hint = (
            f"the cycles hold the loss up to the {held}' ends, which must not count twice: type "
            "the loss of what comes behind them"
        )
        typed.refuse("begins", f'be "{begins}" on this engine', hint)
    return typed.make(_core.Exhaust, **{**typed.fields(_core.Exhaust), **typed.area()})
