"""What phasing leaves of the work of best phasing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..base.speeds import RPM
from ..chain.factors import by_cycles
from ..chain.pull import Pull

__all__ = ["share_of_best"]

Array = NDArray[np.float64]


def share_of_best(pull: Pull) -> Array:
    """Return indicated work over that with the build's best phasing, along a pull, dimensionless.

    Parameters
    ----------
    pull : Pull
        A pull of a build with typed breathing or on a breathing surface.

    Returns
    -------
    ndarray
        From the surface's cycles with cams, else by the law of `Combustion`; NaN without an answer.
    """
    chain = pull.build.chain
    burn = chain.combustion
    plenum = np.asarray(pull["plenum_pressure"])
    now = np.array([burn.phasing_at(float(p)) if np.isfinite(p) else np.nan for p in plenum])
    surface = chain.breathing.surface
    if not by_cycles(chain) or surface is None:
        factors = [burn.phasing_factor(one) if np.isfinite(one) else np.nan for one in now]
        return np.array(factors, dtype=float)
    exhaust = np.asarray(pull["exhaust_pressure"])
    at = (np.asarray(pull.rpm) * RPM, plenum / exhaust, np.asarray(pull["charge_temperature"]))
    lam = float(chain.injection.lambda_)
    own = np.asarray(surface.work_at(*at, exhaust, now, lam))
    best = np.asarray(surface.work_at(*at, exhaust, burn.best_phasing, lam))
    shares: Array = own / best
    return shares
