"""Questions from the cooler to the engine's air, each made of a point's own numbers."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from ..units.convert import display, formatted, from_si, unit_label
from .pictures import draw_bars, draw_stations
from .point import HEAT, Point, air_density, per_cent
from .question import Draw, Question

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def bars_of(point: Point, title: str, kind: str, known: dict[str, float], asked: str,
          answer: float) -> Draw:  # fmt: skip
    """Draws bars of one quantity kind [SI]."""
    unit = unit_label(kind, point.system)

    def draw(guess: float | None, seen: bool) -> Figure:
        shown = {name: float(from_si(value, unit, kind)) for name, value in known.items()}
        said = None if guess is None else float(from_si(guess, unit, kind))
        told = float(from_si(answer, unit, kind))
        return draw_bars(title, unit, shown, asked, told, said, seen)

    return draw


def cooler_outlet(point: Point) -> Question | None:
    """Ask how cold the cooler makes the air."""
    share = point["cooler_effectiveness"]
    if "cooler_outlet" not in point.table.states or not share > 0.0:
        return None
    hot, cold = point.temperature("cooler_inlet"), point["coolant_temperature"]
    coolant = point.text(cold, "temperature")
    drop = share * (hot - cold)
    return Question(
        "cooler outlet",
        f"The air enters the cooler at {point.at('cooler_inlet')}, the coolant is at {coolant}, "
        f"and the effectiveness is {per_cent(share, 1)}: so much of the way from hot air to "
        "coolant "
        "the air goes. How hot does it leave?",
        point.temperature("cooler_outlet"), "temperature", 0.02 * (hot - cold),
        "Heat flows from hot to cold only, so no cooler brings the air below its coolant. Colder "
        "coolant helps only by its effectiveness.",
        (f"From {point.at('cooler_inlet')} to {coolant} it is "
         f"{point.text(hot - cold, 'temperature_difference')}.",
         f"{per_cent(share, 1)} of that is {point.text(drop, 'temperature_difference')}; "
         f"{point.text(hot - drop, 'temperature')} are left."),
        partial(draw_stations, point, "cooler_outlet", "temperature"),
        ((cold + drop, "the effectiveness is counted from the coolant upwards"),
         (cold, "the air is taken to come down all the way to the coolant")),
        system=point.system,
    )  # fmt: skip


def boost(point: Point) -> Question | None:
    """Ask for boost from the plenum's pressure."""
    if not point.build.supercharged:
        return None
    plenum, air = point.pressure("plenum"), point.pressure("ambient")
    return Question(
        "boost",
        f"In the plenum stand {point.at('plenum', 'pressure')}, counted from nothing. The air of "
        f"the day has {point.at('ambient', 'pressure')}. What does the boost gauge read?",
        plenum - air, "pressure_difference", 0.02 * plenum,
        "A boost gauge shows how far the plenum is above the air around it. Nobody sets it: it is "
        "what the engine does not swallow of what the blower delivers.",
        (f"{point.at('plenum', 'pressure')} less {point.at('ambient', 'pressure')} is "
         f"{point.text(plenum - air, 'pressure_difference')}.",),
        bars_of(point, "Pressures", "pressure_difference",
                {"air of the day": air, "plenum": plenum}, "boost", plenum - air),
        ((plenum, "the air of the day is not taken off"),
         (plenum + air, "the air of the day is added")),
        system=point.system,
    )  # fmt: skip


def fuel_per_air(point: Point) -> Question | None:
    """Ask how much fuel goes to a hundred of air."""
    mixture = float(getattr(point.build.chain.injection, "lambda"))
    ratio = point["air_flow"] / point["fuel_flow"]
    answer = 100.0 / ratio
    unit = "lb" if point.system == "trade" else "kg"
    stoichiometric = ratio / mixture
    return Question(
        "fuel for the air",
        f"This fuel burns completely with {stoichiometric:.1f} {unit} of air to the {unit}. Lambda "
        f"is {mixture:g}: so much of that air there is. How many {unit} of fuel go to 100 {unit} "
        "of air?",
        answer, "dimensionless", 0.03 * answer,
        "Lambda below one is rich: less air for each bit of fuel, so more fuel for the same air. "
        "The surplus cools and burns slower, and keeps the engine from knock.",
        (f"{stoichiometric:.1f} times {mixture:g} is {ratio:.2f} {unit} of air to the {unit}.",
         f"100 over {ratio:.2f} is {answer:.2f} {unit}."),
        bars_of(point, f"Air and fuel [{unit}]", "dimensionless", {"air": 100.0}, "fuel", answer),
        ((100.0 / stoichiometric, "lambda is left out"),
         (100.0 * mixture / stoichiometric, "lambda is taken the other way round")),
        system=point.system,
    )  # fmt: skip


