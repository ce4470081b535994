"""The next ratio up: which new cells it would reach, and how far they are extrapolated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..chain.build import Build
from ..chain.changes import DriveRatio
from ..chain.pull import Pull
from ..shown.columns import label, shown, shown_as
from ..shown.tables import Shown, Table
from ..shown.words import counted
from ..units.convert import unit_label
from . import _paths
from ._coverage import highest, visited
from ._paths import Path
from .plots import draw_coverage

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .calibration import Calibration

__all__ = ["NextRatio", "next_ratio_of"]

Array = NDArray[np.float64]
#: Rise of the drive ratio where no pair of gears says what comes next.
_STEP = 1.05


@dataclass(frozen=True, eq=False, repr=False)
class NextRatio(Shown):
    """A faster drive against a calibration. Made by `Calibration.next_ratio`.

    Attributes
    ----------
    calibration : Calibration
        The calibration.
    how : str
        What makes the ratio.
    drive_ratio : float
        Input shaft over crank speed [dimensionless].
    pull : Pull
        The pull on it.
    path : Path
        Its way through the tables.
    cells : ndarray of bool
        Cells it reaches that no level visits; rows over pressure, dimensionless.
    beyond : ndarray
        How far each point of the path lies above the highest pressure run at its speed [Pa].
    """

    calibration: Calibration
    how: str
    drive_ratio: float
    pull: Pull
    path: Path
    cells: NDArray[np.bool_]
    beyond: Array

    @property
    def outside(self) -> int:
        """How many points lie above the table's highest pressure, dimensionless."""
        top = self.calibration.data.pressure[-1]
        return int(np.count_nonzero(self.path.pressure > top))

    @property
    def verdict(self) -> str:
        """How many new cells, how far at most, and what passes a limit."""
        far, at = float("nan"), ""
        if self.path.solved:
            i = int(np.nanargmax(self.beyond))
            far = float(self.beyond[i])
            at = f", which is {100 * far / (self.path.pressure[i] - far):.0f} % more"
        unit = label("boost")
        return (
            f"{self.calibration.data.name}: A drive ratio of {self.drive_ratio:.3f} ({self.how}) "
            f"reaches {counted(int(self.cells.sum()), 'new cell')}, "
            f"up to {shown('boost', far)} {unit} above anything run{at}. {self.pull.summary}"
        ).rstrip()

    @property
    def notes(self) -> list[str]:
        """What its cells rest on, and what the chain says of that drive."""
        notes = []
        if not self.path.solved:
            notes.append("The chain has no answer on that drive.")
        if self.outside:
            notes.append(
                f"{self.outside} points lie above the tables. Give a higher pressure axis."
            )
        notes.append(
            "The new cells are computed beyond anything run. Add fuel and take out spark there, "
            "and let a pull on a smaller step confirm them first."
        )
        return [*notes, *self.pull.notes]

    def plot(
        self,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[NextRatio] = (),
    ) -> Figure:
        """Draw the path of the faster drive over the cells of the calibration.

        Parameters
        ----------
        axes : Axes, optional
            One panel; without it a figure of its own.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What to write over the picture.
        beside : sequence of NextRatio
            Further drives.

        Returns
        -------
        matplotlib.figure.Figure
            The figure of `Calibration.plot_coverage` with one path more for each drive.
        """
        further = [one.path for one in (self, *beside)]
        return draw_coverage((self.calibration,), axes, title, further, system)

    def _tables(self, system: str) -> list[Table]:
        known = np.flatnonzero(np.isfinite(self.path.pressure))
        if not known.size:
            return []
        chosen = known[np.unique(np.linspace(0, known.size - 1, 9).round().astype(int))]
        p, above = self.path.pressure, self.beyond
        rows = [
            [f"{self.path.rpm[i]:.0f}", shown_as("pressure", p[i], system),
             shown_as("pressure_difference", above[i], system),
             f"{100 * above[i] / (p[i] - above[i]):.0f}"]
            for i in chosen
        ]  # fmt: skip
        headings = ["engine speed", "plenum pressure", "above all run", "of it"]
        units = [unit_label(kind, system) for kind in ("pressure", "pressure_difference")]
        return [Table(headings, ["rpm", *units, "%"], rows)]


def next_ratio_of(calibration: Calibration, drive_ratio: float | None) -> NextRatio:
    """Return what a faster drive would reach; see `Calibration.next_ratio`.

    Parameters
    ----------
    calibration : Calibration
        The calibration.
    drive_ratio : float or None
        Input shaft over crank speed [dimensionless].

    Returns
    -------
    NextRatio
        The new cells, and the pull on that drive.

    Raises
    ------
    InputError
        The build has no compressor, or the ratio is not above all that were calibrated.
    """
    build = calibration.build
    if not build.supercharged:
        raise refusal(build.name, "compressor", "none", "be there for a next ratio up")
    ratios = {n: float(p.build.chain.drive.drive_ratio) for n, p in calibration.pulls.items()}
    top = max(ratios, key=lambda n: ratios[n])
    fastest = calibration.pulls[top].build
    how, wanted = _next_pair(fastest) if drive_ratio is None else ("as asked", float(drive_ratio))
    if not ratios[top] < wanted < 20.0:
        rule = f"be above all calibrated ({ratios[top]:.3f}) and below 20"
        raise refusal("next_ratio", "drive_ratio", f"{wanted:g}", rule)
    faster = fastest.changed(DriveRatio("next ratio up", wanted))
    pull = faster.pull(calibration.pulls[top].rpm)
    path = _paths.computed("next ratio up", pull)
    data, paths = calibration.data, calibration.paths
    seen = np.any([visited(p, data.rpm, data.pressure) for p in paths], axis=0)
    cells = visited(path, data.rpm, data.pressure) & ~seen
    beyond = path.pressure - highest(paths, path.rpm)
    return NextRatio(calibration, how, wanted, pull, path, cells, beyond)


def _next_pair(build: Build) -> tuple[str, float]:
    """One tooth more on the driving and one less on the driven gear keeps the centres."""
    ratio = float(build.chain.drive.drive_ratio)
    for link in build.links:
        if isinstance(link, _core.GearPair) and link.driven_teeth > 9.0:
            up = link.driving_teeth + 1.0, link.driven_teeth - 1.0
            return f"gears {up[0]:.0f}/{up[1]:.0f}", ratio * up[0] / up[1] / link.ratio
    return f"{100 * (_STEP - 1):.0f} % more", ratio * _STEP
