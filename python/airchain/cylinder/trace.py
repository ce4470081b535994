"""One cycle over crank angle: pressures, temperatures, flows and valve areas."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..base.extras import extra
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..units.convert import from_si, unit_label
from . import plot_cycle
from ._columns import columns, heading
from .knock_words import knocking_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from pandas import DataFrame

    from .crank_engine import CrankEngine
    from .points import EnginePoints

__all__ = ["CycleTrace"]

_SHOWN = (
    "imep", "pmep", "peak_pressure", "peak_angle", "half_burned", "burn_duration",
    "volumetric_efficiency", "residual_fraction", "scavenging_loss", "exhaust_temperature",
    "heat_loss", "knock_integral", "mass_error", "energy_error", "cycles",
)  # fmt: skip


@dataclass(frozen=True, eq=False, repr=False)
class CycleTrace(Shown):
    """A cycle of one cylinder, from inlet closing to inlet closing.

    ``trace["pressure"]`` is an SI array over the steps of the cycle, ``trace["angle"]`` their crank
    angle after firing top centre.

    Attributes
    ----------
    point : EnginePoints
        The one operating point.
    rows : mapping
        Every array by name [SI].
    """

    point: EnginePoints
    rows: Mapping[str, NDArray[np.float64]]

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        if name not in self.rows:
            rule = f"be one of {', '.join(self.rows)}"
            hint = suggestion(name, list(self.rows))
            raise refusal("CycleTrace", "name", quoted(name), rule, hint)
        return self.rows[name]

    @property
    def engine(self) -> CrankEngine:
        """The engine."""
        return self.point.engine

    @property
    def degrees(self) -> NDArray[np.float64]:
        """Crank angle after firing top centre [deg]."""
        return np.rad2deg(self.rows["angle"])

    def get(self, name: str, unit: str | None = None) -> NDArray[np.float64]:
        """Return an array in a unit.

        Parameters
        ----------
        name : str
            Its name.
        unit : str, optional
            The unit wanted; SI without it.

        Returns
        -------
        ndarray
            The values in `unit`, which gives their dimension [unit].
        """
        values = np.asarray(self[name])
        return values if unit is None else np.asarray(from_si(values, unit))

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[CycleTrace] = (),
    ) -> Figure:
        """Draw cylinder pressure over volume: the whole cycle, and the gas exchange enlarged.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw, two panels.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of CycleTrace
            Further cycles, laid over this one; seven in all at most.

        Returns
        -------
        matplotlib.figure.Figure
            The figure: pressures are absolute, and a loop run so that intake lies above
            exhaust gains work.
        """
        traces = plot_cycle.named((self, *beside), system)
        return plot_cycle.draw_loops(traces, axes, system, title)

    def plot_ports(
        self, axes: Sequence[Axes] | None = None, *, system: str = "trade",
        title: str | None = None, beside: Sequence[CycleTrace] = (),
    ) -> Figure:  # fmt: skip
        """Draw the pressures at both valves over crank angle.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw: a panel for the intake, one for the exhaust.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of CycleTrace
            Further cycles, laid over this one; seven in all at most.

        Returns
        -------
        matplotlib.figure.Figure
            The figure: static pressure in runner and primary beside the valve, cylinder pressure
            thin, shaded where the valve of this cycle is open.
        """
        traces = plot_cycle.named((self, *beside), system)
        return plot_cycle.draw_ports(traces, axes, system, title)

    def to_frame(self) -> DataFrame:
        """Return the cycle as a table of numbers.

        Returns
        -------
        pandas.DataFrame
            One row a step, SI.
        """
        return extra("pandas").DataFrame(dict(self.rows))

    def write(self, path: str | os.PathLike[str]) -> None:
        """Write the cycle as comma-separated text, SI, with units in the header.

        Parameters
        ----------
        path : str or path
            The file.
        """
        from ..base.text_file import write_text

        units = {name: unit for name, unit, _ in _core.trace_columns()}
        named = {name: f"{name} [{units[name]}]" for name in self.rows}
        frame = self.to_frame().rename(columns=named)
        write_text(path, frame.to_csv(index=False, lineterminator="\n"))

    @property
    def verdict(self) -> str:
        """Engine, speed, status, and whether it knocks."""
        rpm = float(self.point.rpm[0])
        status = str(self.point.status[0]).replace("_", " ")
        knocking = knocking_words(self.point["knock_integral"])
        return f"{self.engine.name}, cycle at {rpm:,.0f} rpm: {status}{knocking}"

    @property
    def notes(self) -> list[str]:
        """Those of the point."""
        return list(self.point.notes)

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for name in _SHOWN:
            value, kind = float(self.point[name][0]), columns()[name].kind
            text = f"{value:.1e}" if name.endswith("_error") else shown_as(kind, value, system)
            rows.append([heading(name), text, unit_label(kind, system)])
        return [Table(["quantity", "value", "unit"], ["", "", ""], rows)]
