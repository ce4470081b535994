"""Many camshafts in the car: each finds its own boost at every level, straight from its cycles."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from math import prod
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError, quoted, refusal, suggestion, under
from ..base.progress import Progress
from ..base.speeds import checked_speeds
from ..chain.pull import Pull
from ..chain.solving import default_speeds
from ..chain.worst_cylinders import one_for_all
from ..cylinder.cams import cam_values, named_cams, varied
from ..cylinder.parts import cylinder_of
from .cam_grid import CamGrid, cam_frame
from .cam_pulls import CamPulls
from .cluster import checked_client, team
from .described import Frame
from .filling import Memory, fill
from .store import checked_folder, open_sweep, opened

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from ..chain.build import Build
    from ..typed.place import Typed
    from .cluster import Client

__all__ = ["cam_sweep"]

Array = NDArray[np.float64]
#: The engine without its compressor, as ladders call it.
ASPIRATED = "naturally aspirated"
#: Most points of one call: some minutes, and in a folder, where nothing is lost, some hours.
_MOST, _MOST_STORED = 200_000, 10_000_000
#: Tiles for each thread of a cluster [dimensionless].
_TILES_EACH = 4


def cam_sweep(
    build: Build,
    rpm: ArrayLike | None = None,
    levels: Sequence[str] | None = None,
    *,
    duration: Typed = None,
    lobe_lift: Typed = None,
    lobe_separation: Typed = None,
    centreline: Typed = None,
    threads: int = 0,
    progress: Progress | None = None,
    store: str | os.PathLike[str] | None = None,
    client: Client | None = None,
) -> CamPulls:
    """Pull a build with every combination of some camshafts, each at its own boost.

    Another camshaft moves the air that the engine swallows, and so the boost of a compressor that
    turns as before. Each camshaft is therefore pulled with the whole engine around it. Its own
    cycles are computed at every point, even where the build has a breathing surface.

    What is not varied stays as the build has it. An angle or a lift needs its unit: a bare number
    is refused, since 230 could be meant in degrees and taken in radians.

    Parameters
    ----------
    build : Build
        The build, with cams.
    rpm : array_like, optional
        Crank speeds as plain numbers [rpm], such as ``[4000, 6000]``; those of `Build.pull`
        without it.
    levels : sequence of str, optional
        Drive levels, ``"naturally aspirated"`` for the engine without its compressor; without it
        that one and all levels of the build.
    duration : str or sequence of str, optional
        Intake durations in crank angle at 0.050 in tappet lift, such as ``"230 deg"`` [any unit
        of angle]. The exhaust lobe stays as much longer or shorter than the intake's as it is
        now. Both keep their ramps, which is what the seat duration has beyond that at 0.050 in.
    lobe_lift : str or sequence of str, optional
        Intake lobe lifts, such as ``"0.360 in"`` [any unit of length]. The exhaust lobe keeps its
        difference.
    lobe_separation : str or sequence of str, optional
        Cam angle between the peaks of both lobes, such as ``"112 deg"`` [any unit of angle].
    centreline : str or sequence of str, optional
        Crank angle of the intake's peak after top centre, as it is installed, such as
        ``"108 deg"`` [any unit of angle].
    threads : int
        Threads, dimensionless; 0 for all processors. Results do not depend on it.
    progress : callable, optional
        Called with the numbers of points done and in all, dimensionless. Without it, work that
        lasts tells on standard error how far it is.
    store : str or path, optional
        A folder ending in ``.zarr`` that takes the points as they are solved, as that of `sweep`:
        where the work ends early, the same call goes on from there.
    client : distributed.Client, optional
        A dask cluster whose workers solve the camshafts, one thread each, with the same bits.

    Returns
    -------
    CamPulls
        Pulls by level and camshaft.

    Raises
    ------
    InputError
        The build has no cams, a camshaft cannot be (lift beyond the flow bench or the piston,
        events that cross), there is no such level, or the client is none; before any work.

    Examples
    --------
    >>> cams = cam_sweep(build, [4000, 6000], ["full"], lobe_separation=["110 deg", "114 deg"])
    >>> cams.of_cam("boost").shape
    (2, 1, 2)
    """
    cylinder_of(build)  # refused without cams, in the words of that
    base = one_for_all(build).without_surface()  # whole engines of every cam would take minutes
    given = {"duration": duration, "lobe_lift": lobe_lift}
    given |= {"lobe_separation": lobe_separation, "centreline": centreline}
    values = named_cams(cam_values("cam_sweep", given))
    speeds = checked_speeds(default_speeds(build) if rpm is None else rpm, "cam_sweep")
    chosen = _levels(base, levels)
    if store is not None:
        checked_folder(store)
    cluster = None if client is None else checked_client(client, "cam_sweep")
    points = len(values) * len(chosen) * speeds.size
    most = _MOST if store is None else _MOST_STORED
    if points > most:
        hint = "keep them in a folder: cam_sweep(..., store=...)" if store is None else ""
        raise refusal("cam_sweep", "axes", f"{points:,} points", f"make at most {most:,}", hint)
    builds = {name: _with_cam(base, name, one) for name, one in values.items()}
    steps = {name: [_on(one, level) for level in chosen] for name, one in builds.items()}
    grid = CamGrid(list(steps.values()), speeds)
    frame = cam_frame(base, grid, list(builds), chosen)
    solved = _solved(grid, frame, threads, progress, store, cluster)
    pulls = {
        level: {
            name: Pull(steps[name][place], {n: v[row, place] for n, v in solved.items()})
            for row, name in enumerate(builds)
        }
        for place, level in enumerate(chosen)
    }
    return CamPulls(base, speeds, chosen, builds, pulls)


def _levels(build: Build, levels: Sequence[str] | None) -> tuple[str, ...]:
    known = (ASPIRATED, *map(str, build.levels))
    if build.supercharged and not build.levels:
        known = (*known, "")
    if levels is None:
        return known
    chosen = tuple([levels] if isinstance(levels, str) else levels)
    for level in chosen:
        if level not in known:
            rule = f"be one of {', '.join(known)}"
            near = suggestion(str(level), list(known))
            raise refusal("cam_sweep", "levels", quoted(level), rule, near)
    if not chosen:
        raise refusal("cam_sweep", "levels", "[]", "name at least one")
    return chosen


def _on(build: Build, level: str) -> Build:
    return build.naturally_aspirated() if level == ASPIRATED else build.level(level)


def _with_cam(build: Build, name: str, values: Mapping[str, float]) -> Build:
    """The build with another camshaft; what is refused is told with the camshaft."""
    try:
        cam = varied(cylinder_of(build).cam, **values)
        typed: dict[str, str] = {}
        if "lobe_separation" in values:
            typed["lobe_separation"] = f"{float(cam.lobe_separation)!r} rad"
        if "centreline" in values:
            typed["intake_centreline"] = f"{float(cam.intake_centreline)!r} rad"
        for side, lobe in (("intake", cam.intake), ("exhaust", cam.exhaust)):
            if "duration" in values:
                typed[f"{side}.duration"] = f"{float(lobe.duration)!r} rad"
                typed[f"{side}.seat_duration"] = f"{float(lobe.seat_duration)!r} rad"
            if "lobe_lift" in values:
                typed[f"{side}.lobe_lift"] = f"{float(lobe.lobe_lift)!r} m"
        return build.replace({f"engine.camshaft.{key}": text for key, text in typed.items()})
    except InputError as error:
        raise under(f"cam_sweep: {name}", error) from None


def _solved(
    grid: CamGrid, frame: Frame, threads: int, progress: Progress | None,
    store: str | os.PathLike[str] | None, cluster: Client | None,
) -> dict[str, Array]:  # fmt: skip
    """Solve every camshaft's levels; with a folder, those that are not in it yet."""
    points = prod(grid.shape)
    if store is None:
        # On a cluster every worker is to have some tiles, so that none waits for the last long one.
        share = grid.tile if cluster is None else -(-points // (_TILES_EACH * team(cluster)))
        memory = Memory(grid.shape, grid.columns, min(grid.tile, share))
        fill(grid, memory, points, threads, progress, cluster, "camshafts")
        return memory.arrays
    with opened(store, frame, grid.tile) as folder:
        fill(grid, folder, points, threads, progress, cluster, "camshafts")
    kept = open_sweep(store)
    return {name: kept[name].to_numpy() for name in grid.columns}
