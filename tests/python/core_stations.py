"""A station of every class that the core binds, as small as it can be."""

import keyword
import math
from typing import Any

import pytest

from airchain import InputError, _core

# Invented figures, in range; what a station cannot do without.
LINE = {"flow": [0.2, 0.3, 0.35], "pressure_ratio": [1.6, 1.5, 1.2], "efficiency": [0.7, 0.75, 0.6]}
FAST = {"flow": [0.3, 0.45, 0.5], "pressure_ratio": [2.2, 2.0, 1.4], "efficiency": [0.7, 0.76, 0.6]}


def compressor_map() -> Any:
    """An invented map of two lines."""
    lines = [_core.SpeedLine(speed=3000.0, **LINE), _core.SpeedLine(speed=4500.0, **FAST)]
    return _core.CompressorMap(_core.MapData(name="invented", lines=lines, left_end="surge"))


def breathing_table() -> Any:
    """An invented table."""
    return _core.breathing_table([100.0, 300.0, 500.0], [1.0], [[0.8], [0.9], [0.85]])


DEGREE = math.pi / 180.0
LOBE = {"duration": 230.0 * DEGREE, "seat_duration": 280.0 * DEGREE, "lobe_lift": 0.009}


def valve_area(peak: float) -> Any:
    """An invented valve event about a crank angle [deg]."""
    bench = _core.FlowBench(lift=[0.003, 0.008, 0.015], flow=[0.03, 0.08, 0.10], depression=7000.0)
    lift = _core.LiftCurve(_core.Lobe(**LOBE))
    return _core.valve_area(lift, peak * DEGREE, _core.effective_area(bench, 0.05))


def runner() -> Any:
    """An invented pipe."""
    taper = _core.Pipe(length=0.3, diameter=0.05, far_diameter=0.045)
    return _core.Runner(taper=taper, cells=8)


