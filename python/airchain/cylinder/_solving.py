"""Operating points of an engine: from typed conditions to the columns the core makes of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.speeds import RPM, checked_speeds
from ..typed.place import Typed
from ._typed import Values, many, need, table, told

if TYPE_CHECKING:
    from .crank_engine import CrankEngine

Array = NDArray[np.float64]

#: What an operating point is made of: the argument's quantity kind and the core's name.
POINT = {
    "rpm": ("speed", "speed"),
    "plenum_pressure": ("pressure", "plenum_pressure"),
    "exhaust_pressure": ("pressure", "exhaust_pressure"),
    "plenum_temperature": ("temperature", "plenum_temperature"),
    "half_burned": ("angle", "half_burned"),
    "spark": ("angle", "spark"),
    "collector_temperature": ("temperature", "collector_temperature"),
}
_USUAL = _core.CyclePoint(
    speed=400.0, plenum_pressure=1e5, plenum_temperature=305.0, exhaust_pressure=1e5
)


class HasSetup(Protocol):
    """What is asked of an engine whose points are put together."""

    @property
    def setup(self) -> _core.CycleSetup:
        """One cylinder."""


def conditions(engine: CrankEngine, typed: Mapping[str, Typed]) -> dict[str, Values]:
    """Return conditions as SI numbers or rows, rpm as such, with defaults for what is left out."""
    table(typed, "points", tuple(POINT))
    need(typed, "points", "rpm", "plenum_pressure", "exhaust_pressure")
    if "spark" in typed and "half_burned" in typed:
        hint = "half_burned is given too; remove one of them"
        raise refusal("points", "spark", quoted(typed["spark"]), "stand alone", hint)
    si_values = {n: many(v, POINT[n][0], "points", n) for n, v in typed.items() if n != "rpm"}
    si_values = {"rpm": _speeds(typed["rpm"]), **si_values}
    si_values.setdefault("plenum_temperature", _USUAL.plenum_temperature)
    if "spark" not in si_values:
        si_values.setdefault("half_burned", engine.setup.burn.half_burned)
    return si_values


def _speeds(typed: Any) -> Values:
    """Engine speeds [rpm] from bare rpm or texts with a unit."""
    row = typed if isinstance(typed, Sequence | np.ndarray) and not isinstance(typed, str) else None
    if isinstance(typed, str) or (row is not None and len(row) and isinstance(row[0], str)):
        typed = many(typed, "speed", "points", "rpm") / RPM
    speeds = checked_speeds(typed, "points")
    return float(speeds[0]) if np.ndim(typed) == 0 else speeds


def rows_of(given: Mapping[str, Values]) -> dict[str, Array]:
    """Return conditions as rows of one length; single values hold for all."""
    rows = {n: np.atleast_1d(v) for n, v in given.items()}
    length = max(len(v) for v in rows.values())
    for name, row in rows.items():
        if len(row) not in (1, length):
            rule = f"be one or {length}, as many as the longest of the others"
            raise refusal("points", name, f"{len(row)} values", rule)
    return {n: np.broadcast_to(v, (length,)) for n, v in rows.items()}


def grid_of(
    given: Mapping[str, Values], order: Sequence[str]
) -> tuple[dict[str, Array], Mapping[str, Array | NDArray[np.int_]]]:
    """Return conditions over every combination of the rows named, and the axes."""
    axes = {n: np.asarray(given[n]) for n in order if np.ndim(given[n])}
    mesh = np.meshgrid(*axes.values(), indexing="ij")
    shape = mesh[0].shape if mesh else (1,)
    over = dict(zip(axes, mesh, strict=True))
    rows = {n: over[n] if n in over else np.full(shape, v) for n, v in given.items()}
    return rows, axes or {"point": np.arange(1)}


def core_points(
    engine: HasSetup, given: Mapping[str, Values]
) -> tuple[_core.CycleSetup, dict[str, Array]]:
    """Return the cylinder, phased as the points are, and their columns in SI."""
    columns = {POINT[n][1]: np.asarray(v, dtype=float).ravel() for n, v in given.items()}
    columns["speed"] = columns["speed"] * RPM
    setup = engine.setup
    if "collector_temperature" in given:
        setup = setup.replace(collector="held")
    if "spark" in given:
        columns["spark"] = -columns["spark"]  # typed before top centre, as the trade tells it
        setup = setup.replace(phasing="spark")
    return setup, columns


def solve(
    engine: CrankEngine,
    rows: Mapping[str, Array],
    controls: _core.CycleControls | None = None,
    threads: int = 0,
    progress: Callable[[int], None] | None = None,
) -> dict[str, Array]:
    """Return every column of the core, and its status, in the shape of the rows."""
    setup, columns = core_points(engine, rows)
    shape = np.shape(rows["rpm"])
    solved = told(
        "points", _core.run_cycles, setup, columns, controls or _core.CycleControls(),
        threads=threads, progress=progress,
    )  # fmt: skip
    return {name: np.reshape(values, shape) for name, values in solved.items()}
