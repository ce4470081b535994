"""The moment the throttle shuts at full speed: whether the compressor surges, and the bypass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf, isfinite, isinf, pi, sqrt

from .. import _core
from ..base.speeds import RPM
from ..buildfile.bypass import BypassValve
from ..chain.lift_off import Course, solved_course
from ..shown import statuses
from ..shown.columns import shown_as
from ..shown.tables import Table
from ..shown.words import listed, milliseconds
from ..units.convert import formatted, unit_label
from .request import Day, PlanRequest

__all__ = ["ThrottleShut", "throttle_shut"]


@dataclass(frozen=True)
class ThrottleShut:
    """What the compressor does when the throttle shuts, in the weather that asks for most.

    Attributes
    ----------
    weather : str
        Name of that weather.
    rpm : float
        Crank speed at which the throttle begins to shut [rpm].
    course : Course
        What happens with the bypass fitted; without one where none is.
    wanted : float
        Flow over surge flow wanted once throttle and bypass stand [dimensionless].
    discharge_coefficient : float
        Of the bypass, effective over geometric area [dimensionless].
    chain : Chain
        The stations on that day, at that speed.
    how : LiftOff
        How the throttle shuts.
    valve : BypassValve or None
        What is fitted.
    days : tuple of ThrottleShut
        The same in every weather, in their order; empty of one that stands for a single day.
    """

    weather: str
    rpm: float
    course: Course
    wanted: float
    discharge_coefficient: float
    chain: _core.Chain
    how: _core.LiftOff
    valve: BypassValve | None = None
    days: tuple[ThrottleShut, ...] = ()

    @property
    def status(self) -> str:
        """``"matched"``, or why there is no answer."""
        return self.course.status

    @property
    def surge(self) -> str:
        """``"measured"``, ``"estimated"`` or ``"not known"``: what the map's left end is."""
        return self.course.surge

    @cached_property
    def bare(self) -> Course:
        """What happens without a bypass."""
        if self.valve is None:
            return self.course
        return solved_course(self.chain, self.how, _core.ReliefValve(effective_area=0.0))

    @cached_property
    def effective_area(self) -> float:
        """Of the bypass needed, times its discharge coefficient [m^2].

        0 where none is needed, infinite where none that opens so is enough, NaN without an answer.
        """
        valve = _core.ReliefValve() if self.valve is None else self.valve.relief
        return float(_core.needed_area(self.chain, self.how, valve, self.wanted))

    @property
    def area(self) -> float:
        """The same, geometric [m^2]."""
        return self.effective_area / self.discharge_coefficient

    @property
    def holds(self) -> bool | None:
        """Whether the fitted valve is enough; None where none is fitted or nothing known."""
        if self.valve is None or self.status != "matched":
            return None
        enough = self.course.room(self.wanted) >= 1.0
        # Enough by a line that nobody knows is no answer.
        return None if enough and self.surge == "not known" else enough

    @cached_property
    def longest_opening(self) -> float:
        """Longest time in which the fitted valve may open [s]; NaN where none is short enough."""
        if self.valve is None or self.status != "matched":
            return float("nan")
        return float(_core.longest_opening(self.chain, self.how, self.valve.relief, self.wanted))

    @property
    def judgement(self) -> str:
        """The fitted valve against what is needed, in words and trade units."""
        return self.judged()

    def judged(self, system: str = "trade") -> str:
        """Return the fitted valve against what is needed, in words.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            The words.
        """
        if self.valve is None:
            return "no valve typed"
        if self.status != "matched":
            return "no answer"
        if self.area == 0.0:
            return "not needed"
        passes = "pass" if self.valve.several else "passes"
        end = {True: "holds", False: self.course.short(self.wanted), None: "not known"}[self.holds]
        end = f"by estimate {end}" if self.surge == "estimated" and self.holds is not None else end
        has = formatted(self.valve.area, "area", system)
        if isinf(self.area):
            return f"{self.valve.words} {passes} {has}, and none that opens so is enough: {end}"
        needs = formatted(self.area, "area", system)
        if self.holds is not False:
            return f"{self.valve.words} {passes} {has}, {needs} needed: {end}"
        return f"{self.valve.words} {passes} {has.split(' ')[0]} of the {needs} needed: {end}"

    @property
    def diameter(self) -> float:
        """Of one round opening of that area [m]."""
        return 2.0 * sqrt(self.area / pi)

    @property
    def verdict(self) -> str:
        """Area and diameter, or why there are none, in trade units."""
        return self.told()

    def told(self, system: str = "trade") -> str:
        """Return area and diameter, or why there are none.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            Whole sentences.
        """
        when = f"When the throttle shuts at {self.rpm:,.0f} rpm ({self.weather})"
        if self.status != "matched":
            return f"{when} there is no answer: {statuses.advice(self.status)}"
        if self.valve is not None:
            return f"{when}: {self.judged(system)}.{self._slowest(system)}"
        if self.area == 0.0:
            return f"{when}, the compressor stays right of surge without a bypass."
        moves = _core.ReliefValve(effective_area=0.0)
        opens = (
            f"opens within {milliseconds(moves.opening_time)}, "
            f"{milliseconds(moves.delay)} after the throttle begins to shut"
        )
        bare = f" Without one: {self.bare.words(system)}."
        if isinf(self.area):
            return f"{when}, no bypass that {opens}, keeps the compressor from surge.{bare}"
        size = {
            "measured": "a bypass of",
            "estimated": "by estimate a bypass of",
        }.get(self.surge, "at least a bypass of")
        why = "" if self.surge in ("measured", "estimated") else " Nobody knows its surge line."
        why += f" {statuses.caution('odd_compressor')}" if self.course.odd else ""
        area = formatted(self.area, "area", system)
        across = formatted(self.diameter, "length", system)
        return (
            f"{when}, {size} {area} keeps the compressor from surge if it {opens}. That is "
            f"{across} across if it is round.{bare}{why}"
        )

    def _slowest(self, system: str) -> str:
        """How slowly the fitted valve may open."""
        longest = self.longest_opening
        if not isfinite(longest):
            return f" Without it: {self.bare.words(system)}."
        return (
            f" It may take {milliseconds(longest)} to open. Without it: {self.bare.words(system)}."
        )


