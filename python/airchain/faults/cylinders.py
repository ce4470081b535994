"""Which cylinder is down, from what was read behind each of them.

Cylinders of a sound engine differ: a probe's place, runners and mixture spread exhaust temperature
by 20 K and lambda by 3 %, standard deviations (common practice, no source). One that does not fire
lies far below the others in temperature, or far on the lean side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..base.errors import quoted, refusal

Array = NDArray[np.float64]
#: By quantity: spread of sound cylinders, least and largest of what a weak one differs by; lambda's
#: as shares of the mean [K, dimensionless].
_SPREADS = {"exhaust_temperature": (20.0, -60.0, -500.0), "lambda": (0.03, 0.08, 0.6)}
_LEAST = 3
_PLACES = 80


@dataclass(frozen=True)
class Weakest:
    """The cylinder that lies furthest off the others, from 1, and how well that is known.

    `log_odds` is the logarithm of the Bayes factor of one cylinder down against none; `share` the
    chance that it is this one if one is.
    """

    number: int
    log_odds: float
    share: float


def checked_cylinders(given: Mapping[str, ArrayLike] | None, rows: int) -> dict[str, Array]:
    """Return readings by cylinder as arrays, cylinders by rows, or refuse them."""
    by_cylinder = {}
    for name, values in (given or {}).items():
        if name not in _SPREADS:
            rule = "be " + " or ".join(_SPREADS)
            raise refusal("diagnose", "by_cylinder", quoted(name), rule)
        read = np.asarray(values, dtype=float)
        if read.ndim != 2 or read.shape[0] < _LEAST or read.shape[1] != rows:
            rule = f"hold three cylinders or more by the pull's {rows} rows"
            raise refusal("diagnose", f"by_cylinder.{name}", f"shape {read.shape}", rule)
        by_cylinder[name] = read
    counts = {values.shape[0] for values in by_cylinder.values()}
    if len(counts) > 1:
        rule = "hold as many cylinders in each quantity"
        raise refusal("diagnose", "by_cylinder", ", ".join(map(str, counts)), rule)
    return by_cylinder


def weakest(by_cylinder: Mapping[str, Array]) -> Weakest | None:
    """Return the weakest cylinder, None where nothing was read by cylinder."""
    odds = []
    for name, values in by_cylinder.items():
        spread, least, most = _SPREADS[name]
        with np.errstate(invalid="ignore"):
            means = np.nanmean(values, axis=1)
        if not np.isfinite(means).all():
            continue
        scale = float(np.median(means)) if name == "lambda" else 1.0
        odds.append(_log_odds(means / scale, spread, least, most))
    if not odds:
        return None
    each = np.sum(odds, axis=0)
    top = float(each.max())
    chances = np.exp(each - top)
    return Weakest(int(np.argmax(each)) + 1, top + float(np.log(np.mean(chances))),
                   float(chances.max() / chances.sum()))  # fmt: skip


def _log_odds(means: Array, spread: float, least: float, most: float) -> Array:
    """Return for each cylinder the logarithm of its Bayes factor of being off, against none."""
    count = means.size
    sizes = least * (most / least) ** np.linspace(0.0, 1.0, _PLACES)
    # About their common mean, which is unknown: n - 1 degrees of freedom.
    d = means - means.mean()
    odds = np.empty(count)
    for k in range(count):
        pattern = -np.ones(count) / count
        pattern[k] += 1.0
        gains = (sizes * (pattern @ d) - 0.5 * sizes**2 * (pattern @ pattern)) / spread**2
        top = float(gains.max())
        odds[k] = top + np.log(np.mean(np.exp(gains - top)))
    return odds
