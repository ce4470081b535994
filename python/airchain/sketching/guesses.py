"""What has to be guessed: each guess with its doubt, where it comes from and how to measure it.

A doubt is a standard deviation, a share of the guess unless it says otherwise. Where no source is
named it is common practice, no source. All figures of books are from memory.
"""

from __future__ import annotations

from math import exp, pi, radians

from .. import _core
from .cams import cam_guesses, with_cams
from .facts import Facts
from .guess import Guess, row
from .stage import BACKSWEEP, EXIT_FLOW, HUB_RATIO, INLET_ANGLE

#: A usual share of the work of mean cycles that an engine makes (common practice, no source).
_WORK_OF_CYCLES = 0.97
#: What stands in the place of cams and valves: the curve of filling apart from its height, and the
#: work of gas exchange.
OF_CURVE = ("filling_speed", "filling_low", "filling_high", "filling_boost", "valve_loss")


def guesses_of(facts: Facts) -> dict[str, Guess]:
    """Return every guess that these facts leave open, by name."""
    rows = [*_filling(facts), *_torque(facts), *_ways(), *cam_guesses(facts)]
    if facts.supercharged:
        rows += [*_stage(facts), *_drive(facts), *_cooler(facts)]
    return {one.name: one for one in rows}


def _filling(facts: Facts) -> list[Guess]:
    """How the engine fills: level and shape over engine speed."""
    typed = with_cams(facts)
    port = "flow the head, or log air flow" if typed else (
        "tell cam durations and valve diameters, or log air flow")  # fmt: skip
    filling, shape = "volumetric_efficiency", "volumetric_efficiency_shape"
    peak, doubt, source = _peak_speed(facts)
    return [
        row("filling", "best volumetric efficiency", 0.98, 0.09,
             "0.85 to 1.05 of two-valve engines with tuned pipes; common practice", port, filling),
        Guess("filling_speed", "speed of best volumetric efficiency", peak, doubt * peak, source,
              port, shape),
        Guess("filling_low", "loss of filling at half that speed", 0.12, 0.05,
              "common practice", port, shape),
        Guess("filling_high", "loss of filling a quarter above that speed", 0.08, 0.03,
              "6 to 10 % as the inlet Mach index rises that far from 0.6 (Taylor, vol. 1, ch. 6)",
              "tell today's power at redline too", shape),
        Guess("filling_boost", "share of the clearance volume that boost fills", 1.0, 0.4,
              "ideal exchange (Heywood, ch. 6); overlap and heat alter it", port, filling),
    ]  # fmt: skip


def _peak_speed(facts: Facts) -> tuple[float, float, str]:
    """Speed of best filling [rad/s], its doubt as a share, and what it follows."""
    rpm = 0.10471975511965977
    for today in facts.today:
        if today.name == "power" and today.best:
            return 0.83 * today.rpm * rpm, 0.09, "0.83 of the speed of today's best power"
    for today in facts.today:
        if today.name == "torque" and today.best:
            return 1.06 * today.rpm * rpm, 0.10, "near the speed of today's best torque"
    guess = 0.70 * facts["redline"]
    if facts.has("intake_duration"):
        # Fifty rpm a degree at 0.050 in about 4,700 rpm at 230 degrees.
        by_cam = (4700.0 + 50.0 * (facts["intake_duration"] - radians(230.0)) / radians(1.0)) * rpm
        return (guess * by_cam) ** 0.5, 0.10, "redline and cam duration together"
    return guess, 0.12, "0.7 of redline"


def _torque(facts: Facts) -> list[Guess]:
    """What the charge makes of itself."""
    # Alcohols stand more spark under boost.
    alcohols = {"e85": 0.07, "ethanol": 0.07, "methanol": 0.06}
    retard = radians(alcohols.get(facts.fuel, 0.105)) / 1e3
    dyno = "reconcile with a measured pull"
    # What is built to turn fast breathes freely. Of those engines 12 % scatter about it.
    fastest = facts.stroke * facts["redline"] / pi
    loss = 134.0 * exp(-0.032 * (fastest - 21.0))
    return [
        row("quality", "indicated efficiency over the ideal cycle's",
             _WORK_OF_CYCLES * _core.Combustion().quality, 0.04,
             "0.97 of what cycles give; common practice", dyno, "indicated_efficiency"),
        row("friction", "friction over Chen and Flynn's (SAE 650733)", 1.0, 0.2,
             "its common constants", "motor the engine, or log a coast-down", "friction"),
        row("valve_loss", "pumping loss through the valves", loss, 0.2,
             "by the cycles of 45 engines with two valves a cylinder; race heads lose less",
             "log cylinder pressure", "friction"),
        Guess("retard", "later burn as boost rises", retard, radians(0.015) / 1e3,
              "a degree of spark a psi, a quarter made up by quicker burn; common practice",
              "take it from the spark table", "indicated_efficiency"),
        row("evaporated", "share of fuel that evaporates before the valve shuts", 0.4, 0.25,
             "0.3 to 0.6; common practice", "log charge temperature with and without fuel",
             "volumetric_efficiency"),
    ]  # fmt: skip


