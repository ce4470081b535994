"""Every bound station keeps one contract, walked over all of them by their own lists of fields."""

import copy
import keyword
import math
import pickle
from typing import Any

import numpy as np
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


def test_walks_the_stations_of_the_chain() -> None:
    assert {"Ambient", "Scoop", "Duct", "Compressor", "Drive", "Cooler"} <= set(STATIONS)
    assert {"Throttle", "Fuel", "Injection", "Breathing", "Engine"} <= set(STATIONS)
    assert {"Combustion", "Exhaust", "Bypass", "Impeller", "ReferenceState"} <= set(STATIONS)
    assert {"Lobe", "Camshaft", "FlowBench", "Crank", "Burn", "HeatLoss", "Pipe"} <= set(STATIONS)
    assert {"Runner", "ChargeMixture", "CycleSetup", "CyclePoint"} <= set(STATIONS)
    assert len(FIELDS) > 150


@pytest.mark.parametrize("name", STATIONS)
def test_repr_pasted_back_and_pickle_and_copy_give_the_same(name: str) -> None:
    station = made(name)
    pasted = eval(repr(station), dict(vars(_core)))
    assert pasted == station
    assert pickle.loads(pickle.dumps(station)) == station
    assert copy.deepcopy(station) == station
    assert station != 1
    assert repr(station).startswith(f"{name}(")


@pytest.mark.parametrize("name", STATIONS)
def test_unknown_keyword_is_a_type_error_that_lists_the_known(name: str) -> None:
    first = STATIONS[name].fields()[0][0]
    for call in (STATIONS[name], made(name).replace):
        with pytest.raises(TypeError, match=f"{name}: unknown keyword no_such_field.*{first}"):
            call(no_such_field=1.0)


@pytest.mark.parametrize("name", STATIONS)
def test_help_tells_every_field_with_its_unit(name: str) -> None:
    cls = STATIONS[name]
    for field, unit, low, high, words in cls.fields():
        shown = "[dimensionless]" if unit == "1" else f"[{unit}]"
        assert low < high
        assert f"{python_name(field)} : float" in cls.__doc__
        doc = getattr(cls, python_name(field)).__doc__
        assert words[1:] in doc
        assert shown in doc


@pytest.mark.parametrize(("name", "field", "unit", "low", "high"), FIELDS)
def test_replace_changes_one_field(
    name: str, field: str, unit: str, low: float, high: float
) -> None:
    station = made(name)
    before = getattr(station, field)
    # A hair off the old value: whole teeth and geometry leave no more room.
    whole = field.endswith("_teeth") or field == "cells"
    step = 1.0 if whole else 1e-3 * max(abs(before), min(high - low, 1e-3))
    value = before - step if before >= high else before + step
    if math.isinf(before):
        value = 1234.5
    if (name, field) == ("PulleyPair", "centre_distance"):
        value = 0.5
    changed = station.replace(**{field: value})
    assert getattr(changed, field) == value
    assert changed != station
    assert getattr(station, field) == before
    assert changed.replace(**{field: before}) == station


@pytest.mark.parametrize(("name", "field", "unit", "low", "high"), FIELDS)
def test_names_the_bad_input(name: str, field: str, unit: str, low: float, high: float) -> None:
    ends = [np.nextafter(low, -math.inf), np.nextafter(high, math.inf)]
    bad = [math.nan, *(value for value in ends if math.isfinite(value) and abs(value) < 1e300)]
    for call in (
        lambda value: made(name, **{field: value}),
        lambda value: made(name).replace(**{field: value}),
    ):
        for value in bad:
            with pytest.raises(InputError, match=rf"^{name}: {field} = .*; must be "):
                call(value)
    for value in ("1.0", None, True, [1.0]):
        with pytest.raises(TypeError, match=f"{name}: {field} is of type .*; must be a number"):
            made(name, **{field: value})


