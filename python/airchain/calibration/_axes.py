"""Where the cells of a calibration lie: engine speeds and plenum pressures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.speeds import RPM
from ..chain.build import Build
from ..units.convert import to_si
from ._paths import Path
from ._surface import volumetric_efficiency
from .tables import check_axis

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

Array = NDArray[np.float64]
_FIRST = 1000.0  # rpm
#: Speeds are tried this far apart [rpm], and lie at most so far apart.
_TRIED, _APART = 50.0, 500.0
#: How far straight lines between columns may be off the engine [dimensionless].
_STRAIGHT = 0.01
#: Pressures [Pa] lie closer where the flow of the overlap turns about with the pressure across it.
_LOWEST, _CLOSE_TO, _CLOSE, _WIDE = 40e3, 120e3, 10e3, 20e3
#: How far above the highest pressure run the tables reach (common practice, no source).
_BEYOND = 1.1


def axes_of(
    base: Build,
    paths: Sequence[Path],
    rpm: ArrayLike | None,
    pressure: ArrayLike | Sequence[str] | None,
    reference: float,
) -> tuple[Array, Array]:
    """Return engine speeds [rpm] and plenum pressures [Pa], as typed or as the engine asks for."""
    top = max(float(np.nanmax(p.pressure)) for p in paths if p.solved)
    close = np.arange(_LOWEST, min(_CLOSE_TO, _BEYOND * top + _CLOSE), _CLOSE)
    wide = np.append(close, np.arange(_CLOSE_TO, _BEYOND * top + _WIDE, _WIDE))
    # Cells are computed where the files say they are.
    down = np.round(wide if pressure is None else _pressures(pressure), -2)
    check_axis("calibrate", "pressure", down)
    speeds = _speeds(base, down, reference) if rpm is None else np.array(rpm, dtype=float)
    across = np.round(speeds)
    check_axis("calibrate", "rpm", across)
    return across, down


def _pressures(typed: ArrayLike | Sequence[str]) -> Array:
    """Pressures [Pa] that are typed as numbers in SI or as texts with their unit."""
    values = np.asarray(typed, dtype=object).ravel()
    return np.array(
        [to_si(p, "pressure", where="calibrate", field="pressure") if isinstance(p, str) else p
         for p in values], dtype=float)  # fmt: skip


def _speeds(base: Build, pressure: Array, reference: float) -> Array:
    """Return speeds whose straight lines follow the waves in the engine's pipes."""
    last = _TRIED * np.ceil(base.redline / RPM / _TRIED)
    tried = np.arange(min(_FIRST, last - _TRIED), last + 1.0, _TRIED)
    grid = np.meshgrid(tried, pressure)
    filling = volumetric_efficiency(base.chain, *grid, reference)
    taken = [0]
    while taken[-1] < tried.size - 1:
        first = taken[-1]
        furthest = min(first + int(_APART / _TRIED), tried.size - 1)
        reach = first + 1
        while reach < furthest and _straight(filling[:, first : reach + 2]):
            reach += 1
        taken.append(reach)
    return tried[taken]


def _straight(rows: Array) -> bool:
    """Say whether straight lines from the first to the last column meet those between."""
    share = np.linspace(0.0, 1.0, rows.shape[1])
    lines = rows[:, :1] * (1.0 - share) + rows[:, -1:] * share
    return bool(np.abs(lines / rows - 1.0).max() <= _STRAIGHT)
