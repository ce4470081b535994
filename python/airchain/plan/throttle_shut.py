"""The moment the throttle shuts at full speed: the bypass that keeps surge away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite, pi, sqrt

from .. import _core
from ..base.speeds import RPM
from ..shown import statuses
from ..shown.columns import shown_as
from ..shown.tables import Table
from ..units.convert import formatted, unit_label
from .request import Day

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
    odd : bool
        Whether the compressor works there as no machine was seen to.
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
    odd: bool

    @property
    def diameter(self) -> float:
        """Of one round opening of that area [m]."""
        return 2.0 * sqrt(self.area / pi)

    @property
    def verdict(self) -> str:
        """Area and diameter, or why there are none."""
        if self.status != "matched":
            return (
                f"With the throttle shut at {self.rpm:,.0f} rpm there is no answer: "
                f"{statuses.advice(self.status)}"
            )
        if not isfinite(self.area):
            return (
                "With the throttle shut the compressor makes no pressure that would open a bypass."
            )
        size = {
            "measured": "a bypass of",
            "estimated": "by estimate a bypass of",
        }.get(self.surge, "at least a bypass of")
        why = "" if self.surge in ("measured", "estimated") else " Nobody knows its surge line."
        why += f" {statuses.caution('odd_compressor')}" if self.odd else ""
        return (
            f"When the throttle shuts at {self.rpm:,.0f} rpm ({self.weather}), {size} "
            f"{formatted(self.area, 'area')} keeps the compressor from surge. That is "
            f"{formatted(self.diameter, 'length')} across if it is round, and it passes "
            f"{formatted(self.flow, 'mass_flow')}.{why}"
        )


def throttle_shut(
    chain: _core.Chain,
    weather: Mapping[str, Day],
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
        Days by name; the one that needs the widest opening is taken.
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
    openings = []
    for name, day in weather.items():
        here = day.on(chain).replace(operation=_core.Operation(engine_speed=rpm * RPM))
        lift = _core.lift_off(here, flow_over_surge)
        surge = (
            "not known" if statuses.standing(lift["flags"], "surge_not_known")
            else "estimated" if statuses.standing(lift["flags"], "surge_estimated") else "measured"
        )  # fmt: skip
        area = lift["effective_area"]
        openings.append(
            ThrottleShut(name, rpm, lift["status"], surge, lift["left_flow"], lift["flow"],
                         lift["pressure"], area, area / discharge_coefficient,
                         bool(statuses.standing(lift["flags"], "odd_compressor")))
        )  # fmt: skip
    # One without an answer stands before all others: it must not be hidden.
    return max(openings, key=lambda one: one.area if one.status == "matched" else float("inf"))


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
        texts = [shown_as(k, v, system) for k, v in zip(kinds, values, strict=True)]
        cells.append([level, f"{one.rpm:,.0f}", one.weather, one.surge, *texts])
    return Table(
        ["level", "engine", "weather", "surge line", "surge flow", "flow", "pressure", "area",
         "diameter"],
        ["", "rpm", "", "", *(unit_label(k, system) for k in kinds)],
        cells,
        caption="The throttle shuts at full speed: the bypass that keeps the compressor from surge",
        key="The air flows steadily to the open, from ahead of the throttle. The bypass must open "
        "as quickly as the throttle shuts.",
    )  # fmt: skip
