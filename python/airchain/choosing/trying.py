"""Every candidate with every step-up and pair in every weather, solved and judged."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM
from ..chain.build import Build
from ..plan.request import AS_TYPED, Day, Target
from ..shown import statuses
from ..shown.columns import peak_of
from ..units.convert import formatted
from .candidates import Candidate

Array = NDArray[np.float64]
COLUMNS = (
    *("power", "torque", "boost", "charge_temperature", "drive_power", "isentropic_efficiency"),
    *("surge_margin", "choke_margin", "rotor_speed", "tip_speed", "status", "flags"),
)


@dataclass(frozen=True)
class Limits:
    """What a trial is to keep: speeds [rad/s, m/s], infinite where not told, and least margins."""

    rotor_speed: float
    tip_speed: float
    surge_margin: float
    choke_margin: float


@dataclass(frozen=True, eq=False)
class Trial:
    """A candidate with one step-up and one pair.

    Attributes
    ----------
    candidate : Candidate
        The compressor.
    step_up : float
        Impeller over input shaft [dimensionless].
    teeth : tuple of int
        Driving and driven.
    limits : Limits
        What it is to keep.
    rpm : ndarray
        Engine speeds [rpm].
    solved : mapping
        By weather, columns over `rpm` [SI].
    misfit : str
        Why the pair does not go between the shafts, or turns the impeller backwards; empty where it
        fits, or nobody knows.
    """

    candidate: Candidate
    step_up: float
    teeth: tuple[int, int]
    limits: Limits
    rpm: Array
    solved: Mapping[str, Mapping[str, Array]]
    misfit: str = ""

    @property
    def ratio(self) -> float:
        """Input shaft over crank [dimensionless]."""
        return self.teeth[0] / self.teeth[1]

    def peak(self, name: str) -> tuple[float, float]:
        """Largest value of a column [SI] in the build's own weather, and its speed [rpm]."""
        return peak_of(self.solved[AS_TYPED][name], self.rpm)

    def at_peak_power(self, name: str) -> float:
        """A column [SI] where power is largest, in the build's own weather."""
        power = self.solved[AS_TYPED]["power"]
        if not np.isfinite(power).any():
            return float("nan")
        return float(self.solved[AS_TYPED][name][int(np.nanargmax(power))])

    def most(self, name: str) -> tuple[float, str]:
        """Largest value of a column [SI] over all weathers, and in which."""
        return max((_extreme(c[name], np.nanmax), day) for day, c in self.solved.items())

    def least(self, name: str) -> tuple[float, str]:
        """Least value of a margin over all weathers, and in which; NaN where none is known."""
        found = [(_extreme(c[name], np.nanmin), day) for day, c in self.solved.items()]
        known = [row for row in found if np.isfinite(row[0])]
        return min(known) if known else (float("nan"), "")

    def rooms(self) -> dict[str, float]:
        """Share left to each limit that is known."""
        rooms = {
            "its rotor speed limit": self.limits.rotor_speed / self.most("rotor_speed")[0] - 1.0,
            "its tip speed limit": self.limits.tip_speed / self.most("tip_speed")[0] - 1.0,
            "choke": self.least("choke_margin")[0],
            "surge": self.least("surge_margin")[0],
        }
        return {name: room for name, room in rooms.items() if np.isfinite(room)}

    def deviation(self, target: Target) -> float:
        """How far it lies off a target, in tolerances; infinite where it gives none."""
        off = abs(self.peak(target.name)[0] - target.value) / target.tolerance
        return off if np.isfinite(off) else float("inf")

    def objections(self, system: str = "trade") -> list[str]:
        """Why it is rejected whatever the level; none for one that keeps every limit."""
        reasons = [self.misfit] if self.misfit else []
        reasons += [text for day, c in self.solved.items() for text in _unsolved(self.rpm, c, day)]
        for name, kind, limit in (
            ("rotor_speed", "speed", self.limits.rotor_speed),
            ("tip_speed", "velocity", self.limits.tip_speed),
        ):
            most, day = self.most(name)
            if most > limit:
                words = f"{formatted(most, kind, system)} of {formatted(limit, kind, system)}"
                reasons.append(f"{name.replace('_', ' ')} {words}, {day}")
        for name, least in (
            ("surge_margin", self.limits.surge_margin),
            ("choke_margin", self.limits.choke_margin),
        ):
            room, day = self.least(name)
            if room < least:
                words = f"{100.0 * room:.0f} % of at least {100.0 * least:.0f} %"
                reasons.append(f"{name.replace('_', ' ')} {words}, {day}")
        return reasons


