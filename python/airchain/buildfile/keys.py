"""What may stand in a build file: the keys of every table and the kind of each value.

A field's physical range and default live in the core; here stand only the key it is typed under
and its quantity kind, which follows from the core's SI unit wherever that unit leaves no choice.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from .. import _core
from ..units.tables import SI_KINDS


class Key(NamedTuple):
    """One key of a table.

    `kind` is a quantity kind of `airchain.units`, or ``si:UNIT`` for a unit too rare to have one,
    or one of text, flag, count, table, tables. `field` is the core's name where it differs, and
    `factor` takes the typed value to it. `unit` is that of bare numbers.
    """

    kind: str
    field: str = ""
    factor: float = 1.0
    unit: str | None = None
    choices: tuple[str, ...] = ()


Keys = dict[str, Key]

TEXT = Key("text")
FLAG = Key("flag")
TABLE = Key("table")
TABLES = Key("tables")


def choice(*choices: str) -> Key:
    """Return the key of a word out of a list."""
    return Key("text", choices=choices)


def core_keys(station: Any, without: tuple[str, ...] = (), **kinds: str) -> Keys:
    """Return a key for every field of a core class; `kinds` names those the unit cannot tell.

    A radius may be typed as a diameter too.
    """
    keys: Keys = {}
    for name, unit, *_ in station.fields():
        if name in without:
            continue
        kind = kinds.get(name) or SI_KINDS.get(unit, f"si:{unit}")
        keys[name] = Key(kind, name)
        if name.endswith("_radius"):
            keys[name.removesuffix("radius") + "diameter"] = Key(kind, name, 0.5)
    return keys


def renamed(keys: Keys, **names: str) -> Keys:
    """Return the keys with some typed under another name: ``renamed(keys, new="old")``."""
    old = {value: key for key, value in names.items()}
    return {old.get(name, name): key for name, key in keys.items()}


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
    "fuel_system",
    "report",
    "plan",
)
#: Sections that make no sense without a compressor.
OF_COMPRESSOR = ("drive", "levels", "discharge", "cooler", "bypass", "plan")

BUILD: Keys = {"name": TEXT, "notes": TEXT, "invented": FLAG}
REPORT: Keys = {
    "reference_speed": Key("speed"),
    "pull_rate": Key("angular_acceleration"),
    **dict.fromkeys(("customer", "workshop", "date", "reference"), TEXT),
}

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

THROTTLE: Keys = {
    **core_keys(_core.Throttle),
    "diameter": Key("length"),
    "count": Key("count"),
}
FUEL: Keys = {
    "name": TEXT,
    **core_keys(_core.Fuel),
    "place": choice("before_compressor", "plenum", "port"),
    "lambda": Key("dimensionless", "lambda"),
    "evaporated_fraction": Key("dimensionless", "evaporated_fraction"),
    "temperature": Key("temperature", "fuel_temperature"),
}
ENGINE: Keys = {
    **renamed(core_keys(_core.Engine), redline="speed_limit"),
    "bore": Key("length"),
    "cylinders": Key("count"),
    "rod_length": Key("length"),
    "volumetric_efficiency": TABLE,
    "breathing_scale": Key("dimensionless", "scale"),
    "camshaft": TABLE,
    "intake_port": TABLE,
    "exhaust_port": TABLE,
    "runner": TABLE,
    "primary": TABLE,
    "burn": TABLE,
    "heat_loss": TABLE,
}
BREATHING: Keys = {
    **core_keys(_core.Breathing),
    "rpm": Key("speed", "engine_speed", unit="rpm"),
    "pressure_ratio": Key("dimensionless", "pressure_ratio"),
    "values": Key("dimensionless", "volumetric_efficiency"),
}
CAMSHAFT: Keys = {**core_keys(_core.Camshaft), "intake": TABLE, "exhaust": TABLE}
LOBE: Keys = {**core_keys(_core.Lobe), "lift_file": TEXT}
BENCH: Keys = {
    **core_keys(_core.FlowBench, depression="pressure_difference"),
    "convention": choice("incompressible", "compressible"),
    "lift": Key("length", "lift"),
    "flow": Key("volume_flow", "flow"),
    "valve_diameter": Key("length", "valve_diameter"),
    "valves": Key("count", "valves"),
}
#: A runner from plenum to valve, or a primary from collector to valve, port included.
PIPE: Keys = {
    **renamed(core_keys(_core.Pipe), port_diameter="far_diameter"),
    "wall_temperature": Key("temperature", "wall_temperature"),
}
BURN = core_keys(_core.Burn)
HEAT_LOSS = core_keys(_core.HeatLoss)
COMBUSTION = core_keys(_core.Combustion)
EXHAUST: Keys = {**core_keys(_core.Exhaust), "diameter": Key("length"), "count": Key("count")}
BYPASS: Keys = {
    "opens_at": Key("pressure_difference", "opens_at"),
    "area": Key("area"),
    "discharge_coefficient": Key("dimensionless"),
}
