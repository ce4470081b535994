"""What the compressor does as the throttle shuts: a course in time, in numbers and words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import isfinite, nan
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM
from ..buildfile.bypass import BypassValve, bypass_valve
from ..buildfile.lift_off import FLOW_OVER_SURGE, lift_off_setting
from ..buildfile.source import Source
from ..shown import statuses
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..shown.words import listed, milliseconds
from ..units.convert import formatted, unit_label

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from .build import Build

__all__ = ["Course", "LiftOff", "solved_course"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Course:
    """How it goes from the moment the throttle begins to shut; NaN without an answer.

    Attributes
    ----------
    status : str
        Of the point with the throttle still open.
    flags : int
        Its limits and cautions, bits of one number [dimensionless].
    kind : str
        ``"none"``, ``"passing"`` (left of the surge line for a while), ``"mild"`` (left of it at
        the end) or ``"deep"`` (the flow runs backwards).
    lowest_share, held_share : float
        Lowest flow over surge flow, of all and once throttle and bypass stand [dimensionless].
    lowest_flow, surge_flow : float
        Through the compressor, and at the left end of its map [kg/s].
    time_left : float
        Spent left of the map [s].
    reversals : int
        Times that the flow turned back [dimensionless].
    pressure_swing : float
        Ahead of the throttle at the end, highest less lowest [Pa].
    frequency, helmholtz : float
        Of that swing, and of small swings of the pipe's air [Hz].
    b_parameter : float
        Greitzer's B [dimensionless].
    highest_pressure : float
        Ahead of the throttle [Pa].
    mass_error : float
        What came in, less what went out and stayed, over what came in [dimensionless].
    moments : mapping
        Arrays over time by the names of ``_core.lift_off_columns()`` [SI].
    """

    status: str
    flags: int
    kind: str
    lowest_share: float
    held_share: float
    lowest_flow: float
    surge_flow: float
    time_left: float
    reversals: float
    pressure_swing: float
    frequency: float
    helmholtz: float
    b_parameter: float
    highest_pressure: float
    mass_error: float
    moments: Mapping[str, Array]

    @property
    def matched(self) -> bool:
        """Whether there is an answer."""
        return self.status == "matched"

    @property
    def surge(self) -> str:
        """``"measured"``, ``"estimated"`` or ``"not known"``: what the map's left end is."""
        if statuses.standing(self.flags, "surge_not_known"):
            return "not known"
        return "estimated" if statuses.standing(self.flags, "surge_estimated") else "measured"

    @property
    def odd(self) -> bool:
        """Whether the compressor works as no machine was seen to."""
        return bool(statuses.standing(self.flags, "odd_compressor"))

    def room(self, wanted: float) -> float:
        """Return how far it stays from surge: at least 1 where that is enough.

        Parameters
        ----------
        wanted : float
            Flow over surge flow wanted once throttle and bypass stand [dimensionless].

        Returns
        -------
        float
            The lower of the lowest flow over surge flow, and that at the end over what is wanted
            [dimensionless].
        """
        return min(self.lowest_share, self.held_share / wanted)

    def short(self, wanted: float) -> str:
        """Return what is wrong with it, in few words.

        Parameters
        ----------
        wanted : float
            Flow over surge flow wanted at the end [dimensionless].

        Returns
        -------
        str
            Such as ``"surge, 21 times a second"``.
        """
        if self.kind == "deep":
            often = f", {self.frequency:.0f} times a second" if isfinite(self.frequency) else ""
            return f"surge{often}"
        if self.kind == "mild":
            return "mild surge"
        if self.kind == "passing":
            return f"left of the surge line for {milliseconds(self.time_left)}"
        return f"{self.held_share:.2f} times surge flow, {wanted:g} wanted"

    def words(self, system: str = "trade") -> str:
        """Return what happens, as part of a sentence.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            Such as ``"the flow runs backwards 21 times a second ..."``.
        """
        swing = formatted(self.pressure_swing, "pressure_difference", system)
        if self.kind == "deep" and isfinite(self.frequency):
            return (f"deep surge, the flow runs backwards {self.frequency:.0f} times a second and "
                    f"the pressure swings by {swing}")  # fmt: skip
        if self.kind == "deep":
            times = "once" if self.reversals == 1 else f"{self.reversals:.0f} times"
            return f"deep surge, the flow runs backwards {times} and then recovers"
        if self.kind == "mild" and isfinite(self.frequency):
            return (f"mild surge, the flow swings left of the surge line {self.frequency:.0f} "
                    f"times a second and the pressure by {swing}")  # fmt: skip
        if self.kind == "mild":
            return f"the flow settles at {self.held_share:.2f} of surge flow, left of the map"
        if self.kind == "passing":
            return (f"the flow falls to {self.lowest_share:.2f} of surge flow for "
                    f"{milliseconds(self.time_left)} and recovers")  # fmt: skip
        return f"no surge, the flow stays above {self.lowest_share:.2f} times surge flow"


