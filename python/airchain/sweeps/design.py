"""Designs of experiments: samples of several inputs at once, as one axis of a sweep."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..base.extras import extra
from ..chain.build import Build
from .distributions import Distribution, Recorded
from .lanes import is_lane
from .lanes import numbers as numbers_of

__all__ = ["Design", "design"]

Array = NDArray[np.float64]
_METHODS = ("sobol", "latin hypercube", "random")
#: Most samples of one design: the sweep holds a number or a build for each.
_MOST = 1_000_000


@dataclass(frozen=True)
class Design:
    """Samples of several inputs; made by `design`, and an axis of `sweep`.

    Attributes
    ----------
    inputs : mapping
        A distribution by input, or recorded rows by a name of their own.
    count : int
        Number of samples [dimensionless].
    method : str
        How they are drawn.
    seed : int
        What makes them repeatable [dimensionless].
    """

    inputs: Mapping[str, Distribution | Recorded]
    count: int
    method: str
    seed: int

    @property
    def paths(self) -> list[str]:
        """Every input that is moved."""
        return [
            path
            for name, one in self.inputs.items()
            for path in (one.rows if isinstance(one, Recorded) else [name])
        ]

    def __len__(self) -> int:
        return self.count

    @cached_property
    def shares(self) -> Mapping[str, Array]:
        """Where each sample lies in each distribution, between 0 and 1 [dimensionless]."""
        qmc = extra("scipy.stats.qmc")
        width = len(self.inputs)
        if self.method == "sobol":
            # A whole power of two is balanced; what is left over is not used.
            power = int(np.ceil(np.log2(self.count)))
            drawn = qmc.Sobol(width, rng=self.seed).random_base2(power)[: self.count]
        elif self.method == "latin hypercube":
            drawn = qmc.LatinHypercube(width, rng=self.seed).random(self.count)
        else:
            drawn = np.random.default_rng(self.seed).random((self.count, width))
        # An end of 0 or 1 lies at infinity on a normal distribution.
        drawn = np.clip(drawn, 1e-12, 1.0 - 1e-12)
        return dict(zip(self.inputs, drawn.T, strict=True))

    def _rows(self, name: str) -> NDArray[np.int64]:
        """Which recorded row each sample takes."""
        one = self.inputs[name]
        assert isinstance(one, Recorded)
        length = len(next(iter(one.columns().values())))
        return np.minimum((self.shares[name] * length).astype(np.int64), length - 1)

    def numbers(self, build: Build) -> dict[str, Array]:
        """Return the samples of inputs that are fields of stations.

        Parameters
        ----------
        build : Build
            The build.

        Returns
        -------
        dict
            Values by path [SI; rpm where the path is called so].

        Raises
        ------
        InputError
            A value is refused.
        """
        found: dict[str, Array] = {}
        for name, one in self.inputs.items():
            if isinstance(one, Recorded):
                for path, values in one.columns().items():
                    if is_lane(build, path):
                        found[path] = numbers_of(build, path, values)[self._rows(name)]
            elif is_lane(build, name):
                found[name] = one.samples(build, name, self.shares[name])[0]
        return found

    def typed(self, build: Build, path: str) -> list[str | float]:
        """Return the samples of an input as they are typed into the build.

        Parameters
        ----------
        build : Build
            The build.
        path : str
            The input.

        Returns
        -------
        list
            Texts with units, or plain numbers [as typed].
        """
        for name, one in self.inputs.items():
            if isinstance(one, Recorded) and path in one.rows:
                column = one.columns()[path]
                return [column[row] for row in self._rows(name)]
        one = self.inputs[path]
        assert isinstance(one, Distribution)
        values, unit = one.samples(build, path, self.shares[path])
        return [f"{value!r} {unit}" if unit else value for value in values.tolist()]

    def shown(self, build: Build) -> dict[str, tuple[NDArray[np.generic], dict[str, str]]]:
        """Return what stands along the axis: the samples by path, and rows by their name.

        Parameters
        ----------
        build : Build
            The build.

        Returns
        -------
        dict
            Values [SI, or in the unit that is said] and words; those that were drawn say from
            what under ``"sampled"``.
        """
        known = self.numbers(build)
        found: dict[str, tuple[NDArray[np.generic], dict[str, str]]] = {}
        for name, one in self.inputs.items():
            if isinstance(one, Recorded):
                found[name] = (self._rows(name), {"units": "1", "sampled": one.words})
                for path in one.rows:
                    values = known[path] if path in known else np.array(self.typed(build, path))
                    found[path] = (values, {})
                continue
            values, unit = one.samples(build, name, self.shares[name])
            said = {"sampled": one.words}
            found[name] = (values, said if name in known else said | {"units": unit or "1"})
        return found


def design(
    inputs: Mapping[str, Distribution | Recorded],
    count: int,
    *,
    method: str = "sobol",
    seed: int = 0,
) -> Design:
    """Draw samples of several inputs at once, to be an axis of a sweep.

    Parameters
    ----------
    inputs : mapping
        By input, as `sweep` names them, how it scatters: `Even`, `Normal` or `Toleranced`. By a
        name of their own, `Recorded` rows of several inputs that belong together.
    count : int
        Number of samples, dimensionless; a power of two suits ``"sobol"`` best.
    method : str
        ``"sobol"``, the most even; ``"latin hypercube"``; or ``"random"``.
    seed : int
        The same seed draws the same samples, dimensionless.

    Returns
    -------
    Design
        The samples.

    Raises
    ------
    InputError
        There is no such method, or no input or count that can be.

    Examples
    --------
    >>> from airchain.sweeps import Even, Toleranced
    >>> drawn = design({"cooler.effectiveness": Even(0.8, 1.0),
    ...                 "throttle.diameter": Toleranced("2.25 in", "0.01 in")}, 64)
    >>> grid = airchain.sweep(build, {"sample": drawn, "rpm": [6000]}, ["power"])
    >>> dict(grid.sizes)
    {'sample': 64, 'rpm': 1}
    """
    if method not in _METHODS:
        rule = f"be one of {', '.join(_METHODS)}"
        raise refusal("design", "method", quoted(method), rule, suggestion(method, list(_METHODS)))
    if not inputs:
        raise refusal("design", "inputs", "{}", "name at least one input")
    for name, one in inputs.items():
        if not isinstance(one, Distribution | Recorded):
            rule = "be Even, Normal, Toleranced or Recorded"
            raise refusal("design", name, quoted(one), rule, "a plain list is an axis of its own")
        if isinstance(one, Recorded):
            one.columns()
    if isinstance(count, bool) or not isinstance(count, int) or not 2 <= count <= _MOST:
        raise refusal("design", "count", quoted(count), f"be a whole number from 2 to {_MOST:,}")
    return Design(dict(inputs), count, method, seed)
