"""Questions about power, the blower's share of it, the cylinder and knock."""

from __future__ import annotations

from functools import partial
from math import degrees, isfinite, radians
from typing import TYPE_CHECKING

from ..chain.pull import Pull
from ..cylinder.knock_words import DOUBT
from ..units.convert import formatted, from_si, to_si
from .engine_questions import bars_of
from .pictures import draw_knock, draw_share
from .point import HEAT, Point, per_cent
from .question import Question

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def compressor_power(point: Point) -> Question | None:
    """Ask what power goes into the gas."""
    if not point.build.supercharged:
        return None
    rise = point.temperature("compressor_outlet") - point.temperature("compressor_inlet")
    power = point["compressor_power"]
    by_hand = point["compressor_flow"] * HEAT * rise
    trade = point.system == "trade"
    holds = formatted(HEAT, "specific_heat", point.system)
    hint = " (one hp is 42.4 BTU a minute)" if trade else ""
    return Question(
        "compressor power",
        f"{point.text(point['compressor_flow'], 'mass_flow')} of moist air pass the blower and "
        f"leave it {point.text(rise, 'temperature_difference')} hotter. Air needs "
        f"{holds} to warm{hint}. What power goes into the air?",
        power, "power", 0.05 * power,
        "What the impeller gives the air shows as its rise in temperature. So a thermometer before "
        "and one behind the blower measure its power.",
        (f"{point.text(point['compressor_flow'], 'mass_flow')} times {holds} times "
         f"{point.text(rise, 'temperature_difference')} is {point.text(by_hand, 'power')}.",),
        bars_of(point, "Power", "power", {"at the crank": point["power"]}, "into the air", power),
        ((point["drive_power"] + 0.1 * power, "losses of the drive are counted too"),),
        system=point.system,
    )  # fmt: skip


def drive_share(point: Point) -> Question | None:
    """Ask what share of the crank's power the blower takes."""
    if not point.build.supercharged:
        return None
    share = point["drive_power"] / point["power"]
    into, power = (
        point.text(point["compressor_power"], "power"),
        point.text(point["power"], "power"),
    )
    drag = point.build.chain.drive.efficiency
    boosts = ("9 psi", "22 psi") if point.system == "trade" else ("60 kPa", "150 kPa")
    return Question(
        "blower's share",
        f"The blower puts {into} into the air, its drive passes on {per_cent(float(drag), 1)} of "
        "what "
        f"it takes, and bearings drag a little. {power} are left at the crank. How many per cent "
        "of "
        "that does the blower take?",
        share, "dimensionless", 0.012,
        "The crank pays for boost first. The work grows with air flow and with pressure ratio, so "
        f"the share grows with boost: near {boosts[0]} it is 8 to 9 %, near {boosts[1]} 16 to 18 % "
        "(common practice, no source).",
        (f"{into} over {float(drag):.3f}, with the drag, is "
         f"{point.text(point['drive_power'], 'power')}.",
         f"Over {power} that is {per_cent(share, 1)}."),
        partial(draw_share, point),
        ((point["drive_power"] / (point["power"] + point["drive_power"]),
          "it is counted of what the pistons give, not of what is left"),),
        unit="%", system=point.system,
    )  # fmt: skip


def crank_power(point: Point) -> Question | None:
    """Ask for power from the air, by what the same engine makes of it at a lower speed."""
    slow = Point(point.build, round(0.93 * point.rpm, -2), point.system)

    def taken(at: Point) -> float:
        return at["drive_power"] if point.build.supercharged else 0.0

    def gross(at: Point) -> float:
        return at["power"] + taken(at)

    power = point["power"]
    ratio = point["air_flow"] / slow["air_flow"]
    by_hand = gross(slow) * ratio - taken(point)
    units = ("hp", "lb/min") if point.system == "trade" else ("kW", "kg/s")
    each = [
        float(
            from_si(gross(at), units[0], "power") / from_si(at["air_flow"], units[1], "mass_flow")
        )
        for at in (slow, point)
    ]
    usual = [
        float(from_si(to_si(text, "power", field="usual"), units[0], "power"))
        / float(from_si(to_si("1 lb/min", "mass_flow", field="usual"), units[1], "mass_flow"))
        for text in ("9.5 hp", "10.5 hp")
    ]
    blower = [f", and the blower takes {point.text(taken(at), 'power')}" if taken(at) else ""
              for at in (slow, point)]  # fmt: skip
    return Question(
        "power",
        f"At {slow.rpm:,.0f} rpm the engine swallows {slow.text(slow['air_flow'], 'mass_flow')} of "
        f"dry air and makes {slow.text(slow['power'], 'power')}{blower[0]}. At {point.rpm:,.0f} "
        f"rpm it swallows {point.text(point['air_flow'], 'mass_flow')}{blower[1]}. "
        "What is left at the crank?",
        power, "power", max(0.06 * power, 1.2 * abs(by_hand - power)),
        "Air is what limits power, since each bit of air burns so much fuel, and the blower is "
        "paid out of it. Friction grows with speed, and spark that is later for more boost "
        "wastes some. "
        f"Common practice, no source, is {_plain(usual[0])} to {_plain(usual[1])} {units[0]} for "
        "each "
        f"{units[1]}, the blower's part included; here it is {_plain(each[1])}.",
        (f"With the blower's part {point.text(gross(slow), 'power')} came from the air. "
         f"{ratio:.2f} times the air would give {point.text(gross(slow) * ratio, 'power')}.",
         f"Less the blower it is {point.text(by_hand, 'power')}. By the chain it is "
         f"{point.text(power, 'power')}: each {units[1]} makes {_plain(each[1])} {units[0]} "
         f"instead of {_plain(each[0])}."),
        bars_of(point, "Power", "power", {f"at {slow.rpm:,.0f} rpm": slow["power"]},
              f"at {point.rpm:,.0f} rpm", power),
        ((gross(slow) * ratio, "the blower's power is not taken off"),),
        system=point.system,
    )  # fmt: skip


