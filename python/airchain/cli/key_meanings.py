"""What keys of a build file mean that no field of the core says, by table."""

from __future__ import annotations

from collections.abc import Mapping

from ..plan.limits import QUANTITIES

__all__ = ["MEANINGS", "meaning"]

_TITLES = {
    "name": "what it is called",
    "owned": "whether it is on the shelf already, so that it need not be bought",
    "price": "what it costs, in the plan's currency",
}
_LOSS = {
    "loss_coefficient": "pressure loss over dynamic pressure in the area or diameter beside it",
    "area": "flow area that the loss coefficient belongs to",
    "diameter": "diameter of that flow area, in place of the area",
    "drop": "pressure loss as it was measured, in place of a loss coefficient",
    "at_flow": "air flow at which the drop was measured",
    "at_density": "air density at which the drop was measured; 1.2 kg/m^3 without it",
    "parts": "several losses one after another, each a table with the keys above",
}
_LIFT_FILE = {
    "lift_file": "file of measured lifts over crank angle, in place of a lobe in trade terms",
    "at": 'where the gauge stood: "valve" or "tappet"',
}
_PORT = {
    "convention": 'how the bench turns pressure into flow: "incompressible" or "compressible"',
    "lift": "valve lifts that the bench measured at, rising",
    "flow": "flow of one port at each of these lifts",
    "valve_diameter": "diameter of the valve's head",
    "valves": "valves of this kind in one cylinder; 1 without it",
    "piston_gap": "free way of the seated valve to the piston at top centre, along the valve",
    "least_clearance": "clearance that must stay between valve and piston; 0.080 in at the intake "
    "and 0.100 in at the exhaust without it (common practice, no source)",
    "inclination": "angle between the valve and the cylinder's axis; 0 without it",
}
_PIPE = {
    "wall_temperature": "temperature of the pipe's wall",
    "cells": "cells that the pipe is cut into for the computation; chosen by length without it",
    "end_correction": "how much longer the open end acts, over its radius: 0.61 for a plain end "
    "as without it, 0.82 for one flush with a wall",
}
_BORES = {
    "diameter": "diameter of one throttle bore, in place of an area",
    "count": "throttle bores of that diameter; 1 without it",
}
_ROOM_PIPE = {
    "wall_temperature": _PIPE["wall_temperature"],
    "cells": _PIPE["cells"],
    "length": "length of the pipe to the outside; without it the flow there is steady",
    "diameter": "inner diameter of that pipe at the room",
    "outer_diameter": "inner diameter at its far end; the same without it",
    "end_correction": "how much longer its open far end acts, over its radius: 0.61 for a plain "
    "end as without it",
    "inner_end_correction": "the same of its end at the room: without it 0.82 in a plenum, as "
    "flush with a wall, and 0 behind a merge that goes over into it",
}
_STANDARD_DEVIATION = "what the build's {} may be off by: one standard deviation, as a share of it"
_OF_TRUST = {
    "volumetric_efficiency": "volumetric efficiency",
    "volumetric_efficiency_shape": "volumetric efficiency at either end, against the middle,",
    "indicated_efficiency": "work from the fuel's heat",
    "friction": "friction",
    "compressor_head": "compressor's pressure rise",
    "compressor_flow": "compressor's flow",
    "compressor_efficiency": "compressor's efficiency",
    "cooler_effectiveness": "cooler effectiveness",
    "cooler_loss": "cooler's pressure loss",
    "exhaust_loss": "exhaust's pressure loss",
    "inlet_loss": "inlet's pressure loss",
}
_WEATHER = {
    "altimeter": "altimeter setting as an airfield reports it, in place of a pressure",
    "altitude": "height of the place above sea level; only with an altimeter setting",
    "dew_point": "temperature at which the air's moisture would condense, in place of a humidity",
}

