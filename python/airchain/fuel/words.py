"""Statuses, practice and cautions of the fuel side."""

from __future__ import annotations

from typing import Any

PRACTICE = (
    "duty limits of 80 to 85 % and 10 to 20 % of pump flow in hand are common practice, no source"
)
PRESSURE = (
    "fuel under pressure: a leak burns at once. Relieve it before a line is opened, test every "
    "joint at working pressure before the first start, and keep to the makers of pump, lines and "
    "injectors, the rule book and local codes"
)
LEADED = (
    "leaded fuel is poisonous, also through the skin, is barred from road use in most places, and "
    "ruins oxygen sensors and catalysts"
)
METHANOL = (
    "methanol is poisonous and its flame nearly invisible by day; it attacks aluminium, magnesium "
    "and many seals, takes up water, and must be flushed out after use"
)
ALCOHOL = (
    "alcohol fuel attacks some seals and metals and takes up water: only pumps, lines and "
    "injectors whose makers allow it"
)
_DEEDS = {
    "rail below plenum": "the rail does not stand above what the injectors spray into: let the "
    "regulator feel the plenum or raise its pressure",
    "over duty limit": "a larger injector, more rail pressure or one pulse a cycle",
    "duty limit below dead time": "no injector serves at this duty limit and engine speed",
    "pump short": "the pumps deliver less than is injected: the rail would sag and the mixture "
    "lean out under load, which breaks engines",
    "pump margin low": "the pumps deliver what is injected, but less in hand than wanted",
    "pump not known": "the pumps work outside their curves: measure them there",
    "dead time not known": "dead time held at the edge of its table",
    "not solved": "the chain has no answer there, nor has the fuel system",
}


def statuses(points: Any, duty_limit: float, margin: float) -> list[str]:
    """Return what is to be said of each point, several things parted by commas."""
    return [_status({n: v[i] for n, v in points.items()}, duty_limit, margin)
            for i in range(len(points["fuel_flow"]))]  # fmt: skip


def _status(p: dict[str, float], duty_limit: float, margin: float) -> str:
    if p["fuel_flow"] != p["fuel_flow"]:
        return "not solved"
    said = []
    if not p["driven"]:
        said.append("rail below plenum")
    elif p["duty"] > duty_limit:
        said.append("over duty limit")
        if p["rated_flow_needed"] != p["rated_flow_needed"]:
            said.append("duty limit below dead time")
    if not p["pump_known"]:
        said.append("pump not known")
    elif p["pump_margin"] < 0.0:
        said.append("pump short")
    elif p["pump_margin"] < margin:
        said.append("pump margin low")
    if p["driven"] and not p["dead_time_known"]:
        said.append("dead time not known")
    return ", ".join(said) or "enough"


def deed(status: str) -> str:
    """Return what to do about one status."""
    return f"{status}: {_DEEDS[status]}"


def cautions(fuel_name: str) -> list[str]:
    """Return the cautions that go with a fuel."""
    found = [PRESSURE]
    if "leaded" in fuel_name:
        found.append(LEADED)
    if fuel_name == "methanol":
        found.append(METHANOL)
    elif fuel_name in ("e85", "ethanol"):
        found.append(ALCOHOL)
    return found
