"""Many chains at once: a grid over any inputs of a build, as a dataset with units."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from numbers import Integral
from typing import TYPE_CHECKING

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.memory import free_memory
from ..chain.build import Build
from .axes import Axes, axes_of, changed
from .cluster import checked_client
from .described import frame_of, summary_of, wanted_columns
from .design import Design
from .filling import Memory, fill
from .grid import TILE, column_type, grid_of
from .lanes import Axis
from .store import checked_folder, open_sweep, opened

if TYPE_CHECKING:
    from xarray import Dataset

__all__ = ["sweep"]

#: Most points in memory, and in a folder [dimensionless].
_LARGEST, _LARGEST_STORED = 200_000_000, 100_000_000_000

_MOST_THREADS = 1024


def sweep(
    build: Build,
    axes: Mapping[str, Axis | Design],
    columns: Sequence[str] | None = None,
    *,
    threads: int = 0,
    progress: Callable[[int, int], None] | None = None,
    store: str | os.PathLike[str] | None = None,
    client: object = None,
) -> Dataset:
    """Solve a build over the full grid of some inputs.

    Each point is that of `build.replace` with its values, bit for bit, a fit's factors included.
    Engine speed and inputs of a station from which nothing else follows go to the core together;
    every other path of the build file, and ``"level"``, rebuilds the chain once a value.

    Parameters
    ----------
    build : Build
        The build. One that breathes by its cycles gets a breathing surface first, unless an axis
        moves the cylinder itself, such as its cams: then every point runs its cycles. The dataset
        says which.
    axes : mapping
        Values for each of ``"rpm"``, ``"level"``, ``"station.field"`` (as in
        ``"cooler.effectiveness"``) or a path of the build file. Values are texts with units, pint
        quantities, or SI numbers where the axis is a field of a station. Under a name of its own
        an axis may be a `design`, or options such as gear pairs, maps, cams or fuels: a mapping
        of names to what each one types, ``{"mild": {"engine.camshaft.lobe_separation": ...}}``.
    columns : sequence of str, optional
        Columns wanted; power, torque, boost and their companions without it. `status` and
        `flags` always come along.
    threads : int
        Threads of the core, dimensionless; 0 for as many as there are processors. The result
        does not depend on it.
    progress : callable, optional
        Called with the numbers of points done and in all, dimensionless; told on standard error
        without it where the work lasts.
    store : str or path, optional
        A folder ending in ``.zarr`` that takes the numbers tile by tile, for sweeps larger than
        memory. Where it ends early, by Ctrl-C or worse, the same call goes on from there.
    client : distributed.Client, optional
        A dask cluster whose workers solve the tiles, one thread each, with the same bits.

    Returns
    -------
    xarray.Dataset
        One variable a column with dims in the order of `axes`; units, meanings of statuses and
        flags, and a fingerprint of the inputs in the attributes. It shows itself in trade units,
        statuses and flags in words, with SI below, and so does a part that is selected;
        ``grid.airchain.table()`` has more rows, and ``grid.airchain.plot(name)`` draws a column
        over two axes. With a store it reads from there what is asked for.

    Raises
    ------
    InputError
        An axis or column that does not exist, a value that is refused, a grid of more than
        200 million points in memory or 100 billion in a folder, or a folder that cannot be
        written or holds something else.

    Examples
    --------
    >>> grid = sweep(build, {"rpm": [4000, 6000], "cooler.effectiveness": [0.6, 0.8]})
    >>> dict(grid["power"].sizes)
    {'rpm': 2, 'cooler.effectiveness': 2}
    """
    # What is missing is told before any work, by the extra that brings all that is.
    for package, needed in (("distributed", client), ("zarr", store), ("xarray", build)):
        if needed is not None:
            extra(package)
    wanted = wanted_columns(columns)
    if not (isinstance(threads, Integral) and 0 <= threads <= _MOST_THREADS):
        rule = f"be a whole number between 0 and {_MOST_THREADS}"
        raise refusal("sweep", "threads", quoted(threads), rule)
    if store is not None:
        checked_folder(store)
    cluster = None if client is None else checked_client(client, "sweep")
    found = axes_of(build, axes)
    _check_size(found, wanted, store is not None)
    if not (build.breathes_by_cycles and moves_the_cylinder(build, found)):
        build = build.with_surface()  # what is refused costs no surface
    grid = grid_of(build, found, wanted)
    frame = frame_of(build, found, wanted)
    if store is not None:
        with opened(store, frame, grid.tile) as folder:
            fill(grid, folder, found.points, threads, progress, cluster)
        return open_sweep(store)
    memory = Memory(found.shape, wanted, grid.tile)
    fill(grid, memory, found.points, threads, progress, cluster)
    return frame.dataset(memory.arrays, summary_of(memory.tally))


def moves_the_cylinder(build: Build, axes: Axes) -> bool:
    """Whether an axis makes other cylinders, each of which would need a surface of its own."""
    own = repr(build.cylinder)
    for outer in axes.outer.values():
        for values in (outer.typed[:1], outer.typed[-1:]):
            if values and repr(changed(build, values[0]).cylinder) != own:
                return True
    return False


def _check_size(axes: Axes, wanted: list[str], stored: bool) -> None:
    """Refuse a grid that is too large, or would not fit in what memory is free."""
    most = _LARGEST_STORED if stored else _LARGEST
    hint = "" if stored else 'keep it in a folder: sweep(..., store="folder.zarr") or --store'
    if axes.points > most:
        shown = f"{axes.points:,} points"
        raise refusal("sweep", "axes", shown, f"make at most {most:,}", hint)
    each = sum(column_type(name).itemsize for name in wanted)
    # Beside the whole grid some tiles are on their way, in which every number takes eight bytes.
    need = 3 * 8 * TILE * len(wanted) + (0 if stored else axes.points * each)
    free = free_memory()
    if need > free and axes.points > TILE:
        shown = f"{axes.points:,} points of {len(wanted)} columns, {need / 2**30:,.1f} GiB"
        rule = f"fit in the {free / 2**30:,.1f} GiB of memory that are free"
        raise refusal("sweep", "axes", shown, rule, hint or "ask for fewer columns")
