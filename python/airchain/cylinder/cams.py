"""Many camshafts in one call: duration, lift, separation and centreline over speed and boost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import InputError, quoted, refusal, under
from ..base.progress import Progress, relay
from ..shown.columns import shown_as
from ..shown.tables import Table
from ..shown.words import counted
from ..typed.place import Typed
from ..units.convert import formatted, unit_label
from . import _solving as solving
from . import plots
from ._columns import columns, count
from ._typed import many
from .camshaft import Cam
from .knock_words import knocking_words
from .points import EnginePoints, condition_unit, shown_condition

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .crank_engine import CrankEngine

__all__ = ["CamSweep", "cam_values", "cams_at_held_plenum", "named_cams", "varied"]

Array = NDArray[np.float64]

_KINDS = {
    "duration": "angle",
    "lobe_lift": "length",
    "lobe_separation": "angle",
    "centreline": "angle",
}
_MOST = 1_000_000


def cams_at_held_plenum(
    engine: CrankEngine,
    rpm: Typed,
    plenum_pressure: Typed,
    exhaust_pressure: Typed,
    *,
    duration: Typed = None,
    lobe_lift: Typed = None,
    lobe_separation: Typed = None,
    centreline: Typed = None,
    controls: _core.CycleControls | None = None,
    threads: int = 0,
    progress: Progress | None = None,
    **more: Typed,
) -> CamSweep:
    """Solve every combination of some camshafts, speeds and plenum pressures that are held.

    A cam that breathes otherwise also moves the boost: `airchain.cam_sweep` lets each find its own.

    Parameters
    ----------
    engine : CrankEngine
        The engine whose camshaft is varied.
    rpm : array_like
        Engine speeds [rpm].
    plenum_pressure : str, float or sequence
        Absolute [Pa].
    exhaust_pressure : str, float or sequence
        Absolute, behind the primary [Pa]: one, or one a plenum pressure.
    duration, lobe_lift, lobe_separation, centreline : str or sequence of str, optional
        As for `airchain.cam_sweep`, with their units [any unit of angle or length].
    controls : CycleControls, optional
        Step and convergence.
    threads : int
        Threads of the core, dimensionless; 0 for all processors. Results do not depend on it.
    progress : callable, optional
        Called with the numbers of points done and in all, dimensionless.
    **more
        Single temperatures and phasing as `CrankEngine.points` takes them.

    Returns
    -------
    CamSweep
        Columns over the camshafts, plenum pressures and speeds.

    Raises
    ------
    InputError
        A camshaft that cannot be (lift beyond the flow bench or the piston, events that cross), or
        a condition that is refused; before any work.
    """
    given = {"duration": duration, "lobe_lift": lobe_lift}
    given |= {"lobe_separation": lobe_separation, "centreline": centreline}
    wanted = cam_values("cams_at_held_plenum", given)
    rows, axes = _conditions(engine, rpm, plenum_pressure, exhaust_pressure, more)
    shape = tuple(len(v) for v in wanted.values())
    points = int(np.prod(shape)) * rows["rpm"].size
    if points > _MOST:
        raise refusal(
            "cams_at_held_plenum", "axes", f"{points:,} points", f"make at most {_MOST:,}"
        )
    cams = [dict(zip(wanted, values, strict=True)) for values in product(*wanted.values())]
    engines = [_with_cam(engine, cam) for cam in cams]
    solved = []
    for number, one in enumerate(engines):
        told_of = relay(progress, number * rows["rpm"].size, points)
        solved.append(solving.solve(one, rows, controls, threads, told_of))
    whole = (*shape, *rows["rpm"].shape)
    stacked = {n: np.stack([s[n] for s in solved]).reshape(whole) for n in solved[0]}
    everywhere = {n: np.broadcast_to(v, whole) for n, v in rows.items()}
    return CamSweep(engine, {**_labels(wanted), **axes}, everywhere, stacked, tuple(engines))


def _conditions(
    engine: CrankEngine, rpm: Typed, plenum: Typed, exhaust: Typed, more: Mapping[str, Typed]
) -> tuple[dict[str, Array], dict[str, Array]]:
    """Conditions over plenum pressure and speed; the exhaust pressure follows the plenum's."""
    typed = {"plenum_pressure": plenum, "rpm": rpm, "exhaust_pressure": exhaust, **more}
    given = solving.conditions(engine, typed)
    speeds = np.atleast_1d(given["rpm"])
    pair = solving.rows_of({n: given[n] for n in ("plenum_pressure", "exhaust_pressure")})
    for name in more:
        if np.ndim(given[name]):
            raise refusal("cams_at_held_plenum", name, quoted(more[name]), "be one value")
    shape = (len(pair["plenum_pressure"]), len(speeds))
    rows = {n: np.full(shape, v) for n, v in given.items() if n not in (*pair, "rpm")}
    rows |= {n: np.repeat(v[:, None], shape[1], axis=1) for n, v in pair.items()}
    rows["rpm"] = np.broadcast_to(speeds, shape)
    return rows, {"plenum_pressure": pair["plenum_pressure"], "rpm": speeds}


