"""Every cylinder of an engine, solved together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .. import _core
from ..base.progress import Progress, relay, telling
from ..typed.place import Typed
from . import _solving as solving
from ._typed import si
from .cylinder_points import CylinderPoints
from .solving_cylinders import solve_cylinders, typed_trims

if TYPE_CHECKING:
    from .crank_engine import CrankEngine

__all__ = ["every_cylinder"]


def every_cylinder(
    engine: CrankEngine,
    rpm: Typed,
    plenum_pressure: Typed,
    exhaust_pressure: Typed,
    *,
    fuel: Typed = "trimmed",
    spark_trim: Typed = None,
    controls: _core.CycleControls | None = None,
    mark: Typed = 0.0,
    threads: int = 0,
    progress: Progress | None = None,
    **more: Typed,
) -> CylinderPoints:
    """Solve operating points of all cylinders together, in the order of their firing.

    All cylinders take one step at a time and answer to each other through plenum and collectors,
    each at its own place in its cycle. Pipes meet at one pressure and lose the velocity of their
    jets there [Benson 1982, section 7.4, from memory].

    Parameters
    ----------
    engine : CrankEngine
        The engine, with a firing order, and with plenum and collectors where they are to answer.
    rpm : array_like
        Engine speeds [rpm], one or a row.
    plenum_pressure : str, float or sequence
        Absolute: the mean in the plenum, or that before its duct where it has one [Pa]. A plenum
        without a duct is fed steadily, as behind a long one.
    exhaust_pressure : str, float or sequence
        Absolute: that behind the collector pipes; the mean in collectors without one [Pa].
    fuel : str or sequence of float
        ``"trimmed"``: every cylinder at the engine's lambda. ``"equal"``: as much fuel into each,
        so that the fullest is leanest. Or trims by cylinder over that equal amount, dimensionless.
        Amounts are met within some 0.6 %. Those of one lambda are in the column
        ``fuel_trim_for_one_lambda``.
    spark_trim : sequence of str or float, optional
        By how much earlier each cylinder burns, later negative [rad].
    controls : CycleControls, optional
        Step and convergence; a round of two turns counts as a cycle.
    mark : str or float
        Steps end at crank marks this far apart [rad], up to 0.1; 0 for none. With marks finer than
        the steps would be, evenly fired cylinders without plenum and collectors agree to rounding,
        else to some 1e-6 of their charge.
    threads : int
        Threads of the core, dimensionless; 0 for all processors. Results do not depend on it.
    progress : callable, optional
        Called with the numbers of points done and in all, dimensionless; without it they are told
        on standard error after a second.
    **more
        What `CrankEngine.points` takes of temperatures and phasing.

    Returns
    -------
    CylinderPoints
        One row a point, with every cylinder's figures.

    Raises
    ------
    InputError
        An engine without a firing order, or a value that is refused.
    """
    asked = typed_trims(engine, fuel, spark_trim)._replace(
        controls=controls, threads=threads, mark=si(mark, "angle", "every_cylinder", "mark")
    )
    given = {"rpm": rpm, "plenum_pressure": plenum_pressure}
    given |= {"exhaust_pressure": exhaust_pressure, **more}
    rows = solving.rows_of(solving.conditions(engine, given))
    with telling("every cylinder") as told:
        told_of = relay(progress or told, 0, len(rows["rpm"]))
        solved, mixture = solve_cylinders(engine, rows, asked, told_of)
    return CylinderPoints(engine, rows, solved, mixture, asked)
