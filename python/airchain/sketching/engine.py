"""Engine, breathing, burn and exhaust of a sketch.

Volumetric efficiency over engine speed n, best at n_v,

    eta_v = eta_best (1 - low (2 (1 - n/n_v))^2)              below n_v,
    eta_v = eta_best (1 - high)^((ln(n/n_v) / ln 1.25)^2)     above it,

and over plenum over exhaust pressure p (ideal exchange, Heywood, Internal Combustion Engine
Fundamentals, eq. 6.2, from memory): boost squeezes the residual gas of the clearance volume,

    eta_v(p) = eta_v(1) (1 + share (1 - 1/p) / (gamma (r - 1))).

Above its best the filling follows the inlet Mach index: its fall steepens until a choked valve
passes the same air at any speed, that is a slope of -1 in logarithms (Taylor, The Internal
Combustion Engine, vol. 1, ch. 6, from memory). A parabola in logarithms steepens so. One in speed
falls to nothing within a third more speed, which no engine does. The form below n_v is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import pi

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..units.convert import to_si
from .cams import cam_lines
from .facts import Facts
from .lines import GUESSED, TYPED, WORKED_OUT, Line, Writer

Array = NDArray[np.float64]
_GAMMA, _DENSITY = 1.4, 1.18
#: Plenum over exhaust pressure that the table has rows for.
PRESSURE_RATIOS = (0.7, 1.0, 1.5, 2.0, 3.0, 4.5)
_PSI, _FOOT = float(to_si("1 psi", "pressure_difference", field="psi")), 0.3048
#: Constants [SI], their units, and the trade's units with the SI value of one.
_CHEN_FLYNN = {
    "friction_constant": (0.4e5, "Pa", ("psi", _PSI)),
    "friction_speed": (9.0e3, "Pa s/m", ("psi s/ft", _PSI / _FOOT)),
    "friction_speed_squared": (90.0, "Pa s^2/m^2", ("psi s^2/ft^2", _PSI / _FOOT**2)),
}
_PEAK_FRICTION = 0.005
#: Exhaust gas in the pipes: density [kg/m^3], and the speed that sizes them [m/s].
_EXHAUST_DENSITY, _EXHAUST_SPEED = 0.35, 90.0


def flow_without_blower(facts: Facts) -> float:
    """Air that the engine would take at redline without a blower [kg/s]."""
    return _DENSITY * facts.displacement * facts["redline"] / (4.0 * pi)


def filling(values: Mapping[str, float], speed: Array) -> Array:
    """Volumetric efficiency [dimensionless] over crank speed [rad/s] without boost."""
    off = speed / values["filling_speed"] - 1.0
    low = values["filling_low"] * (2.0 * np.minimum(off, 0.0)) ** 2
    beyond = np.log1p(np.maximum(off, 0.0)) / np.log(1.25)
    high = (1.0 - np.clip(values["filling_high"], 0.0, 0.5)) ** beyond**2
    shape: Array = values["filling"] * np.maximum(1.0 - low, 0.4) * high
    return shape


def engine_lines(facts: Facts, values: Mapping[str, float], writer: Writer,
                 scale: float | None = None) -> list[Line]:  # fmt: skip
    """Return the lines of [engine], [combustion] and [exhaust].

    With a `scale`, a factor on what the cycle fills, the engine breathes by its cams.
    """
    if scale is None:
        loss = writer.plain(values["valve_loss"])
        breathing = [Line(("engine", "valve_loss"), loss, GUESSED, "", "valve_loss"),
                     *_breathing(facts, values, writer)]  # fmt: skip
    else:
        breathing = cam_lines(facts, values, scale, writer)
    cams = scale is not None
    return [*_size(facts, writer), *_friction(values, writer), *breathing,
            *_burn(values, writer, cams), *_exhaust(facts, values, writer, cams)]  # fmt: skip


def _size(facts: Facts, writer: Writer) -> list[Line]:
    lines = []
    square = "square: nothing was told of the stroke"
    for key, value in (("bore", facts.bore), ("stroke", facts.stroke)):
        if facts.has(key):
            lines.append(Line(("engine", key), facts.typed[key], TYPED))
        else:
            how = square if not (facts.has("bore") or facts.has("stroke")) else "of displacement"
            lines.append(Line(("engine", key), writer.text(value, "length"), WORKED_OUT, how))
    told = facts.has("cylinders")
    count = Line(("engine", "cylinders"), facts.cylinders, TYPED if told else WORKED_OUT,
                 "" if told else "eight unless told")  # fmt: skip
    ratio = Line(("engine", "compression_ratio"), writer.plain(facts["compression_ratio"]), TYPED)
    redline = Line(("engine", "redline"), facts.typed["redline"], TYPED)
    return [*lines, count, ratio, redline]


def _friction(values: Mapping[str, float], writer: Writer) -> list[Line]:
    factor = values["friction"]
    lines = [
        Line(("engine", key), writer.rare(factor * value, si, trade), GUESSED, "", "friction")
        for key, (value, si, trade) in _CHEN_FLYNN.items()
    ]
    share = writer.plain(factor * _PEAK_FRICTION)
    return [*lines, Line(("engine", "friction_pressure"), share, GUESSED, "", "friction")]


def _breathing(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    table = ("engine", "volumetric_efficiency")
    top = facts["redline"] / RPM
    speeds = np.unique(np.round(np.linspace(0.25 * top, 1.05 * top, 15), -1))
    curve = filling(values, speeds * RPM)
    residual = _GAMMA * (facts["compression_ratio"] - 1.0)
    rows = []
    for ratio in PRESSURE_RATIOS:
        squeezed = 1.0 + values["filling_boost"] * (1.0 - 1.0 / ratio) / residual
        rows.append([writer.plain(float(v)) for v in curve * squeezed])
    return [
        Line((*table, "rpm"), [float(s) for s in speeds], WORKED_OUT, "up to redline and beyond"),
        Line((*table, "pressure_ratio"), list(PRESSURE_RATIOS), WORKED_OUT,
             "plenum over exhaust pressure"),
        Line((*table, "values"), rows, GUESSED, "", "filling"),
        Line((*table, "reference_temperature"), writer.text(298.15, "temperature"), WORKED_OUT,
             "charge of the naturally aspirated engine"),
    ]  # fmt: skip


def _burn(values: Mapping[str, float], writer: Writer, cams: bool) -> list[Line]:
    degree = np.pi / 180.0
    retard = writer.rare(values["retard"] / (degree / 1e3), "deg/kPa", ("deg/psi", 1e3 / _PSI))
    work = Line(("combustion", "quality"), writer.plain(values["quality"]), GUESSED, "", "quality")
    if cams:
        share = values["quality"] / _core.Combustion().quality
        work = Line(("combustion", "work_scale"), writer.plain(share), GUESSED, "", "quality")
    return [
        work,
        Line(("combustion", "phasing_retard"), retard, GUESSED, "", "retard"),
    ]  # fmt: skip


def _exhaust(facts: Facts, values: Mapping[str, float], writer: Writer,
             cams: bool) -> list[Line]:  # fmt: skip
    area = 0.5 * flow_without_blower(facts) / (_EXHAUST_DENSITY * _EXHAUST_SPEED)
    diameter = writer.text(float(np.sqrt(4.0 * area / pi)), "length")
    behind = "the cycle has the primaries' own loss"
    begins = [Line(("exhaust", "begins"), "behind the primaries", WORKED_OUT, behind)]
    return [
        *(begins if cams else []),
        Line(("exhaust", "loss_coefficient"), writer.plain(values["exhaust_loss"]), GUESSED, "",
             "exhaust_loss"),
        Line(("exhaust", "diameter"), diameter, WORKED_OUT, "90 m/s without boost at redline"),
        Line(("exhaust", "count"), 2, WORKED_OUT, "one a bank"),
    ]  # fmt: skip
