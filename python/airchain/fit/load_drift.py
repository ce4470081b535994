"""How the chain's own error grows with load, away from the loads that were measured.

Each part of the chain errs in proportion to how far its load, on a logarithmic scale, lies from
those measured at that engine speed:

    error of part k = D_k (c_k ln(x_k / x_k,mean) + g_k(rpm) ln(x_k / x_k,lowest)) / ln 1.5

with c_k constant and g_k a Gaussian process over engine speed, half of the variance each. What is
constant counts from the mean of the loads measured, since the unknown of the part takes up the
rest. What varies over speed no unknown takes up: it counts from the lowest load, because a build's
figures are those of gentle running and an engine is first pulled on its tamest step. A fit to one
pull cannot see either, and a fit to two levels learns what the pulls tell of them. The
error of a reading follows through the chain: a wrong head moves boost, air flow and torque
together. An error that is not wholly shared between what was seen and what was not is that of
Kennedy and O'Hagan (Bayesian calibration of computer models, J. R. Stat. Soc. B 63, 2001); that it
sits in a part of the chain rather than in its answer is an 'embedded' model error (from memory:
Sargsyan, Najm and Ghanem, Int. J. Chem. Kinet. 47, 2015).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from .parameters import Unknown, applied, trusted
from .runs import Run

Array = NDArray[np.float64]
_STEP = 1e-4
#: Over how much engine speed past its end a pull still tells of a load [rpm].
_PAST_END = 600.0


class Answers(Protocol):
    """What solves a chain over crank speeds [rad/s] for columns."""

    def __call__(
        self, chain: _core.Chain, speeds: Array, columns: Sequence[str]
    ) -> Mapping[str, Array]:
        """Return them [SI] over the speeds."""
        ...


#: Largest drift told, as a share; squares of it must stay finite.
_MOST = 1e6


@dataclass(frozen=True)
class Drift:
    """A part of the chain, what it is loaded by, and its error at half as much load again.

    `trust` is the part's standard deviation where the build tells its own.
    """

    part: str
    load: str
    words: str
    size: float
    trust: float | None = None

    @property
    def unknown(self) -> Unknown:
        """The factor that errs."""
        own = {} if self.trust is None else {self.part: self.trust}
        return trusted(self.part, own)


# Standard deviations for half as much load again. Where no source is named: common practice, none.
#
# Volumetric efficiency, 2.3 %: residual gas squeezed by the plenum is 1 + (1 - pe/pi)/(gamma (r -
# 1)) of an ideal exchange (Taylor, from memory), 2 % from pe/pi 0.8 to 0.57, and scavenging adds to
# it, neither of which is in a curve typed over speed; tuning moves with the root of temperature,
# 1 %; the exponent of temperature, 0.3 to 0.5, gives 0.3 %.
# Indicated efficiency, 4 %, holds all that makes torque of air. Added up from its parts it would be
# 1.7 %: phasing at the same spark 1 % (burn slower with pressure to the power -0.16, some 2 degrees
# at up to 8 off best); heat loss, whose share Woschni has fall with pressure to the power -0.2,
# 0.8 %; pulses behind the exhaust valves 0.6 %; friction per peak pressure, 0.005 give or take
# 0.003, 0.5 %; spread between cylinders 0.5 %; valve losses and blow-by 0.3 % each. But the chain
# spreads friction and gas exchange over more charge, and so lets power per air (drive added back)
# rise by 6 to 10 % for half as much density again, where the trade counts the same 9.5 to 10.5 hp
# per lb/min at any boost (common practice, no source). A 90 % band is to reach as far: 4 %.
# Compressor head and efficiency, 3 %: the mean-line model against NASA's HECC, from 70 to 100 % of
# speed, drifts by 2.5 % of ln(pressure ratio) and 2 points of efficiency.
# Cooler, 3.5 %: transfer growing with flow to a power of 0.3 to 0.8 leaves 3 % of effectiveness at
# half as much flow again; coolant that warms with the heat, by a kelvin or two of 60, adds 2 %.
DRIFTS = (
    Drift("volumetric_efficiency", "plenum_density", "how a denser charge fills", 0.023),
    Drift("indicated_efficiency", "plenum_density", "what denser air makes of torque", 0.04),
    Drift("compressor_head", "corrected_speed", "pressure rise at higher rotor speed", 0.03),
    Drift("compressor_efficiency", "corrected_speed", "efficiency at higher rotor speed", 0.03),
    Drift("cooler_effectiveness", "air_flow", "cooling of more air", 0.035),
)
LOADS = tuple(dict.fromkeys(drift.load for drift in DRIFTS))
PARTS: tuple[str, ...] = tuple(drift.part for drift in DRIFTS)


def drifts_of(accuracy: Mapping[str, Mapping[str, float]] | None,
              trust: Mapping[str, float]) -> tuple[Drift, ...]:  # fmt: skip
    """Return the drifts with the user's own sizes, and what the build says it is trusted for."""
    by_part = {drift.part: replace(drift, trust=trust.get(drift.part)) for drift in DRIFTS}
    for part, figures in (accuracy or {}).items():
        if part not in by_part:
            continue
        for key, value in figures.items():
            if key != "drift" or not 0.0 <= float(value) <= _MOST:
                rule = f"be from 0 to {_MOST:.0f}"
                raise refusal(f"accuracy of {part}", key, quoted(value), rule, "drift")
            by_part[part] = replace(by_part[part], size=float(value))
    return tuple(by_part.values())


