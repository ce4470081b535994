"""The glossary's entries: one word for each quantity, and what it means.

A row's unit follows from its kind; `tests/python/test_glossary.py` holds rows and core together.
"""

from __future__ import annotations

from typing import NamedTuple

from ..units.convert import KINDS

#: Where a quantity stands: columns of a pull, of a timed pull, of a cycle, of a measured pull, of a
#: fuel system, of a run on the track, and limits of a plan.
PULL, TIMED, CYCLE, MEASURED, PLAN = "pull", "timed pull", "cycle", "measured pull", "plan"
FUEL, TRACK = "fuel system", "track"


class Entry(NamedTuple):
    """One quantity.

    Attributes
    ----------
    name : str
        Its column.
    word : str
        The one word for it in tables, pictures and pages.
    kind : str
        Its kind in `airchain.units`.
    meaning : str
        What it is and where it is measured, in one sentence.
    tables : tuple of str
        Where it stands: pull, timed pull, cycle, measured pull, fuel system, track, plan.
    basis : str
        Of a state: total or static, absolute or a difference; empty for others.
    fuel : str
        Before or after the fuel has joined the air, where that matters.
    cycle : str
        Of the mean cycle or of the worst one, where that matters.
    """

    name: str
    word: str
    kind: str
    meaning: str
    tables: tuple[str, ...] = (PULL,)
    basis: str = ""
    fuel: str = ""
    cycle: str = ""

    @property
    def unit(self) -> str:
        """The SI unit; empty for plain numbers."""
        return KINDS[self.kind].si_unit


def _station(
    name: str, words: str, place: str, fuel: str = "", measured: str = ""
) -> tuple[Entry, Entry]:
    """Pressure and temperature at a station; `measured` names those that a log may hold."""
    spoken = name.replace("_", " ")
    both = (PULL, MEASURED)
    return (
        Entry(f"{name}_pressure", f"{spoken} pressure", "pressure",
              f"Pressure of the {words} {place}.", both if "p" in measured else (PULL,),
              "total, absolute", fuel),
        Entry(f"{name}_temperature", f"{spoken} temperature", "temperature",
              f"Temperature of the {words} {place}.", both if "t" in measured else (PULL,),
              "total", fuel),
    )  # fmt: skip


def _density(name: str, place: str, fuel: str = "") -> Entry:
    meaning = f"Density of the air {place}."
    return Entry(f"{name}_density", f"{name.replace('_', ' ')} density", "density", meaning,
                 basis="at total state", fuel=fuel)  # fmt: skip


def _mean_effective(name: str, word: str, meaning: str, *tables: str) -> Entry:
    """Work of a cycle over displacement."""
    return Entry(name, word, "pressure_difference", meaning, tables, "work over displacement",
                 cycle="mean cycle")  # fmt: skip


#: Fuel that is injected before a place is in the air there; the rest joins it later.
_SO_FAR = "before port fuel"
_INLET = "after fuel that is injected there, before all other"

