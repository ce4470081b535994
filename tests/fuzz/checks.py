"""What must hold of every answer, whatever was typed; written apart from the core's own check."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np

from airchain import InputError
from airchain.chain import Pull

#: Columns of a matched point that may be NaN or infinite, since a limit or a base is missing.
MAY_BE_NONE = ("surge_margin", "choke_margin", "speed_margin", "belt_margin", "brake_specific_fuel",
               "air_per_power")  # fmt: skip
_OF_COMPRESSOR = ("corrected_flow", "rotor_speed", "corrected_speed", "tip_speed", "map_place",
                  "isentropic_efficiency")  # fmt: skip
_ROUNDING = 1.0 + 1e-9
#: What a terminal or a page must never be given.
_HIDDEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]")


def put(path: Path, text: str, encoding: str = "utf-8", errors: str = "surrogatepass") -> None:
    """Write a changed text to a new file: over an old one the system waits for its disk."""
    path.unlink(missing_ok=True)
    path.write_bytes(text.encode(encoding, errors))


def refused(act: Callable[[], object]) -> object:
    """What an act returns, or the `InputError` it ends in; anything else is a finding."""
    try:
        return act()
    except InputError as error:
        told = error
    text = str(told)
    assert told.refusals, "a refusal without parts"
    assert text.strip(), "a refusal without words"
    assert not _HIDDEN.search(text), repr(text)
    for wrong in ("Traceback", "must be be ", "must be fall"):
        assert wrong not in text
    return told


def pull_is_possible(pull: Pull) -> int:
    """Check every matched point of a pull against plain laws; return how many there are."""
    solved = pull.matched
    c = {name: np.asarray(values)[solved] for name, values in pull.columns.items()}
    forced = pull.supercharged
    for name, values in c.items():
        if name in MAY_BE_NONE or (not forced and name in _OF_COMPRESSOR):
            continue
        assert np.all(np.isfinite(values)), name
    unsolved = {n: np.asarray(v)[~solved] for n, v in pull.columns.items()}
    assert np.all(np.isnan(unsolved["power"])), "a number at a point without an answer"
    for name in c:
        if name.endswith("_temperature"):
            assert np.all((c[name] > 100.0) & (c[name] < 4000.0)), name
        if name.endswith("_pressure") and name not in ("pumping_pressure", "brake_pressure"):
            assert np.all(c[name] >= 0.0), name
    way = ("compressor_outlet", "cooler_inlet", "cooler_outlet", "throttle_inlet", "plenum")
    for before, after in pairwise(way):
        assert np.all(c[f"{after}_pressure"] <= c[f"{before}_pressure"] * _ROUNDING), after
    assert np.all(c["compressor_inlet_pressure"] <= c["scoop_pressure"] * _ROUNDING)
    assert np.all(c["power"] < c["fuel_power"])
    assert np.all(c["exhaust_temperature"] > c["charge_temperature"])
    assert np.all((c["volumetric_efficiency"] > 0.0) & (c["volumetric_efficiency"] <= 1.6))
    if forced:
        assert np.all(c["isentropic_efficiency"] <= _ROUNDING)
        assert np.all(c["compressor_power"] > 0.0)
        ends = np.sort([c["cooler_inlet_temperature"], c["coolant_temperature"]], axis=0)
        assert np.all(c["cooler_outlet_temperature"] >= ends[0] - 1e-6)
        assert np.all(c["cooler_outlet_temperature"] <= ends[1] + 1e-6)
    return int(solved.sum())
