"""The crank-resolved cycle at the states that a pull was matched at: pressures, heat, knock."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM
from ..cylinder.crank_engine import CrankEngine
from ..cylinder.knock_words import doubt_words, knocking_words
from ..cylinder.parts import cylinder_of
from ..shown.columns import shown_as
from ..shown.glossary import word
from ..shown.tables import Shown, Table
from ..units.convert import unit_label

if TYPE_CHECKING:
    from ..cylinder.trace import CycleTrace
    from .build import Build
    from .pull import Pull

__all__ = ["MatchedCycles", "cycle_at", "extrapolated_note", "matched_points"]

Array = NDArray[np.float64]
#: What the cycle tells beside the chain: column and quantity kind.
_SHOWN = (
    ("volumetric_efficiency", "dimensionless"),
    ("residual_fraction", "dimensionless"),
    ("scavenging_loss", "dimensionless"),
    ("imep", "pressure_difference"),
    ("pmep", "pressure_difference"),
    ("peak_pressure", "pressure"),
    ("peak_angle", "angle"),
    ("exhaust_temperature", "temperature"),
    ("knock_integral", "dimensionless"),
)
#: Said of every answer of a cycle about knock.
ESTIMATE = "Knock is judged by an ignition delay. That is an estimate, {doubt}."
MEAN = (
    "These are mean cycles of an even cylinder. Single cycles peak 25 to 30 % higher, and a lean "
    "or hot cylinder knocks first (common practice, no source). No figure here is a permission to "
    "run a spark."
)


def extrapolated_note(held: NDArray[np.bool_]) -> list[str]:
    """Return what is to be said of points where the chain left what was measured or computed.

    Parameters
    ----------
    held : ndarray
        Where it did [dimensionless].

    Returns
    -------
    list of str
        A sentence, or none.
    """
    count = int(np.count_nonzero(held))
    if not count:
        return []
    return [
        f"{count} of {held.size} states were matched where the chain extrapolates, beyond its map "
        "or surface. Cycle and knock there are no better than that state."
    ]


def matched_points(pull: Pull) -> dict[str, Array]:
    """Return the states at the cylinder of a pull's solved points, as `run_cycles` takes them.

    Parameters
    ----------
    pull : Pull
        The pull.

    Returns
    -------
    dict
        Speed [rad/s], pressures [Pa], temperature [K] and phasing [rad] of every solved point.

    Raises
    ------
    InputError
        No point was solved.
    """
    solved = np.asarray(pull.matched)
    if not solved.any():
        rule = "have a solved point"
        raise refusal(pull.build.title, "pull", pull.summary, rule, "look at its notes")
    taken = {
        "speed": "engine_speed",
        "plenum_pressure": "plenum_pressure",
        "plenum_temperature": "charge_temperature",
        "exhaust_pressure": "exhaust_pressure",
    }
    points = {field: np.asarray(pull[name])[solved] for field, name in taken.items()}
    combustion = pull.build.chain.combustion
    points["half_burned"] = combustion.phasing_at(points["plenum_pressure"])
    return points


@dataclass(frozen=True, eq=False, repr=False)
class MatchedCycles(Shown):
    """One crank-resolved cycle at every solved point of a pull.

    Attributes
    ----------
    pull : Pull
        The pull.
    points : mapping
        What every cycle was given, SI.
    columns : mapping
        Every number of the cycles by name, SI, along `rpm`.
    """

    pull: Pull
    points: Mapping[str, Array]
    columns: Mapping[str, Array]

    @classmethod
    def of(cls, pull: Pull, progress: Callable[[int], None] | None = None) -> MatchedCycles:
        """Run the cycles of a pull.

        Parameters
        ----------
        pull : Pull
            The pull of a build with cams.
        progress : callable, optional
            Called with the number of cycles done [dimensionless].

        Returns
        -------
        MatchedCycles
            The cycles.

        Raises
        ------
        InputError
            The build's volumetric efficiency is typed, or no point was solved.
        """
        setup = cylinder_of(pull.build).setup
        points = matched_points(pull)
        return cls(pull, points, _core.run_cycles(setup, points, progress=progress))

    def __getitem__(self, name: str) -> Array:
        return self.columns[name]

    @property
    def rpm(self) -> Array:
        """Engine speed [rpm]."""
        return self.points["speed"] / RPM

    @property
    def verdict(self) -> str:
        """What was run, how many cycles settled, and how many knock."""
        settled = int(np.count_nonzero(self.columns["status"] == 0))
        knocking = knocking_words(self.columns["knock_integral"])
        return f"{self.pull.build.title}: {settled} of {self.rpm.size} cycles settled{knocking}"

    @property
    def notes(self) -> list[str]:
        """What the figures are worth."""
        solved = np.asarray(self.pull.matched)
        taken = np.asarray(self.pull["volumetric_efficiency"])[solved]
        breathing, points = self.pull.build.chain.breathing, self.points
        scale, of_all = np.full(taken.shape, breathing.scale), breathing.together is not None
        if of_all:
            at = breathing.together_speed(points["speed"], points["plenum_temperature"])
            ratio = points["plenum_pressure"] / points["exhaust_pressure"]
            more = np.asarray(breathing.together.at(at, ratio))
            scale *= more
        off = np.nanmax(np.abs(taken / (scale * self.columns["volumetric_efficiency"]) - 1.0))
        notes = [
            f"The chain's volumetric efficiency is within {100.0 * off:.1f} % of these cycles, and "
            "its power stands on cycles like these, less friction by a model of its own."
        ]
        if of_all:
            low, high = (100.0 * (end - 1.0) for end in (np.min(more), np.max(more)))
            notes[0] = notes[0].replace(" is within", ", that put aside, is within")
            notes.insert(
                0,
                f"The chain counts with the mean of all cylinders, which fill {low:+.1f} to "
                f"{high:+.1f} % more than this one. Its volumetric efficiency and peak pressure "
                "have that, these cycles have not.",
            )
        octane = cylinder_of(self.pull.build).setup.octane
        notes.append(ESTIMATE.format(doubt=doubt_words(octane)))
        held = np.asarray(self.pull.extrapolated)[solved]
        return [*notes, *extrapolated_note(held), MEAN]

    def _tables(self, system: str) -> list[Table]:
        rows = [
            [f"{rpm:.0f}", *(shown_as(k, float(self.columns[n][i]), system) for n, k in _SHOWN)]
            for i, rpm in enumerate(self.rpm)
        ]
        units = ["rpm", *(unit_label(kind, system) for _, kind in _SHOWN)]
        headings = [word("engine_speed"), *(word(name, of_a_cycle=True) for name, _ in _SHOWN)]
        return [Table(headings, units, rows)]


def cycle_at(build: Build, rpm: float) -> CycleTrace:
    """Solve a build at one engine speed and watch the cycle of its cylinder there.

    Parameters
    ----------
    build : Build
        The build, with cams.
    rpm : float
        Engine speed [rpm].

    Returns
    -------
    CycleTrace
        Pressures, temperatures and flows over crank angle; its `point` has the cycle's numbers.

    Raises
    ------
    InputError
        The build's volumetric efficiency is typed, or the point was not solved.
    """
    engine = CrankEngine.of(build)
    points = matched_points(build.pull([rpm]))
    state = {name: float(values[0]) for name, values in points.items() if name != "speed"}
    return engine.trace(rpm, **state, controls=None)