_AIR = (
    *_station("scoop", "air", "after the scoop", "before fuel"),
    *_station("compressor_inlet", "air", "after filter and inlet duct, where it enters the "
              "compressor", _INLET, "pt"),
    _density("compressor_inlet", "where it enters the compressor", _INLET),
    *_station("compressor_outlet", "air", "where it leaves the compressor", _SO_FAR, "pt"),
    *_station("cooler_inlet", "air", "after the discharge duct, where it enters the cooler",
              _SO_FAR),
    *_station("cooler_outlet", "air", "where it leaves the cooler", _SO_FAR),
    *_station("throttle_inlet", "air", "after the charge duct, before the throttle", _SO_FAR),
    *_station("plenum", "air", "in the plenum (the intake manifold), as a sensor there reads it",
              _SO_FAR, "pt"),
    _density("plenum", "in the plenum", _SO_FAR),
    *_station("charge", "charge", "at the inlet valves, fuel evaporated as far as it does",
              "after fuel"),
    Entry("fuel_evaporated", "fuel evaporated", "dimensionless",
          "Share of the fuel that is vapour at the inlet valves: as typed, or as the air holds."),
    Entry("exhaust_pressure", "exhaust pressure", "pressure",
          "Mean pressure behind the exhaust valves.", (PULL,), "total, absolute", "burned"),
    Entry("exhaust_temperature", "exhaust temperature", "temperature",
          "Temperature of the burned gas: mean of what leaves the primaries where cycles tell it, "
          "else behind the exhaust valves, or where a log's probe sits.",
          (PULL, MEASURED), "total", "burned"),
    Entry("boost", "boost", "pressure_difference", "Plenum pressure less ambient pressure.",
          (PULL, MEASURED, PLAN), "difference"),
    Entry("barometer", "barometer", "barometer",
          "Pressure of the ambient air at the place itself, not reduced to sea level.",
          (MEASURED,), "absolute"),
    Entry("ambient_temperature", "ambient temperature", "temperature",
          "Temperature of the ambient air in the shade.", (MEASURED,)),
    Entry("relative_humidity", "relative humidity", "dimensionless",
          "Water vapour of the ambient air over what it could hold.", (MEASURED,)),
    Entry("humidity_ratio", "humidity ratio", "dimensionless",
          "Water vapour per dry air, by mass, that reaches the plenum."),
    Entry("condensed_water", "condensed water", "mass_flow", "Water that drops out in the cooler."),
    Entry("coolant_temperature", "coolant temperature", "temperature",
          "Temperature of the coolant where it enters the charge cooler.",
          (PULL, TIMED, MEASURED)),
    Entry("ice_mass", "ice left", "mass", "Ice that is left in the cooler's tank.", (TIMED,)),
    Entry("water_mass", "tank water", "mass", "Water in the cooler's tank, melted ice with it.",
          (TIMED,)),
)  # fmt: skip

_FLOWS = (
    Entry("air_flow", "air flow", "mass_flow", "Dry air that flows into the engine.",
          (PULL, CYCLE, MEASURED), fuel="before fuel"),
    Entry("compressor_flow", "compressor flow", "mass_flow",
          "All that passes the compressor; all that enters the engine where there is none.",
          fuel=_INLET),
    Entry("corrected_flow", "corrected flow", "mass_flow",
          "Compressor flow as it would be at the map's reference state."),
    Entry("bypass_flow", "bypass flow", "mass_flow", "Flow that the bypass lets out."),
    Entry("fuel_flow", "fuel flow", "fuel_flow", "Fuel that the engine takes.",
          (PULL, CYCLE, MEASURED)),
    Entry("lambda", "lambda", "dimensionless",
          "Air over the air that the fuel needs to burn; above 1 is lean.", (MEASURED,)),
)  # fmt: skip

