"""What every report says besides figures: cautions, assumptions and sources."""

from __future__ import annotations

from .._core import MEAN_VALUE_DOUBTS

SYSTEMS = {"trade": "trade units", "si": "SI units"}
INVENTED = (
    "Invented: this build stands for no real car, engine or part, and no figure here was measured."
)
INVENTED_PULLS = (
    "Invented: this build stands for no real car, engine or part, and the pulls it is compared "
    "with are invented too."
)
COMPUTED = (
    "All figures are computed from the inputs that end the workshop's book; none was measured."
)
LADDER_KEY = (
    "Charge temperature, drive power, compressor efficiency and fuel flow are those at peak power. "
    "Margins are the least over the pull: 'not known' where the map does not say where its limit "
    "lies, 'none' where points lie beyond it, 'est.' before what follows from a predicted limit."
)
FIRST_MODEL = (
    "Figures of a model: they replace no dyno session and no licensed judgement. Rule books, local "
    "law and the limits of the parts' makers come first."
)
FIRST_IMPELLER = (
    "Only the drive parts listed here: a larger ratio overspeeds the impeller, and a wheel that "
    "bursts leaves its case. Keep its guard on and people out of its plane."
)
FIRST_KNOCK = (
    "Only the fuel named here, with the spark and fuel tables made for it: knock or a lean "
    "cylinder breaks an engine within seconds, and no figure here says that a level is free of it."
)
CAUTIONS = (
    "Figures are those of a model, not of a measurement. They replace no dyno session, no "
    "inspection and no judgement of a licensed professional; local codes, the organiser's rule "
    "book and the makers' limits come before anything printed here.",
    "Impeller overspeed: a wheel that bursts leaves its case. Keep the speed limit of its maker, "
    "check drive ratio and rotation before the first start, fit the containment that the rules "
    "ask for, and keep people out of the plane of rotation.",
    "Hot fuel under high pressure: a leak burns at once. Relieve pressure before opening a line, "
    "and have a shut-off, ventilation and a suitable extinguisher within reach.",
    "Leaded gasoline and methanol are poisons, also through the skin; leaded fuel is barred from "
    "road use in most places. A methanol flame is nearly invisible by day. Follow the safety data "
    "sheet and local law.",
    "Hot parts: exhaust, blower case and charge pipes burn skin and set fuel alight long after a "
    "pull. Shield lines and wiring, and let parts cool before a hand goes near.",
    "Dyno cell: exhaust ventilation, alarm for carbon monoxide, guards over belts and shafts, a "
    "restraint made for the torque, an emergency stop, hearing protection, and nobody beside the "
    "car under load.",
    "Engine limits: block, crank, rods, pistons, gaskets and gearbox have their makers' own. A "
    "level within every limit listed here may still exceed one that nobody listed.",
    "Road use: a change of power, exhaust or emissions can end a car's approval and its insurance. "
    "Ask the authority and a licensed inspector before it is driven on a road.",
    "Knock: it can break an engine within seconds, and no figure here says that a level is free "
    "of it. Start rich and retarded, listen, and read plugs before the next step.",
    "Single cycles peak 25 to 30 % above the printed mean-cycle peak pressure (common practice, no "
    "source), and the lean or hot cylinder is the one that fails.",
)
ASSUMPTIONS = (
    "Steady full throttle at each engine speed; every level in the same weather, as typed.",
    "Pressures and temperatures at stations are total; boost is plenum less ambient pressure.",
    "The match is the flow at which the compressor, through ducts and cooler, delivers what the "
    "engine swallows. Boost is a result, never an input.",
    "The compressor follows its map by similarity (corrected speed and flow), below the lowest "
    "speed line too, where points are marked as extrapolated.",
    "Drive efficiency does not change with load; belts slip only as typed.",
)
TYPED_CYLINDER = (
    "The cylinder is a mean-value model: volumetric efficiency from the typed table, one mean "
    "cycle for all cylinders. Wave tuning beyond the table, cylinder-to-cylinder spread, knock "
    "and transients of heat are left out.",
    "Its constants are fitted to cycles of invented engines. Of 100 states of other "
    f"such engines 95 are within {100.0 * MEAN_VALUE_DOUBTS['net_work'][1]:.2g} % of their cycle's "
    f"net work and {MEAN_VALUE_DOUBTS['exhaust_temperature'][1]:.0f} K of its exhaust temperature.",
)
BY_CYCLES = (
    "Volumetric efficiency, charge lost in overlap, work, pumping, exhaust temperature, peak "
    "pressure and heat to the cylinder walls are those of the crank-resolved cycle of one cylinder "
    "with its cams, ports, runner and primary, run at every point."
)
ON_A_SURFACE = (
    "Volumetric efficiency, charge lost in overlap, work, pumping, exhaust temperature, peak "
    "pressure and heat to the cylinder walls are those of crank-resolved cycles of one cylinder "
    "with its cams, ports, runner and primary, held as a surface over engine speed, plenum over "
    "exhaust pressure, charge temperature, phasing and lambda. All figures of this report "
    "stand on that surface."
)
ALIKE = "Plenum and collector are taken as steady, and all cylinders as alike."
APART = (
    "Air is the mean of all cylinders, by whole engines with their firing order, plenum and "
    "collectors. Work for each unit of fuel, pumping and exhaust temperature are those of the one. "
    "Knock and limits of peak pressure count with the worst cylinder."
)
CAM_CYLINDER = (
    "The typed work scale stands for what the mean cycle leaves out, and friction is a mean-value "
    "model; transients of heat are left out. Heat to coolant and oil is a typed share.",
    "Knock is that of the mean cycle's unburned gas by an ignition delay. Hot spots, deposits, "
    "oil, and the spread from cycle to cycle are left out; where a margin is that of the worst "
    "cylinder it says so.",
)
KNOCK_WORDS = (
    "Knock margin: by how many crank degrees half of the charge may burn earlier than the "
    "calibration has it, before the unburned gas ignites by itself. It is an estimate, whose doubt "
    "is as large as many margins; the engine's own knock, heard or measured, decides. Begin with "
    "later spark than printed, and never go by this page alone."
)
FIT_WORDS = (
    "Unknowns are factors on the build's own figures, fitted with the errors of the sensors, which "
    "are a bias per pull, and with an error of the chain itself, which grows away from the loads "
    "that were measured. A band holds nine of ten readings at one speed if these are as stated; it "
    "is no margin to any limit."
)
FAULT_WORDS = (
    "Every fault known here was tried in the chain at every size, against all channels and speeds "
    "at once and with the errors that the fit states. A chance compares these faults with each "
    "other and with a sound engine; a fault that is not known here has none. Nothing is taken "
    "apart on a chance: the check that stands with a fault proves or clears it."
)
SOURCES = (
    "Humid air: Hyland and Wexler, formulations for the thermodynamic properties of saturated "
    "phases of H2O, ASHRAE Transactions 89 (1983).",
    "Enthalpies of gases: NASA polynomials, McBride, Gordon and Reno, NASA TM-4513 (1993).",
    "Cooler: effectiveness and number of transfer units, Kays and London, Compact Heat Exchangers.",
    "Corrected flow and speed: similarity of turbomachines, with the gas's own gamma and R.",
    "The project's README lists what each part was compared with.",
)
CAM_SOURCES = (
    "Burn: Wiebe's function. Heat to the walls: Woschni, SAE 670931 (1967). Knock: ignition delay "
    "of Douaud and Eyzat, SAE 780080 (1978), integrated after Livengood and Wu (1955). Their "
    "constants are from memory.",
)
