"""The moment the throttle shuts at full speed: the bypass that keeps surge away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite, pi, sqrt
from typing import Any

from .. import _core
from ..base.speeds import RPM
from ..shown import statuses
from ..shown.columns import shown_as
from ..shown.tables import Table
from ..units.convert import formatted, unit_label

__all__ = ["ThrottleShut", "throttle_shut"]


@dataclass(frozen=True)
class ThrottleShut:
    """What must open when the throttle shuts, in the weather that needs the most.

    Attributes
    ----------
    weather : str
        Name of that weather.
    rpm : float
        Crank speed, held [rpm].
    status : str
        ``"matched"``, or why there is no answer.
    surge : str
        ``"measured"``, ``"estimated"`` or ``"not known"``: what the map's left end is.
    surge_flow, flow : float
        Through the compressor at the left end of its speed line, and wanted [kg/s].
    pressure : float
        Total, ahead of the bypass [Pa].
    effective_area, area : float
        Of the bypass: times its discharge coefficient, and geometric [m^2].
    """

    weather: str
    rpm: float
    status: str
    surge: str
    surge_flow: float
    flow: float
    pressure: float
    effective_area: float
    area: float

    @property
    def diameter(self) -> float:
        """Of one round opening of that area [m]."""
        return 2.0 * sqrt(self.area / pi)

    @property
    def verdict(self) -> str:
        """Area and diameter, or why there are none."""
        if self.status != "matched":
            return f"throttle shut at {self.rpm:,.0f} rpm: {statuses.advice(self.status)}"
        if not isfinite(self.area):
            return "throttle shut: the compressor makes no pressure that would open a bypass"
        before = {"measured": "", "estimated": "est. "}.get(
            self.surge, "surge not known; at least "
        )
        return (
            f"throttle shut at {self.rpm:,.0f} rpm ({self.weather}): {before}a bypass of "
            f"{formatted(self.area, 'area')}, {formatted(self.diameter, 'length')} across if "
            f"round, passes {formatted(self.flow, 'mass_flow')}"
        )


def throttle_shut(
    chain: Any,
    weather: Mapping[str, Any],
    rpm: float,
    flow_over_surge: float,
    discharge_coefficient: float,
) -> ThrottleShut:
    """Return the bypass that a chain needs when its throttle shuts.

    Steady flow through an isentropic nozzle to the open air at the pressure that the compressor
    makes at the wanted flow, rotor speed held.

    Parameters
    ----------
    chain : Chain
        The stations, with the drive in question.
    weather : mapping
        Days by name; the one that needs the widest opening is told.
    rpm : float
        Crank speed [rpm].
    flow_over_surge : float
        Flow wanted over surge flow, 1 to 3 [dimensionless].
    discharge_coefficient : float
        Of the bypass, effective over geometric area [dimensionless].

    Returns
    -------
    ThrottleShut
        Flow, pressure, area.

    Raises
    ------
    InputError
        The chain has no compressor, or a figure is out of range.
    """
    found = []
    for name, day in weather.items():
        here = day.on(chain).replace(operation=_core.Operation(engine_speed=rpm * RPM))
        told = _core.lift_off(here, flow_over_surge)
        surge = (
            "not known" if statuses.standing(told["flags"], "surge_not_known")
            else "estimated" if statuses.standing(told["flags"], "surge_estimated") else "measured"
        )  # fmt: skip
        area = told["effective_area"]
        found.append(
            ThrottleShut(name, rpm, told["status"], surge, told["left_flow"], told["flow"],
                         told["pressure"], area, area / discharge_coefficient)
        )  # fmt: skip
    # One without an answer stands before all others: it must not be hidden.
    return max(found, key=lambda one: one.area if one.status == "matched" else float("inf"))


def shut_table(rows: Mapping[str, ThrottleShut], system: str = "trade") -> Table:
    """Return the bypass of every level.

    Parameters
    ----------
    rows : mapping
        By level.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Table
        One row a level.
    """
    kinds = ("mass_flow", "mass_flow", "pressure", "area", "length")
    cells = []
    for level, one in rows.items():
        values = (one.surge_flow, one.flow, one.pressure, one.area, one.diameter)
        told = [shown_as(k, v, system) for k, v in zip(kinds, values, strict=True)]
        cells.append([level, f"{one.rpm:,.0f}", one.weather, one.surge, *told])
    return Table(
        ["level", "engine", "weather", "surge line", "surge flow", "flow", "pressure", "area",
         "diameter"],
        ["", "rpm", "", "", *(unit_label(k, system) for k in kinds)],
        cells,
        caption="Throttle shut at full speed: the bypass that keeps the compressor from surge",
        key="Steady flow to the open air, ahead of the throttle; it must open as quickly as the "
        "throttle shuts.",
    )  # fmt: skip
