"""The error of every bad input carries its parts, from the core or raised from Python."""

import copy
import pickle
from typing import Any

import pytest

from airchain import InputError, _core
from core_stations import FAST, LINE, made, refusal_of


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
