"""Statuses, practice and cautions of the fuel side."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

PRACTICE = (
    "Duty limits of 80 to 85 %, and 10 to 20 % of pump flow in hand, are common practice without a "
    "source."
)
PRESSURE = (
    "Fuel stands under pressure, and a leak burns at once. Relieve the pressure before a line is "
    "opened. Test every joint at working pressure before the first start. Keep to what the makers "
    "of pump, lines and injectors, the rule book and local codes say."
)
LEADED = (
    "Leaded fuel is poisonous, also through the skin. It is barred from road use in most places, "
    "and it ruins oxygen sensors and catalysts."
)
METHANOL = (
    "Methanol is poisonous, and its flame is nearly invisible by day. It attacks aluminium, "
    "magnesium and many seals, takes up water, and must be flushed out after use."
)
ALCOHOL = (
    "Alcohol fuel attacks some seals and metals and takes up water. Use only pumps, lines and "
    "injectors whose makers allow it."
)
_DEEDS = {
    "rail below plenum": "The rail pressure does not stand above the pressure that the injectors "
    "spray into. Let the regulator feel the plenum, or raise its pressure.",
    "over duty limit": "Fit a larger injector, raise the rail pressure, or inject once a cycle.",
    "duty limit below dead time": "No injector serves at this duty limit and engine speed.",
    "pump short": "The pumps deliver less than is injected. The rail would sag and the mixture "
    "would lean out under load, which breaks engines.",
    "pump margin low": "The pumps deliver what is injected, but with less in hand than wanted.",
    "pump not known": "The pumps work outside their curves. Measure them there.",
    "dead time not known": "The dead time is held at the edge of its table. Measure it there.",
    "not solved": "The chain has no answer there, and so the fuel system has none either.",
}


def statuses(
    points: Mapping[str, NDArray[np.float64]], duty_limit: float, margin: float
) -> list[str]:
    """Return what is to be said of each point, several things parted by commas."""
    return [_status({n: v[i] for n, v in points.items()}, duty_limit, margin)
            for i in range(len(points["fuel_flow"]))]  # fmt: skip


def _status(p: dict[str, float], duty_limit: float, margin: float) -> str:
    if p["fuel_flow"] != p["fuel_flow"]:
        return "not solved"
    statuses_met = []
    if not p["driven"]:
        statuses_met.append("rail below plenum")
    elif p["duty"] > duty_limit:
        statuses_met.append("over duty limit")
        if p["rated_flow_needed"] != p["rated_flow_needed"]:
            statuses_met.append("duty limit below dead time")
    if not p["pump_known"]:
        statuses_met.append("pump not known")
    elif p["pump_margin"] < 0.0:
        statuses_met.append("pump short")
    elif p["pump_margin"] < margin:
        statuses_met.append("pump margin low")
    if p["driven"] and not p["dead_time_known"]:
        statuses_met.append("dead time not known")
    return ", ".join(statuses_met) or "enough"


def deed(status: str) -> str:
    """Return what to do about one status."""
    return f"{status.capitalize()}: {_DEEDS[status]}"


def cautions(fuel_name: str) -> list[str]:
    """Return the cautions that go with a fuel."""
    sentences = [PRESSURE]
    if "leaded" in fuel_name:
        sentences.append(LEADED)
    if fuel_name == "methanol":
        sentences.append(METHANOL)
    elif fuel_name in ("e85", "ethanol"):
        sentences.append(ALCOHOL)
    return sentences