_MACHINES = (
    Entry("time", "time", "time", "Time since the first engine speed of the pull.",
          (TIMED, MEASURED)),
    Entry("engine_speed", "engine speed", "speed", "Speed of the crank.", (PULL, TIMED, MEASURED)),
    Entry("rotor_speed", "rotor speed", "speed",
          "Speed of the compressor's rotor, on which the impeller sits.", (PULL, MEASURED, PLAN)),
    Entry("corrected_speed", "corrected speed", "speed",
          "Rotor speed as it would be at the map's reference state."),
    Entry("tip_speed", "tip speed", "velocity", "Speed of the impeller's rim.", (PULL, PLAN)),
    Entry("pressure_ratio", "pressure ratio", "dimensionless",
          "Pressure at the compressor's outlet over that at its inlet.", basis="total over total"),
    Entry("isentropic_efficiency", "compressor efficiency", "dimensionless",
          "Least work that could compress the air so far, over the work that it took.",
          basis="total to total"),
    Entry("map_place", "place on the speed line", "dimensionless",
          "Place along the map's speed line: 0 at its left end, 1 at choke."),
    Entry("surge_margin", "surge margin", "dimensionless",
          "How far the flow lies above surge at this rotor speed: 1 less surge flow over flow.",
          (PULL, PLAN)),
    Entry("choke_margin", "choke margin", "dimensionless",
          "How far the flow lies below choke at this rotor speed: choke flow over flow, less 1.",
          (PULL, PLAN)),
    Entry("speed_margin", "speed margin", "dimensionless",
          "How far the rotor is from the nearest of its speed limits: limit over speed, less 1."),
    Entry("knock_margin", "knock margin", "angle",
          "Crank angle by which half of the charge may burn earlier before the unburned gas "
          "ignites by itself; an estimate.", (PULL, TIMED, PLAN),
          cycle="mean cycle, of the worst cylinder where cylinders are told apart or planned for"),
    Entry("rail_pressure", "rail pressure", "pressure",
          "Pressure of the fuel in the rail: what the regulator holds, or less where the pumps "
          "fall short.", (FUEL,), basis="static, absolute"),
    Entry("pressure_difference", "pressure difference", "pressure_difference",
          "Rail pressure less the pressure that the injectors spray into.", (FUEL,),
          basis="difference"),
    Entry("injector_flow", "injector flow", "fuel_flow",
          "Fuel that one injector passes while it is held open.", (FUEL,)),
    Entry("pump_flow", "pump flow", "pump_flow",
          "Volume of fuel that all pumps deliver at their pressure and voltage.", (FUEL,)),
    Entry("pump_margin", "pump margin", "dimensionless",
          "How much more the pumps deliver than is asked of them: flow over demand, less 1.",
          (FUEL, PLAN)),
    Entry("belt_margin", "belt margin", "dimensionless",
          "How far the belt is from slipping: what it can pull over what it pulls, less 1.",
          (PULL, PLAN)),
    Entry("compressor_power", "compressor power", "power", "Power that goes into the gas."),
    Entry("drive_power", "drive power", "power",
          "Power that the compressor's drive takes from the crank at held speed."),
    Entry("acceleration_power", "acceleration power", "power",
          "Power that speeding up the rotor takes from the crank through the drive."),
    Entry("cooler_effectiveness", "cooler effectiveness", "dimensionless",
          "How far the cooler brings the charge to the coolant's temperature: 1 is all the way."),
    Entry("cooler_heat", "cooler heat", "power", "Heat flow from the charge to the coolant."),
)  # fmt: skip

_ENGINE = (
    Entry("volumetric_efficiency", "volumetric efficiency", "dimensionless",
          "Charge drawn over displacement filled at plenum pressure and charge temperature.",
          fuel="after fuel"),
    Entry("trapping", "trapping", "dimensionless",
          "Charge that stays in the cylinders over charge drawn; 1 where breathing is typed."),
    Entry("filling", "filling", "dimensionless",
          "Dry air drawn over displacement filled with dry air at ambient state.",
          fuel="before fuel"),
    _mean_effective("indicated_pressure", "gross IMEP",
                    "Work of compression and expansion over displacement.", PULL),
    _mean_effective("pumping_pressure", "PMEP", "Work lost in the gas exchange over displacement; "
                    "negative where boost drives the piston.", PULL),
    _mean_effective("friction_pressure", "FMEP", "Work lost to friction over displacement.",
                    PULL, CYCLE),
    _mean_effective("brake_pressure", "BMEP", "Work at the crank over displacement.", PULL, CYCLE),
    Entry("peak_pressure", "mean-cycle peak pressure", "pressure",
          "Highest pressure in the cylinder in a cycle that is the mean of all.", (PULL, CYCLE),
          "static, absolute", cycle="mean cycle"),
    Entry("worst_cycle_peak_pressure", "worst-cycle peak pressure", "pressure",
          "Highest pressure in the worst cylinder in a high cycle, which limits are set against.",
          (PLAN,), "static, absolute", cycle="worst cycle"),
    Entry("torque", "torque", "torque", "Torque at the crank, after drive and acceleration.",
          (PULL, CYCLE, MEASURED, PLAN)),
    Entry("power", "power", "power", "Power at the crank, after drive and acceleration.",
          (PULL, CYCLE, MEASURED, PLAN)),
    Entry("brake_specific_fuel", "BSFC", "fuel_consumption", "Fuel per work at the crank."),
    Entry("air_per_power", "air per power", "fuel_consumption",
          "Dry air per work at the crank, the drive's work taken off."),
    Entry("fuel_power", "fuel power", "power", "Heating value of the fuel that enters."),
    Entry("unburned_power", "unburned power", "power",
          "Heating value of the fuel that leaves unburned for want of air."),
    Entry("coolant_power", "heat to coolant and oil", "power",
          "Heat flow of the whole engine to coolant and oil, a typed share of the heat released: "
          "from cylinder walls, exhaust ports and rubbing. A radiator is sized by it."),
    Entry("wall_heat_flow", "heat flow to the cylinder walls", "power",
          "Heat flow from the gas to the walls of all cylinders, by their cycles, or by a law "
          "fitted to such where breathing is typed: a part of the heat to coolant and oil.",
          (PULL, CYCLE)),
)  # fmt: skip

