"""From the first call to a build file."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..base.progress import Progress, telling
from ..chain.build import Build
from .aiming import aimed
from .bands import Bands
from .cam_scale import scaled_to_today
from .cams import with_cams
from .drafting import build_of, drafted
from .driving import Pair
from .facts import read_facts
from .guesses import guesses_of
from .lines import Line, Writer
from .model import Model
from .name_plate import brought_to_plate
from .sketched import Sketch
from .today import Known, brought_to_today
from .trusting import trust_lines

__all__ = ["sketch"]

Told = str | float | None


def sketch(
    name: str = "sketch", *, bore: Told = None, stroke: Told = None, displacement: Told = None,
    cylinders: Told = None, compression_ratio: Told = None, redline: Told = None,
    fuel: str | None = None, power: str | None = None, torque: str | None = None,
    standard: str | None = None, intake_duration: Told = None, exhaust_duration: Told = None,
    lobe_separation: Told = None, intake_valve_diameter: Told = None,
    exhaust_valve_diameter: Told = None, valve_lift: Told = None, inducer_diameter: Told = None,
    exducer_diameter: Told = None, rotor_speed_limit: Told = None, rated_flow: Told = None,
    exit_width: Told = None, step_up: Told = None, tooth_sum: Told = None, drive: str | None = None,
    cooler: str | None = None, coolant_temperature: Told = None, barometer: Told = None,
    temperature: Told = None, humidity: Told = None, levels: Mapping[str, Told] | None = None,
    units: str = "", progress: Progress | None = None,
) -> Sketch:  # fmt: skip
    """Write a whole build file from the few numbers that are known at the first call.

    What was not told is worked out or guessed. Every guess stands in the file with its doubt: one
    standard deviation, within which two guesses of three lie. Where today's power or torque is
    known, the guesses of filling, burn and friction are moved until the engine makes it. The file
    loads as any other. Its ``[trust]`` table hands the doubts on, so that fits and plans count
    them.

    Values are texts with their unit, pint quantities, or plain numbers where they have none.

    Parameters
    ----------
    name : str
        What the build is called.
    bore, stroke, displacement : str
        Two of them, or displacement alone for a square engine [m, m, m^3]; 30 to 250 mm, 20 to
        250 mm, 0.1 to 50 L.
    cylinders : int
        From 1 to 24 [dimensionless]; eight unless told.
    compression_ratio : float
        From 5 to 20 [dimensionless].
    redline : str
        Highest crank speed [rad/s, or text such as "7600 rpm"].
    fuel : str
        A generic fuel, such as ``"e85"``; ``"gasoline_premium"`` unless told.
    power, torque : str, optional
        Best of today, naturally aspirated, and where: ``"540 hp at 6200 rpm"``. Further figures
        of the same sheet stand behind it: ``"540 hp at 6200 rpm, 515 hp at 7000 rpm"``. The one
        at redline narrows the levels with boost most, because they peak near there.
    standard : str
        Power standard that they are corrected to, or ``"as_measured"`` in the build's weather;
        ``"sae_j1349"`` unless told.
    intake_duration, exhaust_duration : str, optional
        Of the cams at 0.050 in, in crank angle [rad]. With both of them and both valve diameters
        the engine gets cams, ports and pipes in place of a curve of volumetric efficiency.
    lobe_separation : str, optional
        Of the cams, in cam angle [rad]; guessed unless told.
    intake_valve_diameter, exhaust_valve_diameter : str, optional
        Of the valves' heads, one of each a cylinder [m].
    valve_lift : str, optional
        Highest lift at the valve, rocker included [m]; guessed unless told.
    inducer_diameter, exducer_diameter : str, optional
        The impeller's at the tip of its inlet, and at its rim [m]; with the limit below they make
        the compressor, without them the engine stays naturally aspirated.
    rotor_speed_limit : str, optional
        Highest speed of the impeller [rad/s].
    rated_flow : str, optional
        Largest flow at that speed, as the name plate says [kg/s]. The notes say where it
        contradicts the inducer.
    exit_width : str, optional
        Height of the impeller's blades at the rim [m]; guessed unless told.
    step_up : float, optional
        Impeller over input shaft inside the compressor [dimensionless].
    tooth_sum : int, optional
        Sum of teeth that the centres take [dimensionless].
    drive : str
        ``"gears"`` or ``"belt"``; gears unless told.
    cooler : str
        ``"none"``, ``"air_to_air"``, ``"air_to_water"`` or ``"ice_tank"``; air to water unless
        told.
    coolant_temperature : str, optional
        Of the coolant as it enters [K].
    barometer, temperature, humidity : str, optional
        The weather [Pa, K, dimensionless]; the reference of ISO 1585 without it.
    levels : mapping, optional
        What each level is to give, by name: a power, a boost, a drive ratio, or teeth as
        ``"40:33"`` with the crank's gear first. Without it one level at the rotor's limit.
    units : str
        ``"trade"`` or ``"si"``; those of the engine's size unless told.
    progress : callable, optional
        Called with the steps done and all of them [dimensionless]. Without it, work that lasts
        tells on standard error how far it is.

    Returns
    -------
    Sketch
        The build, its file, its bands, and what to measure first.

    Raises
    ------
    InputError
        Something is missing, unknown or out of range, or no drive ratio reaches an aim.

    Notes
    -----
    Range: four-stroke engines with one centrifugal compressor. An engine with cams has two valves a
    cylinder; in its band the doubts of cams, ports and pipes stand in place of those of a curve of
    filling. A band beyond 15 % of power is called too wide to plan on, and `asks_for` of the sketch
    names what to tell next. Left out: what nobody can guess, such as a clogged
    filter.
    Proportions and correlations name their source in the file, behind each line.

    Examples
    --------
    >>> call = airchain.sketch(
    ...     "first call", bore="4.5 in", stroke="4.25 in", compression_ratio=9.5,
    ...     redline="6800 rpm", power="640 hp at 6200 rpm")
    >>> call.build.supercharged
    False
    """
    told = {
        "bore": bore, "stroke": stroke, "displacement": displacement, "cylinders": cylinders,
        "compression_ratio": compression_ratio, "redline": redline,
        "intake_duration": intake_duration, "exhaust_duration": exhaust_duration,
        "lobe_separation": lobe_separation, "intake_valve_diameter": intake_valve_diameter,
        "exhaust_valve_diameter": exhaust_valve_diameter, "valve_lift": valve_lift,
        "inducer_diameter": inducer_diameter,
        "exducer_diameter": exducer_diameter, "rotor_speed_limit": rotor_speed_limit,
        "rated_flow": rated_flow, "exit_width": exit_width, "step_up": step_up,
        "tooth_sum": tooth_sum,
        "coolant_temperature": coolant_temperature, "barometer": barometer,
        "temperature": temperature, "humidity": humidity,
    }  # fmt: skip
    words = {"name": name, "fuel": fuel, "cooler": cooler, "drive": drive, "standard": standard,
             "units": units}  # fmt: skip
    facts = read_facts(told, levels or {}, words, {"power": power, "torque": torque})
    with telling("sketch", "steps") as tell:
        model = Model(facts, guesses_of(facts))
        return _sketched(model, tell if progress is None else progress)


def _sketched(model: Model, progress: Progress) -> Sketch:
    steps = 4

    def done(step: int) -> None:
        progress(step, steps)

    done(0)
    known = brought_to_plate(model, brought_to_today(model))
    scale = scaled_to_today(model, known) if with_cams(model.facts) else None
    done(1)
    whole = model.build(known.z, {})
    if scale is not None:
        # Rounded as the file is, so that both stand on one surface.
        whole = model.with_cams(known.z, scale, Writer(model.facts.system)).with_surface()
    pairs = aimed(model, known.z, whole)
    done(2)
    lines = _lines(model, known, pairs, scale, whole)
    build = build_of(lines, model.facts.name)
    done(3)
    bands = Bands.of(model, known, pairs, build.with_surface())
    done(steps)
    return Sketch(model, known, pairs, tuple(lines), build, bands)


def _lines(model: Model, known: Known, pairs: Mapping[str, Pair], scale: float | None,
           whole: Build) -> list[Line]:  # fmt: skip
    """Every line, the fuel system sized for the air of the strongest level."""
    facts, writer = model.facts, Writer(model.facts.system)
    values = model.rated(known.z)
    ratio = max((pair.ratio for pair in pairs.values()), default=1.0)
    air = model.solved(whole, [ratio])["air_flow"]
    most = float(np.nanmax(air)) if np.isfinite(air).any() else 0.0
    return [*drafted(facts, values, pairs, writer, most, scale), *trust_lines(model, known, pairs)]
