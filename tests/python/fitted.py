"""A fit to one synthetic pull of each level, made once for all tests that look at it."""

from functools import cache

import numpy as np

import airchain
from airchain.fit.reconciliation import Reconciliation
from independent_chain import Truth
from synthetic_pulls import UNKNOWNS, build, measured, structure


def pull(level: str, seed: int, real: Truth | None = None) -> airchain.MeasuredPull:
    """A synthetic pull; one engine has the same structural error at every seed."""
    own = structure(np.random.default_rng(7))
    return measured(real or Truth(), level, np.random.default_rng(seed), own, 60)


@cache
def both() -> Reconciliation:
    """A fit to one pull of each level."""
    return airchain.reconcile(build(), {"tame": pull("tame", 1), "full": pull("full", 2)}, UNKNOWNS)