def _ways() -> list[Guess]:
    """Pressure lost on the way in and out, and heat picked up."""
    gauge = "a gauge before and behind it at full throttle"
    return [
        Guess("inlet_rise", "air at the inlet above ambient", 4.0, 4.0,
              "a dyno cell with a fan; 15 to 30 degC under a bonnet", "a probe at the filter"),
        row("inlet_drop", "pressure lost at filter and inlet pipe", 2500.0, 0.45,
             "5 to 15 inH2O at full flow; common practice", gauge, "inlet_loss"),
        row("throttle_speed", "air speed that sizes the throttle", 55.0, 0.3,
             "40 to 80 m/s at redline; common practice", "measure the bores"),
        row("exhaust_loss", "back pressure coefficient", 2.0, 0.4, "common practice",
             "a gauge at the collector", "exhaust_loss"),
    ]  # fmt: skip


def _stage(facts: Facts) -> list[Guess]:
    """Dimensions of the stage over those of the name plate, and the mean-line's own error."""
    part, work = "measure the part", "reconcile with a measured pull"
    flow, head, eta = "compressor_flow", "compressor_head", "compressor_efficiency"
    width = [] if facts.has("exit_width") else [
        row("exit_flow", "flow coefficient at the impeller's exit", EXIT_FLOW, 0.15,
             "0.2 to 0.35 (Aungier; Japikse)", "measure the blade's height at the exit", head),
    ]  # fmt: skip
    return [
        *width,
        row("hub_ratio", "hub over inducer diameter", HUB_RATIO, 0.08,
             "0.3 to 0.4 (Aungier; Whitfield and Baines)", part, flow),
        Guess("inlet_angle", "inducer blade angle at the tip", INLET_ANGLE, radians(2.5),
              "about 60 degrees passes most flow (Whitfield and Baines, ch. 5)", part, flow),
        row("throat_ratio", "inducer throat over that of its blade angle", 0.93, 0.06,
             "0.85 to 1: blades turn and are thicker ahead of it; common practice", part, flow),
        Guess("backsweep", "backsweep", BACKSWEEP, radians(7.0),
              "30 to 45 degrees of today's impellers (Whitfield and Baines)", part, head),
        row("diffuser_ratio", "diffuser over exducer diameter", 1.6, 0.06,
             "1.4 to 1.8 vaneless (Japikse)", part, eta),
        row("volute_ratio", "volute throat over that of free swirl", 0.90, 0.12,
             "0.75 to 1.05: laid out below the inducer's own flow (Aungier; Japikse)", part, eta),
        row("clearance", "running clearance over exducer diameter", 0.0022, 0.3,
             "0.3 to 0.6 mm; common practice", "a feeler gauge", eta),
        row("head_scale", "pressure rise over that predicted from dimensions", 1.0, 0.045,
             "work coefficient within 4 % of published stages; a blade more or less", work, head),
        row("flow_scale", "flow over that predicted from dimensions", 1.0, 0.04,
             "choke within 3 to 5 % of published stages", work, flow),
        row("efficiency_scale", "efficiency over that predicted from dimensions", 0.97, 0.025,
             "predicted maps read 2 to 4 points high", work, eta),
    ]  # fmt: skip


def _drive(facts: Facts) -> list[Guess]:
    """What the drive loses, and its step-up where nobody knows it."""
    rows = [
        row("drive_efficiency", "efficiency of pair or belt", 0.98, 0.01,
             "0.97 to 0.99; common practice", "no cheap way"),
        row("drag", "torque of bearings and seals at the impeller", 0.25, 0.5,
             "common practice", "a torque wrench at the shaft, warm"),
    ]  # fmt: skip
    if not facts.has("step_up"):
        guess = facts["rotor_speed_limit"] / (1.2 * facts["redline"])
        source, count = "rotor limit over 1.2 times redline", "turn the shaft and count"
        rows.append(row("step_up", "step-up inside the compressor", guess, 0.10, source, count))
    return rows


def _cooler(facts: Facts) -> list[Guess]:
    """Cooler by kind, and the pipes about it."""
    probe = "probes before and behind the cooler"
    pipes = row(
        "duct_loss",
        "loss coefficient of the charge pipes",
        0.5,
        0.4,
        "two bends; common practice",
        "a gauge at either end",
        "cooler_loss",
    )
    if facts.cooler == "none":
        return [pipes]
    effectiveness = {"air_to_air": (0.66, 0.08), "air_to_water": (0.69, 0.07),
                     "ice_tank": (0.71, 0.07)}[facts.cooler]  # fmt: skip
    rows = [
        Guess("effectiveness", "cooler effectiveness at full flow", *effectiveness,
              "usual of its kind; common practice", probe, "cooler_effectiveness"),
        row("cooler_drop", "pressure lost in the cooler at full flow", 7000.0, 0.35,
             "0.5 to 1.5 psi; common practice", "a gauge before and behind it", "cooler_loss"),
        pipes,
    ]  # fmt: skip
    if facts.cooler == "air_to_air":
        rows.append(Guess("coolant", "cooling air above ambient", 5.0, 4.0,
                          "common practice", "a probe before the core"))  # fmt: skip
    elif not facts.has("coolant_temperature"):
        warm = {"air_to_water": (303.15, 5.0), "ice_tank": (275.15, 1.5)}[facts.cooler]
        rows.append(Guess("coolant", "coolant as it enters", *warm,
                          "a tank of water at the cell's temperature; ice otherwise",
                          "a probe in the tank", kind="temperature"))  # fmt: skip
    return rows