def throttle_shut(
    chain: _core.Chain,
    weather: Mapping[str, Day],
    rpm: float,
    how: _core.LiftOff,
    flow_over_surge: float,
    discharge_coefficient: float,
    valve: BypassValve | None = None,
) -> ThrottleShut:
    """Return what a chain's compressor does when its throttle shuts, and the bypass it needs.

    Solved in time (`_core.lift_off`): what the bypass must pass depends on how quickly it opens.

    Parameters
    ----------
    chain : Chain
        The stations, with the drive in question.
    weather : mapping
        Days by name; the one that needs the widest opening is taken.
    rpm : float
        Crank speed [rpm].
    how : LiftOff
        How the throttle shuts.
    flow_over_surge : float
        Flow wanted over surge flow once throttle and bypass stand, 1 to 3 [dimensionless].
    discharge_coefficient : float
        Of a bypass still to be fitted, effective over geometric area [dimensionless].
    valve : BypassValve, optional
        What is fitted; its own coefficient then tells the area needed.

    Returns
    -------
    ThrottleShut
        What happens on the day that needs most, with all days in it.

    Raises
    ------
    InputError
        The chain has no compressor, or a figure is out of range.
    """
    found: list[ThrottleShut] = []
    share = discharge_coefficient if valve is None else valve.discharge_coefficient
    fitted = _core.ReliefValve(effective_area=0.0) if valve is None else valve.relief
    for name, day in weather.items():
        here = day.on(chain).replace(operation=_core.Operation(engine_speed=rpm * RPM))
        course = solved_course(here, how, fitted)
        found.append(ThrottleShut(name, rpm, course, flow_over_surge, share, here, how, valve))

    # Where the valve is enough on all days, its room tells the worst without a search.
    enough = valve is not None and all(one.course.room(flow_over_surge) >= 1.0 for one in found)

    def asks(one: ThrottleShut) -> float:
        # One without an answer stands before all others: it must not be hidden.
        if one.status != "matched":
            return inf
        return -one.course.room(flow_over_surge) if enough else one.effective_area

    worst = max(found, key=asks)
    whole = replace(worst, days=tuple(found))
    # The area searched for that day is the whole's: it is not searched again.
    vars(whole).update({k: v for k, v in vars(worst).items() if k == "effective_area"})
    return whole


def bypass_words(request: PlanRequest, shut: Mapping[str, ThrottleShut], system: str) -> list[str]:
    """Say what must open when the throttle shuts, at each level where a valve is fitted."""
    if request.valve is None:
        said = [list(shut.values())[-1].told(system)]
    else:
        said = [f"{name}: {one.told(system)}" for name, one in shut.items()]
    assumed = listed(list(request.lift_off.assumed))
    usual = f"Nobody typed {assumed} under [lift_off], so usual values stand."
    return [*said, usual] if assumed else said


def shut_table(
    rows: Mapping[str, ThrottleShut], system: str = "trade", worst_day: bool = False
) -> Table:
    """Return the bypass of every level.

    Parameters
    ----------
    rows : mapping
        By level.
    system : str
        ``"trade"`` or ``"si"``.
    worst_day : bool
        Whether a level has one row in any case, of the weather that needs most.

    Returns
    -------
    Table
        One row a level; one a level and weather where a valve is fitted.
    """
    kinds = ("mass_flow", "pressure_difference", "area", "length")
    cells = []
    judged = any(one.valve is not None for one in rows.values())
    every = [(level, day) for level, worst in rows.items() for day in worst.days or (worst,)]
    for level, one in every if judged and not worst_day else rows.items():
        bare = one.bare
        texts = [
            shown_as(kinds[0], bare.surge_flow, system),
            bare.kind if bare.matched else "–",
            f"{bare.frequency:.0f}" if isfinite(bare.frequency) else "–",
            shown_as(kinds[1], bare.pressure_swing, system),
            _size(kinds[2], one.area, system),
            _size(kinds[3], one.diameter, system),
        ]
        fitted = [one.judged(system)] if judged else []
        cells.append([level, f"{one.rpm:,.0f}", one.weather, one.surge, *texts, *fitted])
    return Table(
        ["level", "engine", "weather", "surge line", "surge flow", "surge without a bypass",
         "times a second", "pressure swing", "area needed", "diameter",
         *(["fitted"] if judged else [])],
        ["", "rpm", "", "", unit_label(kinds[0], system), "", "", unit_label(kinds[1], system),
         *(unit_label(k, system) for k in kinds[2:]), *([""] if judged else [])],
        cells,
        caption="The throttle shuts at full speed: whether the compressor surges, and the bypass "
        "that keeps it from that",
        key="Solved in time, from [lift_off] and the times of [bypass]. Deep: the flow runs "
        "backwards. Mild: it stays left of the surge line. The air leaves to the open from ahead "
        "of the throttle.",
        flush=(0, 2, 3, 5, 10) if judged else (0, 5),
    )  # fmt: skip


def _size(kind: str, value: float, system: str) -> str:
    """An area or diameter; none where none is needed, and none is enough where it is infinite."""
    if value == 0.0:
        return "none"
    return "none is enough" if isinf(value) else shown_as(kind, value, system)
