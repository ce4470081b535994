"""Several sensors of one quantity: those that are dead are left out of their mean."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Column = NDArray[np.float64]
_FEW = 8
#: Quantities of which as many probes or more stand one behind each cylinder.
OF_A_CYLINDER, FEWEST_CYLINDERS = ("exhaust_temperature", "lambda"), 3
# A probe that reads this far from the others, as a share of their level, is not in the same gas.
_FAR = {"exhaust_temperature": 0.35, "lambda": 0.35}


def mean_of_probes(
    name: str, probes: Sequence[Column], loaded: NDArray[np.bool_]
) -> tuple[Column, list[tuple[int, str]]]:
    """Return the mean of the probes that live, and by number why others were left out.

    A probe is dead when it reads nothing, never moves while others do, or stands far from the
    middle of all under load. Where a single reading of a living probe is missing, the others of
    that row are averaged.
    """
    dead: list[tuple[int, str]] = []
    moving = [probe for probe in probes if _moves(probe)]
    levels = [_level(probe, loaded) for probe in probes]
    middle = float(np.nanmedian(levels)) if np.isfinite(levels).any() else float("nan")
    if len(probes) == 2 and np.isfinite(levels).all():
        middle = max(levels)  # a dead thermocouple reads the room, never more than the gas
    for number, (probe, level) in enumerate(zip(probes, levels, strict=True)):
        if not np.isfinite(probe).any():
            dead.append((number, "holds no reading"))
        elif len(moving) and not _moves(probe):
            dead.append((number, f"never moves from {probe[np.isfinite(probe)][0]:g}"))
        elif abs(level - middle) > _FAR.get(name, 0.35) * abs(middle):
            dead.append((number, f"reads {level:g} where the others read {middle:g}"))
    living = [probe for i, probe in enumerate(probes) if i not in {n for n, _ in dead}]
    if not living:
        living, dead = list(probes), []
    stacked = np.array(living)
    read = np.isfinite(stacked)
    counts = read.sum(axis=0)
    sums = np.where(read, stacked, 0.0).sum(axis=0)
    return np.where(counts > 0, sums / np.maximum(counts, 1), np.nan), dead


def _moves(probe: Column) -> bool:
    read = probe[np.isfinite(probe)]
    return bool(read.size < _FEW or np.ptp(read) > 0.0)


def _level(probe: Column, loaded: NDArray[np.bool_]) -> float:
    read = probe[loaded & np.isfinite(probe)]
    read = read if read.size else probe[np.isfinite(probe)]
    return float(np.median(read)) if read.size else float("nan")
