"""Pressure over crank angle in plenum, collectors and beside the valves of every cylinder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..units.convert import unit_label
from . import plot_cylinders

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from pandas import DataFrame

    from .crank_engine import CrankEngine
    from .cylinder_points import CylinderPoints

__all__ = ["PressureWaves"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False, repr=False)
class PressureWaves(Shown):
    """One point of a whole engine over two turns of its crank.

    Attributes
    ----------
    point : CylinderPoints
        The one point.
    angle : ndarray
        Crank angle after cylinder 1's firing top centre, rising over two turns [rad].
    plenum : ndarray
        Pressure in the plenum, over the angles [Pa].
    collectors, merges : ndarray
        Pressure in each collector, and in each merge of a pair, over angles and those [Pa].
    inside, intake, exhaust : ndarray
        Pressure in each cylinder, in its runner and in its primary beside the valve, over angles
        and cylinders [Pa].
    """

    point: CylinderPoints
    angle: Array
    plenum: Array
    collectors: Array
    inside: Array
    intake: Array
    exhaust: Array
    merges: Array

    @classmethod
    def of(cls, point: CylinderPoints, rows: Array) -> PressureWaves:
        """Return the waves of the core's rows.

        Parameters
        ----------
        point : CylinderPoints
            The one point.
        rows : ndarray
            Angle [rad] and pressures [Pa], a row a step; none where the point did not converge.

        Returns
        -------
        PressureWaves
            The waves.
        """
        n = point.cylinders
        count = max(rows.shape[1] - 2 - 3 * n, 0)
        first, layout = 2 + count, point.engine.layout
        last = 2 + min(count, layout.collector_count if layout is not None else count)
        inside, intake, exhaust = (rows[:, first + k * n : first + (k + 1) * n] for k in range(3))
        return cls(
            point, rows[:, 0], rows[:, 1], rows[:, 2:last], inside, intake, exhaust,
            rows[:, last:first],
        )  # fmt: skip

    @property
    def engine(self) -> CrankEngine:
        """The engine."""
        return self.point.engine

    def own_angle(self, cylinder: int) -> Array:
        """Return the crank angle as a cylinder has it.

        Parameters
        ----------
        cylinder : int
            Its number, from 1 [dimensionless].

        Returns
        -------
        ndarray
            Crank angle after its own firing top centre, -2 pi to 2 pi [rad], not in order.
        """
        own = self.angle - self._firing(cylinder)
        return np.asarray(np.mod(own + 2.0 * np.pi, 4.0 * np.pi) - 2.0 * np.pi)

    def _firing(self, cylinder: int) -> float:
        layout = self.engine.layout
        if layout is None or not 1 <= cylinder <= len(layout.firing):
            raise refusal("waves", "cylinder", quoted(cylinder), "be a cylinder of the engine")
        return layout.firing[cylinder - 1]

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        cylinders: Sequence[int] = (),
    ) -> Figure:
        """Draw pressures in plenum and collectors, and which pulse helps which cylinder.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw, three panels.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        cylinders : sequence of int
            Whose primaries are drawn, numbers from 1, dimensionless, seven at most; the fullest
            and the emptiest without it.

        Returns
        -------
        matplotlib.figure.Figure
            The figure: plenum; collectors; pressure in a primary beside the valve over that
            cylinder's own crank angle, shaded where both valves are open, marked where the others
            of its collector open their exhaust. Low pressure in the shade draws the charge in.
        """
        return plot_cylinders.draw_waves(self, axes, system, title, cylinders)

    def to_frame(self) -> DataFrame:
        """Return the pressures as a table of numbers.

        Returns
        -------
        pandas.DataFrame
            One row a step, SI.
        """
        rows: dict[str, Any] = {"angle": self.angle, "plenum": self.plenum}
        rows |= {
            f"collector_{k + 1}": self.collectors[:, k] for k in range(self.collectors.shape[1])
        }
        rows |= {f"merge_{k + 1}": self.merges[:, k] for k in range(self.merges.shape[1])}
        for name in ("inside", "intake", "exhaust"):
            values = getattr(self, name)
            rows |= {f"{name}_{c + 1}": values[:, c] for c in range(values.shape[1])}
        return extra("pandas").DataFrame(rows)

    @property
    def verdict(self) -> str:
        """Engine, speed and status."""
        status = str(self.point.status[0]).replace("_", " ")
        return f"{self.engine.name}, waves at {self.point.rpm[0]:,.0f} rpm: {status}"

    @property
    def notes(self) -> list[str]:
        """Those of the point."""
        return list(self.point.notes)

    def _tables(self, system: str) -> list[Table]:
        rows = []
        if not self.angle.size:
            return []
        places = {"plenum": self.plenum}
        places |= {f"collector {k}": values for k, values in enumerate(self.collectors.T, 1)}
        places |= {f"merge {k}": values for k, values in enumerate(self.merges.T, 1)}
        for name, values in places.items():
            ends = (float(np.min(values)), float(np.max(values)))
            rows.append([name, *(shown_as("pressure", end, system) for end in ends)])
        unit = unit_label("pressure", system)
        return [Table(["place", "lowest pressure", "highest pressure"], ["", unit, unit], rows)]
