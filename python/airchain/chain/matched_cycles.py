"""The crank-resolved cycle at the states that a pull was matched at: pressures, heat, knock."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM
from ..cylinder.crank_engine import CrankEngine
from ..cylinder.knock_words import BEST_TORQUE, doubt_words, knocking_words, margin_text
from ..cylinder.parts import cylinder_of
from ..cylinder.spark_searches import EARLIEST, LATEST, bounds_of, margin_of, searched
from ..shown.columns import shown_as
from ..shown.glossary import word
from ..shown.tables import Shown, Table
from ..units.convert import unit_label
from .plot_knock import draw_margins

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike

    from ..cylinder.trace import CycleTrace
    from .build import Build
    from .pull import Pull

__all__ = ["KnockMargins", "MatchedCycles", "cycle_at", "knock_margins"]

Array = NDArray[np.float64]
Column = NDArray[np.float64] | NDArray[np.bool_]
_DEGREE = np.pi / 180.0
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
_ESTIMATE = "Knock is judged by an ignition delay. That is an estimate, {doubt}."
_MEAN = (
    "These are mean cycles of an even cylinder. Single cycles peak 25 to 30 % higher, and a lean "
    "or hot cylinder knocks first (common practice, no source). No figure here is a permission to "
    "run a spark."
)


def _extrapolated(held: NDArray[np.bool_]) -> list[str]:
    """What is to be said of points where the chain left what was measured or computed."""
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
        scale = self.pull.build.chain.breathing.scale
        off = np.nanmax(np.abs(taken / (scale * self.columns["volumetric_efficiency"]) - 1.0))
        notes = [
            f"The chain's volumetric efficiency is within {100.0 * off:.1f} % of these cycles, and "
            "its power stands on cycles like these, less friction by a model of its own."
        ]
        octane = cylinder_of(self.pull.build).setup.octane
        notes.append(_ESTIMATE.format(doubt=doubt_words(octane)))
        held = np.asarray(self.pull.extrapolated)[solved]
        return [*notes, *_extrapolated(held), _MEAN]

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


@dataclass(frozen=True, eq=False, repr=False)
class KnockMargins(Shown):
    """How far every level is from knock and from best torque. Made by `Build.knock_margins`.

    Attributes
    ----------
    build : Build
        The build.
    levels : mapping
        By level: engine speed [rpm], where the chain extrapolates, and every number of the spark
        search, SI.
    """

    build: Build
    levels: Mapping[str, Mapping[str, Column]]

    def __getitem__(self, level: str) -> Mapping[str, Column]:
        return self.levels[level]

    @cached_property
    def _least(self) -> tuple[str, int, float]:
        """Level, place and value of the least margin; no level where none was found."""
        least = ("", 0, float("nan"))
        for name, columns in self.levels.items():
            margins = margin_of(columns, columns["own_half_burned"])
            if np.isfinite(margins).any():
                place = int(np.nanargmin(margins))
                if not margins[place] >= least[2]:
                    least = (name, place, float(margins[place]))
        return least

    @property
    def verdict(self) -> str:
        """The least margin, as the level's pull tells it."""
        level, place, margin = self._least
        if not level:
            return f"{self.build.name}: Knock not known."
        columns = self.levels[level]
        least = margin_text(margin, bool(bounds_of(columns)[place]))
        return (
            f"{self.build.name}: Least knock margin {least} deg, {level} at "
            f"{columns['rpm'][place]:,.0f} rpm{': it knocks' if margin < 0.0 else ''}."
        )

    @property
    def notes(self) -> list[str]:
        """What the figures are worth."""
        octane = cylinder_of(self.build).setup.octane
        best = float(np.degrees(self.build.chain.combustion.best_phasing))
        notes = [_ESTIMATE.format(doubt=doubt_words(octane)), BEST_TORQUE.format(best=best)]
        held = np.concatenate([columns["extrapolated"] for columns in self.levels.values()])
        return [*notes, *_extrapolated(held), _MEAN]

    def plot(
        self, axes: Axes | None = None, *, system: str = "trade", title: str | None = None,
        beside: Sequence[KnockMargins] = (),
    ) -> Figure:  # fmt: skip
        """Draw how much earlier each level's spark may come before the mean cycle knocks.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``; both tell angles in degrees.
        title : str, optional
            What stands over the picture.
        beside : sequence of KnockMargins
            Margins of further builds, laid over these.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return draw_margins((self, *beside), axes, system, title)

    def _tables(self, system: str) -> list[Table]:
        names = _core.spark_status_names()
        rows = []
        for level, c in self.levels.items():
            for i, rpm in enumerate(c["rpm"]):
                limit = names[int(c["limit_search"][i])]
                best = names[int(c["best_search"][i])]
                rows.append(
                    [
                        level,
                        f"{rpm:.0f}",
                        _degrees(c["own_half_burned"][i]),
                        _degrees(c["best_half_burned"][i], _as_told(best)),
                        *_limit_and_margin(c, i, limit),
                        "–" if _as_told(best) != "found" else f"{100.0 * c['torque_left'][i]:.1f}",
                        f"{c['own_knock_integral'][i]:.2f}",
                    ]
                )
        headings = [
            *("level", "engine", "half burned", "best torque", "knock limit", "margin"),
            *("torque left", "knock integral"),
        ]
        key = (
            "Half burned, best torque and knock limit in crank degrees after top centre; the "
            "margin is what the spark may come earlier (est., ± 5). ≥ stands where nothing knocked "
            "at the earliest phasing tried."
        )
        return [Table(headings, ["", "rpm", "deg", "deg", "deg", "deg", "%", ""], rows, key=key)]


def _as_told(best: str) -> str:
    """How a search for best torque ended: at its earliest phasing it is told as one that found."""
    return "found" if best == "at_the_earliest" else best


def _degrees(value: float, status: str = "found", sign: str = "") -> str:
    if status != "found" or not np.isfinite(value):
        return status.replace("_", " ") if status != "found" else "–"
    return f"{value / _DEGREE:{sign}.1f}"


def _limit_and_margin(columns: Mapping[str, Column], i: int, search: str) -> tuple[str, str]:
    """Knock limit and margin of one point in degrees; a bound where all that was tried is alike."""
    own = float(columns["own_half_burned"][i])
    if search == "never_knocks":
        return f"<{EARLIEST / _DEGREE:.1f}", f"≥{(own - EARLIEST) / _DEGREE:.1f}"
    if search == "always_knocks":
        return f">{LATEST / _DEGREE:.1f}", f"≤{(own - LATEST) / _DEGREE:.1f}"
    limit = float(columns["limit_half_burned"][i])
    return _degrees(limit, search), _degrees(own - limit, search, "+")


def knock_margins(
    build: Build, rpm: ArrayLike | None = None, progress: Callable[[str], None] | None = None
) -> KnockMargins:
    """Search best-torque and knock-limited phasing at every level of a build.

    Parameters
    ----------
    build : Build
        The build, with cams.
    rpm : array_like, optional
        Engine speeds [rpm]; every 1000 rpm of the default pull and redline without it.
    progress : callable, optional
        Called with the level's name before it is searched.

    Returns
    -------
    KnockMargins
        Margins in degrees of phasing; estimates, and no permission.

    Raises
    ------
    InputError
        The build's volumetric efficiency is typed, or no point was solved.
    """
    setup = cylinder_of(build).setup
    if rpm is None:
        redline = build.redline / RPM
        rpm = np.append(np.arange(3000.0, redline - 300.0, 1000.0), redline)
    steps = {name: build.level(name) for name in build.levels} or {"as built": build}
    levels: dict[str, dict[str, Column]] = {}
    for name, step in {"naturally aspirated": build.naturally_aspirated(), **steps}.items():
        if progress is not None:
            progress(name)
        pull = step.pull(rpm)
        points = matched_points(pull)
        best = step.chain.combustion.best_phasing
        searches = searched(setup, points, best_phasing=best)
        held = np.asarray(pull.extrapolated)[np.asarray(pull.matched)]
        levels[name] = {"rpm": points["speed"] / RPM, "extrapolated": held, **searches}
    return KnockMargins(build, levels)
