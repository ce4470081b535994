"""What a fit found: values, intervals, and what the pulls cannot tell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..chain.changes import Factors
from ..shown.tables import Shown, Table
from ._verdict import correlation_words, fit_words, pull_words, sensor_words
from .parameters import Unknown, factors_of
from .problem import Problem, covariance_of

__all__ = ["Reconciliation"]

Array = NDArray[np.float64]
#: Half a 90 % interval over the standard deviation of a normal distribution.
NINETY = 1.6448536269514722


@dataclass(frozen=True, eq=False, repr=False)
class Reconciliation(Shown):
    """A build brought into agreement with measured pulls. Made by `airchain.reconcile`.

    Attributes
    ----------
    build : Build
        The build before the fit.
    parameters : tuple of str
        Names as they were asked for.
    values : ndarray
        Fitted unknowns [dimensionless], one for each of `names`: factors on the build's own
        figures, belt slip as a share.
    covariance : ndarray
        Their posterior covariance [dimensionless]; zero where one stands at its bound.
    at_bound : ndarray of bool
        Which unknowns stand at a bound [dimensionless]; they have no interval.
    remarks : tuple of str
        What was left out or assumed when the pulls were prepared.
    problem : Problem
        Readings, priors and the chain's own error that the fit rests on.
    z : ndarray
        The solution in prior widths off the prior mean [dimensionless].
    slopes : sequence of ndarray
        By channel, the change of each reading a prior width of each unknown [SI].
    computed : sequence of ndarray
        By channel, what the fitted chain gives at each reading [SI].
    """

    build: Any
    parameters: tuple[str, ...]
    values: Array
    covariance: Array
    at_bound: NDArray[np.bool_]
    remarks: tuple[str, ...]
    problem: Problem
    z: Array
    slopes: Sequence[Array]
    computed: Sequence[Array]

    @classmethod
    def of(cls, build: Any, problem: Problem, parameters: tuple[str, ...], z: Array,
           remarks: Sequence[str]) -> Reconciliation:  # fmt: skip
        """Return the reconciliation at a solution.

        Parameters
        ----------
        build : Build
            The build before the fit.
        problem : Problem
            Readings and priors.
        parameters : tuple of str
            Names as they were asked for.
        z : ndarray
            The solution in prior widths off the prior mean [dimensionless].
        remarks : sequence of str
            What was left out or assumed.

        Returns
        -------
        Reconciliation
            The whole.
        """
        low, high = problem.bounds
        reach = 1e-3 * np.maximum(1.0, np.minimum(high - low, 10.0))
        bound = (z - low < reach) | (high - z < reach)
        slopes = problem.slopes(z)
        parts = [-c.whitened(s) for c, s in zip(problem.channels, slopes, strict=True)]
        covariance = covariance_of(np.concatenate([*parts, np.eye(z.size)]), ~bound)
        scale = np.outer(problem.widths, problem.widths)
        return cls(build, parameters, problem.values(z), covariance * scale, bound, tuple(remarks),
                   problem, z, slopes, problem.computed(z))  # fmt: skip

    @property
    def unknowns(self) -> tuple[Unknown, ...]:
        """The unknowns with their priors; a shape stands as one unknown a knot."""
        return tuple(self.problem.unknowns)

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the unknowns in the order of `values`."""
        return tuple(u.name for u in self.unknowns)

    @property
    def levels(self) -> tuple[str, ...]:
        """Drive level of each pull."""
        return tuple(run.level for run in self.problem.runs)

    @property
    def fingerprints(self) -> tuple[str, ...]:
        """Fingerprint of each pull's data."""
        return tuple(run.fingerprint for run in self.problem.runs)

    @cached_property
    def correlations(self) -> Array:
        """Correlations of the unknowns [dimensionless]; NaN where one stands at its bound."""
        sd = np.sqrt(np.diag(self.covariance))
        with np.errstate(invalid="ignore", divide="ignore"):
            found: Array = self.covariance / np.outer(sd, sd)
        return found

    def interval(self, name: str) -> tuple[float, float]:
        """Return the 90 % interval of an unknown.

        Parameters
        ----------
        name : str
            One of `names`.

        Returns
        -------
        tuple of float
            Its ends [dimensionless]; NaN for an unknown at its bound.
        """
        i = self.names.index(name)
        half = NINETY * float(np.sqrt(self.covariance[i, i]))
        half = float("nan") if self.at_bound[i] else half
        return float(self.values[i]) - half, float(self.values[i]) + half

    @property
    def shrinkage(self) -> Array:
        """Posterior over prior standard deviation [dimensionless]: 1 where nothing was learnt."""
        found: Array = np.sqrt(np.diag(self.covariance)) / self.problem.widths
        return found

    @property
    def factors(self) -> Factors:
        """What was fitted, as a change of a build."""
        return Factors(factors_of(self.unknowns, self.values))

    def chain_of(self, build: Any) -> Any:
        """Return the chain of a build with the fitted unknowns put in.

        Parameters
        ----------
        build : Build
            The build, with other gears or parts if wanted.

        Returns
        -------
        Chain
            Its chain, fitted.
        """
        return build.changed(self.factors).chain

    def fitted_build(self, level: str = "") -> Any:
        """Return the build with the fitted unknowns in its chain.

        Parameters
        ----------
        level : str
            Drive level; the build's own without it.

        Returns
        -------
        Build
            A build to pull. The factors of the fit stay on it whatever is replaced, whichever
            level is fitted, and through `Build.save`.
        """
        build = self.build.level(level) if level else self.build
        return build.changed(self.factors)

    def residuals(self, channel: str) -> Mapping[str, tuple[Array, Array]]:
        """Return readings less fitted chain against engine speed, pull by pull.

        Parameters
        ----------
        channel : str
            The channel, such as ``"torque"``.

        Returns
        -------
        mapping
            Engine speeds [rpm] and residuals [SI] by number and name of the pull.
        """
        found = {}
        for c, f in zip(self.problem.channels, self.computed, strict=True):
            if c.name == channel:
                for k, run in enumerate(self.problem.runs):
                    rows = c.run == k
                    if rows.any():
                        found[f"{k + 1} {run.name}"] = (c.rpm[rows], c.y[rows] - f[rows])
        return found

    def gain_of(self, channel: str) -> float:
        """Return by how much one more sensor would narrow the intervals.

        The sensor is imagined on the pulls that were run, with its usual accuracy.

        Parameters
        ----------
        channel : str
            The channel, such as ``"rotor_speed"``.

        Returns
        -------
        float
            Mean of the unknowns' interval with it over that without it [dimensionless], below 1
            where it helps.

        Raises
        ------
        InputError
            There is no such channel.
        """
        from ._sensing import narrowing

        return float(np.mean(narrowing(self, channel)))

    def leave_one_out(self) -> dict[str, Any]:
        """Fit again without each whole pull, and predict the pull left out.

        Returns
        -------
        dict
            By number and name of the pull, the `Comparison` of its prediction.

        Raises
        ------
        InputError
            There is only one pull.
        """
        from ._sensing import left_out

        return left_out(self)

    @property
    def channels(self) -> tuple[str, ...]:
        """Channels that the fit used."""
        return tuple(c.name for c in self.problem.channels)

    @property
    def verdict(self) -> str:
        """Pulls, readings and unknowns in one line."""
        readings = sum(c.y.size for c in self.problem.channels)
        runs = len(self.problem.runs)
        return (
            f"{self.build.name}: {len(self.values)} unknowns fitted to {runs} "
            f"pull{'s' if runs != 1 else ''}, {readings:,} readings of {', '.join(self.channels)}"
        )

    @property
    def notes(self) -> list[str]:
        """What is and is not known, in sentences."""
        return [*fit_words(self), *correlation_words(self), *pull_words(self), *sensor_words(self),
                *self.remarks]  # fmt: skip

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for i, unknown in enumerate(self.unknowns):
            low, high = self.interval(unknown.name)
            ends = "at its bound" if self.at_bound[i] else f"{low:.3f} to {high:.3f}"
            prior = f"{unknown.mean:.3f} ± {NINETY * unknown.width:.3f}"
            left = "–" if self.at_bound[i] else f"{100 * self.shrinkage[i]:.0f}"
            rows.append([unknown.name, f"{self.values[i]:.4f}", ends, prior, left])
        headings = ["unknown", "value", "90 % interval", "before", "width left"]
        return [Table(headings, ["", "× build", "", "90 %", "%"], rows)]
