"""What a fit found: values, intervals, and what the pulls cannot tell."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..chain.build import Build
from ..chain.build_words import surface_words
from ..measured.quantities import QUANTITIES
from ..shown.tables import Shown, Table
from ..shown.words import listed
from .checks import left_out, narrowing
from .comparison import Comparison
from .fit_file import write_fit
from .fitted_chain import NINETY, FittedChain
from .load_drift import Drift
from .odd_pulls import unseen_words
from .plots import plot_residuals, plot_values
from .problem import Problem, covariance_of
from .questions import Answers
from .runs import Run
from .sensors import Sensor
from .solving import problem_of, settled
from .verdicts import correlation_words, far_off, fit_words, judged, pull_words, sensor_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["Reconciliation"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False, repr=False)
class Reconciliation(FittedChain, Shown):
    """A build brought into agreement with measured pulls. Made by `airchain.reconcile`.

    `interval` tells how surely each unknown is known, `fitted_build` gives the build to go on
    with, and `airchain.predict` says what it will do next.
    """

    @classmethod
    def fitted(
        cls, build: Build, runs: Sequence[Run], parameters: Sequence[str],
        sensors: Mapping[str, Sensor], drifts: Sequence[Drift],
    ) -> Reconciliation:  # fmt: skip
        """Return the fit of prepared pulls.

        Parameters
        ----------
        build : Build
            The build before the fit.
        runs : sequence of Run
            The pulls, prepared.
        parameters : sequence of str
            Names of the unknowns.
        sensors : mapping of str to Sensor
            How far each channel is trusted.
        drifts : sequence of Drift
            How each part of the chain errs with load.

        Returns
        -------
        Reconciliation
            The fit.

        Raises
        ------
        InputError
            An unknown is none, or the chain has no answer where a pull was measured.
        """
        problem, remarks = problem_of(build, runs, parameters, sensors, drifts)
        return cls.of(build, *settled(problem), tuple(parameters), remarks)

    @classmethod
    def of(cls, build: Build, problem: Problem, z: Array, parameters: tuple[str, ...],
           remarks: Sequence[str]) -> Reconciliation:  # fmt: skip
        """Return the reconciliation at a solution.

        Parameters
        ----------
        build : Build
            The build before the fit.
        problem : Problem
            Readings and priors.
        z : ndarray
            The solution in prior widths off the prior mean [dimensionless].
        parameters : tuple of str
            Names as they were asked for.
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
        jacobian = np.concatenate([-problem.whitened(slopes), np.eye(z.size)])
        covariance = covariance_of(jacobian)
        scale = np.outer(problem.widths, problem.widths)
        return cls(build, parameters, problem.values(z), covariance * scale, bound, tuple(remarks),
                   problem, z, slopes, problem.computed(z))  # fmt: skip

    def gain_of(self, channel: str) -> float:
        """Return by how much one more sensor would narrow the intervals of the unknowns.

        The sensor is imagined on the pulls that were run, as good as such sensors usually are.

        Parameters
        ----------
        channel : str
            The channel, such as ``"rotor_speed"``.

        Returns
        -------
        float
            Width of the intervals with the sensor over that without it, a mean over the unknowns
            [dimensionless]; below 1 where it helps.

        Raises
        ------
        InputError
            There is no such channel.
        """
        return float(np.mean(narrowing(self, channel)))

    def leave_one_out(self) -> dict[str, Comparison]:
        """Fit again without each pull in turn, and predict the pull that was left out.

        A fit that can be trusted foretells a pull that it has not seen.

        Returns
        -------
        dict
            By number and name of the pull, the `Comparison` of its prediction.

        Raises
        ------
        InputError
            There is only one pull.
        """
        return left_out(self, Reconciliation.fitted)

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write the fit to a TOML file, in one step; `airchain.read_fit` reads it.

        Parameters
        ----------
        path : str or path
            The file; one that is there is replaced, and stays if anything fails.

        Returns
        -------
        pathlib.Path
            The file.
        """
        return write_fit(self, path)

    def plot(self, axes: Axes | None = None, *, system: str = "trade",
             title: str | None = None,
             beside: Sequence[Reconciliation] = ()) -> Figure:  # fmt: skip
        """Draw every unknown with its interval, beside what the build is trusted for.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            One axes to draw in; a new figure without it.
        system : str
            ``"trade"`` or ``"si"``; factors read the same in both.
        title : str, optional
            Title of the picture; the build's name without it.
        beside : sequence of Reconciliation
            Further fits to lay over this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return plot_values([self, *beside], axes, system, title)

    def plot_residuals(self, axes: Sequence[Axes] | None = None, *, system: str = "trade",
                       title: str | None = None,
                       beside: Sequence[Reconciliation] = ()) -> Figure:  # fmt: skip
        """Draw readings less fitted chain against engine speed.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            One axes for each of `channels` to draw in; a new figure without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture.
        beside : sequence of Reconciliation
            Further fits to lay over this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return plot_residuals([self, *beside], axes, system, title)

    @cached_property
    def answers(self) -> Mapping[tuple[int, str], Answers]:
        """By number of the pull from 0 and channel, whether what the fit leaves is offset, shaped
        or scattered.
        """
        return judged(self)

    @property
    def fits(self) -> bool:
        """Whether every channel of every pull agrees with the fitted chain."""
        return not pull_words(self, self.answers)

    @property
    def verdict(self) -> str:
        """Whether the pulls fit, and how many figures stand against how many readings."""
        readings = sum(c.y.size for c in self.problem.channels)
        runs = len(self.problem.runs)
        if runs == 1:
            found = "the pull fits" if self.fits else "the pull does not fit"
        else:
            found = f"the {runs} pulls {'fit' if self.fits else 'do not all fit'}"
        if any("was left out" in remark for remark in self.remarks):
            found += ", without what was left out"
        if self.fits and (far := far_off(self)):
            found += f", but only with {listed(far)} far from the build's own"
        channels = listed([QUANTITIES[name].words for name in self.channels])
        return (
            f"{self.build.name}: {found}. {len(self.values)} figures of the build were "
            f"fitted to {readings:,} readings of {channels}."
        )

    @property
    def notes(self) -> list[str]:
        """What is and is not known, in sentences."""
        pulls = pull_words(self, self.answers)
        return [*fit_words(self), *correlation_words(self), *pulls, *sensor_words(self),
                *unseen_words(self), *self.remarks, *surface_words(self.build)]  # fmt: skip

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for i, unknown in enumerate(self.unknowns):
            low, high = self.interval(unknown.name)
            ends = f"{low:.3f} to {high:.3f}{', its bound' if self.at_bound[i] else ''}"
            prior = f"{unknown.mean:.3f} ± {NINETY * unknown.width:.3f}"
            left = f"{100 * self.shrinkage[i]:.0f}"
            rows.append([unknown.name, f"{self.values[i]:.4f}", ends, prior, left])
        headings = ["unknown", "value", "90 % interval", "before", "width left"]
        return [Table(headings, ["", "× build", "", "90 %", "%"], rows)]
