"""The cylinder of an engine with cams, from its tables; build files and `CrankEngine` use it."""

from __future__ import annotations

from math import ceil, inf, pi, sqrt
from typing import Any, NamedTuple, TypeVar

from .. import _core
from ..base.errors import InputError, Refusal, joined, quoted, told_as
from ..base.kept import Kept
from ..typed.kept_parts import of_tables
from ..typed.keys import Keys
from ..typed.place import NotedError
from ..typed.ranges import range_rule
from ..typed.section import Section
from .camshaft import Cam, cam_of
from .charge import Charge
from .clearance import Clearance, checked_clearance, clearance_of
from .keys import BURN, CAMSHAFT, CYLINDER, FIRING, HEAT_LOSS, LOBE, PIPE, PORT
from .layout import layout_of
from .parts import Cylinder

#: Length of a cell [m] unless cells are typed: waves are finer in the runner, whose own tuning
#: makes the torque curve; the primary's are long, and hot gas carries them fast.
_CELL = {"runner": 0.011, "primary": 0.053}
#: Fewest and most cells by that length: waves stay resolved, and a surface's cycles quick.
_CELLS = {"runner": (10, 60), "primary": (8, 40)}
#: Inside of a primary at full load unless typed (common practice, no source) [K]; a runner's is
#: the core's.
PRIMARY_WALL = 800.0
#: Water per dry air of the charge unless typed: a mild day's. 0 to 0.02 move volumetric
#: efficiency by some 0.1 %.
HUMIDITY_RATIO = 0.008
_SIDES = ("intake", "exhaust")
#: The table that a refusal of the whole cylinder belongs to, by the core's word for the part.
_PLACES = {"Intake": "runner", "Exhaust": "primary", "CycleSetup": "camshaft"}
_NEEDED = ("bore", "stroke", "rod_length", "compression_ratio", "cylinders", "redline",
           "camshaft", "intake_port", "exhaust_port", "runner", "primary")  # fmt: skip

Law = TypeVar("Law", _core.Burn, _core.HeatLoss)


class _Port(NamedTuple):
    """A port's effective area over lift, and its valve's way to the piston."""

    area: _core.Curve
    way: Clearance | None


def assembled(typed: Section, charge: Charge | None) -> Cylinder:
    """Return the cylinder of an engine's table.

    Parameters
    ----------
    typed : Section
        The engine's table; its keys are those of `keys.CYLINDER`.
    charge : Charge or None
        The fuel and its injection; None where they were refused.

    Returns
    -------
    Cylinder
        The cylinder.

    Raises
    ------
    InputError, NotedError
        Anything that is missing, out of range or does not fit together; what could be told was
        noted at the table's place.
    """
    typed.need(*_NEEDED)
    makers: list[tuple[Any, ...]] = [
        (("camshaft",), _camshaft),
        (("intake_port", "bore"), _port, "intake"),
        (("exhaust_port", "bore"), _port, "exhaust"),
        (("runner",), _pipe, "runner"),
        (("primary",), _pipe, "primary"),
        (("burn",), _law, "burn", BURN, _core.Burn),
        (("heat_loss",), _law, "heat_loss", HEAT_LOSS, _core.HeatLoss),
        ((), _crank),
        ((), _size),
    ]
    parts = typed.source.every(lambda *row: of_tables(typed, *row), makers)
    cam, intake, exhaust, runner, primary, burn, heat_loss, crank, size = parts
    if charge is None:
        raise NotedError
    ports = {"intake": intake, "exhaust": exhaust}
    shafts = [
        (("camshaft", f"{side}_port"), _valve, cam, side, ports[side].area) for side in _SIDES
    ]
    valves = typed.source.every(lambda *row: of_tables(typed, *row), shafts)
    ways = {side: port.way for side, port in ports.items()}
    clearances = {
        side: checked_clearance(typed.sub(f"{side}_port", PORT), cam, crank, side, way)
        for side, way in ways.items()
        if way is not None
    }
    setup = _setup(
        typed,
        _mixture(typed, charge),
        crank=crank,
        intake_valve=valves[0],
        exhaust_valve=valves[1],
        intake=runner,
        exhaust=primary,
        burn=burn,
        heat_loss=heat_loss,
        octane=charge.fuel.research_octane,
    )
    as_typed = {name: typed.table[name] for name in CYLINDER if typed.has(name)}
    as_typed |= {"camshaft": cam, "fuel": dict(charge.typed.table)}
    cylinders = int(typed.number("cylinders"))
    name, injection = charge.name, charge.injection
    layout = of_tables(typed, _OF_LAYOUT, layout_of, setup, cylinders)
    return Cylinder(
        setup, size, cylinders, cam, ways, clearances, name, injection, as_typed, layout
    )


#: What the cylinders' layout is made of.
_OF_LAYOUT = (*FIRING, "plenum", "collectors", "runner", "primary", "cylinders")


#: Bore over stroke of any engine (common practice, no source).
_BORES = (0.4, 3.0)
_ANY_VOLUME = 1e-3


def swept_volume(typed: Section) -> float:
    """Volume [m^3] that pistons sweep, of an engine's bore, stroke and cylinders.

    Where the bore is refused, that is noted, and the volume is one that the core takes, so that it
    judges the rest of the table.
    """
    typed.made_of["displacement"] = "bore"
    volume = typed.source.attempt(_swept, typed)
    if volume is not None:
        return volume
    typed.refused.add("bore")
    return _ANY_VOLUME


