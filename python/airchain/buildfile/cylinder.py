"""The breathing of a build file: typed as a table, or made by cams, ports and runners."""

from __future__ import annotations

from math import ceil, pi
from pathlib import Path
from typing import Any

from .. import _core
from ..base.errors import InputError
from ..cylinder.camshaft import MeasuredLift
from ..cylinder.parts import Cylinder
from .keys import BENCH, BREATHING, BURN, CAMSHAFT, HEAT_LOSS, LOBE, PIPE
from .section import Section

#: Tables that say of what the crank-resolved cylinder is made; all are needed but the last two.
CAM_TABLES = (
    "camshaft",
    "intake_port",
    "exhaust_port",
    "runner",
    "primary",
    "burn",
    "heat_loss",
)
_NEEDED = CAM_TABLES[:5]
#: Length of a cell [m] of runner and primary: waves are finer in the runner.
_CELL = {"runner": 0.011, "primary": 0.053}
_CELLS = {"runner": (10, 60), "primary": (8, 40)}
_WALL = {"runner": 330.0, "primary": 800.0}
#: Water per dry air of the charge that a surface is made of; 0 to 0.02 move volumetric efficiency
#: by some 0.1 %.
_VAPOUR = 0.008


def typed_breathing(parent: Section) -> Any:
    """Volumetric efficiency as it was typed."""
    typed = parent.sub("volumetric_efficiency", BREATHING)
    typed.need("rpm", "values")
    speeds = typed.numbers("rpm")
    if typed.has("pressure_ratio"):
        ratios, rows = typed.numbers("pressure_ratio"), typed.rows("values")
    else:
        ratios, rows = [1.0], [typed.numbers("values")]
    if len(rows) != len(ratios) or len(rows[0]) != len(speeds):
        wanted = f"({len(ratios)}), with one value for each rpm ({len(speeds)})"
        hint = f"it has {len(rows)}, with {len(rows[0])}"
        typed.refuse("values", f"have one row for each pressure_ratio {wanted}", hint)
    by_speed = [list(row) for row in zip(*rows, strict=True)]
    table = typed.make(_core.breathing_table, speeds, ratios, by_speed)
    return typed.make(_core.Breathing, table=table, **typed.fields(_core.Breathing))


def cylinder(parent: Section, fuel: Any, injection: Any) -> Cylinder:
    """One cylinder with its cams, ports, runner and primary."""
    parent.need("rod_length", *_NEEDED)
    parts = parent.source.every(
        lambda make, *rest: make(parent, *rest),
        [
            (_lifts,),
            (_port, "intake_port"),
            (_port, "exhaust_port"),
            (_runner, "runner"),
            (_runner, "primary"),
            (_plain, "burn", BURN, _core.Burn),
            (_plain, "heat_loss", HEAT_LOSS, _core.HeatLoss),
            (_crank,),
        ],
    )
    lifts, intake_bench, exhaust_bench, runner, primary, burn, heat_loss, crank = parts
    if fuel is None or injection is None:
        raise InputError("")  # they were refused where they stand
    intake, exhaust, intake_peak, exhaust_peak = lifts
    camshaft = parent.sub("camshaft", CAMSHAFT)
    turn = 2.0 * pi
    valve = {
        "intake_valve": (intake, turn + intake_peak, intake_bench),
        "exhaust_valve": (exhaust, turn + exhaust_peak, exhaust_bench),
    }
    valves = {name: camshaft.make(_core.valve_area, *parts) for name, parts in valve.items()}
    mixture = parent.make(
        _core.ChargeMixture,
        fuel=fuel,
        evaporated_fraction=injection.evaporated_fraction,
        vapour=_VAPOUR,
        **{"lambda": getattr(injection, "lambda")},
    )
    setup = parent.make(
        _core.CycleSetup,
        crank=crank,
        intake=runner,
        exhaust=primary,
        burn=burn,
        heat_loss=heat_loss,
        mixture=mixture,
        octane=fuel.research_octane,
        **valves,
    )
    return Cylinder(setup, intake, exhaust, intake_peak, exhaust_peak)


def _crank(parent: Section) -> Any:
    names = ("bore", "stroke", "rod_length", "compression_ratio")
    parent.need(*names)
    return parent.make(_core.Crank, **{name: parent.number(name) for name in names})


def _plain(parent: Section, name: str, keys: Any, station: Any) -> Any:
    typed = parent.sub(name, keys, optional=True)
    return typed.make(station, **typed.fields(station))


def _runner(parent: Section, name: str) -> Any:
    typed = parent.sub(name, PIPE)
    typed.need("length", "diameter")
    values = {"far_diameter": typed.number("diameter"), **typed.fields(_core.Pipe)}
    taper = typed.make(_core.Pipe, **values)
    few, many = _CELLS[name]
    cells = min(max(ceil(taper.length / _CELL[name]), few), many)
    wall = typed.get("wall_temperature", _WALL[name])
    return typed.make(_core.Runner, taper=taper, wall_temperature=wall, cells=float(cells))


def _port(parent: Section, name: str) -> Any:
    typed = parent.sub(name, BENCH)
    typed.need("valve_diameter", "lift", "flow", "depression", "convention")
    lift, flow = typed.numbers("lift"), typed.numbers("flow")
    if len(lift) != len(flow):
        typed.refuse("flow", f"have one value for each of the {len(lift)} lifts")
    numbers = {
        k: typed.number(k) for k in ("depression", "pressure", "temperature") if typed.has(k)
    }
    bench = typed.make(
        _core.FlowBench, lift=lift, flow=flow, convention=typed.text("convention"), **numbers
    )
    count = int(typed.get("valves", 1))
    return typed.make(_core.effective_area, bench, typed.number("valve_diameter"), count)


def _lifts(parent: Section) -> tuple[Any, Any, float, float]:
    typed = parent.sub("camshaft", CAMSHAFT)
    typed.need("lobe_separation", "intake_centreline", "intake", "exhaust")
    separation, centreline = typed.number("lobe_separation"), typed.number("intake_centreline")
    (intake, in_lobe), (exhaust, out_lobe) = parent.source.every(
        lambda name: _lift(typed, name), [("intake",), ("exhaust",)]
    )
    if in_lobe is not None and out_lobe is not None:
        # The core refuses events that cross, and a shaft out of range.
        typed.make(
            _core.Camshaft,
            lobe_separation=separation,
            intake_centreline=centreline,
            intake=in_lobe,
            exhaust=out_lobe,
        )
    return intake, exhaust, centreline, centreline - 2.0 * separation


def _lift(camshaft: Section, name: str) -> tuple[Any, Any]:
    """Lift curve about its centreline, and the lobe where it was typed in the trade's terms."""
    typed = camshaft.sub(name, LOBE)
    if typed.one_of("lift_file", "duration", needed=True) == "lift_file":
        others = [key for key in LOBE if key not in ("lift_file", "rocker_ratio")]
        typed.only_with("a duration; a measured lift has everything in it", *others)
        path = Path(typed.source.file.name).parent / typed.text("lift_file")
        ratio = {"rocker_ratio": typed.number("rocker_ratio")} if typed.has("rocker_ratio") else {}
        return typed.make(MeasuredLift.read, path, **ratio).curve(), None
    typed.need("duration", "seat_duration", "lobe_lift")
    lobe = typed.make(_core.Lobe, **typed.fields(_core.Lobe))
    return typed.make(_core.LiftCurve, lobe), lobe
