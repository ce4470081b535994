"""Which rows of a log were taken under load, and in which the throttle was shut."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .limits import under_load
from .segments import segments

Column = NDArray[np.float64]
Mask = NDArray[np.bool_]
_NO_OUTPUT = 0.1  # of what is made under load
_MOST_LOOKED_AT = 20_000  # rows: of a longer log some are looked at
_BEGUN = (0.08, 0.25)  # share of a sweep's rows: its very first may be idle ones


class Load(NamedTuple):
    """Rows under load, rows with the throttle shut, and the first rows under load of each sweep."""

    loaded: Mask
    shut: Mask
    begun: Mask


def load_of(torque: Column, speed: Column, time: Column) -> Load:
    """Return what torque or power tell of the load, in the log's own numbers; else the sweeps.

    Where neither is known, the engine is taken to pull while its speed rises in a sweep.
    """
    if np.isfinite(torque).any():
        loaded = under_load(torque, speed)
        most = float(np.nanpercentile(torque, 95))
        with np.errstate(invalid="ignore"):
            shut = np.asarray(torque < _NO_OUTPUT * most) if most > 0.0 else np.zeros_like(loaded)
        return Load(loaded, shut, loaded)
    rising, begun = _sweeps(speed, time)
    loaded = under_load(None, np.where(rising, speed, np.nan))
    return Load(loaded, np.isfinite(speed) & ~rising, begun)


def _sweeps(speed: Column, time: Column) -> tuple[Mask, Mask]:
    """Return the rows in sweeps upwards, or downwards where there are no others; and the first."""
    known = np.flatnonzero(np.isfinite(speed))
    rising, begun = np.zeros(speed.size, dtype=bool), np.zeros(speed.size, dtype=bool)
    if known.size < 2:
        return rising | True, begun
    every = max(1, known.size // _MOST_LOOKED_AT)
    steps = np.diff(time[np.isfinite(time)])
    if steps.size and np.mean(steps < 0.0) > 0.9:  # the newest row stands first
        known = known[::-1]
    looked_at = known[::every]
    pieces = segments(speed[looked_at], None)
    pieces = [piece for piece in pieces if piece.up] or pieces
    for piece in pieces:
        rows = known[piece.first * every : piece.last * every]
        rising[rows] = True
        begun[rows[int(_BEGUN[0] * rows.size) : 1 + int(_BEGUN[1] * rows.size)]] = True
    return (rising if rising.any() else rising | True), begun