@pytest.mark.parametrize("name", NEEDED)
def test_what_a_station_needs_must_be_given(name: str) -> None:
    for field in NEEDED[name]:
        given = {k: v for k, v in NEEDED[name].items() if k != field}
        with pytest.raises(InputError, match=f"^{name}: {field} "):
            STATIONS[name](**given)


def test_input_error_is_a_value_error_of_the_package() -> None:
    assert issubclass(InputError, ValueError)
    assert _core.InputError is InputError
    assert InputError.__module__ == "airchain"


def refusal_of(call: Any, *arguments: Any, **named: Any) -> Any:
    """The one refusal that a call raises."""
    with pytest.raises(InputError) as raised:
        call(*arguments, **named)
    (refusal,) = raised.value.refusals
    return refusal


def test_input_error_of_the_core_carries_its_parts() -> None:
    with pytest.raises(InputError) as raised:
        made("Ambient", pressure=-1.0, temperature=25.0)
    error = raised.value
    assert [r.field for r in error.refusals] == ["pressure", "temperature"]
    assert (error.where, error.field, error.value) == ("Ambient", "pressure", "-1 Pa")
    assert error.rule.startswith("be between ")
    assert error.hint == ""
    assert error.indices == {}
    assert error.refusals[1].hint == "did you mean 25 degC?"
    assert str(error).split("\n") == [str(refusal) for refusal in error.refusals]
    assert str(error.refusals[1]).startswith("Ambient: temperature = 25 K; must be between ")


def test_refusals_of_rows_and_points_tell_their_indices() -> None:
    slow = _core.SpeedLine(speed=3000.0, **(LINE | {"flow": [0.2, -0.3, 0.35]}))
    data = _core.MapData(name="invented", lines=[slow, _core.SpeedLine(speed=4500.0, **FAST)])
    point = refusal_of(_core.CompressorMap, data)
    assert (point.field, point.indices) == ("flow", {"speed line": 1, "point": 2})
    assert "CompressorMap: speed line 1, point 2: flow = -0.3 kg/s; must be above 0" in str(point)
    short = _core.SpeedLine(speed=4500.0, **(FAST | {"efficiency": [0.7, 0.7]}))
    data = data.replace(lines=[_core.SpeedLine(speed=3000.0, **LINE), short])
    sizes = refusal_of(_core.CompressorMap, data)
    assert (sizes.field, sizes.indices, sizes.rule) == ("efficiency", {"speed line": 2}, "match")
    assert str(sizes) == ("CompressorMap: speed line 2 has 3 flows but 2 efficiencies; must match")
    node = refusal_of(_core.Curve, [0.1, 0.3, 0.2], [1.0, 1.0, 1.0])
    assert node.indices == {"value": 3}


def test_input_error_can_be_raised_from_python() -> None:
    low = _core.Refusal(where="a.toml:3", field="x", value="1", rule="be 2", hint="add 1")
    row = _core.Refusal(where="b", field="y", value="0", rule="be 1", indices={"row": 2})
    error = InputError([low, row])
    assert error.refusals == (low, row)
    assert str(error) == "a.toml:3: x = 1; must be 2; add 1\nb: row 2: y = 0; must be 1"
    assert (error.where, error.field, error.value) == ("a.toml:3", "x", "1")
    assert (error.rule, error.hint) == ("be 2", "add 1")
    assert InputError(low).refusals == (low,)
    assert InputError(refusals=iter([row])).indices == {"row": 2}
    assert low.replace(where="c") == _core.Refusal(**(parts(low) | {"where": "c"}))
    text = InputError("in words")
    assert str(text) == "in words"
    assert text.refusals == (_core.Refusal(statement="in words"),)
    assert text.where == text.field == ""
    for empty in (InputError(), InputError(""), InputError([])):
        assert (empty.refusals, str(empty), empty.field) == ((), "", "")
    with pytest.raises(TypeError, match="refusals is of type int; must be text or a sequence"):
        InputError([1])