def solved_course(chain: _core.Chain, how: _core.LiftOff, valve: _core.ReliefValve) -> Course:
    """Return what happens as the throttle of a chain shuts.

    Parameters
    ----------
    chain : Chain
        The stations, at their operation.
    how : LiftOff
        How the throttle shuts.
    valve : ReliefValve
        The bypass; without area there is none.

    Returns
    -------
    Course
        Numbers and moments.

    Raises
    ------
    InputError
        The chain has no compressor, or a number is out of range.
    """
    return Course(**_core.lift_off(chain, how, valve))


@dataclass(frozen=True, eq=False, repr=False)
class LiftOff(Shown):
    """A build whose throttle shuts at speed.

    Attributes
    ----------
    build : Build
        The build.
    rpm : float
        Crank speed at which the throttle begins to shut [rpm].
    how : LiftOff
        How it shuts, and what stands between compressor and engine.
    assumed : tuple of str
        What of that nobody typed.
    valve : BypassValve or None
        The bypass of the build.
    """

    build: Build
    rpm: float
    how: _core.LiftOff
    assumed: tuple[str, ...]
    valve: BypassValve | None

    @classmethod
    def of(cls, build: Build, rpm: float | None = None) -> LiftOff:
        """Return the lift-off of a build, see `Build.lift_off`.

        Parameters
        ----------
        build : Build
            The build; it has a compressor.
        rpm : float, optional
            Crank speed at which the throttle begins to shut [rpm]; redline without it.

        Returns
        -------
        LiftOff
            Solved when it is first asked.

        Raises
        ------
        InputError
            There is no compressor, no speed, or a value under ``[lift_off]`` is out of range.
        """
        chain = build.chain
        if not chain.supercharged:
            raise refusal("lift_off", "build", "naturally aspirated", "have a compressor")
        source = Source(build.source.file, build.source.replaced)
        how, assumed = lift_off_setting(source, float(chain.engine.displacement))
        redline = float(chain.engine.speed_limit) / RPM
        speed = redline if rpm is None else float(rpm)
        if not isfinite(speed):
            hint = "or type a redline under [engine]"
            raise refusal("lift_off", "rpm", f"{speed:g}", "be given in rpm", hint)
        return cls(build, speed, how, assumed, bypass_valve(source))

    @property
    def chain(self) -> _core.Chain:
        """The stations at that speed."""
        return self.build.chain.replace(operation=_core.Operation(engine_speed=self.rpm * RPM))

    @cached_property
    def bare(self) -> Course:
        """What happens without a bypass."""
        return solved_course(self.chain, self.how, _core.ReliefValve(effective_area=0.0))

    @cached_property
    def course(self) -> Course:
        """What happens with the bypass of the build; as without where there is none."""
        return self.bare if self.valve is None else solved_course(
            self.chain, self.how, self.valve.relief
        )  # fmt: skip

    @cached_property
    def needed_area(self) -> float:
        """Effective area of a bypass that is just enough [m^2], infinite where none is."""
        relief = _core.ReliefValve() if self.valve is None else self.valve.relief
        return float(_core.needed_area(self.chain, self.how, relief, FLOW_OVER_SURGE))

    @cached_property
    def longest_opening(self) -> float:
        """Longest time in which the build's bypass may open [s]; NaN where none is short enough."""
        if self.valve is None:
            return nan
        return float(
            _core.longest_opening(self.chain, self.how, self.valve.relief, FLOW_OVER_SURGE)
        )

    @property
    def verdict(self) -> str:
        """Whether the compressor surges, without and with the bypass."""
        begins = f"{self.build.title}, throttle shut at {self.rpm:,.0f} rpm: "
        if not self.bare.matched:
            return begins + statuses.advice(self.bare.status)
        estimate = "By estimate: " if self.bare.surge == "estimated" else ""
        if self.valve is None:
            return f"{begins}{estimate}{self.bare.words()}. There is no bypass."
        return (
            f"{begins}{estimate}without a bypass {self.bare.words()}; with {self.valve.words} "
            f"{self.course.words()}."
        )

    @property
    def notes(self) -> list[str]:
        """What was assumed, and what the surge line is worth."""
        notes = []
        if self.assumed:
            words = listed(list(self.assumed))
            notes.append(f"Nobody typed {words} under [lift_off], so usual values stand.")
        if self.bare.surge == "estimated":
            notes.append(statuses.caution("surge_estimated"))
        if self.bare.surge == "not known":
            notes.append("Nobody knows the surge line: the left end of the map stands for it.")
        if self.bare.kind in ("mild", "deep"):
            notes.append(
                "How deep and how often it surges is a rough figure, since nobody measures lag and "
                "shut_off_head: the swing may be half or three times as large. The bypass that is "
                "needed does not depend on them."
            )
        return notes

    def _tables(self, system: str) -> list[Table]:
        """Numbers without and with the bypass."""
        kinds = {
            "lowest flow": ("lowest_flow", "mass_flow"),
            "surge flow": ("surge_flow", "mass_flow"),
            "lowest over surge flow": ("lowest_share", "dimensionless"),
            "the same at the end": ("held_share", "dimensionless"),
            "pressure swing": ("pressure_swing", "pressure_difference"),
            "highest pressure": ("highest_pressure", "pressure"),
        }
        courses = [self.bare] if self.valve is None else [self.bare, self.course]
        rows = [["surge", "", *(c.kind for c in courses)]]
        for words, (name, kind) in kinds.items():
            cells = [shown_as(kind, float(getattr(c, name)), system) for c in courses]
            rows.append([words, unit_label(kind, system), *cells])
        times = [milliseconds(c.time_left).removesuffix(" ms") for c in courses]
        rows.append(["time left of the map", "ms", *times])
        for words, name, form in (("times a second", "frequency", ".1f"),
                                  ("small swings, times a second", "helmholtz", ".1f"),
                                  ("Greitzer's B", "b_parameter", ".2f")):  # fmt: skip
            values = [float(getattr(c, name)) for c in courses]
            rows.append([words, "", *(format(v, form) if isfinite(v) else "–" for v in values)])
        headings = ["", "unit", "without a bypass"]
        if self.valve is not None:
            headings.append(f"with {self.valve.words}")
        return [Table(headings, [""] * len(headings), rows)]

    def plot(self, system: str = "trade", title: str | None = None) -> Figure:
        """Draw the flow on the compressor's map and over time, without and with the bypass.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Above the picture; the verdict unless given.

        Returns
        -------
        Figure
            Left the map, right flow, pressure ahead of the throttle and openings over time.

        Raises
        ------
        InputError
            There is no answer to draw.
        """
        from .plot_lift_off import draw

        if not self.bare.matched:
            raise refusal("plot", "status", self.bare.status, "be matched")
        return draw(self, system, title)
