"""What a log file gave: its pulls, how it was read, and what was noticed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, overload

import numpy as np
from numpy.typing import NDArray

from ...base.errors import quoted, refusal, suggestion
from ...shown.tables import Shown, Table
from ...units.convert import formatted
from ..finding import Finding
from ..measured import MeasuredPull
from ..plots import SHOWN, draw_pulls
from .mapping import LogMapping

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["PullLog"]


@dataclass(frozen=True, repr=False)
class PullLog(Shown, Sequence[MeasuredPull]):
    """The pulls of one file, in its order; a sequence of `MeasuredPull`, also by name.

    Attributes
    ----------
    source : str
        The file.
    pulls : tuple of MeasuredPull
        Pulls under load.
    run_downs : tuple of MeasuredPull
        Runs down without load.
    mapping : LogMapping
        How the file was read; to correct it, save it, edit it and give it to `read_pulls`.
    findings : tuple of Finding
        What was noticed about the whole file.
    probes : mapping
        Of exhaust temperature [K] and lambda [dimensionless], what each of three probes or more
        read: probes by readings of the file.
    probe_lines : ndarray of int
        Line of the file of each of those readings, dimensionless.
    """

    source: str
    pulls: tuple[MeasuredPull, ...]
    run_downs: tuple[MeasuredPull, ...]
    mapping: LogMapping
    findings: tuple[Finding, ...] = ()
    probes: Mapping[str, NDArray[np.float64]] = field(default_factory=dict)
    probe_lines: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def __len__(self) -> int:
        return len(self.pulls)

    @overload
    def __getitem__(self, key: int | str) -> MeasuredPull: ...
    @overload
    def __getitem__(self, key: slice) -> tuple[MeasuredPull, ...]: ...
    def __getitem__(self, key: int | str | slice) -> MeasuredPull | tuple[MeasuredPull, ...]:
        if not isinstance(key, str):
            return self.pulls[key]
        for pull in (*self.pulls, *self.run_downs):
            if pull.name == key:
                return pull
        names = [pull.name for pull in (*self.pulls, *self.run_downs)]
        hint = suggestion(key, names) or "they are " + ", ".join(names)
        raise refusal(self.source, "pull", quoted(key), "be a pull of the log", hint)

    def __iter__(self) -> Iterator[MeasuredPull]:
        return iter(self.pulls)

    def by_cylinder(self, pull: MeasuredPull) -> dict[str, NDArray[np.float64]]:
        """Return what the probes behind each cylinder read in a pull, for `airchain.diagnose`.

        Parameters
        ----------
        pull : MeasuredPull
            A pull of this log.

        Returns
        -------
        dict
            ``exhaust_temperature`` [K] and ``lambda`` [dimensionless], as far as three or more
            probes were logged: probes in the order of their columns by the rows of the pull.
        """
        order = np.argsort(self.probe_lines, kind="stable")
        place = order[np.searchsorted(self.probe_lines, pull.lines, sorter=order)]
        return {name: values[:, place] for name, values in self.probes.items()}

    @property
    def summary(self) -> str:
        """How many pulls there are, in one line."""
        parts = [_count(len(self.pulls), "pull")]
        parts += [_count(len(self.run_downs), "run-down")] if self.run_downs else []
        parts += [_count(len(self.all_findings), "finding")]
        return f"{self.source}: " + ", ".join(parts)

    @property
    def all_findings(self) -> tuple[str, ...]:
        """Findings on the file and on every pull, in words."""
        own = [str(f) for f in self.findings]
        of_pulls = [
            f"{pull.name}: {f}" for pull in (*self.pulls, *self.run_downs) for f in pull.findings
        ]
        return (*own, *of_pulls)

    @property
    def verdict(self) -> str:
        """How many pulls there are, in one line."""
        return self.summary

    @property
    def notes(self) -> list[str]:
        """How the file was read, and the findings."""
        return [*self.mapping.notes, *self.all_findings]

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[PullLog] = (),
        columns: Sequence[str] = SHOWN,
    ) -> Figure:
        """Draw power and torque of the pulls in one panel, other quantities in panels below.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw: one for power and torque, and one for each of `columns` that is drawn.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of PullLog
            Further logs whose pulls are laid over these.
        columns : sequence of str
            Quantities below, one panel each; those that no pull holds are passed over.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. An `InputError` says where no pull holds torque or power.
        """
        pulls = {pull.name: pull for log in (self, *beside) for pull in log}
        return draw_pulls(pulls, axes, system, title, columns)

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for pull in (*self.pulls, *self.run_downs):
            speeds = f"{pull.rpm.min():.0f} to {pull.rpm.max():.0f} rpm"
            cells = [pull.name, str(len(pull)), speeds]
            for name in ("power", "torque", "boost"):
                cells.append(_peak(pull, name, system))
            rows.append([*cells, pull.power_basis])
        headings = ["pull", "rows", "speed", "peak power", "peak torque", "peak boost", "power is"]
        how = (
            table._replace(caption=self.mapping.verdict) for table in self.mapping.tables(system)
        )
        return [Table(headings, [""] * len(headings), rows), *how]


def _peak(pull: MeasuredPull, name: str, system: str) -> str:
    if name not in pull:
        return "–"
    value, rpm = pull.peak(name)
    kind = "pressure_difference" if name == "boost" else name
    return f"{formatted(value, kind, system)} at {rpm:.0f}" if value == value else "–"


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
