"""An engine with cams from both durations and both valve diameters: ports, lobes and pipes.

Ports follow published flow coefficients of poppet valves, on the valve's area over lift over
diameter (Heywood, ch. 6; Annand and Roe; from memory). Lobes, runner and primary follow proportions
of the trade. The cycle of one cylinder then makes the filling. A factor on it brings the engine to
what it makes today.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import pi, radians

from .facts import OF_CAMS, Facts
from .guess import Guess, row
from .lines import GUESSED, TYPED, WORKED_OUT, Line, Writer

__all__ = ["cam_guesses", "cam_lines", "with_cams"]

#: Lift over valve diameter, and effective over valve area: of intakes in Heywood's and Annand and
#: Roe's figures, of exhausts likewise (from memory).
_LIFTS = (0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.50)
_FLOWS = {
    "intake": (0.14, 0.27, 0.38, 0.47, 0.54, 0.58, 0.60, 0.61, 0.615),
    "exhaust": (0.15, 0.29, 0.42, 0.53, 0.61, 0.66, 0.69, 0.70, 0.705),
}
_BENCH, _BENCH_DENSITY = 28.0 * 249.08891, 1.204
_ROCKER, _SEAT_LIFT = 1.6, 0.1524e-3


def with_cams(facts: Facts) -> bool:
    """Return whether enough was told of cams and valves.

    Parameters
    ----------
    facts : Facts
        What was typed.

    Returns
    -------
    bool
        Whether both durations and both valve diameters are there.
    """
    return all(facts.has(name) for name in OF_CAMS)


def cam_guesses(facts: Facts) -> list[Guess]:
    """Return what cams and valves leave open.

    Parameters
    ----------
    facts : Facts
        What was typed.

    Returns
    -------
    list of Guess
        Each with its doubt; empty where cams and valves were not told.
    """
    if not with_cams(facts):
        return []
    card, part, bench = "read it off the cam card", "measure the part", "flow the head on a bench"
    trade = "common practice"
    rows = [
        Guess("seat_beyond", "seat duration beyond that at 0.050 in", radians(47.0), radians(6.0),
              f"40 to 55 degrees at 0.006 in; {trade}", card, kind="angle"),
        row("lift_ratio", "valve lift over intake valve diameter", 0.29, 0.10,
            "0.25 to 0.33 of tuned two-valve heads; common practice", card),
        row("port_flow", "port flow over that of published coefficients", 1.0, 0.08,
            "Heywood, ch. 6; ports as cast or worked differ", bench),
        row("rod_ratio", "rod length over stroke", 1.6, 0.05, f"1.45 to 1.75; {trade}", part),
        row("runner_length", "runner length over stroke, port included", 3.0, 0.15,
            f"2.5 to 3.5; {trade}", part),
        row("runner_ratio", "runner diameter over intake valve's", 0.97, 0.06,
            f"0.9 to 1.05; {trade}", part),
        row("primary_length", "primary length over stroke, port included", 8.2, 0.10,
            f"30 to 36 in on strokes of 4; {trade}", part),
        row("primary_ratio", "primary diameter over exhaust valve's", 1.22, 0.06,
            f"1.1 to 1.3; {trade}", part),
        Guess("advance", "intake centreline ahead of lobe separation", radians(4.0), radians(2.0),
              f"ground in; {trade}", card, kind="angle"),
    ]  # fmt: skip
    if not facts.has("lobe_separation"):
        rows.append(Guess("lobe_separation", "lobe separation", radians(111.0), radians(2.5),
                          f"108 to 114 degrees; {trade}", card, kind="angle"))  # fmt: skip
    return rows


def cam_lines(facts: Facts, values: Mapping[str, float], scale: float,
              writer: Writer) -> list[Line]:  # fmt: skip
    """Return the lines of [engine]'s cams, ports and pipes.

    Parameters
    ----------
    facts : Facts
        What was typed.
    values : mapping
        Guesses by name [SI].
    scale : float
        The factor on what the cycle fills, dimensionless.
    writer : Writer
        Writes numbers in the user's units.

    Returns
    -------
    list of Line
        Each with its mark.
    """
    rod = writer.text(values["rod_ratio"] * facts.stroke, "length")
    how = "brings the cycle to what the engine makes today; pulses in headers leave 5 % in doubt"
    factor = Line(("engine", "breathing_scale"), writer.plain(scale),
                  WORKED_OUT if facts.today else GUESSED, how if facts.today else "",
                  "" if facts.today else "filling")  # fmt: skip
    return [
        factor,
        Line(("engine", "rod_length"), rod, GUESSED, "", "rod_ratio"),
        *_timing(facts, values, writer),
        *(line for side in _FLOWS for line in _lobe(facts, values, side, writer)),
        *(line for side in _FLOWS for line in _port(facts, values, side, writer)),
        *_pipes(facts, values, writer),
    ]


def _timing(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    place = ("engine", "camshaft")
    if facts.has("lobe_separation"):
        apart = facts["lobe_separation"]
        line = Line((*place, "lobe_separation"), facts.typed["lobe_separation"], TYPED)
    else:
        apart = values["lobe_separation"]
        line = Line((*place, "lobe_separation"), writer.text(apart, "angle"), GUESSED, "",
                    "lobe_separation")  # fmt: skip
    centre = writer.text(apart - values["advance"], "angle")
    return [line, Line((*place, "intake_centreline"), centre, GUESSED, "", "advance")]


def _lobe(facts: Facts, values: Mapping[str, float], side: str, writer: Writer) -> list[Line]:
    place = ("engine", "camshaft", side)
    at_checking = facts[f"{side}_duration"]
    seat = writer.text(at_checking + values["seat_beyond"], "angle")
    if facts.has("valve_lift"):
        lift, origin, how, guess = facts["valve_lift"], WORKED_OUT, "of the valve lift told", ""
    else:
        lift = values["lift_ratio"] * facts["intake_valve_diameter"]
        origin, how, guess = GUESSED, "", "lift_ratio"
    return [
        Line((*place, "duration"), facts.typed[f"{side}_duration"], TYPED),
        Line((*place, "seat_duration"), seat, GUESSED, "", "seat_beyond"),
        Line((*place, "seat_lift"), writer.text(_SEAT_LIFT, "length"), WORKED_OUT, "usual"),
        Line((*place, "lobe_lift"), writer.text(lift / _ROCKER, "length"), origin, how, guess),
        Line((*place, "rocker_ratio"), _ROCKER, WORKED_OUT, "usual; its product with lift counts"),
    ]  # fmt: skip


def _port(facts: Facts, values: Mapping[str, float], side: str, writer: Writer) -> list[Line]:
    """A port as a flow bench would tell it, at lifts up to half the valve's diameter."""
    place = ("engine", f"{side}_port")
    diameter = facts[f"{side}_valve_diameter"]
    speed = (2.0 * _BENCH / _BENCH_DENSITY) ** 0.5
    area = 0.25 * pi * diameter**2
    flows = [values["port_flow"] * share * area * speed for share in _FLOWS[side]]
    bench = "what the flow below is told at"
    return [
        Line((*place, "valve_diameter"), facts.typed[f"{side}_valve_diameter"], TYPED),
        Line((*place, "depression"), "28 inH2O", WORKED_OUT, bench),
        Line((*place, "convention"), "incompressible", WORKED_OUT, bench),
        Line((*place, "lift"), writer.texts([share * diameter for share in _LIFTS], "length"),
             WORKED_OUT, "0.05 to 0.5 of the valve's diameter"),
        Line((*place, "flow"), writer.texts(flows, "volume_flow"), GUESSED, "", "port_flow"),
    ]  # fmt: skip


def _pipes(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    """Runner and primary, each as wide at the valve as a usual port."""
    lines = []
    for name, side, narrow in (("runner", "intake", 0.89), ("primary", "exhaust", 1.1)):
        diameter = facts[f"{side}_valve_diameter"]
        port = writer.text(narrow * diameter, "length")
        lines += [
            Line(("engine", name, "length"),
                 writer.text(values[f"{name}_length"] * facts.stroke, "length"), GUESSED, "",
                 f"{name}_length"),
            Line(("engine", name, "diameter"),
                 writer.text(values[f"{name}_ratio"] * diameter, "length"), GUESSED, "",
                 f"{name}_ratio"),
            Line(("engine", name, "port_diameter"), port, WORKED_OUT,
                 f"{narrow:g} of the valve; common practice"),
        ]  # fmt: skip
    return lines
