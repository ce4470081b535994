"""What the core takes as an array, and what it refuses."""

from typing import Any

import numpy as np
import pytest

from airchain import InputError, _core
from core_stations import LINE, breathing_table, chain, made, refusal_of, stage

SPEEDS = np.linspace(100.0, 600.0, 12).reshape(3, 4)
#: Not contiguous: every other number, backwards, and a column of a table.
STRIDED = [SPEEDS[:, 1], SPEEDS.ravel()[::-2][:3], SPEEDS.T[::2, 0], SPEEDS[0, ::2]]


@pytest.mark.parametrize("speed", STRIDED)
def test_strides_of_arrays_are_followed(speed: Any) -> None:
    assert not speed.flags["C_CONTIGUOUS"]
    plain = np.ascontiguousarray(speed)
    pressure, temperature = np.full(len(speed), 9e4), np.linspace(300.0, 340.0, len(speed))
    states = _core.engine_states(chain(), speed, pressure, temperature)
    wanted = _core.engine_states(chain(), plain, pressure, temperature)
    single = _core.engine_states(chain(), [speed[1]], pressure[1:2], temperature[1:2])
    for name, values in states.items():
        np.testing.assert_array_equal(values, wanted[name])
        assert values[1] == single[name][0]
    rising = np.sort(speed)
    curve = _core.Curve(rising[::-1][::-1], np.zeros(2 * len(rising))[::2])
    assert curve.x.tolist() == rising.tolist()
    table = breathing_table()
    np.testing.assert_array_equal(table.at(speed, 1.0), table.at(plain, 1.0))
    solved = _core.solve(chain(), {"engine_speed": speed}, ["air_flow"])["air_flow"]
    np.testing.assert_array_equal(
        solved, _core.solve(chain(), {"engine_speed": plain}, ["air_flow"])["air_flow"]
    )


def test_arrays_are_broadcast_against_each_other() -> None:
    table = breathing_table()
    over = table.at(SPEEDS[:, :, None], np.array([0.9, 1.1]))
    assert over.shape == (3, 4, 2)
    for index in np.ndindex(over.shape):
        assert over[index] == table.at(SPEEDS[index[:2]], [0.9, 1.1][index[2]])
    assert isinstance(table.at(200.0, 1.0), float)
    assert table.at(np.zeros((0, 3)), 1.0).shape == (0, 3)
    pressures = _core.saturation_pressure(np.array([[280.0], [290.0]]))
    assert pressures.shape == (2, 1)
    with pytest.raises(
        InputError, match=r"BreathingTable: pressure_ratio = 2 values; must have as"
    ):
        table.at([100.0, 200.0, 300.0], [0.9, 1.0])


MASKED = np.ma.masked_array([300.0, 400.0], mask=[False, True])
NOT_NUMBERS = {
    "holds text": ["300", "400"],
    "holds complex numbers": np.array([300.0, 400j]),
    "has masked values": MASKED,
    "holds true or false": [True, False],
    "holds a value that is of type dict": {},
    "holds a value that is of type NoneType": [300.0, None],
    "is of type list": [[300.0], [400.0, 500.0]],
}
#: Calls with an array, and how its refusal names it.
TAKE_ARRAYS = {
    "engine_states: plenum_temperature": lambda a: _core.engine_states(
        chain(), [300.0, 400.0], [1e5, 1e5], a
    ),
    "Curve: y": lambda a: _core.Curve([0.1, 0.2], a),
    "Cooler: mass_flow": lambda a: _core.measured_effectiveness(a, [0.7, 0.6]),
    "BreathingTable: engine_speed": lambda a: breathing_table().at(a, 1.0),
    "Breathing: values": lambda a: _core.BreathingTable([100.0, 300.0], [1.0], a),
    "saturation_pressure: temperature": _core.saturation_pressure,
    "Sweep: engine_speed": lambda a: _core.solve(chain(), {"engine_speed": a}),
    "CyclePoint: speed": lambda a: _core.run_cycles(
        made("CycleSetup"), {"speed": np.asanyarray(a)}
    ),
    "SpeedLine: flow": lambda a: _core.SpeedLine(speed=300.0, **(LINE | {"flow": a})),
    "timed_pull: engine_speed": lambda a: _core.timed_pull(chain(), None, a, 10.0),
    "BreathingSurface: wave_speed": lambda a: _core.BreathingSurface(a, *[[1.0]] * 7),
    "corrected_flow: air_flow": lambda a: _core.corrected_flow(
        _core.ReferenceState(), a, 1e5, 300.0, 0.0
    ),
    "predict_map: speeds": lambda a: _core.predict_map(stage(), a),
    "speed_line_from_points: speed": lambda a: _core.speed_line_from_points(
        a, [0.1, 0.2], [1.5, 1.4], [0.7, 0.7], 1.4
    ),
    "supply_points: engine_speed": lambda a: _core.supply_points(
        made("Supply"), a, [0.01, 0.02], [1e5, 1e5], [1e5, 1e5], 1e5
    ),
    "Injector: dead_time": lambda a: made("Injector", dead_time=([10.0, 14.0], [3e5], a)),
}


@pytest.mark.parametrize("where", TAKE_ARRAYS)
@pytest.mark.parametrize("why", NOT_NUMBERS)
def test_arrays_that_are_not_real_numbers_are_refused(where: str, why: str) -> None:
    if where.startswith("CyclePoint") and why.startswith("is of type"):
        pytest.skip("no array")
    with pytest.raises(InputError, match=f"^{where} {why}.*; must be real numbers"):
        TAKE_ARRAYS[where](NOT_NUMBERS[why])


def test_unmasked_and_odd_numbers_are_taken() -> None:
    for numbers in (np.ma.masked_array([0.8, 0.7]), np.float32([0.8, 0.7]), [8, 7], (0.8, 0.7)):
        assert _core.Curve([0.1, 0.2], numbers).y.tolist() == [float(v) for v in numbers]


def test_arrays_of_unlike_length_are_refused() -> None:
    with pytest.raises(InputError, match="engine_states: plenum_pressure has 1 value; must have"):
        _core.engine_states(chain(), [300.0, 400.0], [1e5], [300.0, 300.0])
    refusal = refusal_of(
        _core.supply_points, made("Supply"), [300.0], [0.01], [1e5], [1e5, 1e5], 1e5
    )
    assert (refusal.field, refusal.value) == ("reference", "2 values")
    assert refusal.rule == "have one value a point, as engine_speed with 1 value"
    points = {"speed": [300.0, 400.0, 500.0], "plenum_pressure": [1e5, 1e5]}
    with pytest.raises(InputError, match="CyclePoint: plenum_pressure has 2 values; must be as"):
        _core.run_cycles(made("CycleSetup"), points)
    with pytest.raises(InputError, match="Curve: y has 3 values but x has 2"):
        _core.Curve([0.1, 0.2], [1.0, 2.0, 3.0])
