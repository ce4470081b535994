"""Questions from the weather to the blower, each made of a point's own numbers."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from .. import _core
from ..base.speeds import RPM
from ..chain.build_words import link_words
from ..units.convert import from_si, to_si, unit_label
from .pictures import draw_bars, draw_stations
from .point import POWER_OF_RATIO, Point
from .question import Question

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_SEA_LEVEL = 101325.0  # Pa, of the standard atmosphere
_PER_FOOT = 0.001 * 3386.39 / 0.3048  # Pa/m: an inch of mercury a thousand feet


def air_pressure(point: Point) -> Question | None:
    """Ask for the true pressure of the place."""
    ambient = point.build.chain.ambient
    inputs = point.build.inputs
    high = inputs.get("ambient.altitude")
    rise = 0.0 if high is None else to_si(high, "altitude", field="altitude")
    setting = inputs.get("ambient.altimeter")
    sea = _SEA_LEVEL if setting is None else to_si(setting, "barometer", field="altimeter")
    loss = point.text(1000.0 * 0.3048 * _PER_FOOT, "pressure_difference")
    where = (
        f"The place lies {point.text(rise, 'altitude')} above the sea." if high else
        "The build's file types the weather by the place's own barometer."
    )  # fmt: skip
    what = "The altimeter setting is" if setting else "At the sea standard air has"
    by_hand = sea - rise * _PER_FOOT
    unit = unit_label("pressure", point.system)

    def draw(guess: float | None, seen: bool) -> Figure:
        known, told = (float(from_si(v, unit, "pressure")) for v in (sea, ambient.pressure))
        said = None if guess is None else float(from_si(guess, unit, "pressure"))
        return draw_bars(
            "Pressure of the air", unit, {"at the sea": known}, "here", told, said, seen
        )

    return Question(
        "air pressure",
        f"{what} {point.text(sea, 'pressure')}. {where} Near the sea the air loses some {loss} "
        f"with every {point.text(304.8, 'altitude')}. What pressure does the scoop stand in?",
        float(ambient.pressure), "pressure", 0.01 * ambient.pressure,
        "The air above presses on the air below. The higher the place, the less air is above it. "
        "An altimeter setting is a pressure brought down to the sea; the engine breathes the true "
        "one.",
        (
            f"{point.text(sea, 'pressure')} less "
            f"{point.text(rise * _PER_FOOT, 'pressure_difference')}"
            f" is {point.text(by_hand, 'pressure')}.",
        ),
        draw,
        ((sea, "the altimeter setting is taken for the true pressure"),
         (sea + rise * _PER_FOOT, "the pressure is taken to rise with height")),
        system=point.system,
    )  # fmt: skip


def inlet_loss(point: Point) -> Question | None:
    """Ask what filter and pipe cost, from what they cost at a lower speed."""
    if "compressor_inlet" not in point.table.states:
        return None
    slow = Point(point.build, round(0.6 * point.rpm, -2), point.system)

    def loss_of(at: Point) -> float:
        return at.pressure(at.before_filter) - at.pressure("compressor_inlet")

    before, loss = loss_of(slow), loss_of(point)
    if before <= 0.0 or loss <= 0.0:
        return None
    flows = slow["compressor_flow"], point["compressor_flow"]
    ratio = flows[1] / flows[0]
    texts = [point.text(one, "mass_flow") for one in flows]
    unit = "psi" if point.system == "trade" else "kPa"
    known = float(from_si(before, unit, "pressure_difference"))
    told = float(from_si(loss, unit, "pressure_difference"))

    def draw(guess: float | None, seen: bool) -> Figure:
        said = None if guess is None else float(from_si(guess, unit, "pressure_difference"))
        return draw_bars("Pressure lost before the blower", unit,
                         {f"at {slow.rpm:,.0f} rpm": known}, f"at {point.rpm:,.0f} rpm", told,
                         said, seen)  # fmt: skip

    return Question(
        "inlet loss",
        f"At {slow.rpm:,.0f} rpm {texts[0]} of moist air pass filter and pipe, and "
        f"{known:.3f} {unit} are lost up to the blower. At "
        f"{point.rpm:,.0f} rpm {texts[1]} pass. How much is lost now?",
        loss, "pressure_difference", 0.12 * loss,
        "A loss grows with the square of the flow. What is lost here is multiplied by the blower: "
        "at the plenum it costs about the pressure ratio times that, here "
        f"{point['pressure_ratio']:.1f} "
        "times.",
        (f"{texts[1]} over {texts[0]} is {ratio:.2f}; squared {ratio * ratio:.2f}.",
         f"{ratio * ratio:.2f} times {known:.3f} {unit} is "
         f"{point.text(before * ratio * ratio, 'pressure_difference')}."),
        draw,
        ((before * ratio, "the loss is taken to grow as the flow, not as its square"),
         (before, "the loss is taken to be the same at any flow")),
        system=point.system,
    )  # fmt: skip


def rotor_speed(point: Point) -> Question | None:
    """Ask how fast the impeller turns."""
    links = point.build.links
    if not links:
        return None
    answer = point["rotor_speed"]
    ratio = answer / (point.rpm * RPM)
    first = _ratio_of(links[0])
    words = ", then ".join(map(link_words, links))
    steps, speed = [], point.rpm
    for link in links:
        steps.append(
            f"{speed:,.0f} rpm times {_ratio_of(link):.4g} is {speed * _ratio_of(link):,.0f} rpm."
        )
        speed *= _ratio_of(link)

    def draw(guess: float | None, seen: bool) -> Figure:
        said = None if guess is None else guess / RPM
        return draw_bars("Shaft speeds", "rpm", {"crank": point.rpm}, "impeller", answer / RPM,
                         said, seen)  # fmt: skip

    return Question(
        "rotor speed",
        f"The crank turns {point.rpm:,.0f} times a minute. From crank to impeller: {words}. The "
        "first number of a pair is the one on the crank's side. How fast does the impeller turn?",
        answer, "speed", 0.012 * answer,
        "A large gear that drives a small one makes it turn faster, by teeth over teeth. Steps one "
        f"after another multiply, here to {ratio:.2f} turns of the impeller for one of the crank.",
        tuple(steps), draw,
        ((answer / first / first, "the first pair is taken the other way round"),
         (answer / first, "the first pair is left out"),
         (point.rpm * RPM * first, "only the first pair is counted")),
        system=point.system,
    )  # fmt: skip


def _ratio_of(link: _core.GearPair | _core.PulleyPair | _core.StepUp) -> float:
    if isinstance(link, _core.GearPair):
        return float(link.driving_teeth / link.driven_teeth)
    if isinstance(link, _core.PulleyPair):
        return float(link.driving_diameter / link.driven_diameter)
    return float(link.speed_ratio)


def impeller_direction(point: Point) -> Question | None:
    """Ask which way the impeller turns."""
    links = list(point.build.links)
    if not links:
        return None
    options = ("with crank", "against crank")
    answer = 0 if _core.drive_rotation(links) > 0 else 1
    turns = sum(1 for i in range(len(links)) if _core.drive_rotation(links[i : i + 1]) < 0)
    senses = ["keeps the sense" if _core.drive_rotation([one]) > 0 else "turns it round"
              for one in links]  # fmt: skip
    words = ", then ".join(
        f"{link_words(link)} ({sense})" for link, sense in zip(links, senses, strict=True)
    )

    def draw(guess: float | None, seen: bool) -> Figure:
        speeds = {"crank": 1.0}
        sense = 1.0
        for number, link in enumerate(links[:-1], 1):
            sense *= 1.0 if _core.drive_rotation([link]) > 0 else -1.0
            speeds[f"behind link {number}"] = sense
        said = None if guess is None else 1.0 - 2.0 * guess
        return draw_bars("Sense of rotation", "with the crank +1, against it -1", speeds,
                         "impeller", 1.0 - 2.0 * answer, said, seen)  # fmt: skip

    return Question(
        "impeller direction",
        f"From crank to impeller: {words}. Does the impeller turn with the crank or against it?",
        float(answer), "dimensionless", 0.1,
        "Two gears in mesh turn opposite ways, belts keep the sense. An impeller that is driven "
        "the "
        "wrong way round is scrap.",
        (f"The sense is turned round {turns} times, so it is {options[answer]}.",),
        draw,
        options=options, system=point.system,
    )  # fmt: skip


def outlet_temperature(point: Point) -> Question | None:
    """Ask how hot the air leaves the blower."""
    if "compressor_outlet" not in point.table.states:
        return None
    cold, hot = point.temperature("compressor_inlet"), point.temperature("compressor_outlet")
    ratio, efficiency = point["pressure_ratio"], point["isentropic_efficiency"]
    growth = ratio**POWER_OF_RATIO - 1.0
    rise = cold * growth / efficiency
    rise_text = point.text(rise, "temperature_difference")
    number, unit = point.at("compressor_inlet").split()
    wrong = to_si(f"{float(number) * (1.0 + growth / efficiency)} {unit}", "temperature", field="T")
    return Question(
        "outlet temperature",
        f"Air enters the blower at {point.at('compressor_inlet')} and is pressed to {ratio:.2f} "
        f"times its pressure, at an efficiency of {efficiency:.2f}. Perfect compression heats by "
        f"T (r^0.286 - 1), T from absolute zero ({point.zero}); divide that by the efficiency. How "
        "hot does the air leave the blower?",
        hot, "temperature", 0.05 * (hot - cold),
        "Squeezing air takes work, and the work stays in it as heat. What is lost to swirl and "
        "friction turns into heat too, so a worse blower makes hotter air for the same boost.",
        (f"{ratio:.2f} to the power 0.286, less 1, is {growth:.3f}.",
         f"{point.absolute(cold)} times {growth:.3f}, over {efficiency:.2f}, is a rise of "
         f"{rise_text}.",
         f"{point.at('compressor_inlet')} and that rise make "
         f"{point.text(cold + rise, 'temperature')}."),
        partial(draw_stations, point, "compressor_outlet", "temperature"),
        ((cold + cold * growth, "the efficiency is left out"),
         (cold + cold * growth * efficiency, "the rise is multiplied by the efficiency"),
         (wrong, "the temperature is not counted from absolute zero")),
        system=point.system,
    )  # fmt: skip
