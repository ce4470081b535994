"""Operating points of every cylinder: trims as typed, kinds of cylinders, and the core's run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal, told_as
from ..base.errors import InputError
from ..typed.place import Typed
from . import _solving as solving
from ._typed import many
from .every_cylinder import CylinderPoints
from .waves import PressureWaves

if TYPE_CHECKING:
    from .crank_engine import CrankEngine

Array = NDArray[np.float64]
_NO_ORDER = (
    "one cylinder stands for all of this engine: type its firing_order, and its plenum and "
    "collectors where they are to answer"
)
#: What trims of fuel may be, over equal amounts.
_LEAST, _MOST = -0.5, 0.5


def typed_trims(
    engine: CrankEngine, fuel: Typed, spark_trim: Typed, controls: _core.CycleControls | None
) -> dict[str, Any]:
    """Return how a whole engine's points are asked for, checked."""
    if engine.layout is None:
        raise refusal("every_cylinder", "engine", engine.name, "have a firing order", _NO_ORDER)
    count = engine.cylinders
    trims: tuple[float, ...] | None = None
    if spark_trim is not None:
        trims = _each(spark_trim, "angle", "spark_trim", count)
    shares: tuple[float, ...] | None = None
    if isinstance(fuel, str) and fuel in ("trimmed", "equal"):
        shares = None if fuel == "trimmed" else (0.0,) * count
    elif isinstance(fuel, str):
        rule = 'be "trimmed", "equal" or one trim for each cylinder'
        raise refusal("every_cylinder", "fuel", quoted(fuel), rule)
    else:
        shares = _each(fuel, "dimensionless", "fuel", count)
        if not all(_LEAST <= share <= _MOST for share in shares):
            rule = f"be trims between {_LEAST:g} and {_MOST:g} of the mean amount"
            raise refusal("every_cylinder", "fuel", quoted(list(shares)), rule)
    return {"fuel": shares, "spark_trim": trims, "controls": controls, "threads": 0}


def _each(values: Typed, kind: str, name: str, count: int) -> tuple[float, ...]:
    row = np.atleast_1d(many(values, kind, "every_cylinder", name))
    if row.size != count:
        rule = f"be one for each of the {count} cylinders"
        raise refusal("every_cylinder", name, f"{row.size} values", rule)
    return tuple(float(v) for v in row)


def solve_cylinders(
    engine: CrankEngine,
    conditions: Mapping[str, Array],
    typed: Mapping[str, Any],
    progress: Callable[[int], None] | None,
) -> CylinderPoints:
    """Return the points, each cylinder with the mixture that its fuel and its air make.

    With fuel of its own a cylinder's mixture follows from its air, which is found with the mixture
    of all: the points are solved twice. The mixture moves the air by next to nothing.
    """
    aim = float(getattr(engine.setup.mixture, "lambda"))
    shape = (len(conditions["rpm"]), engine.cylinders)
    mixture = np.full(shape, aim)
    fuel = typed["fuel"]
    first = None if fuel is not None and progress is None else progress
    solved = _run(engine, conditions, mixture, typed, first if fuel is None else None)
    if fuel is not None:
        fresh = np.asarray(solved["fresh_mass"])
        mixture = aim * fresh / np.mean(fresh, axis=1, keepdims=True) / (1.0 + np.array(fuel))
        mixture = np.where(np.isfinite(mixture), mixture, aim)
        solved = _run(engine, conditions, mixture, typed, progress)
    return CylinderPoints(engine, conditions, solved, mixture, typed)


def _run(
    engine: CrankEngine,
    conditions: Mapping[str, Array],
    mixture: Array,
    typed: Mapping[str, Any],
    progress: Callable[[int], None] | None,
    traced: bool = False,
) -> dict[str, Any]:
    """Solve points that share their mixtures at once."""
    same = bool(np.all(mixture == mixture[0]))
    batches = [np.arange(len(mixture))] if same else [np.array([i]) for i in range(len(mixture))]
    parts, done = [], 0
    for batch in batches:
        given = {name: np.asarray(values)[batch] for name, values in conditions.items()}
        before = done
        told = None if progress is None else lambda n, before=before: progress(before + n)
        parts.append(_solved(engine, given, mixture[batch[0]], typed, told, traced))
        done += len(batch)
    whole = {
        name: np.concatenate([part[name] for part in parts])
        for name in parts[0]
        if name != "traces"
    }
    if traced:
        whole["traces"] = [rows for part in parts for rows in part["traces"]]
    return whole


def _solved(
    engine: CrankEngine,
    conditions: Mapping[str, Array],
    mixture: Array,
    typed: Mapping[str, Any],
    progress: Callable[[int], None] | None,
    traced: bool,
) -> dict[str, Any]:
    layout = engine.layout
    assert layout is not None  # `typed_trims` has refused an engine without
    setup, columns = solving.core_points(engine, conditions)
    pipes = zip(
        layout.runner_lengths or (setup.intake.taper.length,) * engine.cylinders,
        layout.primary_lengths or (setup.exhaust.taper.length,) * engine.cylinders,
        map(float, mixture),
        strict=True,
    )
    as_told = list(pipes)
    known = list(dict.fromkeys(as_told))
    later = [] if typed["spark_trim"] is None else [-t for t in typed["spark_trim"]]
    try:
        return dict(
            _core.run_engines(
                [_kind(setup, *one) for one in known],
                [known.index(one) for one in as_told],
                layout.firing,
                layout.collector,
                layout.plenum,
                layout.collectors,
                columns,
                later,
                typed["controls"] or _core.CycleControls(),
                threads=typed["threads"],
                progress=progress,
                traced=traced,
            )
        )
    except InputError as error:
        raise told_as(error, lambda one: one.replace(where="every_cylinder")) from None


def _kind(
    setup: _core.CycleSetup, runner: float, primary: float, mixture: float
) -> _core.CycleSetup:
    """One cylinder with pipes and a mixture of its own."""
    changes: dict[str, Any] = {}
    for name, length in (("intake", runner), ("exhaust", primary)):
        pipe = getattr(setup, name)
        if length != pipe.taper.length:
            changes[name] = pipe.replace(taper=pipe.taper.replace(length=length))
    if mixture != float(getattr(setup.mixture, "lambda")):
        changes["mixture"] = setup.mixture.replace(**{"lambda": mixture})
    return setup.replace(**changes) if changes else setup


def waves_of(points: CylinderPoints, place: int) -> PressureWaves:
    """Return the pressures of one point over crank angle, from another run of it."""
    one = {name: np.asarray(values)[[place]] for name, values in points.conditions.items()}
    solved = _run(points.engine, one, points.mixture[[place]], points.typed, None, traced=True)
    alone = CylinderPoints(points.engine, one, solved, points.mixture[[place]], points.typed)
    return PressureWaves.of(alone, np.asarray(solved["traces"][0]))
