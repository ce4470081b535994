"""The moment the throttle shuts at full speed: the bypass needed against surge, and the fitted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isfinite, pi, sqrt

from .. import _core
from ..base.speeds import RPM
from ..buildfile.bypass import BypassValve
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
        Of the bypass needed: times its discharge coefficient, and geometric [m^2].
    odd : bool
        Whether the compressor works there as no machine was seen to.
    valve : BypassValve or None
        What is fitted.
    days : tuple of ThrottleShut
        The same in every weather, in their order; empty of one that stands for a single day.
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
    valve: BypassValve | None = None
    days: tuple[ThrottleShut, ...] = ()

    @property
    def holds(self) -> bool | None:
        """Whether the fitted valve is wide enough; None where none is fitted or nothing known."""
        if self.valve is None or self.status != "matched":
            return None
        if not isfinite(self.area):
            return True  # no pressure that would open a bypass
        wide = self.valve.effective_area >= self.effective_area
        # Enough by a line that nobody knows is no answer.
        return None if wide and self.surge == "not known" else wide

    @property
    def judgement(self) -> str:
        """The fitted valve against what is needed, in words."""
        if self.valve is None:
            return "no valve typed"
        if self.status != "matched" or not isfinite(self.area):
            return "no answer" if self.status != "matched" else "not needed"
        has, needs = (formatted(a, "area", "si") for a in (self.valve.area, self.area))
        passes = "pass" if self.valve.several else "passes"
        end = {True: "holds", False: "surge", None: "not known"}[self.holds]
        end = f"by estimate {end}" if self.surge == "estimated" and self.holds is not None else end
        if self.holds:
            return f"{self.valve.words} {passes} {has}, {needs} needed: {end}"
        return f"{self.valve.words} {passes} {has.split(' ')[0]} of the {needs} needed: {end}"

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
        if self.valve is not None:
            when = f"When the throttle shuts at {self.rpm:,.0f} rpm ({self.weather})"
            return f"{when}: {self.judgement}."
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
    valve: BypassValve | None = None,
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
        Of a bypass still to be fitted, effective over geometric area [dimensionless].
    valve : BypassValve, optional
        What is fitted; its own coefficient then tells the area needed.

    Returns
    -------
    ThrottleShut
        Flow, pressure and area on the day that needs most, with all days in it.

    Raises
    ------
    InputError
        The chain has no compressor, or a figure is out of range.
    """
    openings = []
    share = discharge_coefficient if valve is None else valve.discharge_coefficient
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
                         lift["pressure"], area, area / share,
                         bool(statuses.standing(lift["flags"], "odd_compressor")), valve)
        )  # fmt: skip
    # One without an answer stands before all others: it must not be hidden.
    worst = max(openings, key=lambda one: one.area if one.status == "matched" else float("inf"))
    return replace(worst, days=tuple(openings))


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
        One row a level; one a level and weather where a valve is fitted.
    """
    kinds = ("mass_flow", "mass_flow", "pressure", "area", "length")
    cells = []
    judged = any(one.valve is not None for one in rows.values())
    every = [(level, day) for level, worst in rows.items() for day in worst.days or (worst,)]
    for level, one in every if judged else rows.items():
        values = (one.surge_flow, one.flow, one.pressure, one.area, one.diameter)
        texts = [shown_as(k, v, system) for k, v in zip(kinds, values, strict=True)]
        fitted = [one.judgement] if judged else []
        cells.append([level, f"{one.rpm:,.0f}", one.weather, one.surge, *texts, *fitted])
    return Table(
        ["level", "engine", "weather", "surge line", "surge flow", "flow", "pressure", "area",
         "diameter", *(["fitted"] if judged else [])],
        ["", "rpm", "", "", *(unit_label(k, system) for k in kinds), *([""] if judged else [])],
        cells,
        caption="The throttle shuts at full speed: the bypass that keeps the compressor from surge",
        key="The air flows steadily to the open, from ahead of the throttle. The bypass must open "
        "as quickly as the throttle shuts.",
        flush=(0, 2, 3, 9) if judged else (0,),
    )  # fmt: skip
