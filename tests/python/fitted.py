"""A fit to one synthetic pull of each level, made once for all tests that look at it."""

from functools import cache

import numpy as np

import airchain
from airchain.fit.reconciliation import Reconciliation
from independent_chain import Truth
from synthetic_pulls import UNKNOWNS, build, measured, structure

# The synthetic air meter scatters by as much at any flow.
ACCURACY = {"air_flow": {"least_noise": 0.004}}


def pull(level: str, seed: int, real: Truth | None = None) -> airchain.MeasuredPull:
    """A synthetic pull; one engine has the same structural error at every seed."""
    own = structure(np.random.default_rng(7))
    return measured(real or Truth(), level, np.random.default_rng(seed), own, 60)


@cache
def both() -> Reconciliation:
    """A fit to one pull of each level."""
    pulls = {"tame": pull("tame", 1), "full": pull("full", 2)}
    return airchain.reconcile(build(), pulls, UNKNOWNS, accuracy=ACCURACY)
