"""Operating points of every cylinder: trims as typed, kinds of cylinders, and the core's run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, NamedTuple, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..typed.place import Typed
from . import _solving as solving
from ._typed import many, told
from .rooms import PipeSize, with_size

if TYPE_CHECKING:
    from .crank_engine import CrankEngine
    from .layout import Layout

Array = NDArray[np.float64]
#: Columns of the core, over points and cylinders, rooms or points alone.
Solved: TypeAlias = Mapping[str, Array]


class WholeEngine(Protocol):
    """What is asked of an engine whose cylinders are solved together."""

    @property
    def setup(self) -> _core.CycleSetup:
        """One cylinder, whose pipes and mixture are those of all unless others were typed."""

    @property
    def layout(self) -> Layout | None:
        """Firing order, plenum and collectors."""

    @property
    def cylinders(self) -> int:
        """How many there are, dimensionless."""


class Asked(NamedTuple):
    """How a whole engine's points are asked for.

    Attributes
    ----------
    fuel : tuple of float or None
        Trims over equal amounts, dimensionless; None for one lambda in all cylinders.
    spark_trim : tuple of float or None
        By how much earlier each cylinder burns [rad].
    controls : CycleControls or None
        Step and convergence.
    threads : int
        Threads of the core, dimensionless.
    mark : float
        Crank angle between marks that steps end at [rad]; 0 for none.
    """

    fuel: tuple[float, ...] | None = None
    spark_trim: tuple[float, ...] | None = None
    controls: _core.CycleControls | None = None
    threads: int = 0
    mark: float = 0.0


_NO_ORDER = (
    "one cylinder stands for all of this engine: type its firing_order, and its plenum and "
    "collectors where they are to answer"
)
#: What trims of fuel may be, over equal amounts.
_LEAST, _MOST = -0.5, 0.5


def typed_trims(engine: CrankEngine, fuel: Typed, spark_trim: Typed) -> Asked:
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
    return Asked(shares, trims)


def _each(values: Typed, kind: str, name: str, count: int) -> tuple[float, ...]:
    row = np.atleast_1d(many(values, kind, "every_cylinder", name))
    if row.size != count:
        rule = f"be one for each of the {count} cylinders"
        raise refusal("every_cylinder", name, f"{row.size} values", rule)
    return tuple(float(v) for v in row)


def solve_cylinders(
    engine: WholeEngine,
    conditions: Mapping[str, Array],
    asked: Asked,
    progress: Callable[[int], None] | None = None,
    later: Array | None = None,
) -> tuple[Solved, Array]:
    """Return the core's columns, and the lambda that each cylinder of each point burned.

    `later` is by how much each burns later than was asked, over points and cylinders [rad].

    With fuel of its own a cylinder's mixture follows from its air, which is found with the mixture
    of all: the points are solved twice. The mixture moves the air by some 0.3 %, so that equal
    amounts are equal within 0.6 %.
    """
    aim = float(getattr(engine.setup.mixture, "lambda"))
    mixture = np.full((len(conditions["rpm"]), engine.cylinders), aim)
    if asked.fuel is None:
        return _run(engine, conditions, mixture, asked, progress, later), mixture
    points = len(mixture)
    first = None if progress is None else lambda done: progress(done // 2)
    second = None if progress is None else lambda done: progress((points + done) // 2)
    fresh = _run(engine, conditions, mixture, asked, first, later)["fresh_mass"]
    mixture = aim * fresh / np.mean(fresh, axis=1, keepdims=True) / (1.0 + np.array(asked.fuel))
    mixture = np.where(np.isfinite(mixture), mixture, aim)
    return _run(engine, conditions, mixture, asked, second, later), mixture


def solve_traced(
    engine: WholeEngine, conditions: Mapping[str, Array], mixture: Array, asked: Asked
) -> tuple[Solved, Array]:
    """Return the core's columns of one point, and its pressures over crank angle."""
    found = _solved(engine, conditions, mixture, asked, None, traced=True)
    rows: Array = found["traces"][0]
    return {name: values for name, values in found.items() if name != "traces"}, rows


def _run(
    engine: WholeEngine,
    conditions: Mapping[str, Array],
    mixture: Array,
    asked: Asked,
    progress: Callable[[int], None] | None,
    later: Array | None,
) -> Solved:
    """Solve points whose cylinders burn the mixtures given; those that share them at once."""
    if np.all(mixture == mixture[0]):
        return _solved(engine, conditions, mixture[0], asked, progress, later)
    parts = []
    for i, own in enumerate(mixture):
        given = {name: np.asarray(values)[[i]] for name, values in conditions.items()}
        moved = None if later is None else later[[i]]
        parts.append(_solved(engine, given, own, asked, None, moved))
        if progress is not None:
            progress(i + 1)
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}


def _solved(
    engine: WholeEngine,
    conditions: Mapping[str, Array],
    mixture: Array,
    asked: Asked,
    progress: Callable[[int], None] | None,
    later: Array | None = None,
    traced: bool = False,
) -> dict[str, Array]:
    layout = engine.layout
    assert layout is not None  # `typed_trims` has refused an engine without
    setup, columns = solving.core_points(engine, conditions)
    own = list(zip(layout.runners, layout.primaries, mixture.tolist(), strict=True))
    known = list(dict.fromkeys(own))
    delay = -np.array(asked.spark_trim or (0.0,) * engine.cylinders)
    rows = delay if later is None else (delay + later).ravel()
    return told(
        "every_cylinder",
        _core.run_engines,
        [_kind(setup, *one) for one in known],
        [known.index(one) for one in own],
        layout.firing,
        layout.outlet,
        layout.plenum,
        layout.collectors or (),
        layout.into,
        columns,
        rows.tolist(),
        asked.controls or _core.CycleControls(),
        threads=asked.threads,
        progress=progress,
        traced=traced,
        mark=asked.mark,
    )


def _kind(
    setup: _core.CycleSetup, runner: PipeSize, primary: PipeSize, mixture: float
) -> _core.CycleSetup:
    """One cylinder with pipes and a mixture of its own."""
    intake, exhaust = setup.intake, setup.exhaust
    if (own := with_size(intake, runner)) is not intake:
        setup = setup.replace(intake=own)
    if (own := with_size(exhaust, primary)) is not exhaust:
        setup = setup.replace(exhaust=own)
    if mixture != getattr(setup.mixture, "lambda"):
        setup = setup.replace(mixture=setup.mixture.replace(lambda_=mixture))
    return setup
