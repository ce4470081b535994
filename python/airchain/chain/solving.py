"""The chain solved over engine speeds, and the speeds of a pull that names none."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM, checked_speeds

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from .build import Build

Array = NDArray[np.float64]

__all__ = ["default_speeds", "solve"]


def default_speeds(build: Build) -> Array:
    """Return the engine speeds [rpm] of a pull that names none.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    ndarray
        Every 200 rpm from 3000 rpm (or 40 % of redline, where that is lower) to redline.
    """
    redline = build.redline / RPM
    first = min(3000.0, 0.4 * redline)
    return np.append(np.arange(first, redline - 1.0, 200.0), redline)


def solve(chain: _core.Chain, rpm: ArrayLike, *, threads: int = 0) -> dict[str, Array]:
    """Solve a chain over engine speeds.

    Parameters
    ----------
    chain : Chain
        The stations.
    rpm : array_like
        Engine speeds [rpm].
    threads : int
        Threads, dimensionless; 0 for as many as there are processors.

    Returns
    -------
    dict
        Every column of the result, SI.

    Raises
    ------
    InputError
        The speeds are empty, not finite or not positive, or the chain is refused.
    """
    axes = {"engine_speed": checked_speeds(rpm) * RPM}
    columns: dict[str, Array] = _core.solve(chain, axes, threads=threads)
    return columns
