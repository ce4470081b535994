"""How well the fuel of each level follows from the others: the proof that one table serves all.

At full throttle two levels visit the same engine speed at different plenum pressures, so cells that
both visit prove little. The proof is that volumetric efficiency on plenum density is one smooth
curve over pressure at fixed speed: a level left out is predicted from those that stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..shown.tables import Shown, Table
from ._paths import BIN, Path
from ._surface import Trim, volumetric_efficiency

if TYPE_CHECKING:
    from .calibration import Calibration

__all__ = ["Agreement", "LeftOut"]

Array = NDArray[np.float64]
#: Fuel error that one calibration may have on a level it was not made with (common practice).
WITHIN = 0.02


class LeftOut(NamedTuple):
    """Fuel of one level predicted without it: error is predicted over its own fuel, less 1."""

    level: str
    how: str
    rpm: Array
    error: Array

    @property
    def known(self) -> Array:
        """Errors where both are known [dimensionless]."""
        known: Array = self.error[np.isfinite(self.error)]
        return known

    @property
    def mean(self) -> float:
        """Mean error [dimensionless]."""
        return float(np.mean(self.known)) if self.known.size else float("nan")

    @property
    def scatter(self) -> float:
        """Root mean square about the mean [dimensionless]."""
        return float(np.std(self.known)) if self.known.size else float("nan")

    @property
    def largest(self) -> float:
        """Largest error in size [dimensionless]."""
        return float(np.max(np.abs(self.known))) if self.known.size else float("nan")


@dataclass(frozen=True, eq=False, repr=False)
class Agreement(Shown):
    """Leave-one-level-out errors of the fuel, and readings against the tables.

    Attributes
    ----------
    model : sequence of LeftOut
        Computed levels, each from the paths of the others.
    measured : sequence of LeftOut
        Measured levels, each from the build before any fit, scaled by one factor to the readings
        of the others.
    readings : sequence of LeftOut
        Measured levels against the tables as they are handed over.
    """

    model: Sequence[LeftOut]
    measured: Sequence[LeftOut]
    readings: Sequence[LeftOut]

    @property
    def verdict(self) -> str:
        """Whether every level left out is met within 2 %."""
        return " ".join(self.notes[:2])

    @property
    def notes(self) -> list[str]:
        """One sentence on computed levels, one on measured ones."""
        notes = [_agreement("computed levels", self.model)]
        if self.measured:
            notes.append(_agreement("measured levels", self.measured))
        else:
            notes.append(
                "No measured level could be left out, because that needs two levels or more whose "
                "fuel was measured."
            )
        if self.readings:
            notes.append(
                f"Readings are medians of every {BIN:.0f} rpm. In a sweep a charge thermocouple "
                "trails by 1 to 3 s (common practice, no source), which shifts the filling read."
            )
        return notes

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for row in (*self.model, *self.measured, *self.readings):
            numbers = (row.mean, row.scatter, row.largest)
            cells = ["–" if np.isnan(v) else f"{100 * v:.2f}" for v in numbers]
            rows.append([row.level, row.how, str(row.known.size), *cells])
        if not rows:
            return []
        headings = ["level", "its fuel from", "points", "mean", "scatter", "largest"]
        return [Table(headings, ["", "", "", "%", "%", "%"], rows, caption="Leave one level out",
                      key="Error: the fuel predicted over the level's own, less 1, at its own "
                      "pressure and temperature.")]  # fmt: skip


def _agreement(what: str, rows: Sequence[LeftOut]) -> str:
    known = [r for r in rows if r.known.size]
    if not known:
        return f"None of the {what} can be left out, because there are not two."
    worst = max(known, key=lambda r: abs(r.mean) + r.scatter)
    reached = max(float(np.sqrt(np.mean(r.known**2))) for r in known)
    word = "within" if reached <= WITHIN else "NOT within"
    return (
        f"With each of the {what} left out in turn, the others give its fuel {word} 2 % (root "
        f"mean square). The largest root mean square is {100 * reached:.2f} % ({worst.level}), the "
        f"largest single error {100 * max(r.largest for r in known):.2f} %."
    )


def from_others(path: Path, others: Sequence[Path], trim: Trim) -> Array:
    """Return a level's volumetric efficiency from the paths of others.

    At each speed a straight line over pressure through the two paths nearest in pressure, each
    brought to the level's temperature; one other path alone is held.
    """
    speeds = path.rpm
    columns = []
    for one in others:
        at = {"left": np.nan, "right": np.nan}
        p = np.interp(speeds, one.rpm, one.pressure, **at)
        ve = one.volumetric_efficiency / trim.at(one.temperature, one.rpm)
        columns.append((p, np.interp(speeds, one.rpm, ve, **at)))
    pressures, values = np.array([c[0] for c in columns]), np.array([c[1] for c in columns])
    filling = np.full(speeds.size, np.nan)
    for i in range(speeds.size):
        known = np.flatnonzero(np.isfinite(pressures[:, i]))
        near = known[np.argsort(np.abs(pressures[known, i] - path.pressure[i]))[:2]]
        if near.size:
            filling[i] = _line(pressures[near, i], values[near, i], path.pressure[i])
    return filling * trim.at(path.temperature, path.rpm)


def _line(x: Array, y: Array, at: float) -> float:
    if x.size == 1 or abs(x[1] - x[0]) < 1.0:
        return float(y[0])
    return float(y[0] + (y[1] - y[0]) * (at - x[0]) / (x[1] - x[0]))


def agreement_of(calibration: Calibration) -> Agreement:
    """Return the agreement of a calibration's levels."""
    computed = [p for p in calibration.paths if not p.measured and p.solved]
    model = []
    for path in computed:
        others = [p for p in computed if p.level != path.level]
        if others:
            error = from_others(path, others, calibration.trim) / path.volumetric_efficiency - 1.0
            model.append(LeftOut(path.level, "the other levels' paths", path.rpm, error))
    chain = calibration.build.chain
    measured = [p for p in calibration.paths if p.measured]
    readings = [LeftOut(p.level, "the tables, its readings against them", p.rpm, _error(chain, p))
                for p in measured]  # fmt: skip
    return Agreement(model, _scaled(calibration, measured), readings)


def _error(chain: _core.Chain, path: Path) -> Array:
    """Fuel of a chain's engine over that measured, less 1, at the readings' own states."""
    ve = volumetric_efficiency(chain, path.rpm, path.pressure, path.temperature)
    error: Array = ve / path.volumetric_efficiency - 1.0
    return error


def _scaled(calibration: Calibration, paths: Sequence[Path]) -> list[LeftOut]:
    """Each measured level from the build scaled by one factor to the readings of the others."""
    fit = calibration.fit
    # The build as it was before any fit, so that nothing of the level left out is in it.
    chain = (fit.build if fit is not None else calibration.build).chain
    errors = {id(p): _error(chain, p) for p in paths}
    left_out = []
    for path in paths:
        others = [p for p in paths if p.level != path.level]
        read = [errors[id(p)][np.isfinite(errors[id(p)])] for p in others]
        read = [values for values in read if values.size]
        if not read or not np.isfinite(errors[id(path)]).any():
            continue
        factor = 1.0 / (1.0 + np.mean([np.median(values) for values in read]))
        names = ", ".join(dict.fromkeys(p.level for p in others))
        error = (1.0 + errors[id(path)]) * factor - 1.0
        left_out.append(LeftOut(path.level, f"the build scaled to {names}", path.rpm, error))
    return left_out
