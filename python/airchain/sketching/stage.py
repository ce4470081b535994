"""The compressor's stage from its name plate: proportions about inducer and exducer.

The impeller's exit, the diffuser and the volute pass what the inducer takes at the speed that the
stage is laid out for: 400 m/s at the rim, a pressure ratio of some 2.2 (common practice, no
source), or what the rotor's limit allows. With the flow coefficient phi1 = 0.9 cot(beta1) of the
inducer's tip,

    W = rho01 A1 phi1 U1,   b2 = W / (rho2 pi d2 phi2 U2),
    A_volute = W r_volute / (rho3 k r2 c_u2)

(continuity, and the swirl that the walls leave from impeller to volute, k = 0.85: Aungier,
Centrifugal Compressors, ch. 6 and 9, from memory). Densities over that of the inlet follow from the
work of a slip of 0.87. W is that of an inducer half way between this one and one of a usual
proportion to the exducer: wheels of one family are trimmed at the inducer alone, so what is behind
it follows the inducer only in part (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import atan, pi, radians, tan

from .. import _core
from .facts import Facts
from .lines import GUESSED, TYPED, WORKED_OUT, Line, Writer, unit_of

_GAMMA, _SOUND, _DENSITY = 1.4, 340.0, 1.2
#: Predicted maps end at 110 % of the design speed.
_MAP_ENDS = 1.1
_LAYOUT_RIM = 400.0
_SLIP, _ROTOR_EFFICIENCY = 0.87, 0.90
#: Share of the swirl that the diffuser's walls leave, and of density that the swirl takes there.
_SWIRL_KEPT, _MOVING = 0.85, 0.94
#: What the inducer is taken for where sizes follow from its flow; incidence lowers its flow.
HUB_RATIO, INLET_ANGLE, _INCIDENCE = 0.36, radians(60.0), 0.9
#: Flow coefficient and backsweep of a usual impeller's exit.
EXIT_FLOW, BACKSWEEP = 0.31, radians(35.0)
#: Inducer over exducer of a usual impeller: 0.5 to 0.62 (common practice, no source).
_INDUCER_RATIO = 0.56
_BLADES = 8
#: Width of the diffuser's end over its beginning: 0.9 to 1 (common practice, no source).
_PINCH = 0.95


def design_flow(facts: Facts) -> float:
    """Flow that a usual inducer of this diameter takes at the speed of the layout [kg/s]."""
    tip = 0.5 * facts["inducer_diameter"]
    annulus = pi * tip**2 * (1.0 - HUB_RATIO**2)
    speed = _layout_rim(facts) * facts["inducer_diameter"] / facts["exducer_diameter"]
    return _DENSITY * annulus * _INCIDENCE / tan(INLET_ANGLE) * speed


def _layout_rim(facts: Facts) -> float:
    """Speed of the rim that the stage is laid out for [m/s]."""
    limit = 0.5 * facts["exducer_diameter"] * facts["rotor_speed_limit"]
    return min(_LAYOUT_RIM, limit / _MAP_ENDS)


def _densities(exit_flow: float, backsweep: float, rim: float) -> tuple[float, float]:
    """Total and static density behind the impeller over that of the inlet."""
    swirl = _SLIP - exit_flow * tan(backsweep)
    rise = (_GAMMA - 1.0) * swirl * (rim / _SOUND) ** 2  # of total temperature, over inlet's
    exit_mach = (swirl**2 + exit_flow**2) * (rim / _SOUND) ** 2 / (1.0 + rise)
    power = 1.0 / (_GAMMA - 1.0)
    total = (1.0 + _ROTOR_EFFICIENCY * rise) ** (_GAMMA * power) / (1.0 + rise)
    return total, total / (1.0 + 0.5 * (_GAMMA - 1.0) * exit_mach) ** power


class _Sizes:
    """Lengths and areas of the stage [m, m^2]."""

    def __init__(self, facts: Facts, values: Mapping[str, float]) -> None:
        self.inducer, self.exducer = facts["inducer_diameter"], facts["exducer_diameter"]
        trim = self.inducer / (_INDUCER_RATIO * self.exducer)
        # Of one rim speed the flow goes with the cube of the inducer.
        flow = design_flow(facts) * trim**-1.5
        rim = _layout_rim(facts)
        exit_flow = values.get("exit_flow", EXIT_FLOW)
        total, static = _densities(exit_flow, values["backsweep"], rim)
        passed = flow / (_DENSITY * pi * self.exducer * rim)
        self.hub = values["hub_ratio"] * self.inducer
        self.hub_angle = atan(tan(values["inlet_angle"]) * values["hub_ratio"])
        self.width = passed / (static * exit_flow)
        if facts.has("exit_width"):
            self.width = facts["exit_width"]
            for _ in range(20):
                exit_flow = min(max(passed / (static * self.width), 0.1), 1.0)
                total, static = _densities(exit_flow, values["backsweep"], rim)
        self.diffuser = values["diffuser_ratio"] * self.exducer
        # The volute's centre lies outside the diffuser by the radius of its own section. It is laid
        # out for the usual swirl: how this impeller differs, its maker's volute need not follow.
        usual = _SLIP - EXIT_FLOW * tan(BACKSWEEP)
        self.volute, self.throat = 0.55 * self.diffuser, 0.0
        for _ in range(20):
            tangential = _SWIRL_KEPT * usual * rim * 0.5 * self.exducer / self.volute
            self.throat = values["volute_ratio"] * flow / (_DENSITY * _MOVING * total * tangential)
            self.volute = 0.5 * self.diffuser + (self.throat / pi) ** 0.5
        self.thickness = 0.006 * self.exducer
        self.blades = _BLADES


def stage_lines(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    """Return the lines of [compressor.stage] and its tables."""
    size = _Sizes(facts, values)
    unit = unit_of(facts.typed["inducer_diameter"])
    mm = unit if unit in ("mm", "cm", "in") else "mm"
    stage, wheel = ("compressor", "stage"), ("compressor", "stage", "impeller")

    def length(where: tuple[str, ...], key: str, value: float, how: str, guess: str = "") -> Line:
        origin = GUESSED if guess else WORKED_OUT
        return Line((*where, key), writer.text(value, "length", mm), origin, how, guess)

    def angle(key: str, value: float, origin: str, how: str, guess: str = "") -> Line:
        return Line((*wheel, key), writer.text(value, "angle"), origin, how, guess)

    design = writer.text(facts["rotor_speed_limit"] / _MAP_ENDS, "speed")
    hub = "free swirl: its tangent follows the radius"
    lines = [
        Line((*stage, "design_speed"), design, WORKED_OUT, "the map ends at 1.1 times it"),
        length(wheel, "inlet_hub_diameter", size.hub, "", "hub_ratio"),
        Line((*wheel, "inlet_tip_diameter"), facts.typed["inducer_diameter"], TYPED),
        angle("inlet_hub_blade_angle", size.hub_angle, WORKED_OUT, hub),
        angle("inlet_tip_blade_angle", values["inlet_angle"], GUESSED, "", "inlet_angle"),
        length(wheel, "inlet_blade_thickness", size.thickness, "0.006 of the exducer"),
        Line((*wheel, "inducer_throat_area"), "", GUESSED, "", "throat_ratio"),
        Line((*wheel, "exit_diameter"), facts.typed["exducer_diameter"], TYPED),
        length(wheel, "exit_width", size.width, "", "exit_flow"),
        angle("exit_backsweep", values["backsweep"], GUESSED, "", "backsweep"),
        length(wheel, "exit_blade_thickness", size.thickness, "0.006 of the exducer"),
        length(wheel, "axial_length", 0.28 * size.exducer, "0.28 of the exducer (Aungier)"),
        length(wheel, "tip_clearance", values["clearance"] * size.exducer, "", "clearance"),
        Line((*wheel, "full_blades"), size.blades, WORKED_OUT, "usual; count them"),
        Line((*wheel, "splitter_blades"), size.blades, WORKED_OUT, "usual; count them"),
    ]  # fmt: skip
    if facts.has("exit_width"):
        lines[8] = Line(lines[8].path, facts.typed["exit_width"], TYPED)
    lines[6] = _throat(lines[6], size, values, writer, _area_unit(facts))
    return lines + _behind(size, length, writer, _area_unit(facts))


def _area_unit(facts: Facts) -> str:
    """Unit of areas beside lengths in the unit of the inducer."""
    return "in^2" if unit_of(facts.typed["inducer_diameter"]) == "in" else "cm^2"


def _throat(line: Line, size: _Sizes, values: Mapping[str, float], writer: Writer,
            unit: str) -> Line:  # fmt: skip
    """The line of the inducer's throat, by blade angles and thickness."""
    wheel = _core.Impeller(
        inlet_hub_radius=0.5 * size.hub, inlet_tip_radius=0.5 * size.inducer,
        inlet_hub_blade_angle=size.hub_angle, inlet_tip_blade_angle=values["inlet_angle"],
        inlet_blade_thickness=size.thickness, inducer_throat_area=1e-4,
        exit_radius=0.5 * size.exducer, exit_width=size.width,
        exit_backsweep=values["backsweep"], exit_blade_thickness=size.thickness,
        axial_length=0.28 * size.exducer, tip_clearance=values["clearance"] * size.exducer,
        full_blades=size.blades, splitter_blades=size.blades,
    )  # fmt: skip
    area = _core.estimated_inducer_throat_area(wheel) * values["throat_ratio"]
    return Line(line.path, writer.text(area, "area", unit), line.origin, line.how, line.guess)


def _behind(size: _Sizes, length: Callable[..., Line], writer: Writer, unit: str) -> list[Line]:
    """Diffuser and volute."""
    space, scroll = ("compressor", "stage", "diffuser"), ("compressor", "stage", "volute")

    def area(key: str, value: float, how: str, guess: str = "") -> Line:
        text = writer.text(value, "area", unit)
        return Line((*scroll, key), text, GUESSED if guess else WORKED_OUT, how, guess)

    return [
        length(space, "inlet_width", size.width, "as the impeller's exit"),
        length(space, "exit_diameter", size.diffuser, "", "diffuser_ratio"),
        length(space, "exit_width", _PINCH * size.width, "walls draw together by 5 %; usual"),
        length(scroll, "throat_radius", size.volute, "outside the diffuser by its own radius"),
        area("throat_area", size.throat, "", "volute_ratio"),
        area("exit_area", 1.25 * size.throat, "1.25 of the throat; common practice"),
    ]
