"""What may stand in a build file: the keys of every table and the kind of each value."""

from __future__ import annotations

from collections.abc import Mapping

from .. import _core
from ..cylinder.keys import CYLINDER, FUEL
from ..cylinder.keys import THROTTLE as THROTTLE
from ..cylinder.spread import EVERY, ONE
from ..cylinder.surface import COARSE, CYCLES, SURFACE
from ..typed.keys import FLAG, TABLE, TABLES, TEXT, Key, Keys, choice, core_keys, renamed

SECTIONS = (
    "build",
    "ambient",
    "scoop",
    "inlet",
    "compressor",
    "drive",
    "levels",
    "discharge",
    "cooler",
    "charge_duct",
    "throttle",
    "fuel",
    "engine",
    "combustion",
    "exhaust",
    "bypass",
    "lift_off",
    "fuel_system",
    "vehicle",
    "report",
    "plan",
    "trust",
    "run",
)
#: Sections that make no sense without a compressor.
OF_COMPRESSOR = ("drive", "levels", "discharge", "cooler", "bypass", "lift_off", "plan")

BUILD: Keys = {"name": TEXT, "notes": TEXT, "invented": FLAG}
REPORT: Keys = {
    "reference_speed": Key("speed"),
    "pull_rate": Key("angular_acceleration"),
    **dict.fromkeys(("customer", "workshop", "date", "reference"), TEXT),
}

#: What a build's own figures may be off by: standard deviations of factors on them, by the names
#: that fits use, where they are not those that a build is usually trusted for.
TRUST: Keys = dict.fromkeys(
    (
        "volumetric_efficiency",
        "volumetric_efficiency_shape",
        "indicated_efficiency",
        "friction",
        "compressor_head",
        "compressor_flow",
        "compressor_efficiency",
        "cooler_effectiveness",
        "cooler_loss",
        "exhaust_loss",
        "inlet_loss",
        "belt_slip",
    ),
    Key("dimensionless"),
)

AMBIENT: Keys = {
    "pressure": Key("barometer", "pressure"),
    "altimeter": Key("barometer", "altimeter_setting"),
    "altitude": Key("altitude", "altitude"),
    "temperature": Key("temperature", "temperature"),
    "humidity": Key("dimensionless", "relative_humidity"),
    "dew_point": Key("temperature", "dew_point"),
}
SCOOP = core_keys(_core.Scoop, temperature_rise="temperature_difference")

LOSS: Keys = {
    "loss_coefficient": Key("dimensionless", "loss_coefficient"),
    "area": Key("area", "area"),
    "diameter": Key("length"),
    "drop": Key("pressure_difference", "pressure_drop"),
    "at_flow": Key("mass_flow", "mass_flow"),
    "at_density": Key("density", "density"),
}
DUCT: Keys = {**LOSS, "parts": TABLES}

COMPRESSOR: Keys = {
    **core_keys(_core.Compressor),
    "map": TEXT,
    "stage": TABLE,
    "diameter_ratio": Key("dimensionless", "diameter_ratio"),
    "rotor_speed_limit": Key("speed", "rotor_speed_limit"),
    "rotates": choice("with crank", "against crank"),
    "inertia": Key("moment_of_inertia", "inertia"),
    "drag_torque": Key("torque", "drag_torque"),
}
STAGE: Keys = {
    "design_speed": Key("speed", "design_speed"),
    "lines": Key("count", "count"),
    "points_per_line": Key("count", "points_per_line"),
    "impeller": TABLE,
    "diffuser": TABLE,
    "volute": TABLE,
}
IMPELLER = core_keys(_core.Impeller)
DIFFUSER: Keys = {**core_keys(_core.Diffuser), "vanes": TABLE}
VANES = core_keys(_core.Vanes)
VOLUTE = core_keys(_core.Volute)

