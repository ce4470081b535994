"""What is wanted of a faster drive: a power, a torque, a boost, or the ratio itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import InputError, quoted, refusal
from ..base.speeds import RPM
from ..plan.request import Target
from ..plan.trial import Trial
from ..shown.columns import peak_of
from ..typed.place import Typed
from ..units.convert import to_si

#: What the new level is called.
NAME = "regeared"
_WHERE = "regear"
_KINDS = {"power": "power", "boost": "pressure_difference", "torque": "torque"}
_FASTEST = 20.0
#: How far above the fastest drive handed over a ratio is sought, and in how many steps.
_REACH, _STEPS = 1.8, 33


class Sought(NamedTuple):
    """Where along rising ratios an aim is met, all dimensionless but `most`.

    `ratio` gives it, NaN where none does; `low` to `high` are within its tolerance; `most` is the
    most that any gives [SI], at the ratio `at`.
    """

    ratio: float
    low: float
    high: float
    most: float
    at: float


@dataclass(frozen=True)
class Aim:
    """What the new drive is to give.

    Attributes
    ----------
    name : str
        ``"power"``, ``"torque"``, ``"boost"`` or ``"ratio"``.
    value : float
        Wanted, at its peak [SI]; input shaft over crank for a ratio [dimensionless].
    tolerance : float
        How far off it may lie either way, as a share of it [dimensionless].
    """

    name: str
    value: float
    tolerance: float

    @classmethod
    def of(cls, typed: Typed, tolerance: float) -> Aim:
        """Read what was typed: a plain number is a drive ratio."""
        if not 0.0 < tolerance <= 0.2:
            raise refusal(_WHERE, "tolerance", quoted(tolerance), "be above 0 and at most 0.2")
        ratio = _plain(typed)
        if ratio is not None:
            if not 0.05 < ratio < _FASTEST:
                raise refusal(_WHERE, "target", quoted(typed), "be a drive ratio of 0.05 to 20")
            return cls("ratio", ratio, tolerance)
        for name, kind in _KINDS.items():
            try:
                value = to_si(typed, kind, where=_WHERE, field="target")
            except InputError:
                continue
            if value > 0.0:
                return cls(name, value, tolerance)
        rule = "be a power, a torque or a boost above 0, or a drive ratio"
        raise refusal(_WHERE, "target", quoted(typed), rule, 'such as "1000 hp", "20 psi" or 1.25')

    @property
    def target(self) -> Target:
        """The aim as a level's target; of a ratio, whatever power it gives."""
        if self.name == "ratio":
            return Target(NAME, "power", float("nan"), float("nan"), 0.0)
        return Target(NAME, self.name, self.value, self.tolerance * self.value, 0.0)

    def reaches(self, trial: Trial) -> float:
        """What a trial gives of it [SI]; NaN without an answer."""
        if self.name == "ratio":
            return trial.fitting.drive_ratio
        return trial.reaches(self.target)

    def deviation(self, trial: Trial) -> float:
        """How far a trial lies off, in tolerances; infinite without an answer."""
        off = abs(self.reaches(trial) / self.value - 1.0) / self.tolerance
        return off if np.isfinite(off) else float("inf")

    def shown(self, value: float, system: str = "trade") -> str:
        """Return a value of what is wanted, with its unit."""
        if self.name == "ratio":
            return f"{value:.3f}"
        return self.target.shown(value, system)

    def words(self, system: str = "trade") -> str:
        """Return what is wanted."""
        if self.name == "ratio":
            return f"a drive ratio of {self.value:.3f}"
        return f"{self.shown(self.value, system)} of {self.name}"

    def sought(self, chain: _core.Chain, rpm: NDArray[np.float64]) -> Sought:
        """Look along rising ratios for the one that gives it, as the chain has it."""
        start, value = float(chain.drive.drive_ratio), self.value
        about = value * (1.0 - self.tolerance), value * (1.0 + self.tolerance)
        if self.name == "ratio":
            return Sought(value, *about, value, value)
        ratios = np.geomspace(start, min(_REACH * start, _FASTEST), _STEPS)
        axes = {"drive.drive_ratio": ratios, "engine_speed": rpm * RPM}
        rows = _core.solve(chain, axes, [self.name])[self.name]
        peaks = np.array([peak_of(row, rpm)[0] for row in rows])
        if not np.isfinite(peaks).any():
            nan = float("nan")
            return Sought(nan, start, start, nan, start)
        best = int(np.nanargmax(peaks))
        places = [_first_at(ratios, peaks, aimed) for aimed in (value, *about)]
        ratio, low, high = (float(place) for place in places)
        most = float(peaks[best])
        if not np.isfinite(ratio):
            return Sought(ratio, float(ratios[max(best - 1, 0)]), float(ratios[best]), most,
                          float(ratios[best]))  # fmt: skip
        return Sought(ratio, low, high if np.isfinite(high) else float(ratios[-1]), most,
                      float(ratios[best]))  # fmt: skip


def _first_at(ratios: NDArray[np.float64], peaks: NDArray[np.float64], value: float) -> float:
    """The first ratio whose peak reaches a value, straight between; NaN where none does."""
    over = np.flatnonzero(peaks >= value)
    if not over.size:
        return float("nan")
    i = int(over[0])
    if not i or not np.isfinite(peaks[i - 1]):
        return float(ratios[i])
    share = (value - peaks[i - 1]) / (peaks[i] - peaks[i - 1])
    return float(ratios[i - 1] + share * (ratios[i] - ratios[i - 1]))


def _plain(typed: Typed) -> float | None:
    """A plain number, typed as such or as a text; None for anything else."""
    if isinstance(typed, bool):
        return None
    if isinstance(typed, int | float | np.integer | np.floating):
        return float(typed)
    try:
        return float(typed) if isinstance(typed, str) else None
    except ValueError:
        return None
