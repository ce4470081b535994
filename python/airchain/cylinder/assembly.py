"""The parts of a crank-resolved engine, each from its mapping of typed values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, pi
from typing import Any, NamedTuple

import numpy as np

from .. import _core
from ..base.errors import InputError, quoted, refusal, suggestion
from ..units.convert import formatted
from ._typed import checked, fields_of, made, many, need, si, table, told
from .camshaft import Cam

_PORT = ("valve_diameter", "valves", "lift", "flow", *fields_of(_core.FlowBench), "convention")
_CLEARANCE = ("piston_gap", "least_clearance", "inclination")
_PIPE = (*(n for n in fields_of(_core.Pipe) if n != "far_diameter"), "port_diameter",
         *fields_of(_core.Runner))  # fmt: skip
_MIXTURE = ("name", "figures", "lambda", "evaporated_fraction", "vapour", "octane")
#: Least piston-to-valve clearance unless typed (common practice, no source) [m].
LEAST_CLEARANCE = {"intake": 0.080 * 0.0254, "exhaust": 0.100 * 0.0254}
#: Inside of a primary at full load unless typed (common practice, no source) [K].
PRIMARY_WALL = 800.0
_PLACES = {"Intake": "runner", "Exhaust": "primary", "CycleSetup": "cam", "Runner": "runner"}


def valve(cam: Cam, name: str, given: Any) -> Any:
    """Effective area of a valve over crank angle, from its lobe and its port on the flow bench."""
    typed = table(given, name, (*_PORT, *_CLEARANCE))
    need(typed, name, "valve_diameter", "lift", "flow", "depression")
    rows = {
        n: np.atleast_1d(many(typed[n], kind, name, n))
        for n, kind in (("lift", "length"), ("flow", "volume_flow"))
    }
    if "convention" in typed:
        rows["convention"] = typed["convention"]
    bench = made(_core.FlowBench, typed, name, **rows)
    diameter = si(typed["valve_diameter"], "length", name, "valve_diameter")
    count = whole(typed.get("valves", 1), name, "valves", 1, 4)
    area = told(name, _core.effective_area, bench, diameter, count)
    return told(f"cam.{name}", _core.valve_area, cam.curve(name), cam.peak(name), area)


def whole(value: Any, where: str, field: str, low: int, high: int) -> int:
    """Return a count, or refuse it."""
    if (
        isinstance(value, bool)
        or not isinstance(value, int | np.integer)
        or not (low <= value <= high)
    ):
        raise refusal(where, field, quoted(value), f"be a whole number from {low} to {high}")
    return int(value)


def pipe(given: Any, where: str, **usual: float) -> Any:
    """A runner or primary; without a diameter at the port it is straight."""
    typed = usual | table(given, where, _PIPE)
    need(typed, where, "length", "diameter")
    typed["far_diameter"] = typed.pop("port_diameter", typed["diameter"])
    try:
        taper = made(_core.Pipe, typed, where)
    except InputError as error:
        raise InputError(str(error).replace("far_diameter", "port_diameter")) from None
    return made(_core.Runner, typed, where, taper=taper)


def mixture(given: Any) -> tuple[str, Any, float]:
    """Words for the fuel, the charge, and its research octane number."""
    typed = table(given, "fuel", _MIXTURE)
    need(typed, "fuel", "name")
    name, known = typed["name"], list(_core.generic_fuel_names())
    fuel = typed.get("figures")
    if fuel is not None and not isinstance(fuel, _core.Fuel):
        raise refusal("fuel", "figures", quoted(fuel), "be a Fuel")
    if fuel is None and name not in known:
        near = suggestion(str(name), known)
        raise refusal("fuel", "name", quoted(name), f"be one of {', '.join(known)}", near)
    fuel, usual = fuel or _core.generic_fuel(name), _core.Injection()
    octane = checked(_core.CycleSetup, "octane", typed.get("octane", fuel.research_octane), "fuel")
    values = {n: getattr(usual, n) for n in ("lambda", "evaporated_fraction")} | typed
    return name, made(_core.ChargeMixture, values, "fuel", fuel=fuel), octane


class Clearance(NamedTuple):
    """Free way of a seated valve to the piston, and what must be left of it when it opens."""

    gap: float
    least: float
    inclination: float

    def lift_limit(self, crank: Any, angle: Any) -> Any:
        """Return the highest lift [m] at crank angles [rad].

        The valve moves along its own axis; the piston leaves it by its travel times the cosine of
        the valve's inclination. Left out: stretch of the rod, valve float, bending of the train.
        """
        travel = (crank.volume(angle) - crank.clearance_volume) / (0.25 * pi * crank.bore**2)
        return self.gap - self.least + travel * cos(self.inclination)


def clearance(name: str, given: Mapping[str, Any]) -> Clearance | None:
    """The clearance of a valve's mapping; None where its gap was not typed."""
    if "piston_gap" not in given:
        for other in ("least_clearance", "inclination"):
            if other in given:
                raise refusal(name, other, quoted(given[other]), "stand only with piston_gap")
        return None
    gap = si(given["piston_gap"], "length", name, "piston_gap")
    least = given.get("least_clearance", LEAST_CLEARANCE[name])
    inclination = si(given.get("inclination", 0.0), "angle", name, "inclination")
    if not 0.0 <= inclination <= 1.0:
        raise refusal(name, "inclination", quoted(given["inclination"]), "be from 0 to 57 deg")
    return Clearance(gap, si(least, "length", name, "least_clearance"), inclination)


def checked_clearance(cam: Cam, crank: Any, name: str, way: Clearance) -> tuple[float, float]:
    """Least distance between a valve and the piston [m], and where it stands [rad after TC]."""
    angle = np.deg2rad(np.arange(-90.0, 90.25, 0.25)) + 2.0 * pi
    left = way.lift_limit(crank, angle) + way.least - cam.lift(name, angle)
    at = int(np.argmin(left))
    if not left[at] >= way.least:
        shown = (
            f"{formatted(float(left[at]), 'length')} at {np.rad2deg(angle[at]) - 360.0:+.0f} deg"
        )
        rule = f"leave at least {formatted(way.least, 'length')} between valve and piston"
        hint = "less lift or duration, another centreline, or deeper valve pockets"
        raise refusal(f"cam.{name}", "clearance", shown, rule, hint)
    return float(left[at]), float(angle[at] - 2.0 * pi)


def setup(**parts: Any) -> Any:
    """The whole cylinder; what does not fit together is told under the part that was typed."""
    try:
        return _core.CycleSetup(**parts)
    except InputError as error:
        lines = []
        for line in str(error).split("\n"):
            place, _, rest = line.partition(": ")
            lines.append(f"{_PLACES.get(place, place)}: {rest}")
        raise InputError("\n".join(lines)) from None


def changed(old: Any, path: Sequence[str], value: Any, whole: str) -> Any:
    """Return a value with one place in it changed."""
    if not path:
        return value
    if isinstance(old, Cam):
        return old.replace(**{path[0]: {path[1]: value} if len(path) > 1 else value})
    if not isinstance(old, Mapping) or len(path) > 1:
        raise refusal("replace", whole, quoted(value), "be a path of the engine")
    return {**old, path[0]: value}