def cam_values(where: str, given: Mapping[str, Typed]) -> dict[str, Array]:
    """Return what is to be varied about a camshaft.

    Parameters
    ----------
    where : str
        Who asks, for refusals.
    given : mapping
        ``duration``, ``lobe_lift``, ``lobe_separation`` and ``centreline``, typed, or None.

    Returns
    -------
    dict
        Rows of those that are given [rad, lobe lifts m].

    Raises
    ------
    InputError
        Nothing is given, or a value is refused.
    """
    wanted = {
        name: np.atleast_1d(many(typed, _KINDS[name], where, name, bare=False))
        for name, typed in given.items()
        if typed is not None
    }
    if not wanted:
        raise refusal(where, "axes", "none", f"be at least one of {', '.join(_KINDS)}")
    return wanted


def named_cams(wanted: Mapping[str, Array]) -> dict[str, dict[str, float]]:
    """Return every combination of a camshaft's values by a name that tells it from the others.

    Parameters
    ----------
    wanted : mapping
        Rows of `cam_values` [rad, lobe lifts m].

    Returns
    -------
    dict
        Values of each camshaft by its name [rad, lobe lifts m].
    """
    shown = [[_shown(n, v) for v in values] for n, values in _labels(wanted).items()]
    values = [dict(zip(wanted, each, strict=True)) for each in product(*wanted.values())]
    return dict(zip((", ".join(each) for each in product(*shown)), values, strict=True))


def _labels(wanted: Mapping[str, Array]) -> dict[str, Array]:
    """Axes of the camshafts; angles in degrees, as their names say."""
    labels: dict[str, Array] = {}
    for name, values in wanted.items():
        if _KINDS[name] == "angle":
            labels[f"{name}_deg"] = np.asarray(np.round(np.rad2deg(values), 9), dtype=float)
        else:
            labels[name] = values
    return labels


def _with_cam(engine: CrankEngine, values: Mapping[str, float]) -> CrankEngine:
    """The engine with another camshaft; what is refused is told with the camshaft."""
    try:
        return engine.replace(camshaft=varied(engine.camshaft, **values))
    except InputError as error:
        camshaft = ", ".join(f"{n} {formatted(v, _KINDS[n])}" for n, v in values.items())
        raise under(f"cams_at_held_plenum: {camshaft}", error) from None


def varied(cam: Cam, **values: float) -> Cam:
    """Return a camshaft with another duration, lobe lift, lobe separation or centreline.

    Parameters
    ----------
    cam : Cam
        The camshaft.
    **values
        ``duration`` [rad] and ``lobe_lift`` [m] of the intake, ``lobe_separation`` and
        ``centreline`` [rad]; the exhaust lobe keeps its differences to the intake's.

    Returns
    -------
    Cam
        The new camshaft.

    Raises
    ------
    InputError
        The lobes were measured, and their duration or lift is to change.
    """
    changes: dict[str, Any] = {}
    if "lobe_separation" in values:
        changes["lobe_separation"] = values["lobe_separation"]
    if "centreline" in values:
        changes["intake_centreline"] = values["centreline"]
    moved = [n for n in ("duration", "lobe_lift") if n in values]
    lobes = {"intake": cam.intake, "exhaust": cam.exhaust} if moved else {}
    for name, lobe in lobes.items():
        if not isinstance(lobe, _core.Lobe):
            rule = "stay, or the lobe be given in trade terms"
            raise refusal("cam", f"{name} {moved[0]}", "measured", rule)
        change: dict[str, float] = {}
        for n in moved:
            change[n] = getattr(lobe, n) + values[n] - getattr(cam.intake, n)
        if "duration" in change:
            ramps = lobe.seat_duration - lobe.duration
            change["seat_duration"] = change["duration"] + ramps
        changes[name] = change
    return cam.replace(**changes)