MEANINGS: Mapping[str, Mapping[str, str]] = {
    "build": {
        "name": _TITLES["name"],
        "notes": "whatever is to be remembered of the build",
        "invented": "whether the figures are made up; every result then says so",
    },
    "ambient": _WEATHER,
    "inlet": _LOSS,
    "discharge": _LOSS,
    "charge_duct": _LOSS,
    "compressor": {
        "map": "file with the measured map, in CSV, relative to the build file",
        "stage": "dimensions from which a map is predicted, in place of a measured one",
        "diameter_ratio": "size over that of the map or stage, every length alike; 1 without it",
        "rotates": 'which way the impeller must turn: "with crank" or "against crank"',
    },
    "compressor.stage": {
        "design_speed": "rotor speed that the stage was designed for: the map's highest line",
        "lines": "speed lines of the predicted map; 9 without it",
        "points_per_line": "points on each of them",
        "impeller": "dimensions of the impeller",
        "diffuser": "dimensions of the diffuser",
        "volute": "dimensions of the volute; without it none is reckoned with",
    },
    "compressor.stage.diffuser": {"vanes": "the diffuser's vanes; without them it is vaneless"},
    "drive": {"links": "gears, pulleys and step-ups from the crank to the impeller, in order"},
    "drive.links.gears": {"flipped": "whether the pair is fitted the other way round"},
    "drive.links.step_up": {"reversing": "whether it turns the sense of rotation round"},
    "levels": {
        "gears": "the pair of gears that this level has in place of the drive's first pair",
        "links": "all links of this level, in place of the drive's",
    },
    "cooler": {
        **{name: words for name, words in _LOSS.items() if name != "parts"},
        "kind": 'what cools the charge: "none", "air_to_air", "air_to_water" or "ice_tank"',
        "measured": "effectiveness as it was measured at several flows",
        "conductance": "heat carried for each degree between charge and coolant, in place of an "
        "effectiveness",
        "flow_arrangement": "how charge and coolant flow past each other, with a conductance",
        "reference_flow": "charge flow at which the conductance holds",
        "flow_exponent": "power of charge flow that the conductance rises with; 0 without it",
        "coolant_capacity_rate": "coolant flow times its specific heat",
        "most_flow": "largest charge flow that is reckoned with; 3 times the reference without it",
    },
    "cooler.measured": {
        "flow": "charge flows, rising",
        "effectiveness": "effectiveness at each of them: charge cooled by, over charge in less "
        "coolant in",
    },
    "throttle": _BORES,
    "fuel": {
        "name": "a generic fuel, such as gasoline_premium, or the name of a fuel of its own",
        "place": 'where it is injected: "before_compressor", "plenum" or "port"',
    },
    "engine": {
        "bore": "cylinder bore; with stroke and cylinders it gives the displacement",
        "cylinders": "how many cylinders the engine has",
        "rod_length": "length of the connecting rod between its eyes",
        "mixture_unevenness": "standard deviation of the fuel-air ratio within a charge, over its "
        "mean; 0.04 without it, 0 for an even one",
        "humidity_ratio": "water for each part of dry air in the cylinder's charge, by mass",
        "breathing": "what the engine with cams breathes by: its cycles at every point, or a "
        "surface made of them once",
        "spread": "whether air is the mean, and knock, peak pressure and trims the worst, of every "
        "cylinder by firing order and collectors, or those of one that stands for all",
        "breathing_scale": "factor on the volumetric efficiency that the cycles make; 1 without it",
        "volumetric_efficiency": "volumetric efficiency as a table, in place of cams and ports",
        "camshaft": "both lobes and how they are installed",
        "intake_port": "the intake port and its valve, as on a flow bench",
        "exhaust_port": "the exhaust port and its valve, as on a flow bench",
        "runner": "pipe from the plenum to the intake valve, port included",
        "primary": "pipe from the collector to the exhaust valve, port included",
        "burn": "how the charge burns over crank angle",
        "heat_loss": "how much heat goes into the cylinder's walls",
        "firing_order": "cylinders as they fire, numbered from 1; without it one cylinder stands "
        "for all",
        "crank": 'what crank brings the cylinders up: "even", "crossplane" or "flat"; even '
        "without it",
        "throws": "how far the crank turns until each throw stands where the first one stood, in "
        "place of a crank: one for each place of a bank, or for each cylinder",
        "banks": "cylinders of each bank from the front, such as [[1, 3], [2, 4]]",
        "bank_angle": "angle between two banks; 90 deg without it",
        "plenum": "the volume that all runners draw from",
        "collectors": "the merges that primaries end in, and their pipes; what differs from one "
        "to the next is a list with a value for each",
    },
    "engine.plenum": {
        **_ROOM_PIPE,
        "runner_lengths": "length of each cylinder's runner, port included, where they differ",
        "runner_diameters": "diameter of each cylinder's runner at the plenum, where they differ",
        "throttle": "throttle bores that feed it in place of a pipe; the pressure that is asked "
        "for then stands before them",
    },
    "engine.plenum.throttle": _BORES,
    "engine.collectors": {
        **_ROOM_PIPE,
        "primaries": "cylinders of each collector, such as [[1, 4], [2, 3]]; those of a bank "
        "without it",
        "merge_length": "length of the merge, in place of its volume",
        "primary_lengths": "length of each cylinder's primary, port included, where they differ",
        "primary_diameters": "diameter of each cylinder's primary at its end, where they differ",
        "secondaries": "the pipes between merges of pairs of primaries and the collectors: four "
        "into two into one",
    },
    "engine.collectors.secondaries": {
        **{n: words for n, words in _ROOM_PIPE.items() if not n.endswith("end_correction")},
        "length": "length of a secondary, from the merge of its pair to its collector",
        "merge_length": "length of a pair's merge, in place of its volume",
        "pairs": "cylinders whose primaries meet first, such as [[1, 5], [3, 7]]",
    },
    "engine.volumetric_efficiency": {
        "rpm": "engine speeds of the table, rising",
        "pressure_ratio": "plenum over exhaust pressures of the table, rising; one row without it",
        "values": "volumetric efficiency at each of them: a row for each pressure ratio",
    },
    "engine.camshaft": {"intake": "the intake lobe", "exhaust": "the exhaust lobe"},
    "engine.camshaft.intake": _LIFT_FILE,
    "engine.camshaft.exhaust": _LIFT_FILE,
    "engine.intake_port": _PORT,
    "engine.exhaust_port": _PORT,
    "engine.runner": _PIPE,
    "engine.primary": _PIPE,
    "exhaust": {
        "diameter": "diameter of one exhaust pipe, in place of an area",
        "count": "pipes of that diameter side by side; 1 without it",
        "begins": "where the typed loss begins; beside cams behind the primaries, or behind the "
        "collectors where they are told",
    },
    "bypass": {
        "area": "flow area of one open valve",
        "diameter": "of one valve's seat, in place of an area",
        "lift": "of one valve fully open; as much as the seat needs without it",
        "flow": "air that one valve was rated to pass to the open, in place of an area",
        "at_pressure": "gauge pressure ahead of the valve at that flow",
        "at_temperature": "temperature of the air at that flow; 20 degC without it",
        "count": "valves side by side; 1 without it",
        "discharge_coefficient": "effective over geometric area; 0.8 of a diameter, 1 of an area",
    },
    "lift_off": {
        "diameter": "of the pipe along that way, in place of an area; 75 mm without either",
    },
    "fuel_system": {
        "voltage": "voltage at pumps and injectors with the engine running",
        "injectors": "the injectors",
        "regulator": "the pressure regulator",
        "pumps": "the pumps",
        "supply_line": "line from the tank to the rail",
        "return_line": "line back to the tank; none without it",
        "tank": "the tank",
    },
    "fuel_system.injectors": {
        "count": "how many injectors the engine has",
        "volume_flow": "rated flow of one injector by volume, in place of flow by mass",
        "pulses_per_cycle": "how often an injector opens in one engine cycle",
        "duty_limit": "share of the time that an injector may be open",
        "dead_time": "time that an injector takes to open",
    },
    "fuel_system.injectors.dead_time": {
        "voltage": "voltages of the table, rising",
        "pressure": "fuel pressures of the table, rising; one column without it",
        "values": "dead times: a row for each voltage, a value in it for each pressure",
    },
    "fuel_system.regulator": {
        "reference": 'what the fuel pressure is held above: "plenum" or "ambient" pressure',
        "place": 'where the regulator stands: "rail" or "tank"',
    },
    "fuel_system.pumps": {
        "count": "pumps side by side; 1 without it",
        "curves": "flow over pressure, a table for each voltage",
    },
    "fuel_system.pumps.curves": {
        "voltage": "voltage that the curve was measured at",
        "pressure": "pressures of the curve, rising, the same for every curve",
        "flow": "flow of one pump at each of them",
    },
    "fuel_system.tank": {"volume": "what the tank holds; without it none is reckoned with"},
    "vehicle": {
        "gear_ratios": "turns of the gearbox's input for one of its output, first gear first",
        "shift_speeds": "engine speed of each change up, or one for all; redline without it",
        "driven_axle": 'which wheels drive: "rear", "front" or "both"',
        "coupling": 'what slips at the start: "clutch" or "converter"',
        "surfaces": "where it is run, the first unless another is named; a dry road without any",
    },
    "vehicle.surfaces": {
        "name": "what it is called",
        "friction": "lowest and highest friction of the driven tyres; common practice for "
        '"wet road", "dry road", "dry road, soft tyres", "strip, slicks" and "prepared strip, '
        'slicks"',
    },
    "report": {
        "reference_speed": "engine speed at which levels are compared; redline without it",
        "pull_rate": "how fast engine speed rises in a pull, for timed pulls",
        "customer": "for whom the report is",
        "workshop": "by whom it is",
        "date": "its date, as it shall be printed",
        "reference": "its number in the workshop's books",
    },
    "trust": {
        **{name: _STANDARD_DEVIATION.format(words) for name, words in _OF_TRUST.items()},
        "belt_slip": "what the belt may slip by: one standard deviation, as a share of its speed",
    },
    "run": {
        "times": "how often the phases follow one another; once without it",
        "phases": "what a run is made of, in order",
    },
    "run.phases": {
        "name": "what the phase is called",
        "kind": '"full power", or "light load" at which only typed heat reaches the water',
        "time": "how long it lasts",
        "distance": "way it covers, in place of a time; needs a road speed",
        "road_speed": "mean road speed over that distance; at full power that of [vehicle] in its "
        "first so many gears, or in top gear where a speed is held",
        "speed": "engine speed that is held at full power",
        "from_speed": "engine speed at the start of every gear, in place of speed",
        "to_speed": "engine speed at the end of every gear",
        "gears": "how many gears share the time alike; 1 without it",
        "heat": "heat into the tank's water at light load; none without it",
        "ice_added": "ice put into the tank before the phase",
    },
    "plan": {
        "lowest_speed": "lowest engine speed that is looked at; that of a pull without it",
        "highest_speed": "highest engine speed that is looked at; redline without it",
        "runners_up": "how many further choices of parts are told; 3 without it",
        "currency": "what prices are counted in",
        "usual_limits": "whether usual limits and teeth stand where none is typed; they do where "
        "no limit is typed at all",
        "weather": "days that the plan must hold on, by name; coldest and hottest among them",
        "levels": "what each level is to make, by name",
        "shafts": "what the gears and pulleys must fit",
        "gears": "gear pairs that can be had",
        "teeth": "what all gears' teeth carry",
        "pulleys": "pulleys that can be had",
        "belt": "the belt that runs on them",
        "limits": "what must not be passed: for each quantity least or most, and its source",
        "cylinders": "by how much single cycles and cylinders exceed the mean",
        "head": "the head joint, whose clamp must hold peak pressure",
        "throttle_shut": "how far from surge the bypass keeps the compressor as the throttle shuts",
        "cost": "hours and rates, so that the plan tells what each level costs",
    },
    "plan.weather": {
        **_WEATHER,
        "altitude": "height of the place above sea level: with an altimeter setting, or alone for "
        "the pressure of the standard atmosphere there",
        "coolant_temperature": "coolant into the cooler on that day; as the build has it without",
    },
    "plan.levels": {
        "power": "the level's power, at its peak or at rpm",
        "torque": "the level's torque, in place of power",
        "boost": "the level's boost, in place of power",
        "rpm": "engine speed that the aim holds at; the peak without it",
        "tolerance": "how far from its aim the level may end, in the aim's unit; it must be given",
    },
    "plan.limits": {
        name: f"limit of {one.words}: a table with {'most' if one.bound == 'most' else 'least'} "
        "and the source that says so"
        for name, one in QUANTITIES.items()
    },
    "plan.shafts": {
        "crank": "end of the crank's shaft: bores must be told in the same words",
        "compressor": "end of the compressor's shaft: bores must be told in the same words",
        "centre_distance": "distance of both shafts; that of the drive's pair without it",
    },
    "plan.gears": {
        **_TITLES,
        "cut_for": "centre distance that a profile shift suits its teeth to; that of the module "
        "without it",
        "driving_bore": "bore of the first gear, in the words of a shaft",
        "driven_bore": "bore of the second gear, in the words of a shaft",
    },
    "plan.pulleys": {
        **_TITLES,
        "diameter": "pitch diameter",
        "bore": "its bore, in the words of a shaft",
    },
    "plan.belt": {
        "length": "length of the belt, where it is not cut to suit",
        "take_up": "by how much the tensioner lets the belt's path differ, either way",
    },
    "plan.cylinders": {
        "high_cycle": "peak pressure of a high cycle over that of the mean cycle",
        "worst_cylinder": "peak pressure of the lean or hot cylinder over the mean of cylinders; "
        "left out where firing_order and [engine.collectors] tell them apart",
    },
    "plan.cost": {
        "change": "time to change a pair of gears or pulleys; a plain number is in hours",
        "dyno": "time on the dyno for one level; a plain number is in hours",
        "hour": "price of an hour in the workshop, in the plan's currency",
        "dyno_hour": "price of an hour on the dyno, likewise",
        "fixed": "what is paid once; nothing without it",
    },
    "plan.throttle_shut": {
        "flow_over_surge": "flow over surge flow wanted once throttle and bypass stand; "
        "1.1 without it",
        "discharge_coefficient": "effective over geometric area where no bypass is fitted; 0.8 "
        "without it",
    },
}


def meaning(table: str, key: str) -> str:
    """Return what a key means, empty where a field of the core says it.

    Parameters
    ----------
    table : str
        Name of the table, such as ``"fuel_system.tank"``.
    key : str
        The key.

    Returns
    -------
    str
        The words.
    """
    return MEANINGS.get(table, {}).get(key, "")
