"""A run as it is told: columns over time, how it ended, and where its work went."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..base.speeds import RPM
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..units.convert import formatted, unit_label
from .gearing import LIMITED, SHIFTING, SLIPPING
from .motion import ENERGIES, FIRST_ENERGY, SPEED, WAY, WHEEL, Motion
from .running import DOES_NOT_MOVE, FINISHED, NOT_FINISHED, OUTSIDE_PULL, Driven, Leg, drive

__all__ = ["Run"]

Array = NDArray[np.float64]
#: Between two rows of the columns [s].
_STEP = 0.02
_DEEDS = {
    DOES_NOT_MOVE: "the torque at the launch speed does not move the vehicle",
    OUTSIDE_PULL: "the engine leaves the speeds that its pull has answers for; nothing is guessed "
    "beyond them",
    NOT_FINISHED: "the run does not come to its end in two minutes",
}


@dataclass(frozen=True, eq=False, repr=False)
class Run(Shown):
    """One run of one level from rest.

    ``run["road_speed"]`` is an array in SI over ``run["time"]``. The columns are time [s], way [m],
    road_speed and tyre_speed, that of the driven tyres' surface [m/s], gear, engine_speed [rad/s],
    torque and full_torque of the engine [N m], wheel_torque that the road takes [N m], load of the
    driven axle [N], acceleration [m/s^2], and spinning (1 or 0).

    Attributes
    ----------
    level : str
        The level.
    motion : Motion
        Vehicle, engine and surface.
    distance : float
        That was to be run [m].
    status : str
        ``"finished"``, or why it ended before.
    columns : mapping
        Arrays by name [SI].
    legs : tuple of Leg
        State by state.
    work : mapping
        Where the engine's work went, by name, each summed up by itself [J].
    """

    level: str
    motion: Motion
    distance: float
    status: str
    columns: Mapping[str, Array]
    legs: tuple[Leg, ...]
    work: Mapping[str, float]

    @classmethod
    def of(cls, level: str, motion: Motion, distance: float) -> Run:
        """Drive a level.

        Parameters
        ----------
        level : str
            Its name.
        motion : Motion
            Vehicle, engine and surface.
        distance : float
            Length of the run [m].

        Returns
        -------
        Run
            The run.
        """
        driven = drive(motion, distance)
        columns = _columns(motion, driven)
        legs = tuple(driven.legs)
        return cls(level, motion, distance, driven.status, columns, legs, _work(motion, driven))

    def __getitem__(self, name: str) -> Array:
        return self.columns[name]

    @property
    def finished(self) -> bool:
        """Whether it came to its end."""
        return self.status == FINISHED

    @property
    def time(self) -> float:
        """For the whole way [s]; NaN unless it was finished."""
        return float(self["time"][-1]) if self.finished else float("nan")

    @property
    def speed(self) -> float:
        """At the end of the way [m/s]; NaN unless it was finished."""
        return float(self["road_speed"][-1]) if self.finished else float("nan")

    def time_to(self, way: float) -> float:
        """Return the time for the first part of the way.

        Parameters
        ----------
        way : float
            Its length [m].

        Returns
        -------
        float
            The time [s]; NaN where the run did not come so far.
        """
        ways = self["way"]
        if not ways.size or ways[-1] < way:
            return float("nan")
        return float(np.interp(way, ways, self["time"]))

    @property
    def spinning(self) -> float:
        """How long the driven tyres spin [s]."""
        return sum(leg.end - leg.start for leg in self.legs if leg.phase.spinning)

    @property
    def spins_until(self) -> float:
        """Way at which they spin last [m]; 0 where they never do."""
        ends = [leg.end for leg in self.legs if leg.phase.spinning]
        return float(np.interp(ends[-1], self["time"], self["way"])) if ends else 0.0

    @property
    def lifts(self) -> bool:
        """Whether the front wheels leave the ground."""
        pairs = zip(self["acceleration"].tolist(), self["road_speed"].tolist(), strict=True)
        return any(self.motion.body.lifts(a, v) for a, v in pairs)

    @property
    def verdict(self) -> str:
        """How long it took and how fast it ended, or why it did not."""
        if not self.finished:
            why = _DEEDS[self.status]
            if self.status == OUTSIDE_PULL and np.isfinite(self.motion.torque.low):
                ends = (self.motion.torque.low / RPM, self.motion.torque.high / RPM)
                why += f". Answers go from {ends[0]:,.0f} to {ends[1]:,.0f} rpm"
            return f"{self.level}: {self.status}. There is no time: {why}."
        text = f"{self.level}: {formatted(self.distance, 'distance')} in {self.time:.2f} s, "
        text += f"{formatted(self.speed, 'road_speed')} at the end."
        if self.spinning:
            text += f" The driven tyres spin for {self.spinning:.1f} s."
        return text

    @property
    def notes(self) -> list[str]:
        """What passes a limit on the way."""
        notes = []
        if self.spinning:
            fastest = float(np.max(self["tyre_speed"][self["spinning"] > 0.0]))
            notes.append(f"While they spin the tyres turn as fast as at "
                         f"{formatted(fastest, 'road_speed')}.")  # fmt: skip
        if self.lifts:
            notes.append("The front wheels leave the ground: nothing steers, and more torque does "
                         "not push harder.")  # fmt: skip
        if any(leg.phase.coupling == LIMITED and not leg.phase.spinning for leg in self.legs):
            notes.append("The engine stands at its redline in top gear before the end.")
        return notes

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for leg in self.legs:
            at = int(np.searchsorted(self["time"], leg.end - 1e-12))
            at = min(at, self["time"].size - 1)
            values = [("distance", "way"), ("road_speed", "road_speed"), ("speed", "engine_speed")]
            shown = [shown_as(kind, float(self[name][at]), system) for kind, name in values]
            rows.append([f"{leg.start:.2f}", f"{leg.end:.2f}", str(leg.phase.gear),
                         _state_words(leg), *shown])  # fmt: skip
        units = ["s", "s", "", "", *(unit_label(k, system) for k in ("distance", "road_speed")),
                 "rpm"]  # fmt: skip
        headings = ["from", "to", "gear", "state", "way", "road speed", "engine speed"]
        key = "Way and speeds are those at the end of each line."
        return [Table(headings, units, rows, "The run state by state", key, flush=(3,))]


def _state_words(leg: Leg) -> str:
    tyres = "tyres spin" if leg.phase.spinning else "tyres grip"
    coupling = leg.phase.coupling
    if coupling == SLIPPING:
        return f"coupling slips, {tyres}"
    if coupling == SHIFTING:
        return f"gear is changed, {tyres}"
    return f"{coupling}, {tyres}" if coupling == LIMITED else tyres


def _columns(motion: Motion, driven: Driven) -> dict[str, Array]:
    names = ("time", "way", "road_speed", "tyre_speed", "gear", "engine_speed", "torque",
             "full_torque", "wheel_torque", "load", "acceleration", "spinning")  # fmt: skip
    rows = []
    for leg in driven.legs:
        inner = _STEP * np.arange(np.ceil(leg.start / _STEP), np.ceil(leg.end / _STEP))
        inner = inner[(inner > leg.start) & (inner < leg.end)]
        times = [leg.start, *inner.tolist(), leg.end]
        for time, state in zip(times, leg.states(np.array(times)).T, strict=True):
            speed, wheel = float(state[SPEED]), float(state[WHEEL])
            now = motion.instant(leg.phase, leg.held, speed, wheel)
            rows.append([
                time, state[WAY], speed, wheel * motion.radius, leg.phase.gear, now.engine_speed,
                now.torque, now.full_torque, now.force * motion.radius, now.load,
                now.acceleration, float(leg.phase.spinning),
            ])  # fmt: skip
    table = np.array(rows, dtype=float).reshape(len(rows), len(names))
    return {name: table[:, place] for place, name in enumerate(names)}


def _work(motion: Motion, driven: Driven) -> dict[str, float]:
    """The engine's work, and where it went; no part is a rest of the others."""
    launch = motion.body.vehicle.launch_speed
    speed, wheel = float(driven.last[SPEED]), float(driven.last[WHEEL])
    stored = motion.stored(speed, wheel, driven.engine_speed) - motion.stored(0.0, 0.0, launch)
    summed = zip(ENERGIES, driven.last[FIRST_ENERGY:].tolist(), strict=True)
    return {**dict(summed), "changes of gear": driven.dropped, "motion": stored}