def parts(refusal: Any) -> dict[str, Any]:
    """A refusal's parts by name."""
    names = ("where", "field", "value", "rule", "hint", "indices", "statement")
    return {name: getattr(refusal, name) for name in names}


@pytest.mark.parametrize("refusals", ["in words", [_core.Refusal(field="x", indices={"row": 2})]])
def test_input_error_goes_through_pickle_and_copy(refusals: Any) -> None:
    error = InputError(refusals)
    for twin in (pickle.loads(pickle.dumps(error)), copy.copy(error), copy.deepcopy(error)):
        assert type(twin) is InputError
        assert str(twin) == str(error)
        assert twin.refusals == error.refusals
    pasted = eval(repr(error), {"InputError": InputError, "Refusal": _core.Refusal})
    assert pasted.refusals == error.refusals


def test_stations_cannot_be_changed_in_place() -> None:
    with pytest.raises(AttributeError):
        made("Duct").area = 0.02


def test_links_are_taken_as_a_list_in_order() -> None:
    gears = _core.GearPair(driving_teeth=30, driven_teeth=20, efficiency=0.98)
    belt = _core.PulleyPair(driving_diameter=0.2, driven_diameter=0.1, rated_tension=900.0)
    step_up = _core.StepUp(speed_ratio=3.0)
    drive = _core.reduce_drive([gears, belt, step_up], _core.Drive(drag_torque=0.1))
    assert drive.speed_ratio == pytest.approx(1.5 * 2.0 * 3.0)
    assert drive.drag_torque == 0.1
    assert len(drive.belts) == 1
    assert _core.Drive(**{row[0]: getattr(drive, row[0]) for row in drive.fields()}) != drive
    assert drive.replace(belts=()).belts == ()
    assert pickle.loads(pickle.dumps(drive)) == drive
    assert _core.drive_rotation([gears, belt]) == -1
    first, *_, last = _core.drive_loads([gears, belt, step_up], 300.0, 5.0)
    assert last.torque_out == pytest.approx(5.0)
    assert first.speed_in == 300.0
    with pytest.raises(TypeError):
        _core.reduce_drive([1.0])


def test_words_instead_of_numbers_are_checked() -> None:
    assert _core.Injection(lambda_=0.9) == _core.Injection(**{"lambda": 0.9})
    assert _core.Injection(place="plenum").place == "plenum"
    with pytest.raises(InputError, match='Injection: place = "roof"; must be one of "before_comp'):
        _core.Injection(place="roof")
    with pytest.raises(TypeError, match="Cooler: shape is of type float; must be Curve"):
        _core.Cooler(shape=0.5)
    with pytest.raises(InputError, match="Cooler: shape = "):
        _core.Cooler(shape=_core.Curve([0.1, 0.2], [0.5, 1.5]))


def test_tables_and_curves_are_float64_arrays() -> None:
    table = breathing_table()
    assert table.values.dtype == np.float64
    assert table.values.shape == (3, 1)
    assert table.at(np.array([100.0, 300.0]), 1.0).tolist() == [0.8, 0.9]
    curve = _core.measured_effectiveness(np.array([0.1, 0.2, 0.3]), [0.8, 0.7, 0.6])
    assert curve.y.tolist() == [0.8, 0.7, 0.6]
    assert curve.at(0.2) == 0.7
    with pytest.raises(InputError, match="one row per engine speed"):
        _core.breathing_table([100.0, 300.0], [1.0], [[0.8]])


def test_map_goes_through_python_whole() -> None:
    first = compressor_map()
    assert eval(repr(first), dict(vars(_core))) == first
    assert pickle.loads(pickle.dumps(first)) == first
    point = first.at_flow(4500.0, 0.45)
    assert point.status == "matched"
    assert point.pressure_ratio == pytest.approx(2.0, rel=1e-3)
    assert first.grid(5, 7)["flow"].shape == (5, 7)
    with pytest.raises(InputError, match="MapData: lines is missing"):
        _core.MapData(name="none")
