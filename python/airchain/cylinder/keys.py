"""What an engine with cams is told by: one set of keys for build files and for `CrankEngine`."""

from __future__ import annotations

from .. import _core
from ..typed.keys import TABLE, TEXT, Key, Keys, choice, core_keys, renamed

FUEL: Keys = {
    "name": TEXT,
    **core_keys(_core.Fuel),
    "place": choice("before_compressor", "plenum", "port"),
    **renamed(core_keys(_core.Injection), temperature="fuel_temperature"),
}

CAMSHAFT: Keys = {**core_keys(_core.Camshaft), "intake": TABLE, "exhaust": TABLE}
#: A lobe in the trade's terms, or a file of measured lifts and where the gauge stood.
LOBE: Keys = {**core_keys(_core.Lobe), "lift_file": TEXT, "at": choice("valve", "tappet")}
#: What a gauge on the valve or its tappet read.
READINGS: Keys = {
    "angle": Key("angle", "angle"),
    "lift": Key("length", "lift"),
    **{name: LOBE[name] for name in ("at", "rocker_ratio", "lash")},
}
#: A port on the flow bench, its valve, and the valve's room above the piston.
PORT: Keys = {
    **core_keys(_core.FlowBench, depression="pressure_difference"),
    "convention": choice("incompressible", "compressible"),
    "lift": Key("length", "lift"),
    "flow": Key("volume_flow", "flow"),
    "valve_diameter": Key("length", "valve_diameter"),
    "valves": Key("count", "valves", most=4),
    "piston_gap": Key("length", "piston_gap"),
    "least_clearance": Key("length", "least_clearance"),
    "inclination": Key("angle", "inclination"),
}
#: A runner from plenum to valve, or a primary from collector to valve, port included.
PIPE: Keys = {
    **renamed(core_keys(_core.Pipe), port_diameter="far_diameter"),
    "wall_temperature": Key("temperature", "wall_temperature"),
    "cells": Key("count", "cells", least=0, most=400),
    "end_correction": Key("dimensionless", "end_correction"),
}
BURN = core_keys(_core.Burn)
HEAT_LOSS = core_keys(_core.HeatLoss)

#: Throttle bores, by their area or their diameter.
THROTTLE: Keys = {
    **core_keys(_core.Throttle),
    "diameter": Key("length"),
    "count": Key("count"),
}
#: The pipe of a room.
_ROOM_PIPE: Keys = {
    **renamed(core_keys(_core.Pipe), outer_diameter="far_diameter"),
    "wall_temperature": Key("temperature", "wall_temperature"),
    "cells": Key("count", "cells", least=4, most=400),
}
#: How much longer its ends act.
_ROOM_ENDS: Keys = {
    "end_correction": Key("dimensionless", "outer_correction"),
    "inner_end_correction": Key("dimensionless", "end_correction"),
}
_VOLUME = core_keys(_core.EngineRoom, without=("outer_correction",))
#: The plenum of a whole engine: its volume, and the duct or throttle that feeds it.
PLENUM: Keys = {
    **_VOLUME,
    **_ROOM_PIPE,
    **_ROOM_ENDS,
    "throttle": TABLE,
    "runner_lengths": Key("length"),
    "runner_diameters": Key("length"),
}
#: A merge and the pipe behind it: one value for all of them, or a list with one for each.
_MERGE: Keys = {**_VOLUME, "merge_length": Key("length"), **_ROOM_PIPE}
#: Its collectors: which primaries meet, the merge, and the pipe behind it.
COLLECTORS: Keys = {
    **_MERGE,
    **_ROOM_ENDS,
    "primaries": Key("count", most=24),
    "primary_lengths": Key("length"),
    "primary_diameters": Key("length"),
    "secondaries": TABLE,
}
#: Pairs of primaries that meet before they meet again in a collector.
SECONDARIES: Keys = {**_MERGE, "pairs": Key("count", most=24)}
#: The order of firing and the crank; without them one cylinder stands for all.
FIRING: Keys = {
    "firing_order": Key("count", most=24),
    "crank": choice("even", "crossplane", "flat"),
    "throws": Key("angle"),
    "banks": Key("count", most=24),
    "bank_angle": Key("angle"),
}

_SIZE = renamed(
    core_keys(_core.Engine, friction_constant="pressure_difference"), redline="speed_limit"
)
FRICTION: Keys = {name: key for name, key in _SIZE.items() if name.startswith("friction_")}
#: Tables and numbers that only an engine with cams has.
OWN: Keys = {
    "camshaft": TABLE,
    "intake_port": TABLE,
    "exhaust_port": TABLE,
    "runner": TABLE,
    "primary": TABLE,
    "burn": TABLE,
    "heat_loss": TABLE,
    "rod_length": Key("length"),
    "humidity_ratio": Key("dimensionless", "vapour"),
    "mixture_unevenness": Key("dimensionless", "unevenness"),
    **FIRING,
    "plenum": TABLE,
    "collectors": TABLE,
}
CYLINDER: Keys = {
    "bore": Key("length"),
    "stroke": _SIZE["stroke"],
    "compression_ratio": _SIZE["compression_ratio"],
    "cylinders": Key("count", most=24),
    "redline": _SIZE["redline"],
    **FRICTION,
    **OWN,
}
