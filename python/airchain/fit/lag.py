"""How fast what a sensor reads changes along a sweep, which is what its lag acts on."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .runs import Run

Array = NDArray[np.float64]


def change_a_second(run: Run, values: Array) -> Array:
    """Return how fast a computed column changes along the sweep [SI a second]."""
    if run.rpm.size < 2 or not run.rates.any():
        return np.zeros(run.rpm.size)
    rpm = run.rpm + 1e-9 * np.arange(run.rpm.size)
    return np.nan_to_num(np.gradient(values, rpm) * run.rates)