CRANK = {"bore": 0.1, "stroke": 0.1, "rod_length": 0.16, "compression_ratio": 9.5}
FUEL = _core.generic_fuel(_core.generic_fuel_names()[0])
INJECTOR: dict[str, Any] = {
    "rated_flow": 0.012,
    "rated_pressure": 3e5,
    "rated_density": 760.0,
    "dead_time": ([10.0, 14.0], [3e5], [[1.6e-3], [0.9e-3]]),
}
PUMP: dict[str, Any] = {"curves": ([13.5], [1e5, 6e5], [[9e-5, 5e-5]])}
NEEDED: dict[str, dict[str, Any]] = {
    "Ambient": {"pressure": 1e5, "temperature": 300.0},
    "GearPair": {"driving_teeth": 30, "driven_teeth": 20},
    "StepUp": {"speed_ratio": 3.5},
    "PulleyPair": {"driving_diameter": 0.2, "driven_diameter": 0.1},
    "GearTeeth": {
        "face_width": 0.03,
        "allowable_bending": 4e8,
        "allowable_contact": 1.4e9,
        "torsional_factor": 1.4,
    },
    "HeadJoint": {
        "fasteners_per_cylinder": 4.0,
        "sealing_diameter": 0.11,
        "fastener_diameter": 0.0127,
        "torque": 120.0,
    },
    "IceTank": {"water_mass": 20.0, "water_temperature": 280.0},
    "Fuel": {
        name: getattr(FUEL, name)
        for name, *_ in _core.Fuel.fields()
        if name not in ("oxygen_ratio", "vapour_heat_capacity", "liquid_heat_capacity")
    },
    "Engine": {
        "displacement": 0.004,
        "stroke": 0.08,
        "compression_ratio": 9.5,
        "speed_limit": 700.0,
    },
    "Breathing": {"table": breathing_table()},
    "Compressor": {"map": compressor_map()},
    "Operation": {"engine_speed": 400.0},
    "Impeller": {
        "inlet_hub_radius": 0.012,
        "inlet_tip_radius": 0.03,
        "inlet_hub_blade_angle": 0.5,
        "inlet_tip_blade_angle": 1.0,
        "inlet_blade_thickness": 0.001,
        "inducer_throat_area": 0.0013,
        "exit_radius": 0.045,
        "exit_width": 0.005,
        "exit_backsweep": 0.5,
        "exit_blade_thickness": 0.001,
        "axial_length": 0.03,
        "tip_clearance": 0.0003,
        "full_blades": 8.0,
    },
    "Vanes": {
        "leading_edge_angle": 1.2,
        "throat_area": 0.001,
        "area_ratio": 2.0,
        "exit_radius": 0.08,
        "exit_angle": 0.8,
    },
    "Lobe": LOBE,
    "Camshaft": {
        "lobe_separation": 110.0 * DEGREE,
        "intake_centreline": 106.0 * DEGREE,
        "intake": _core.Lobe(**LOBE),
        "exhaust": _core.Lobe(**LOBE),
    },
    "FlowBench": {"lift": [0.003, 0.009], "flow": [0.03, 0.09], "depression": 7000.0},
    "Crank": CRANK,
    "Pipe": {"length": 0.3, "diameter": 0.05, "far_diameter": 0.045},
    "Runner": {"taper": _core.Pipe(length=0.3, diameter=0.05, far_diameter=0.045)},
    "ChargeMixture": {"fuel": FUEL, "lambda": 0.9, "evaporated_fraction": 0.4},
    "CycleSetup": {
        "crank": _core.Crank(**CRANK),
        "intake_valve": valve_area(468.0),
        "exhaust_valve": valve_area(244.0),
        "intake": runner(),
        "exhaust": runner(),
        "mixture": _core.ChargeMixture(fuel=FUEL, lambda_=0.9, evaporated_fraction=0.4),
    },
    "CyclePoint": {
        "speed": 400.0,
        "plenum_pressure": 1e5,
        "plenum_temperature": 300.0,
        "exhaust_pressure": 1e5,
    },
    "EngineRoom": {"volume": 0.006},
    "LiftOff": {"volume": 0.01, "plenum_volume": 0.006, "length": 1.2, "flow_area": 0.005},
    "Diffuser": {"inlet_width": 0.005, "exit_radius": 0.07, "exit_width": 0.005},
    "Injector": INJECTOR,
    "Pump": PUMP,
    "Line": {"length": 4.0, "diameter": 0.0095},
    "Supply": {
        "rail_pressure": 3e5,
        "injectors": 8.0,
        "density": 745.0,
        "viscosity": 5e-4,
        "injector": _core.Injector(**INJECTOR),
        "pump": _core.Pump(**PUMP),
        "supply_line": _core.Line(length=4.0, diameter=0.0095),
        "return_line": _core.Line(length=4.0, diameter=0.008),
    },
    "Volute": {"throat_radius": 0.09, "throat_area": 0.001, "exit_area": 0.0012},
}
STATIONS = {
    name: cls
    for name, cls in vars(_core).items()
    if isinstance(cls, type) and hasattr(cls, "fields")
}
FIELDS = [(name, *row[:4]) for name, cls in STATIONS.items() for row in cls.fields()]


def made(name: str, **more: Any) -> Any:
    """A station with what it needs."""
    return STATIONS[name](**(NEEDED.get(name, {}) | more))


def python_name(field: str) -> str:
    """The field's name as Python can spell it."""
    return f"{field}_" if keyword.iskeyword(field) else field


def chain(**stations: Any) -> Any:
    """An invented chain, without a compressor unless one is given."""
    needed = {name: made(name.capitalize()) for name in ("ambient", "fuel", "breathing", "engine")}
    return _core.Chain(**(needed | stations))


def stage() -> Any:
    """An invented stage."""
    return _core.Stage(impeller=made("Impeller"), diffuser=made("Diffuser"))


def refusal_of(call: Any, *arguments: Any, **named: Any) -> Any:
    """The one refusal that a call raises."""
    with pytest.raises(InputError) as raised:
        call(*arguments, **named)
    (refusal,) = raised.value.refusals
    return refusal