def _swept(typed: Section) -> float:
    typed.positive("bore", "stroke")
    bore, stroke = typed.number("bore"), typed.number("stroke")
    low, high = _BORES
    if not low <= bore / stroke <= high:
        hint = typed.slip("bore", lambda other: low <= other / stroke <= high)
        hint = hint or f"the stroke is {quoted(str(typed.table['stroke']))}"
        typed.refuse("bore", f"be {low} to {high} times the stroke", hint)
    return 0.25 * pi * bore * bore * stroke * typed.number("cylinders")


def _camshaft(parent: Section) -> Cam:
    given = parent.table["camshaft"]
    return given if isinstance(given, Cam) else cam_of(parent.sub("camshaft", CAMSHAFT))


def _crank(parent: Section) -> _core.Crank:
    names = ("bore", "stroke", "rod_length", "compression_ratio")
    return parent.make(_core.Crank, **{name: parent.number(name) for name in names})


def _size(parent: Section) -> _core.Engine:
    return parent.make(
        _core.Engine, displacement=swept_volume(parent), **parent.fields(_core.Engine)
    )


def _law(parent: Section, name: str, keys: Keys, law: type[Law]) -> Law:
    typed = parent.sub(name, keys, optional=True)
    return typed.make(law, **typed.fields(law))


def _pipe(parent: Section, name: str) -> _core.Runner:
    """A runner or primary; without a diameter at the port it is straight."""
    typed = parent.sub(name, PIPE)
    typed.need("length", "diameter")
    values = {"far_diameter": typed.number("diameter"), **typed.fields(_core.Pipe)}
    taper = typed.make(_core.Pipe, **values)
    few, many = _CELLS[name]
    walls = {"cells": float(min(max(ceil(taper.length / _CELL[name]), few), many))}
    if name == "primary":
        walls["wall_temperature"] = PRIMARY_WALL
    return typed.make(_core.Runner, taper=taper, **{**walls, **typed.fields(_core.Runner)})


def _port(parent: Section, side: str) -> _Port:
    """A port on the flow bench, told by the convention that its litres follow."""
    typed = parent.sub(f"{side}_port", PORT)
    typed.need("valve_diameter", "lift", "flow", "depression", "convention")
    lift, flow = typed.numbers("lift"), typed.numbers("flow")
    if len(lift) != len(flow):
        typed.refuse("flow", f"have one value for each of the {len(lift)} lifts")
    bench = typed.make(
        _core.FlowBench,
        lift=lift,
        flow=flow,
        convention=typed.text("convention"),
        **typed.fields(_core.FlowBench),
    )
    count = int(typed.get("valves", 1))
    _lies_in_bore(parent, typed, count)
    area = typed.make(_core.effective_area, bench, typed.number("valve_diameter"), count)
    return _Port(area, clearance_of(typed, side))


#: Diameter of a circle around so many that touch, over theirs (plane geometry).
_AROUND = {1: 1.0, 2: 2.0, 3: 1.0 + 2.0 / sqrt(3.0), 4: 1.0 + sqrt(2.0)}
#: Valves that stand at an angle in a domed head find so much more room than the bore has.
_DOME = 1.1


def _lies_in_bore(parent: Section, typed: Section, count: int) -> None:
    """Refuse valves of one side that do not find room over the bore, even alone."""
    if "bore" in parent.refused or "valve_diameter" in typed.refused:
        return
    most = _DOME * parent.number("bore") / _AROUND[count]
    if typed.number("valve_diameter") > most:
        given = typed.table["valve_diameter"]
        rule = range_rule(given, "length", -inf, most) or f"be at most {most:.4g} m"
        beside = "one valve lies" if count == 1 else f"{count} valves lie side by side"
        typed.refuse("valve_diameter", rule, f"{beside} over a bore of {parent.table['bore']}")


def _valve(parent: Section, cam: Cam, side: str, area: _core.Curve) -> _core.ValveArea:
    """Effective area of a valve over crank angle; what is refused stands with its lobe."""
    lobe = Section(parent.source, (*parent.path, "camshaft", side), LOBE, {})
    return lobe.make(_core.valve_area, cam.curve(side), cam.peak(side), area)


#: Air into which a cylinder's fuel evaporates, pressure [Pa] and temperature [K]: where typed fuel
#: is more than the air holds, the share that is held moves by some 3 points from 100 kPa and 300 K
#: to 220 kPa and 335 K, and with it the charge's gas constant by less than 0.5 %.
_PLENUM = (130e3, 310.0)


def _mixture(parent: Section, charge: Charge) -> _core.ChargeMixture:
    parent.in_range(_core.ChargeMixture, "humidity_ratio", "mixture_unevenness")
    injection = charge.injection
    humidity = parent.get("humidity_ratio", HUMIDITY_RATIO)
    _, evaporated = _core.charge_after_fuel(charge.fuel, injection, *_PLENUM, humidity)
    return charge.typed.make(
        _core.ChargeMixture,
        fuel=charge.fuel,
        evaporated_fraction=evaporated,
        lambda_=injection.lambda_,
        **{"vapour": humidity, **parent.fields(_core.ChargeMixture)},
    )


#: Setups by their charge, whose making takes longer than all the rest of an engine.
_charged: Kept[_core.CycleSetup] = Kept(64)


def _setup(typed: Section, mixture: _core.ChargeMixture, **parts: Any) -> _core.CycleSetup:
    """The whole cylinder; what does not fit together is told under the part that was typed."""
    try:
        charged = _charged.get(repr(mixture), lambda: _core.CycleSetup(mixture=mixture, **parts))
        return charged.replace(**parts)
    except InputError as error:
        raise told_as(error, lambda one: _of_part(typed, one)) from None


def _of_part(typed: Section, refused: Refusal) -> Refusal:
    if refused.where not in _PLACES:
        return refused.replace(where=joined(typed.source.begins(typed.path), refused.where))
    return refused.replace(where=typed.source.begins((*typed.path, _PLACES[refused.where])))
