"""A chain with fitted unknowns, and the readings and priors that they rest on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..chain.build import Build
from ..chain.changes import Factors
from .parameters import Unknown, factors_of
from .problem import Problem

Array = NDArray[np.float64]
#: Half a 90 % interval over the standard deviation of a normal distribution.
NINETY = 1.6448536269514722


@dataclass(frozen=True, eq=False, repr=False)
class FittedChain:
    """A build's chain with fitted unknowns.

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
        Covariance of the fitted unknowns: their variances, and how they go together
        [dimensionless]. One at its bound counts as if the bound were not there.
    at_bound : ndarray of bool
        Which unknowns stand at a bound [dimensionless]; their interval is one-sided.
    remarks : tuple of str
        What was left out or assumed when the pulls were prepared.
    problem : Problem
        Readings, priors and the chain's own error that the fit rests on.
    z : ndarray
        How far each unknown moved from its prior mean, in widths of its prior [dimensionless].
    slopes : sequence of ndarray
        By channel, how much each reading moves when an unknown moves by its prior's width [SI].
    computed : sequence of ndarray
        By channel, what the fitted chain gives at each reading [SI].
    """

    build: Build
    parameters: tuple[str, ...]
    values: Array
    covariance: Array
    at_bound: NDArray[np.bool_]
    remarks: tuple[str, ...]
    problem: Problem
    z: Array
    slopes: Sequence[Array]
    computed: Sequence[Array]

    @property
    def unknowns(self) -> tuple[Unknown, ...]:
        """The unknowns with their priors; a shape over engine speed is several of them."""
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
        """Correlations of the unknowns [dimensionless]."""
        sd = np.sqrt(np.diag(self.covariance))
        correlations: Array = self.covariance / np.outer(sd, sd)
        return correlations

    def interval(self, name: str) -> tuple[float, float]:
        """Return the 90 % interval of an unknown: nine times of ten the true value lies in it.

        Parameters
        ----------
        name : str
            One of `names`.

        Returns
        -------
        tuple of float
            Its ends [dimensionless]; where it would pass a bound, it ends there.

        Raises
        ------
        InputError
            It was not fitted.
        """
        i = self._index(name)
        half = NINETY * float(np.sqrt(self.covariance[i, i]))
        value, unknown = float(self.values[i]), self.unknowns[i]
        return max(value - half, unknown.low), min(value + half, unknown.high)

    def before(self, name: str) -> float:
        """Return how far the build's own figure was trusted before the fit, half a 90 % interval.

        Parameters
        ----------
        name : str
            One of `names`.

        Returns
        -------
        float
            Half its width [dimensionless]; it stands around what the build says.
        """
        return NINETY * self.unknowns[self._index(name)].width

    def _index(self, name: str) -> int:
        if name not in self.names:
            rule = "be an unknown of the fit"
            raise refusal("Reconciliation", "name", quoted(name), rule, ", ".join(self.names))
        return self.names.index(name)

    @property
    def shrinkage(self) -> Array:
        """What the fit left of each unknown's doubt, as a share of it [dimensionless].

        That is the standard deviation after the fit over the one before it; 1 where nothing was
        learnt.
        """
        shrinkage: Array = np.sqrt(np.diag(self.covariance)) / self.problem.widths
        return shrinkage

    @property
    def factors(self) -> Factors:
        """What was fitted, as a change of a build."""
        return Factors(factors_of(self.unknowns, self.values))

    def fitted_build(self, level: str = "") -> Build:
        """Return the build as the fit found it, ready to be pulled on any level.

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
        by_pull = {}
        for c, f in zip(self.problem.channels, self.computed, strict=True):
            if c.name == channel:
                for k, run in enumerate(self.problem.runs):
                    rows = c.run == k
                    if rows.any():
                        by_pull[f"{k + 1} {run.name}"] = (c.own.rpm[rows], c.y[rows] - f[rows])
        return by_pull

    @property
    def channels(self) -> tuple[str, ...]:
        """Channels that the fit used."""
        return tuple(c.name for c in self.problem.channels)