def charge_temperature(point: Point) -> Question | None:
    """Ask how far fuel that evaporates cools the charge."""
    state = point.table.states["charge"]
    vapour = state["fuel_vapour"]
    hot, cold = point.temperature("plenum"), point.temperature("charge")
    if not vapour > 0.0 or not hot > cold:
        return None
    latent = float(point.build.chain.fuel.latent_heat)
    drop = vapour * latent / HEAT
    takes = point.text(latent, "energy_per_mass")
    holds = formatted(HEAT, "specific_heat", point.system)
    return Question(
        "charge temperature",
        f"The plenum is at {point.at('plenum')}. Fuel of {per_cent(vapour, 2)} of the air's weight "
        "evaporates before the inlet valves. Evaporating takes "
        f"{takes}; air needs {holds} to warm. "
        "How warm is the charge?",
        cold, "temperature", 0.25 * (hot - cold),
        "Evaporating takes heat, and there is none but that of the air. So fuel in front of the "
        "valves is a second cooler; but its vapour also takes room from the air.",
        (f"{vapour:.4f} times {takes}, over {holds}, is some "
         f"{point.text(drop, 'temperature_difference')}.",
         f"{point.at('plenum')} less that is {point.text(hot - drop, 'temperature')}. The chain "
         "counts the fuel's own warmth too."),
        partial(draw_stations, point, "charge", "temperature"),
        ((hot, "evaporation is taken to cost no heat"),
         (hot + (hot - cold), "the charge is taken to be warmed")),
        system=point.system,
    )  # fmt: skip


def air_flow(point: Point) -> Question | None:
    """Ask how much air the engine swallows."""
    filling = point["volumetric_efficiency"]
    density = air_density(point.pressure("charge"), point.temperature("charge"))
    answer, by_hand = point["air_flow"], density * point.swept * filling
    volume = display(point.swept, "volume_flow", point.system)
    swept = f"{float(volume[0]):,.{0 if volume[1] == 'cfm' else 4}f} {volume[1]}"
    weight = point.text(density, "density")
    ambient = air_density(point.pressure("ambient"), point.temperature("ambient")) * point.swept
    return Question(
        "air flow",
        f"Every second turn a cylinder draws once: at {point.rpm:,.0f} rpm the pistons sweep "
        f"{swept}. Air of the charge's pressure and temperature weighs {weight}. The volumetric "
        f"efficiency is {filling:.3f}. How much dry air flows?",
        answer, "mass_flow", 0.04 * answer,
        "The engine swallows a volume. How much air that is goes by its density, so pressure helps "
        "and heat hurts.",
        (f"{swept} times {weight} is "
         f"{point.text(density * point.swept, 'mass_flow')}.",
         f"Times {filling:.3f} it is {point.text(by_hand, 'mass_flow')}. The vapours of water and "
         "fuel take a little of the room."),
        bars_of(point, "Air flow", "mass_flow", {"at the density of the day's air": ambient},
              "the engine", answer),
        ((density * point.swept, "volumetric efficiency is left out"),
         (2.0 * by_hand, "every turn is taken for a stroke of induction"),
         (ambient * filling, "the density of the day's air is used")),
        system=point.system,
    )  # fmt: skip


def fuel_flow(point: Point) -> Question | None:
    """Ask for the fuel flow."""
    ratio = point["air_flow"] / point["fuel_flow"]
    flow = point.text(point["air_flow"], "mass_flow")
    unit = unit_label("fuel_flow", point.system)
    flow_unit = unit_label("mass_flow", point.system)
    scale = float(from_si(1.0, unit, "fuel_flow") / from_si(1.0, flow_unit, "mass_flow"))
    return Question(
        "fuel flow",
        f"{flow} of dry air flow, and {ratio:.2f} parts of it go to one of fuel. How many {unit} "
        "of fuel are that?",
        point["fuel_flow"], "fuel_flow", 0.03 * point["fuel_flow"],
        "The fuel follows the air. An engine that breathes more needs more of it, whatever the "
        "boost gauge reads.",
        (f"{flow} over {ratio:.2f}, times {scale:,.0f}, is "
         f"{point.text(point['fuel_flow'], 'fuel_flow')}.",),
        bars_of(point, "Flows", "fuel_flow", {"air, a tenth of it": 0.1 * point["air_flow"]},
                "fuel", point["fuel_flow"]),
        ((point["fuel_flow"] / scale, "minutes or seconds are not made hours"),
         (point["air_flow"] * ratio, "the ratio is multiplied")),
        system=point.system,
    )  # fmt: skip


def density_gain(point: Point) -> Question | None:
    """Ask how much denser the plenum's air is."""
    if not point.build.supercharged:
        return None
    pressures = [point.pressure(s) for s in ("plenum", "ambient")]
    temperatures = [point.temperature(s) for s in ("plenum", "ambient")]
    states = point.table.states
    answer = states["plenum"]["density"] / states["ambient"]["density"]
    ratio = pressures[0] / pressures[1]
    warmth = temperatures[1] / temperatures[0]
    return Question(
        "density",
        f"The air of the day has {point.at('ambient', 'pressure')} and {point.at('ambient')}, the "
        f"plenum {point.at('plenum', 'pressure')} and {point.at('plenum')}. How many times as "
        f"dense is the plenum's air? ({point.zero} before you divide.)",
        answer, "dimensionless", 0.02 * answer,
        "Density goes with pressure and against absolute temperature. Boost that comes with heat "
        "is worth less than the gauge promises.",
        (f"Pressures: {ratio:.3f} times.",
         f"Temperatures from absolute zero: {point.absolute(temperatures[1])} over "
         f"{point.absolute(temperatures[0])} is {warmth:.3f}.",
         f"Together {ratio * warmth:.3f} times."),
        bars_of(point, "Density over that of the day's air", "dimensionless",
                {"air of the day": 1.0}, "plenum", answer),
        ((ratio, "the heat is left out"),
         (ratio / warmth, "the temperatures are taken the other way round")),
        system=point.system,
    )  # fmt: skip
