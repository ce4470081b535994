"""Every bound station keeps one contract, walked over all of them by their own lists of fields."""

import copy
import math
import pickle

import numpy as np
import pytest

from airchain import InputError, _core
from core_stations import (
    FIELDS,
    NEEDED,
    STATIONS,
    breathing_table,
    chain,
    compressor_map,
    made,
    python_name,
)


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


# A breathing without table and surface belongs to a chain that runs its cylinder's cycles.
@pytest.mark.parametrize("name", [name for name in NEEDED if name != "Breathing"])
def test_what_a_station_needs_must_be_given(name: str) -> None:
    for field in NEEDED[name]:
        given = {k: v for k, v in NEEDED[name].items() if k != field}
        with pytest.raises(InputError, match=f"^{name}: {field} "):
            STATIONS[name](**given)


def test_input_error_is_a_value_error_of_the_package() -> None:
    assert issubclass(InputError, ValueError)
    assert _core.InputError is InputError
    assert InputError.__module__ == "airchain"


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


def test_none_puts_a_station_back_to_its_default() -> None:
    vented = chain(bypass=_core.Bypass(opens_at=5e4))
    assert vented.bypass.opens_at == 5e4
    assert vented.replace(bypass=None) == chain()
    assert vented.replace(bypass=None).bypass == _core.Bypass()
    blown = chain(compressor=made("Compressor"))
    assert blown.replace(compressor=None) == chain()
    with pytest.raises(InputError, match=r"Engine: displacement = nan .*it is missing"):
        vented.replace(engine=None)
    with pytest.raises(TypeError, match="Chain: bypass is of type int; must be Bypass"):
        vented.replace(bypass=3)


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
