"""What the columns of a fuel system are called and how they are shown."""

from __future__ import annotations

from math import isfinite

from ..shown.columns import shown_as
from ..units.convert import unit_label

#: Quantity kind of each column; per cent where it is "share".
KINDS = {
    "fuel_flow": "fuel_flow",
    "rail_pressure": "pressure",
    "pressure_difference": "pressure_difference",
    "injector_flow": "fuel_flow",
    "dead_time": "pulse_time",
    "open_time": "pulse_time",
    "duty": "share",
    "injector_margin": "share",
    "rated_flow_needed": "fuel_flow",
    "pump_pressure": "pressure_difference",
    "pump_flow": "pump_flow",
    "pump_demand": "pump_flow",
    "pump_margin": "share",
    "pump_pressure_needed": "pressure_difference",
    "pump_flow_needed": "pump_flow",
    "supply_velocity": "velocity",
    "supply_reynolds": "dimensionless",
    "supply_drop": "pressure_difference",
    "return_velocity": "velocity",
    "return_drop": "pressure_difference",
}


def label(name: str, system: str) -> str:
    """Return the display unit of a column."""
    return "%" if KINDS[name] == "share" else unit_label(KINDS[name], system)


def shown(name: str, value: float, system: str) -> str:
    """Return one SI value of a column as text without unit; a dash where there is none."""
    if KINDS[name] != "share":
        return shown_as(KINDS[name], value, system)
    return f"{100.0 * value:.0f}" if isfinite(value) else "–"


def headed(name: str, system: str) -> str:
    """Return the words of a column with its display unit."""
    unit = label(name, system)
    return name.replace("_", " ") + (f" [{unit}]" if unit else "")