@dataclass(frozen=True, eq=False, repr=False)
class CamSweep(EnginePoints):
    """Operating points over camshafts; made by `cams_at_held_plenum`.

    Attributes
    ----------
    engine : CrankEngine
        The engine before its camshaft was varied.
    axes : mapping
        The camshafts' axes, then ``plenum_pressure`` [Pa] and ``rpm`` [rpm].
    conditions : mapping
        Conditions of every point, of the points' shape [SI, and rpm].
    solved : mapping
        What the core returned, by column, of the points' shape.
    engines : tuple of CrankEngine
        The engine with each camshaft, in the order of the axes.
    """

    engines: Sequence[CrankEngine] = ()

    @property
    def names(self) -> list[str]:
        """What tells each camshaft from the others, in the order of `engines`."""
        axes = [n for n in self.axes if n not in ("plenum_pressure", "rpm")]
        shown = [[_shown(n, v) for v in self.axes[n]] for n in axes]
        return [", ".join(values) for values in product(*shown)]

    @property
    def verdict(self) -> str:
        """How many camshafts, how many points converged, and how many knock."""
        number = len(self.engines)
        knocking = knocking_words(self.solved["knock_integral"])
        cams = counted(number, "camshaft")
        return f"{self.engine.name}: {cams}, {count(self.solved['status'])}{knocking}"

    def of_cam(self, name: str) -> Array:
        """Return a column by camshaft.

        Parameters
        ----------
        name : str
            The column.

        Returns
        -------
        ndarray
            Its values [SI]; camshafts in the order of `engines`, plenum pressures, speeds.
        """
        boosts, speeds = len(self.axes["plenum_pressure"]), len(self.axes["rpm"])
        return np.reshape(self[name], (len(self.engines), boosts, speeds))

    def plot(
        self, axes: Axes | Sequence[Axes] | None = None, *, system: str = "trade",
        title: str | None = None, beside: Sequence[EnginePoints] = (),
        columns: Sequence[str] = ("volumetric_efficiency", "torque"),
    ) -> Figure:  # fmt: skip
        """Draw columns over engine speed by camshaft: a row of panels a column, one a plenum.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw, row by row: for each of `columns`, one for each plenum pressure.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of CamSweep
            Further sweeps, laid over this one; seven camshafts in all at most.
        columns : sequence of str
            What is drawn.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. Crossed points did not converge.

        Raises
        ------
        InputError
            There are more camshafts than can be told apart.
        """
        others = [one for one in beside if isinstance(one, CamSweep)]
        if len(others) < len(beside):
            raise refusal("plot", "beside", "points", "be sweeps of camshafts")
        return plots.draw_cams((self, *others), axes, system, title, columns)

    def _tables(self, system: str) -> list[Table]:
        settled = np.reshape(self.converged, self.of_cam("torque").shape)
        torque, power, filling = (
            np.where(settled, self.of_cam(n), np.nan)
            for n in ("torque", "power", "volumetric_efficiency")
        )
        rows = []
        for b, plenum in enumerate(self.axes["plenum_pressure"]):
            for c, name in enumerate(self.names):
                cells = [shown_condition("plenum_pressure", plenum, system)]
                for kind, values in (("torque", torque[c, b]), ("power", power[c, b])):
                    cells += self._peak(values, kind, system)
                cells.append(shown_as("torque", float(np.mean(torque[c, b])), system))
                cells += self._peak(filling[c, b], "volumetric_efficiency", system)
                rows.append([name, *cells])
        headings = ["camshaft", "plenum", "peak torque", "at", "peak power", "at", "mean torque"]
        units = [unit_label(columns()[n].kind, system) for n in ("torque", "power", "torque")]
        units = ["", condition_unit("plenum_pressure", system), units[0], "rpm", units[1], "rpm",
                 units[2], "", "rpm"]  # fmt: skip
        return [Table([*headings, "best filling", "at"], units, rows)]

    def _peak(self, values: Array, name: str, system: str) -> list[str]:
        if not np.any(np.isfinite(values)):
            return ["–", "–"]
        at = int(np.nanargmax(values))
        text = shown_as(columns()[name].kind, float(values[at]), system)
        return [text, f"{self.axes['rpm'][at]:,.0f}"]


def _shown(name: str, value: float) -> str:
    if name == "lobe_lift":
        return f"lobe lift {formatted(value, 'length')}"
    return f"{name.removesuffix('_deg').replace('_', ' ')} {value:g} deg"