_VEHICLE = (
    Entry("road_speed", "road speed", "road_speed", "Speed of the vehicle over the ground.",
          (TRACK,)),
    Entry("wheel_torque", "wheel torque", "torque",
          "Torque of all driven wheels that the road feels: what speeds up engine, driveline and "
          "wheels is taken off.", (TRACK,)),
)  # fmt: skip

_POINTS = (
    Entry("status", "status", "dimensionless", "Whether the point was solved, or why not.",
          (PULL, TIMED)),
    Entry("flags", "flags", "dimensionless",
          "Limits that are passed and cautions, as bits of one number.", (PULL, TIMED)),
)  # fmt: skip

#: Columns of a cycle that are not columns of a pull, or mean another thing there.
_OF_A_CYCLE = (
    Entry("volumetric_efficiency", "trapped volumetric efficiency", "dimensionless",
          "Fresh charge trapped over displacement filled at plenum state."),
    Entry("exhaust_temperature", "exhaust temperature after the primary", "temperature",
          "Mean temperature of the gas that flows out of the primary pipe.", basis="total"),
    Entry("trapped_mass", "trapped mass", "mass",
          "Charge and burned gas in one cylinder when the inlet closes."),
    Entry("fresh_mass", "fresh mass", "mass",
          "Fresh charge in one cylinder when the inlet closes."),
    Entry("residual_fraction", "residual fraction", "dimensionless",
          "Burned gas over all gas in the cylinder when the inlet closes."),
    Entry("scavenging_loss", "scavenging loss", "dimensionless",
          "Fresh charge that is lost to the exhaust over fresh charge drawn."),
    _mean_effective("imep", "IMEP", "Work of the whole cycle over displacement.", CYCLE),
    _mean_effective("gross_imep", "gross IMEP",
                    "Work of compression and expansion over displacement.", CYCLE),
    _mean_effective("pmep", "PMEP", "Work lost in the gas exchange over displacement; negative "
                    "where boost drives the piston.", CYCLE),
    Entry("peak_angle", "angle of peak pressure", "angle",
          "Crank angle of the highest pressure after firing top centre.", cycle="mean cycle"),
    Entry("heat_loss", "heat to the walls", "energy", "Heat to the cylinder's walls in a cycle."),
    Entry("fuel_heat", "heat released", "energy", "Heat that burning releases in a cycle."),
    Entry("knock_integral", "knock integral", "dimensionless",
          "How far the unburned gas gets to igniting by itself; 1 is the onset of knock.",
          cycle="mean cycle"),
    Entry("burn_duration", "burn duration", "angle",
          "Crank angle from the start to the end of burn."),
    Entry("burn_start", "start of burn", "angle",
          "Crank angle of the start of burn after firing top centre."),
    Entry("half_burned", "half burned", "angle",
          "Crank angle after firing top centre at which half the charge has burned."),
    Entry("air_mass", "air a cycle", "mass", "Dry air that one cylinder draws in a cycle."),
    Entry("fuel_mass", "fuel a cycle", "mass", "Fuel that one cylinder draws in a cycle."),
    Entry("mass_error", "mass error", "dimensionless",
          "Mass that the computation loses or gains over trapped mass."),
    Entry("energy_error", "energy error", "dimensionless",
          "Energy that the computation loses or gains over the heat of the trapped charge."),
    Entry("change", "change from the cycle before", "dimensionless",
          "Change of trapped fresh charge from the cycle before, over that charge."),
    Entry("cycles", "cycles", "dimensionless", "Cycles that were run for the point."),
)  # fmt: skip

ENTRIES: tuple[Entry, ...] = (
    *_POINTS, *_MACHINES, *_AIR, *_FLOWS, *_ENGINE, *_VEHICLE,
)  # fmt: skip
CYCLE_ENTRIES: tuple[Entry, ...] = tuple(row._replace(tables=(CYCLE,)) for row in _OF_A_CYCLE)
