"""Solved operating points of every cylinder of an engine, its spread first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..base.extras import extra
from ..base.progress import relay, telling
from ..base.speeds import RPM
from ..shown.tables import Shown, Table
from ..shown.words import counted
from ..units.convert import from_si
from . import plot_cylinders
from ._columns import columns, status_names, with_derived
from .cylinder_tables import cylinder_table, spread_table
from .knock_words import knocking_words
from .layout import LEFT_OUT
from .solving_cylinders import Asked, solve_cylinders, solve_traced
from .waves import PressureWaves

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from pandas import DataFrame

    from .crank_engine import CrankEngine
    from .points import EnginePoints

__all__ = ["CylinderPoints"]

_MOST_ROWS = 60
#: Trials of a search for knock.
_MOST_TRIALS = 7
#: What only a whole engine has: kind and unit of each.
_OWN = {
    "lambda": ("dimensionless", "1"),
    "lambda_of_equal_fuel": ("dimensionless", "1"),
    "fuel_trim_for_one_lambda": ("dimensionless", "1"),
    "plenum_pressure": ("pressure", "Pa"),
    "plenum_temperature": ("temperature", "K"),
    "collector_pressure": ("pressure", "Pa"),
    "collector_temperature": ("temperature", "K"),
    "outlet_pressure": ("pressure", "Pa"),
    "outlet_temperature": ("temperature", "K"),
    "merge_pressure": ("pressure", "Pa"),
    "merge_temperature": ("temperature", "K"),
}
#: Of the whole engine: what its balances and its settling say.
_OF_ALL = ("rounds", "whole_change", "whole_mass_error", "whole_energy_error")


@dataclass(frozen=True, eq=False, repr=False)
class CylinderPoints(Shown):
    """Operating points of a whole engine, cylinder by cylinder.

    ``points["fresh_mass"]`` is an SI array over points and cylinders, ``points["torque"]`` and
    other sums of the engine one over points, and ``points["collector_pressure"]`` one over points
    and collectors. ``merge_pressure`` is that of merges of pairs, where there are any, and
    ``outlet_pressure`` that of what each primary opens into. A point that did not converge keeps
    the numbers of its last round, NaN where there are none or no engine can have them, and its
    `status` says so.

    Attributes
    ----------
    engine : CrankEngine
        The engine, with its firing order.
    conditions : mapping
        Conditions of every point, a row [SI, and rpm].
    solved : mapping
        What the core returned, by column [SI].
    mixture : ndarray
        Lambda that every cylinder burned, over points and cylinders, dimensionless.
    asked : Asked
        How the points were asked for: trims, controls, threads.
    """

    engine: CrankEngine
    conditions: Mapping[str, NDArray[np.float64]]
    solved: Mapping[str, NDArray[np.float64]]
    mixture: NDArray[np.float64]
    asked: Asked

    @property
    def rpm(self) -> NDArray[np.float64]:
        """Engine speeds [rpm]."""
        return np.asarray(self.conditions["rpm"])

    @property
    def cylinders(self) -> int:
        """How many cylinders there are [dimensionless]."""
        return int(self.mixture.shape[1])

    @cached_property
    def columns(self) -> Mapping[str, NDArray[np.float64]]:
        """Every column by name, SI."""
        cycle = {name: self.solved[name] for name in columns() if name in self.solved}
        mean = {name: np.mean(values, axis=1) for name, values in cycle.items()}
        # The engine's friction follows from its cylinders' mean peak pressure, since it is linear.
        whole = with_derived(self.engine, self.rpm * RPM, mean)
        air = self._trapped_air(cycle["fresh_mass"])
        aim = float(getattr(self.engine.setup.mixture, "lambda"))
        rooms = {
            f"{place}_{what}": np.asarray(self.solved[f"room_{what}"])[:, at]
            for place, at in self._rooms().items()
            for what in ("pressure", "temperature")
        }
        return {
            **{name: np.asarray(values) for name, values in whole.items() if name not in cycle},
            **cycle,
            **rooms,
            **{name: self.solved[name] for name in _OF_ALL},
            "lambda": self.mixture,
            "lambda_of_equal_fuel": aim * air,
            "fuel_trim_for_one_lambda": air - 1.0,
            "status": self.solved["status"],
        }

    def _rooms(self) -> Mapping[str, int | slice | NDArray[np.intp]]:
        """Which of the core's rooms are what; merges only where primaries meet in two steps."""
        layout = self.engine.layout
        assert layout is not None
        first = 1 + layout.collector_count
        places: dict[str, int | slice | NDArray[np.intp]] = {
            "plenum": 0,
            "collector": slice(1, first),
            "outlet": 1 + np.array(layout.outlet),
        }
        if layout.collectors is not None and 1 + len(layout.collectors) > first:
            places["merge"] = slice(first, None)
        return places

    def _trapped_air(self, fresh: NDArray[np.float64]) -> NDArray[np.float64]:
        """Dry air in each cylinder at inlet closing, over the mean of all."""
        mixture = self.engine.setup.mixture
        aim = float(getattr(mixture, "lambda"))
        fuel = mixture.fuel_fraction / mixture.air_fraction * aim / self.mixture
        air = fresh / (1.0 + mixture.vapour + fuel)
        return np.asarray(air / np.mean(air, axis=1, keepdims=True))

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        if name not in self.columns:
            if name in self.conditions:
                return self.conditions[name]
            hint = suggestion(name, list(self.columns))
            raise refusal("CylinderPoints", "column", quoted(name), "be a column of it", hint)
        return self.columns[name]

    def get(self, name: str, unit: str) -> NDArray[np.float64]:
        """Return a column in a unit; without one it is ``points[name]``.

        Parameters
        ----------
        name : str
            The column.
        unit : str
            The unit wanted.

        Returns
        -------
        ndarray
            Its values, of the column's shape [unit].
        """
        return np.asarray(from_si(np.asarray(self[name]), unit, _kind(name), name))

    @property
    def converged(self) -> NDArray[np.bool_]:
        """Where the points converged, every cylinder [dimensionless]."""
        settled: NDArray[np.bool_] = np.all(self["status"] == 0, axis=1)
        return settled

    @property
    def status(self) -> NDArray[np.str_]:
        """Status of every point in words: ``converged``, or why it is no answer [dimensionless]."""
        worst = np.max(self["status"], axis=1).astype(int)
        words: NDArray[np.str_] = np.array(status_names())[worst]
        return words

    @property
    def spread(self) -> NDArray[np.float64]:
        """Most fresh charge of a cylinder less the least, over the mean [dimensionless]."""
        fresh = self["fresh_mass"]
        return np.asarray(np.ptp(fresh, axis=1) / np.mean(fresh, axis=1))

    def one_cylinder(self) -> EnginePoints:
        """Solve one cylinder that stands for all, at the mean state of plenum and collectors.

        Returns
        -------
        EnginePoints
            What the one cylinder tells of the same points: its filling less the engine's is the
            error of letting it stand for all.
        """
        with_pressure = {
            "plenum_pressure": self["plenum_pressure"],
            "plenum_temperature": self["plenum_temperature"],
            "exhaust_pressure": np.mean(self["outlet_pressure"], axis=1),
            "collector_temperature": np.mean(self["outlet_temperature"], axis=1),
        }
        given = {**self.conditions, **with_pressure}
        kept = {name: values for name, values in given.items() if name != "rpm"}
        return self.engine.points(self.rpm, controls=self.asked.controls, **kept)

    def filling_error(self) -> NDArray[np.float64]:
        """Return by how much one cylinder that stands for all is off.

        Returns
        -------
        ndarray
            Mean fresh charge of the engine over that of one cylinder at the same mean state of
            plenum and collectors, less one; NaN where a point did not converge [dimensionless].
        """
        one = self.one_cylinder()
        ratio = np.mean(self["fresh_mass"], axis=1) / one["fresh_mass"] - 1.0
        return np.where(self.converged & one.converged, ratio, np.nan)

    def knock_margins(self) -> NDArray[np.float64]:
        """Return how much earlier each cylinder may burn before it knocks; solves the points again.

        Returns
        -------
        ndarray
            Margins over points and cylinders, negative where a cylinder knocks [rad], found to a
            tenth of a degree: 15 degrees stand for 15 or more, and -25 for as much or worse. NaN
            where a point did not converge. Their doubt is 5 degrees either way.
        """
        early, late = np.deg2rad([-15.0, 25.0])
        # A secant search of every cylinder's own limit in the logarithm of its knock integral.
        before, there = np.zeros_like(self.mixture), np.full_like(self.mixture, np.deg2rad(-3.0))
        above = np.log(self["knock_integral"])
        there = np.where(above > 0.0, -there, there)
        points = self.rpm.size
        with telling("knock margins", "trials of points") as told:
            for trial in range(_MOST_TRIALS):
                told_of = relay(told, trial * points, _MOST_TRIALS * points)
                solved, _ = solve_cylinders(
                    self.engine, self.conditions, self.asked, told_of, later=there
                )
                now = np.log(solved["knock_integral"])
                with np.errstate(divide="ignore", invalid="ignore"):
                    step = -now * (there - before) / (now - above)
                step = np.where(np.isfinite(step), step, 0.0)
                ahead = np.clip(there + step, early, late)
                settled = bool(np.all(np.abs(ahead - there) < np.deg2rad(0.1)))
                before, above, there = there, now, ahead
                if settled:
                    break
        return np.where(self.converged[:, None], -there, np.nan)

    def waves(self, rpm: float) -> PressureWaves:
        """Solve one of the points again and keep its pressures over crank angle.

        Parameters
        ----------
        rpm : float
            One of the speeds [rpm].

        Returns
        -------
        PressureWaves
            Pressures in plenum, collectors, cylinders and beside their valves.

        Raises
        ------
        InputError
            Another speed.
        """
        near = np.flatnonzero(np.abs(self.rpm - rpm) < 0.5)
        if not near.size:
            known = ", ".join(f"{speed:g}" for speed in self.rpm)
            raise refusal("waves", "rpm", quoted(rpm), f"be one of the points' speeds, {known}")
        one = {name: np.asarray(values)[near[:1]] for name, values in self.conditions.items()}
        mixture = self.mixture[near[:1]]
        solved, rows = solve_traced(self.engine, one, mixture[0], self.asked)
        return PressureWaves.of(CylinderPoints(self.engine, one, solved, mixture, self.asked), rows)

    def plot(
        self,
        axes: Axes | Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
    ) -> Figure:
        """Draw by how much each cylinder's charge differs from the mean, over engine speed.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw, one panel for each collector.
        system : str
            ``"trade"`` or ``"si"``; shares have no unit.
        title : str, optional
            What stands over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The figure: one panel for each collector, one line for each of its cylinders. Points
            that did not converge are left out.
        """
        return plot_cylinders.draw_spread(self, axes, title)

    def to_frame(self) -> DataFrame:
        """Return the points as a table of numbers.

        Returns
        -------
        pandas.DataFrame
            One row for each cylinder of each point: rpm, cylinder, and columns in SI.
        """
        n, points = self.cylinders, self.rpm.size
        rows: dict[str, Any] = {
            "rpm": np.repeat(self.rpm, n),
            "cylinder": np.tile(np.arange(1, n + 1), points),
        }
        for name, values in self.columns.items():
            if np.shape(values) == (points, n) and name != "status":
                rows[name] = np.ravel(values)
        rows["status"] = np.repeat(self.status, n)
        return extra("pandas").DataFrame(rows)

    @property
    def verdict(self) -> str:
        """How many points converged, and how far the cylinders lie apart."""
        good = self.converged
        text = f"{self.engine.name}, every cylinder: {int(good.sum()):,} of "
        text += f"{counted(self.rpm.size, 'point')} converged"
        if good.any():
            at = int(np.argmax(np.where(good, self.spread, -1.0)))
            fresh = self["fresh_mass"][at]
            text += (
                f"; charges differ by {100.0 * self.spread[at]:.1f} % at most, at "
                f"{self.rpm[at]:,.0f} rpm between cylinders {int(np.argmax(fresh)) + 1} and "
                f"{int(np.argmin(fresh)) + 1}"
            )
        return text + knocking_words(self["knock_integral"])

    @property
    def notes(self) -> list[str]:
        """What to be careful of, and what is left out."""
        from .points import knock_note

        layout, cautions = self.engine.layout, []
        if lost := int(np.count_nonzero(~self.converged)):
            cautions.append(
                f"{counted(lost, 'point')} did not converge. The last round is shown and is no "
                "answer: allow more cycles, or give collectors a pipe instead of a volume alone."
            )
        if layout is not None and layout.plenum is None:
            cautions.append("No plenum is given: its pressure stands still, whatever is drawn.")
        if layout is not None and layout.collectors is None:
            cautions.append("No collectors are given: the pressure behind the primaries stands.")
        if np.any(np.asarray(self["knock_integral"]) > 0.0):
            cautions.append(knock_note(self.engine.setup.octane))
        return [*cautions, LEFT_OUT]

    def _tables(self, system: str) -> list[Table]:
        if self.rpm.size > _MOST_ROWS:
            return []
        return [spread_table(self, system), cylinder_table(self, system)]


def _kind(name: str) -> str:
    if name in _OWN:
        return _OWN[name][0]
    known = columns()
    return known[name].kind if name in known else "dimensionless"
