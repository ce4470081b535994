"""Solved operating points of a crank-resolved engine, with their verdict first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.speeds import RPM
from ..shown.columns import peak_of, shown_as
from ..shown.tables import Shown, Table
from ..shown.words import counted
from ..units.convert import KINDS, from_si, unit_label
from . import plots
from ._columns import column, columns, count, heading, status_names, with_derived
from ._described import ONE_CYLINDER
from ._solving import POINT
from .knock_words import doubt_words, knocking_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from pandas import DataFrame
    from xarray import Dataset

    from .crank_engine import CrankEngine

__all__ = ["EnginePoints"]

_TABLE = (
    "volumetric_efficiency",
    "torque",
    "power",
    "brake_pressure",
    "pmep",
    "residual_fraction",
    "scavenging_loss",
    "peak_pressure",
    "exhaust_temperature",
    "knock_integral",
)
_MOST_ROWS = 60
#: Axes of sweeps over the engine itself: unit and words.
ENGINE_AXES = {
    "duration_deg": ("deg", "intake duration at 0.050 in tappet lift"),
    "lobe_lift": ("m", "intake lobe lift"),
    "lobe_separation_deg": ("deg", "lobe separation, cam angle"),
    "centreline_deg": ("deg", "intake centreline after top centre"),
}


def knock_note(octane: float) -> str:
    """Return how far the knock integral can be trusted at an octane number."""
    onset = "A knock integral of 1 is the onset of knock in the mean cycle"
    return f"{onset}. It is an estimate, {doubt_words(octane)}. It is no permission."


@dataclass(frozen=True, eq=False, repr=False)
class EnginePoints(Shown):
    """Operating points of an engine.

    ``points["torque"]`` is an SI array of the points' shape; ``points.get("torque", "lb ft")``
    the same in a unit. A point that did not converge keeps the numbers of its last cycle, NaN
    where there are none or no engine can have them, and its `status` says so.

    Attributes
    ----------
    engine : CrankEngine
        The engine.
    axes : mapping
        What the points run over, in order: name to values (SI; rpm; ``point`` counts them).
    conditions : mapping
        Conditions of every point, of the points' shape [SI, and rpm].
    solved : mapping
        What the core returned, by column, of the points' shape.
    """

    engine: CrankEngine
    axes: Mapping[str, Any]
    conditions: Mapping[str, NDArray[np.float64]]
    solved: Mapping[str, Any]

    @cached_property
    def columns(self) -> Mapping[str, Any]:
        """Every column by name, SI; those of all cylinders too."""
        speed = np.asarray(self.conditions["rpm"]) * RPM
        return with_derived(self.engine, speed, dict(self.solved))

    def __getitem__(self, name: str) -> Any:
        if name in self.conditions and name not in self.columns:
            return self.conditions[name]
        return self.columns[column(name, "EnginePoints").name]

    def get(self, name: str, unit: str | None = None) -> NDArray[np.float64]:
        """Return a column in a unit.

        Parameters
        ----------
        name : str
            The column.
        unit : str, optional
            The unit wanted; SI without it.

        Returns
        -------
        ndarray
            The values in `unit`, which gives their dimension [unit].
        """
        kind = column(name, "EnginePoints").kind
        return np.asarray(self[name] if unit is None else from_si(self[name], unit, kind, name))

    def at(self, rpm: float, name: str, unit: str | None = None) -> float:
        """Return a column of a curve at one engine speed, straight between its points.

        Parameters
        ----------
        rpm : float
            Engine speed within the curve [rpm].
        name : str
            The column.
        unit : str, optional
            The unit wanted; SI without it.

        Returns
        -------
        float
            The value in `unit`, which gives its dimension [unit]; NaN beside a point that did not
            converge.

        Raises
        ------
        InputError
            The points are no curve over engine speed, or the speed lies outside it.
        """
        if self.rpm.ndim != 1 or np.any(np.diff(self.rpm) <= 0.0):
            hint = "solve a curve of rising speeds by engine.curve(...)"
            raise refusal("EnginePoints", "points", "no curve", "rise in engine speed", hint)
        low, high = float(self.rpm[0]), float(self.rpm[-1])
        if not low <= rpm <= high:
            rule = f"be between {low:,.0f} and {high:,.0f} rpm"
            raise refusal("EnginePoints", "rpm", quoted(rpm), rule)
        values = np.where(self.converged, self.get(name, unit), np.nan)
        exact = np.flatnonzero(self.rpm == rpm)
        return float(values[exact[0]] if exact.size else np.interp(rpm, self.rpm, values))

    def plot(
        self,
        axes: Axes | Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[EnginePoints] = (),
        columns: Sequence[str] = ("volumetric_efficiency", "torque"),
    ) -> Figure:
        """Draw columns of a curve over engine speed, one panel each.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw: one for each of `columns`.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of EnginePoints
            Further curves, laid over this one; seven in all at most.
        columns : sequence of str
            What is drawn.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. Crossed points did not converge. An `InputError` says where the points are
            no curve.
        """
        return plots.draw_curves((self, *beside), axes, system, title, columns)

    @property
    def rpm(self) -> NDArray[np.float64]:
        """Engine speeds [rpm]."""
        return np.asarray(self.conditions["rpm"])

    @property
    def status(self) -> NDArray[np.str_]:
        """Status of every point in words: ``converged``, or why it is no answer [dimensionless]."""
        words: NDArray[np.str_] = np.array(status_names())[self.solved["status"]]
        return words

    @property
    def converged(self) -> NDArray[np.bool_]:
        """Where the points converged [dimensionless]."""
        settled: NDArray[np.bool_] = np.asarray(self.solved["status"]) == 0
        return settled

    def peak(self, name: str, unit: str | None = None) -> tuple[float, float]:
        """Return the largest value of a column and its engine speed.

        Parameters
        ----------
        name : str
            The column.
        unit : str, optional
            The unit wanted; SI without it.

        Returns
        -------
        tuple
            Value in `unit`, which gives its dimension [unit], and speed [rpm], of converged
            points; NaN where there are none.
        """
        values = np.where(self.converged, self.get(name, unit), np.nan)
        return peak_of(np.ravel(values), np.ravel(self.rpm))

    def to_dataset(self) -> Dataset:
        """Return the points as a labelled dataset.

        Returns
        -------
        xarray.Dataset
            One variable a column over the axes, with units; statuses as in a sweep; fingerprint of
            engine and conditions in the attributes.
        """
        dims = tuple(self.axes)
        coordinates: dict[str, Any] = {
            name: (name, np.asarray(values), axis_attributes(name))
            for name, values in self.axes.items()
        }
        for name, values in self.conditions.items():
            if name not in dims:
                coordinates[name] = (dims, np.asarray(values), axis_attributes(name))
        variables = {
            name: (dims, np.asarray(values), variable_attributes(name))
            for name, values in self.columns.items()
            if name not in coordinates
        }
        about = {
            "title": self.engine.name,
            "summary": count(self.solved["status"]),
            "fingerprint": self.engine.fingerprint,
        }
        dataset: Dataset = extra("xarray").Dataset(variables, coordinates, about)
        return dataset

    def to_frame(self) -> DataFrame:
        """Return the points as a table of numbers.

        Returns
        -------
        pandas.DataFrame
            One row a point: conditions, columns in SI, and the status in words.
        """
        given = {n: np.ravel(v) for n, v in self.conditions.items()}
        results = {n: np.ravel(v) for n, v in self.columns.items() if n not in given}
        return extra("pandas").DataFrame({**given, **results, "status": np.ravel(self.status)})

    @property
    def verdict(self) -> str:
        """How many points converged, and how many knock."""
        knocking = knocking_words(self.solved["knock_integral"])
        return f"{self.engine.name}: {count(self.solved['status'])}{knocking}"

    @property
    def notes(self) -> list[str]:
        """What to be careful of, and what is left out."""
        cautions = []
        status = np.asarray(self.solved["status"])
        wild = status == status_names().index("not_converged")
        if lost := int(np.count_nonzero(wild)):
            change = np.abs(np.asarray(self.solved["change"])[wild])
            change = change[np.isfinite(change)]
            how = (
                f"trapped charge changes by {100.0 * np.max(change):.2g} %"
                if change.size
                else "no numbers were left"
            )
            cautions.append(
                f"{counted(lost, 'point')} did not converge. The last cycle is shown and is no "
                f"answer ({how}). Residual gas may make such an engine alternate; else allow more "
                "cycles."
            )
        if refused := int(np.count_nonzero(status == status_names().index("not_possible"))):
            cautions.append(
                f"{counted(refused, 'point')} settled at figures that no engine can have, and "
                "tells none. Look for a value typed in a wrong unit or ten or a hundred times off."
            )
        limit = self.engine.engine.speed_limit * 30.0 / np.pi
        over = int(np.count_nonzero(self.rpm > limit * (1.0 + 1e-9)))
        if over:
            cautions.append(f"{counted(over, 'point')} above the redline of {limit:,.0f} rpm: "
                            "valve train and rods may not stand it.")  # fmt: skip
        if np.any(np.asarray(self.solved["knock_integral"]) > 0.0):
            cautions.append(knock_note(self.engine.setup.octane))
        if self.engine.cylinders > 1:
            cautions.append(ONE_CYLINDER)
        return cautions

    def _tables(self, system: str) -> list[Table]:
        if self.rpm.size > _MOST_ROWS:
            return []
        given = [n for n in POINT if n in self.conditions and np.ptp(self.conditions[n]) > 0.0]
        given = ["rpm", *(n for n in given if n != "rpm")]
        rows = []
        for i in range(self.rpm.size):
            at = [shown_condition(n, np.ravel(self.conditions[n])[i], system) for n in given]
            cells = [
                shown_as(columns()[n].kind, float(np.ravel(self[n])[i]), system) for n in _TABLE
            ]
            rows.append([*at, *cells, str(np.ravel(self.status)[i]).replace("_", " ")])
        headings = [("engine" if n == "rpm" else n.replace("_", " ")) for n in given]
        units = [condition_unit(n, system) for n in given]
        units += [unit_label(columns()[n].kind, system) for n in _TABLE]
        return [Table([*headings, *map(heading, _TABLE), "status"], [*units, ""], rows)]


def condition_unit(name: str, system: str = "trade") -> str:
    """Return the display unit of a condition."""
    return "rpm" if name == "rpm" else unit_label(POINT[name][0], system)


def shown_condition(name: str, value: float, system: str = "trade") -> str:
    """Return a condition as text."""
    return f"{value:,.0f}" if name == "rpm" else shown_as(POINT[name][0], float(value), system)


def axis_attributes(name: str) -> dict[str, str]:
    """Return unit and words of an axis of points."""
    if name == "rpm":
        return {"units": "rpm", "long_name": "engine speed"}
    if name in ENGINE_AXES:
        unit, words = ENGINE_AXES[name]
        return {"units": unit, "long_name": words}
    if name not in POINT:
        return {"units": "1", "long_name": name.replace("_", " ")}
    words = {n: w for n, _, _, _, w in _core.CyclePoint.fields()}[POINT[name][1]]
    unit = KINDS[POINT[name][0]].si_unit
    return {"units": unit, "long_name": name.replace("_", " "), "comment": words}


def variable_attributes(name: str) -> dict[str, str | NDArray[np.int8]]:
    """Return unit and words of a column, and what the numbers of a status mean."""
    if name == "status":
        names = status_names()
        return {
            "long_name": "status",
            "flag_values": np.arange(len(names), dtype=np.int8),
            "flag_meanings": " ".join(names),
        }
    row = columns()[name]
    return {"units": row.unit, "long_name": heading(name), "comment": row.words}
