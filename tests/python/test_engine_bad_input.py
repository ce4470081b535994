"""What a crank-resolved engine refuses, by the place where it was typed."""

import math
from typing import Any

import numpy as np
import pytest

from airchain import InputError, _core
from airchain.cylinder.measured_lift import MeasuredLift
from crank_engines import engine, port


def varied(path: str, value: Any) -> Any:
    """What makes an engine with one value changed."""
    return lambda: engine().replace({path: value})


BAD: dict[str, tuple[Any, str]] = {
    "events cross": (
        lambda: engine().setup.replace(intake_valve=engine().setup.exhaust_valve),
        "CycleSetup: intake closing",
    ),
    "valves open in the burn": (
        varied("camshaft.exhaust", {"duration": "310 deg", "seat_duration": "360 deg"}),
        "must be between .* closed during the burn",
    ),
    "0.050 in over seat duration": (
        varied("camshaft.intake.duration", "290 deg"),
        r'Cam: intake.duration = "290 deg"; must be shorter; the valve is longer off its seat',
    ),
    "no smooth lobe": (
        varied("camshaft.intake.duration", "150 deg"),
        r'intake.duration = "150 deg"; must give a value of duration over seat duration that is '
        r"between .*; it gives .*; durations and lift must go together: change seat_duration",
    ),
    "lift beyond the bench": (
        varied("camshaft.intake.rocker_ratio", 2.2),
        "camshaft.intake: .*highest lift = .* m; must be .*the flow bench table ends there",
    ),
    "lift beyond the piston": (
        varied("intake_port.piston_gap", "0.20 in"),
        "intake_port.piston_gap = .*; must leave at least 0.080 in .* are left at [+]7 deg",
    ),
    "centreline": (varied("camshaft.intake_centreline", "108"), "must have a unit|must be between"),
    "unsorted bench": (
        varied("intake_port.lift", [0.002, 0.001, 0.004, 0.006, 0.008, 0.010, 0.012]),
        r"CrankEngine: intake_port.lift = .*; must be rising",
    ),
    "negative flow": (
        varied("intake_port.flow", [0.02, -0.01, 0.03, 0.04, 0.05, 0.06, 0.07]),
        r"CrankEngine: intake_port.flow = .*; must be between 0 and 2",
    ),
    "rows that do not match": (
        varied("exhaust_port.flow", [0.02, 0.03]),
        "exhaust_port.flow = .*; must have one value for each of the 7 lifts",
    ),
    "flow beyond the valve": (
        varied("intake_port.valve_diameter", "30 mm"),
        "CrankEngine: intake_port: effective area|intake_port.* effective area",
    ),
    "no convention": (
        lambda: engine(intake_port={k: v for k, v in port(0.05).items() if k != "convention"}),
        "CrankEngine: intake_port.convention = missing; must be given",
    ),
    "inclination without a gap": (
        varied("intake_port.inclination", "11 deg"),
        "intake_port.inclination = .*; must stand only with a piston_gap",
    ),
    "two at once": (
        lambda: engine(bore="-1 in", runner={"length": "0 in", "diameter": "52 mm"}),
        r'runner.length = "0 in".*\n.*bore = "-1 in"',
    ),
    "no depression": (
        lambda: engine(intake_port={k: v for k, v in port(0.05).items() if k != "depression"}),
        "CrankEngine: intake_port.depression = missing; must be given",
    ),
    "convention": (
        varied("intake_port.convention", "wet"),
        'intake_port.convention = "wet"; must be one of',
    ),
    "valves": (
        varied("intake_port.valves", 9),
        "intake_port.valves = 9; must be a whole number from 1 to 4",
    ),
    "zero-length runner": (
        varied("runner.length", "0 in"),
        'CrankEngine: runner.length = "0 in"; must be between',
    ),
    "port diameter": (
        varied("runner.port_diameter", "-1 in"),
        'runner.port_diameter = "-1 in"; must be',
    ),
    "thin runner": (
        lambda: engine().replace({"runner.diameter": "30 mm", "runner.port_diameter": "30 mm"}),
        "CrankEngine: runner: area at the valve .* the pipe is thinner than its valve",
    ),
    "thin primary": (
        varied("primary.diameter", "24 mm"),
        "CrankEngine: primary: area at the valve",
    ),
    "cells": (varied("runner.cells", 2), "runner.cells = 2; must be a whole number of at least 4"),
    "bore": (varied("bore", "-1 in"), 'CrankEngine: bore = "-1 in"; must be between'),
    "rod": (varied("rod_length", "2 in"), "CrankEngine: .*rod_length over stroke"),
    "cylinders": (varied("cylinders", 0), "CrankEngine: cylinders = 0; must be a whole number"),
    "cylinders as text": (
        varied("cylinders", "8"),
        'CrankEngine: cylinders = "8"; must be a whole',
    ),
    "fuel": (varied("fuel.name", "petrol"), 'CrankEngine: fuel.name = "petrol"; must be one of'),
    "mixture": (varied("fuel.lambda", 3.0), "CrankEngine: fuel.lambda = 3.0; must be between"),
    "octane": (
        varied("fuel.research_octane", 500),
        "fuel.research_octane = 500; must be between 50 and 130",
    ),
    "unknown key": (varied("runner.lenght", 1.0), 'runner.lenght = 1.0; .*did you mean "length"'),
    "unknown path": (
        varied("rotation_order", "18436572"),
        "replace: rotation_order .* must begin with",
    ),
    "burn": (varied("burn.shape", 50.0), "CrankEngine: burn.shape = 50.0; must be between"),
    "friction": (
        varied("friction_speed", -1.0),
        "CrankEngine: friction_speed = -1.0; must be between",
    ),
    "gauge pressure": (
        lambda: engine().points(3000, "8 psi", "15 psia"),
        "plenum_pressure .* absolute; write psia",
    ),
    "no rpm": (lambda: engine().points([], 1e5, 1e5), "points: rpm"),
    "absurd rpm": (
        lambda: engine().points(1e6, 1e5, 1e5),
        "points: rpm = 1e[+]06; must be between",
    ),
    "absurd pressure": (
        lambda: engine().points(3000, 1e9, 1e5),
        "points: plenum_pressure = 1e[+]09 Pa; must be",
    ),
    "not a number": (lambda: engine().points(3000, math.nan, 1e5), "plenum_pressure = nan"),
    "lengths": (
        lambda: engine().points([3000, 4000], [1e5, 1.1e5, 1.2e5], 1e5),
        "points: rpm = 2 values; must be one or 3",
    ),
    "two phasings": (
        lambda: engine().points(3000, 1e5, 1e5, spark="20 deg", half_burned="8 deg"),
        "points: spark .* must stand alone",
    ),
    "unknown condition": (lambda: engine().points(3000, 1e5, 1e5, boost=1.0), "points: boost"),
    "absurd steps": (
        lambda: _core.CycleControls(largest_step=3.0),
        "CycleControls: largest_step = 3 rad; must be",
    ),
    "courant": (lambda: _core.CycleControls(courant=2.0), "CycleControls: courant = 2; must be"),
    "few lift rows": (
        lambda: MeasuredLift([0.0, 1.0, 2.0], [0.0, 0.01, 0.0]),
        "MeasuredLift: there are 3 points",
    ),
    "lift rows fall back": (
        lambda: MeasuredLift(np.array([0, 1, 2, 1.5, 3, 4, 5, 6.0]), [0, 0.1, 2, 3, 3, 2, 1, 0.0]),
        "MeasuredLift: ",
    ),
    "off the seat": (
        lambda: MeasuredLift(np.linspace(0, 4, 9), np.linspace(0, 0.01, 9)),
        "MeasuredLift: lift at the last point",
    ),
    "lift and angles": (
        lambda: MeasuredLift(np.linspace(0, 4, 9), np.zeros(8)),
        "lift = 8 values; must have 9",
    ),
    "gauge place": (
        lambda: MeasuredLift([0.0], [0.0], at="lifter"),
        'MeasuredLift: at = "lifter"; must be one of valve, tappet',
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_names_the_bad_input(name: str) -> None:
    call, message = BAD[name]
    with pytest.raises(InputError, match=message):
        call()