@dataclass(frozen=True)
class Loads:
    """The loads at which pulls were run, over engine speed, as the chain had them before a fit."""

    rpm: Sequence[Array]
    logarithms: Sequence[Mapping[str, Array]]

    @classmethod
    def of(cls, runs: Sequence[Run], believed: Sequence[Mapping[str, Array]]) -> Loads:
        """Return the loads of prepared pulls, whose answers before the fit are given."""
        rpm, logarithms = [], []
        for run, answers in zip(runs, believed, strict=True):
            good = np.isfinite(answers["plenum_density"])
            order = np.flatnonzero(good)[np.argsort(run.rpm[good], kind="stable")]
            rpm.append(run.rpm[order])
            logarithms.append({name: _logarithm(answers[name][order]) for name in LOADS})
        return cls(rpm, logarithms)

    def distance(self, rpm: Array, loads: Mapping[str, Array]) -> Array:
        """Return how far each part's load lies from those measured: by 1 at half as much again.

        A load that does not exist (no compressor) is nowhere far. The first columns count from the
        mean of the loads measured, as many again from the lowest.
        """
        far = np.zeros((rpm.size, 2 * len(DRIFTS)))
        for j, drift in enumerate(DRIFTS):
            there = _logarithm(loads[drift.load])
            mean, lowest = self._measured(rpm, drift.load)
            far[:, j] = (there - mean) / np.log(1.5)
            far[:, len(DRIFTS) + j] = (there - lowest) / np.log(1.5)
        return np.nan_to_num(far)

    def _measured(self, rpm: Array, load: str) -> tuple[Array, Array]:
        """Return the mean of a load's logarithm over the pulls that tell of a speed, and the
        logarithm on the pull with the lowest.

        A pull counts at the speeds it covers, and less the further a speed lies beyond its ends:
        what errs smoothly does not know where a pull ended. Pulls that begin some rows apart would
        else have rows that seem to have no such error at all, and a fit would believe those.
        """
        pulls = list(zip(self.rpm, self.logarithms, strict=True))
        values = np.array([np.interp(rpm, seen, logarithms[load]) for seen, logarithms in pulls])
        gaps = np.array([np.maximum(np.maximum(seen[0] - rpm, rpm - seen[-1]), 0.0)
                         for seen, _ in pulls])  # fmt: skip
        known = np.isfinite(values).all(axis=1)
        if not known.any():
            return np.full(rpm.size, np.nan), np.full(rpm.size, np.nan)
        values, gaps = values[known], gaps[known]
        weights = np.exp(-(gaps - gaps.min(axis=0)) / _PAST_END)
        mean = np.sum(weights * values, axis=0) / np.sum(weights, axis=0)
        return mean, values[int(np.argmin(values.mean(axis=1)))]


def _logarithm(values: Array) -> Array:
    """Logarithm of a load, NaN where there is none."""
    logarithms: Array = np.log(np.where(values > 0.0, values, np.nan))
    return logarithms


def spreads(
    drifts: Sequence[Drift], chain: _core.Chain, speeds: Array, far: Array,
    columns: Sequence[str], answers: Answers, fitted: Sequence[str],
) -> dict[str, Array]:  # fmt: skip
    """Return each column's standard deviations by the parts' errors [SI], signed: rows by parts.

    First come the drifts by their distance from the mean load, then those by their distance from
    the lowest. A part that is `fitted` errs by nothing more there. One
    that is not errs by what the build is trusted for: a further column each.
    """
    # The shape of a part over engine speed holds the part as a whole.
    loose = [not any(name.startswith(drift.part) for name in fitted) for drift in drifts]
    deviations = {name: np.zeros((speeds.size, 2 * len(drifts) + sum(loose))) for name in columns}
    base = answers(chain, speeds, columns) if far.any() or any(loose) else {}
    for j, drift in enumerate(drifts):
        lowest = len(drifts) + j
        if not far[:, [j, lowest]].any() and not loose[j]:
            continue
        # Downwards: upwards a factor may be at the end of its range.
        aside = answers(applied(chain, [drift.unknown], np.array([1.0 - _STEP])), speeds, columns)
        for name in columns:
            slope = np.nan_to_num((base[name] - aside[name]) / _STEP)
            deviations[name][:, j] = slope * drift.size * far[:, j]
            deviations[name][:, lowest] = slope * drift.size * far[:, lowest]
            if loose[j]:
                place = 2 * len(drifts) + sum(loose[:j])
                deviations[name][:, place] = slope * drift.unknown.width
    return deviations
