"""What may stand in the [plan] table of a build file or plan file."""

from __future__ import annotations

from .. import _core
from ..buildfile.keys import AMBIENT
from ..typed.keys import FLAG, TABLE, TABLES, TEXT, Key, Keys, core_keys

PLAN: Keys = {
    "lowest_speed": Key("speed"),
    "highest_speed": Key("speed"),
    "runners_up": Key("count"),
    "currency": TEXT,
    "usual_limits": FLAG,
    "weather": TABLE,
    "levels": TABLE,
    "shafts": TABLE,
    "gears": TABLES,
    "teeth": TABLE,
    "pulleys": TABLES,
    "belt": TABLE,
    "limits": TABLE,
    "cylinders": TABLE,
    "head": TABLE,
    "throttle_shut": TABLE,
    "cost": TABLE,
}
DAY: Keys = {**AMBIENT, "coolant_temperature": Key("temperature")}
#: What a level may aim at.
AIMS: Keys = {
    "power": Key("power"),
    "torque": Key("torque"),
    "boost": Key("pressure_difference"),
}
LEVEL: Keys = {**AIMS, "rpm": Key("speed", unit="rpm")}
SHAFTS: Keys = {"crank": TEXT, "compressor": TEXT, "centre_distance": Key("length")}
_BOUGHT: Keys = {"name": TEXT, "owned": FLAG, "price": Key("dimensionless")}
_OF_PAIR = ("face_width", "driving_geometry_factor", "driven_geometry_factor")
GEARS: Keys = {
    **_BOUGHT,
    **core_keys(_core.GearPair),
    "cut_for": Key("length"),
    "driving_bore": TEXT,
    "driven_bore": TEXT,
    **{name: key for name, key in core_keys(_core.GearTeeth).items() if name in _OF_PAIR},
}
TEETH: Keys = core_keys(
    _core.GearTeeth,
    _OF_PAIR,
    allowable_bending="pressure_difference",
    allowable_contact="pressure_difference",
)
PULLEY: Keys = {**_BOUGHT, "diameter": Key("length"), "bore": TEXT}
_DIAMETERS = ("driving_diameter", "driven_diameter")
BELT: Keys = {
    **core_keys(_core.PulleyPair, _DIAMETERS),
    "length": Key("length"),
    "take_up": Key("length"),
}
CYLINDERS: Keys = {"high_cycle": Key("dimensionless"), "worst_cylinder": Key("dimensionless")}
HEAD: Keys = core_keys(_core.HeadJoint, gasket_pressure="pressure_difference")
COST: Keys = {
    "change": Key("time", unit="h"),
    "dyno": Key("time", unit="h"),
    **dict.fromkeys(("hour", "dyno_hour", "fixed"), Key("dimensionless")),
}
THROTTLE_SHUT: Keys = {
    "flow_over_surge": Key("dimensionless"),
    "discharge_coefficient": Key("dimensionless"),
}