def _plain(number: float) -> str:
    return f"{number:,.0f}" if number >= 100.0 else f"{number:.3g}"


def aspirated_power(point: Point) -> Question | None:
    """Ask what the engine makes without its blower."""
    if not point.build.supercharged:
        return None
    plain = Point(point.build.naturally_aspirated(), point.rpm, point.system)
    power = plain["power"]
    if not isfinite(power):
        return None
    flows = plain["air_flow"], point["air_flow"]
    rubbing = point["friction_pressure"] * point.swept
    gross = point["power"] + point["drive_power"] + rubbing
    by_hand = gross * flows[0] / flows[1] - rubbing
    return Question(
        "without the blower",
        f"With its blower the engine swallows {point.text(flows[1], 'mass_flow')} and makes "
        f"{point.text(point['power'], 'power')}, and the blower takes "
        f"{point.text(point['drive_power'], 'power')} more. Rubbing takes "
        f"{point.text(rubbing, 'power')}. Without the blower the engine swallows "
        f"{point.text(flows[0], 'mass_flow')}. What power does it make then?",
        power, "power", 0.12 * power,
        "What the gas gives goes with the air. Friction is much the same with and without boost, "
        "so less air gives less power than in proportion; an earlier spark wins part of it back.",
        (f"The gas gives {point.text(gross, 'power')}; times {flows[0] / flows[1]:.3f}, less "
         f"rubbing, that is {point.text(by_hand, 'power')}. By the chain it is "
         f"{point.text(power, 'power')}.",),
        bars_of(point, "Power at the crank", "power", {"with blower": point["power"]}, "without",
              power),
        system=point.system,
    )  # fmt: skip


def blown_through(point: Point) -> Question | None:
    """Ask what part of the charge goes straight through in the overlap."""
    if point.build.cylinder is None or not point.build.supercharged:
        return None
    cycle = point.build.cycle_at(point.rpm)
    lost = float(cycle.point["scavenging_loss"][0])

    def draw(guess: float | None, seen: bool) -> Figure:
        return cycle.plot_ports(system=point.system)

    return Question(
        "blown through",
        f"About top centre both valves are open for a moment. The plenum has "
        f"{point.at('plenum', 'pressure')}, the exhaust {point.at('exhaust', 'pressure')}. How "
        "many "
        "per cent of the fresh charge go straight through and are lost, fuel and all?",
        lost, "dimensionless", 0.006,
        "Gas flows from the higher pressure to the lower, so boost blows through the overlap. The "
        "moment is short at high speed, and the valves are hardly open, so it is little; a cam "
        "with "
        "more overlap loses more.",
        (f"The cycle over crank angle says {per_cent(lost, 1)}; there is no sum by hand for it.",),
        draw, unit="%", system=point.system,
    )  # fmt: skip


def knock_margin(point: Point) -> Question | None:
    """Ask how far the engine is from knock."""
    pull = Pull.run(point.build, [point.rpm])
    margin = float(pull.knock.margin[0])
    if not isfinite(margin):
        return None
    bound = bool(pull.knock.bound[0])
    octane = pull.knock.octane
    said = " ".join([pull.knock.verdict, *pull.knock.notes(pull.matched)])

    def draw(guess: float | None, seen: bool) -> Figure:
        shown = None if guess is None else degrees(guess)
        return draw_knock(degrees(margin), bound, degrees(DOUBT), shown, seen)

    return Question(
        "room to knock",
        f"The last of the charge is squeezed and heated by what burns before it, and may ignite by "
        f"itself. The fuel has octane {octane:g}, the charge {point.at('charge')} and "
        f"{point.at('charge', 'pressure')}, the compression ratio is "
        f"{float(point.build.chain.engine.compression_ratio):g}. By how many degrees of crank "
        "could half of the charge burn earlier before it knocks? Below zero it knocks as it is.",
        margin, "angle", radians(5.0),
        "Heat, pressure and time make knock; octane, cool charge, less compression and later spark "
        f"keep it away. {said} The engine's own knock must be listened for.",
        (f"A search over spark finds {degrees(margin):.0f} degrees; there is no sum by hand for "
         "it.",),
        draw, at_least=bound, system=point.system,
    )  # fmt: skip