def _extreme(values: Array, of: Callable[[Array], float]) -> float:
    return float(of(values)) if np.isfinite(values).any() else float("nan")


def _unsolved(rpm: Array, columns: Mapping[str, Array], day: str) -> list[str]:
    """Points without an answer, by their cause."""
    reasons = []
    for code, name in enumerate(statuses.status_names()):
        at = rpm[np.asarray(columns["status"]) == code]
        if code and at.size:
            reasons.append(f"{statuses.words(name)} from {at[0]:,.0f} rpm, {day}")
    return reasons


def hand_of(build: Build) -> str:
    """Which way a build's train turns its impeller."""
    return "with crank" if _core.drive_rotation(list(build.links)) > 0 else "against crank"


def _wrong_hand(build: Build, first: Build, candidate: Candidate) -> str:
    """Why the train of a pair and the step-up would turn the impeller backwards; else empty.

    Where nobody says which way the candidate must turn, it is as the build's own train turns its
    compressor today: as a plan takes it.
    """
    told = candidate.table.get("rotates")
    made, turns = told or hand_of(build), hand_of(first)
    if turns == made:
        return ""
    whose = "it is made to turn" if told else "today's train turns its compressor"
    return (
        f"rotation: the impeller would turn {turns}, but {whose} {made}, and a wrong-handed "
        "impeller is scrap"
    )


def fitted(build: Build, candidate: Candidate, step_up: float, teeth: tuple[int, int]) -> Build:
    """Return the build with a candidate, its step-up and a pair of gears in its drive."""
    train = [dict(link) for link in build.document.tables["drive"]["links"]]
    gears = next((x for x in train if x.get("kind") in ("gears", "pulleys")), {"kind": "gears"})
    kept = {"efficiency": gears["efficiency"]} if "efficiency" in gears else {}
    pair = {"kind": "gears", "driving_teeth": teeth[0], "driven_teeth": teeth[1], **kept}
    inside = next((x for x in train if x.get("kind") == "step_up"), {"kind": "step_up"})
    links = [pair, {**inside, "speed_ratio": step_up}]
    # Its hand is judged by the trial, which tells it with everything else that is amiss.
    table = {name: value for name, value in candidate.table.items() if name != "rotates"}
    return build.level("").replace({"levels": None, "compressor": table, "drive.links": links})


def tried(
    build: Build, candidate: Candidate, step_up: float, pairs: Sequence[tuple[int, int]],
    days: Mapping[str, Day], rpm: Array, margins: tuple[float, float],
    misfits: Mapping[tuple[int, int], str],
) -> list[Trial]:  # fmt: skip
    """Return one candidate with one step-up on every pair, solved together a weather."""
    first = fitted(build, candidate, step_up, pairs[0])
    chain, wrong = first.chain, _wrong_hand(build, first, candidate)
    limits = _limits(chain, candidate, margins)
    axes = {"drive.drive_ratio": np.array([a / b for a, b in pairs]), "engine_speed": rpm * RPM}
    by_day = {name: _core.solve(day.on(chain), axes, list(COLUMNS)) for name, day in days.items()}
    return [
        Trial(candidate, step_up, teeth, limits, rpm,
              {day: {name: columns[name][row] for name in COLUMNS}
               for day, columns in by_day.items()},
              "; ".join(why for why in (wrong, misfits.get(teeth, "")) if why))
        for row, teeth in enumerate(pairs)
    ]  # fmt: skip


def _limits(chain: _core.Chain, candidate: Candidate, margins: tuple[float, float]) -> Limits:
    speed = float(chain.compressor.map.data.speed_limit) or np.inf
    rotor = min(float(chain.drive.rotor_speed_limit), speed)
    if not np.isfinite(rotor):
        hint = "it stands on the maker's sheet"
        raise refusal(candidate.name, "rotor_speed_limit", "missing", "be told", hint)
    return Limits(rotor, float(chain.compressor.tip_speed_limit), *margins)