DRIVE: Keys = {"links": TABLES}
GEARS: Keys = {**core_keys(_core.GearPair), "flipped": FLAG}
LINKS: Mapping[str, Keys] = {
    "gears": GEARS,
    "step_up": {**core_keys(_core.StepUp), "reversing": FLAG},
    "pulleys": core_keys(_core.PulleyPair),
}
LEVEL: Keys = {"gears": TABLE, "links": TABLES}

COOLER_KINDS = ("none", "air_to_air", "air_to_water", "ice_tank")
COOLER: Keys = {
    "kind": choice(*COOLER_KINDS),
    **core_keys(_core.Cooler, coolant_rise="temperature_difference"),
    **LOSS,
    "measured": TABLE,
    "conductance": Key("heat_capacity_rate", "conductance"),
    "flow_arrangement": choice(
        "counterflow",
        "parallel",
        "crossflow_unmixed",
        "crossflow_charge_mixed",
        "crossflow_coolant_mixed",
    ),
    "reference_flow": Key("mass_flow", "reference_flow"),
    "flow_exponent": Key("dimensionless", "flow_exponent"),
    "coolant_capacity_rate": Key("heat_capacity_rate", "coolant_capacity_rate"),
    "most_flow": Key("mass_flow", "most_flow"),
    **core_keys(_core.IceTank),
}
MEASURED_COOLER: Keys = {
    "flow": Key("mass_flow", "mass_flow"),
    "effectiveness": Key("dimensionless", "effectiveness"),
}

ENGINE: Keys = {
    **renamed(
        core_keys(_core.Engine, friction_constant="pressure_difference"), redline="speed_limit"
    ),
    **CYLINDER,
    "volumetric_efficiency": TABLE,
    "breathing_scale": Key("dimensionless", "scale"),
    "breathing": choice(CYCLES, SURFACE, COARSE),
    "spread": choice(EVERY, ONE),
}
BREATHING: Keys = {
    **core_keys(_core.Breathing),
    "rpm": Key("speed", "engine_speed", unit="rpm"),
    "pressure_ratio": Key("dimensionless", "pressure_ratio"),
    "values": Key("dimensionless", "volumetric_efficiency"),
}
COMBUSTION = core_keys(_core.Combustion)
#: Where the loss of [exhaust] begins: behind what the cycles hold, or with all of it.
_LOSS_BEGINS = ("behind the primaries", "behind the collectors", "at the ports")
EXHAUST: Keys = {
    **core_keys(_core.Exhaust),
    "diameter": Key("length"),
    "count": Key("count"),
    "begins": choice(*_LOSS_BEGINS),
}
BYPASS: Keys = {
    **core_keys(_core.Bypass, without=("effective_area",), opens_at="pressure_difference"),
    "area": Key("area"),
    "diameter": Key("length"),
    "lift": Key("length"),
    "flow": Key("mass_flow"),
    "at_pressure": Key("pressure_difference"),
    "at_temperature": Key("temperature"),
    "count": Key("count", most=12),
    "discharge_coefficient": Key("dimensionless"),
    **core_keys(_core.ReliefValve, without=("effective_area",), delay="time", opening_time="time"),
}
#: The plenum's volume stands in [engine.plenum], steps are the program's own.
LIFT_OFF: Keys = {
    **core_keys(
        _core.LiftOff,
        without=("plenum_volume", "step"),
        closing_time="time",
        duration="time",
    ),
    "diameter": Key("length"),
}
#: Tables of the top level whose keys are values, by name.
TABLES_OF_NUMBERS: Mapping[str, Keys] = {
    "build": BUILD,
    "ambient": AMBIENT,
    "scoop": SCOOP,
    "inlet": DUCT,
    "compressor": COMPRESSOR,
    "discharge": DUCT,
    "cooler": COOLER,
    "charge_duct": DUCT,
    "throttle": THROTTLE,
    "fuel": FUEL,
    "engine": ENGINE,
    "combustion": COMBUSTION,
    "exhaust": EXHAUST,
    "bypass": BYPASS,
    "lift_off": LIFT_OFF,
    "report": REPORT,
    "trust": TRUST,
}
