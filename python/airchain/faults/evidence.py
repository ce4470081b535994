"""How well a fault explains a pull: the chance of its readings, unknowns and errors integrated out.

All pulls stand in one linear model of Gaussian errors: with y the readings, f the chain at the
unknowns z0, S its slopes, e(s) what a fault of size s adds and C the covariance of all errors,

    y = f(z0) + S (z - z0) + e(s) + error,   z ~ N(0, 1)

so that with A = L^-1 S, b = L^-1 (y - f + S z0), E = L^-1 e, L L' = C and H = 1 + A'A

    -2 ln p(y | s) = |b - E|^2 - (A'(b - E))' H^-1 A'(b - E) + ln det H + const

The size is integrated over a prior alike in its logarithm. z0 is the posterior mean under the fault
itself, found by going twice. (Bayes factors: Kass and Raftery, J. Am. Stat. Assoc. 90, 1995.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve, solve_triangular

from ..fit.problem import Problem
from .forms import Form, between
from .scene import Scene

Array = NDArray[np.float64]
#: Places over the logarithm of a size at which its chance is told.
_PLACES = 600


@dataclass(frozen=True)
class Readings:
    """All readings of a problem with the Cholesky factor of their joint covariance."""

    problem: Problem
    lower: Array

    @classmethod
    def of(cls, problem: Problem) -> Readings:
        """Return them."""
        return cls(problem, problem.lower)

    def whitened(self, values: Array) -> Array:
        """Return values over their errors, correlations taken out."""
        whitened: Array = solve_triangular(self.lower, values, lower=True, check_finite=False)
        return whitened

    def placed(self, beyond: Mapping[str, Array]) -> Array:
        """Return what a fault adds to the last pull's channels (sizes by rows), over all readings.

        It comes out as readings by sizes.
        """
        pull = len(self.problem.runs) - 1
        count = next(iter(beyond.values())).shape[0]
        blocks = []
        for channel in self.problem.channels:
            block = np.zeros((channel.y.size, count))
            rows = channel.run == pull
            if channel.name in beyond:
                block[rows] = beyond[channel.name][:, channel.row[rows]].T
            blocks.append(block)
        return np.concatenate(blocks)


@dataclass(frozen=True)
class Linear:
    """The chain about one set of unknowns: whitened slopes A, residuals b, and H's factor."""

    readings: Readings
    z: Array
    A: Array
    b: Array
    H: tuple[Array, bool]

    @classmethod
    def about(cls, readings: Readings, z: Array) -> Linear:
        """Return it about z."""
        problem = readings.problem
        slopes = np.concatenate(problem.slopes(z))
        f = np.concatenate(problem.computed(z))
        y = np.concatenate([c.y for c in problem.channels])
        lost = ~np.isfinite(f)
        A = readings.whitened(slopes)
        b = readings.whitened(np.where(lost, 0.0, y - f) + slopes @ z)
        return cls(readings, z, A, b, cho_factor(np.eye(z.size) + A.T @ A))

    def product(self, u: Array, v: Array) -> Array:
        """Return u'v less what the unknowns take up, for whitened columns."""
        taken: Array = u.T @ v - (self.A.T @ u).T @ cho_solve(self.H, self.A.T @ v)
        return taken

    def unknowns(self, e: Array) -> Array:
        """Return the posterior mean of the unknowns with a fault's whitened readings, in bounds."""
        low, high = self.readings.problem.bounds
        mean: Array = np.clip(cho_solve(self.H, self.A.T @ (self.b - e)), low, high)
        return mean

    @property
    def healthy(self) -> float:
        """Logarithm of the readings' chance without a fault, up to a constant of all."""
        b = self.b[:, None]
        return -0.5 * float(self.product(b, b)[0, 0]) - 0.5 * self.volume

    @property
    def volume(self) -> float:
        """Logarithm of the determinant of H."""
        return 2.0 * float(np.sum(np.log(np.diag(self.H[0]))))


@dataclass(frozen=True)
class Weighed:
    """A form weighed: its evidence, its size with a 90 % interval, the unknowns under it.

    `evidence` is a logarithm like `Linear.healthy`, and `peak` that at the likeliest size; `gains`
    are by size what the logarithm would gain on average if that size were true; `beyond` is by
    channel what it adds at its size.
    """

    form: Form
    evidence: float
    peak: float
    size: float
    low: float
    high: float
    unknowns: Array
    sizes: Array
    gains: Array
    whitened: Array
    beyond: dict[str, Array]

    def shown_from(self, gain: float) -> float:
        """Return the smallest size that would gain as much on average; NaN if none would."""
        enough = np.flatnonzero(self.gains >= gain)
        return float(self.sizes[enough[0]]) if enough.size else float("nan")


@dataclass(frozen=True)
class Shape:
    """What a form adds to the readings at a few sizes: by channel, and whitened over all."""

    form: Form
    sizes: Array
    beyond: dict[str, Array]
    whitened: Array


def shape_of(readings: Readings, form: Form, scene: Scene) -> Shape | None:
    """Return what a form adds, None where it has no answer."""
    sizes, beyond = form.nodes(scene)
    if sizes.size < 4 or not beyond or abs(sizes[-1]) < abs(form.smallest):
        return None
    return Shape(form, sizes, beyond, readings.whitened(readings.placed(beyond)))


def weighed(linear: Linear, form: Form, scene: Scene) -> Weighed | None:
    """Return a form weighed against the readings, None where it has no answer."""
    shape = shape_of(linear.readings, form, scene)
    return None if shape is None else weighed_shape(linear, shape)


def weighed_shape(linear: Linear, shape: Shape) -> Weighed:
    """Return a form weighed against the readings by what it adds."""
    form, sizes, E = shape.form, shape.sizes, shape.whitened
    grid = form.smallest * (sizes[-1] / form.smallest) ** np.linspace(0.0, 1.0, _PLACES)
    W = between(sizes, grid)
    b = linear.b[:, None]
    cross = (W @ linear.product(E, b))[:, 0]
    square = np.sum((W @ linear.product(E, E)) * W, axis=1)
    chances = -0.5 * (float(linear.product(b, b)[0, 0]) - 2.0 * cross + square)
    top = float(np.max(chances))
    weights = np.exp(chances - top)
    evidence = top + float(np.log(np.mean(weights))) - 0.5 * linear.volume
    shares = np.cumsum(weights) / np.sum(weights)
    best = int(np.argmax(chances))
    low, high = (float(grid[min(np.searchsorted(shares, q), _PLACES - 1)]) for q in (0.05, 0.95))
    there = {name: W[best] @ rows for name, rows in shape.beyond.items()}
    return Weighed(form, evidence, top - 0.5 * linear.volume, float(grid[best]), low, high,
                   linear.unknowns(E @ W[best]), grid, 0.5 * square, E @ W[best],
                   there)  # fmt: skip
