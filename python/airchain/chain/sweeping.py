"""Many chains at once: a grid over any inputs of a build, as a dataset with units."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import product
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import __version__, _core
from ..base.errors import InputError, quoted, refusal, suggestion
from ..base.extras import extra
from ..base.memory import free_memory
from ..base.speeds import RPM, checked_speeds
from ..base.text_file import checked_target, write_text, write_with
from ..shown import statuses
from ..shown.columns import LATER, column, columns, heading, kind_of
from ..typed.place import Typed
from ..units.convert import KINDS, is_quantity, to_si
from .build_words import breathing_words
from .factors import lane_values
from .sweep_pictures import add_tools

if TYPE_CHECKING:
    from xarray import Dataset

    from .build import Build

__all__ = ["sweep", "write_dataset"]

Array = NDArray[np.float64]
#: Values of one axis, one or several.
Axis: TypeAlias = ArrayLike | Typed
_LARGEST = 200_000_000
#: What a sweep leaves open, so that no column of power stands without a word on it.
_NO_KNOCK = "Knock is not judged in a sweep: pull what you choose."
#: How many values of an axis are tried before the core may set it by itself.
_PROBES = 4


def sweep(
    build: Build,
    axes: Mapping[str, Axis],
    columns: Sequence[str] | None = None,
    *,
    threads: int = 0,
    progress: Callable[[int, int], None] | None = None,
) -> Dataset:
    """Solve a build over the full grid of some inputs.

    Each point is that of `build.replace` with its values, bit for bit, a fit's factors included.
    Engine speed and inputs of a station from which nothing else follows go to the core together;
    every other path of the build file, and ``"level"``, rebuilds the chain once a value.

    Parameters
    ----------
    build : Build
        The build; one that breathes by its cycles gets a breathing surface first, and the dataset
        says so.
    axes : mapping
        Values for each of ``"rpm"``, ``"level"``, ``"station.field"`` (as in
        ``"cooler.effectiveness"``) or a path of the build file. Values are texts with units, pint
        quantities, or SI numbers where the axis is a field of a station.
    columns : sequence of str, optional
        Columns wanted; power, torque, boost and their companions without it. `status` and
        `flags` always come along.
    threads : int
        Threads of the core, dimensionless; 0 for as many as there are processors. The result
        does not depend on it.
    progress : callable, optional
        Called with the numbers of points done and in all, dimensionless.

    Returns
    -------
    xarray.Dataset
        One variable a column with dims in the order of `axes`; units, meanings of statuses and
        flags, and a fingerprint of the inputs in the attributes. Its ``grid.airchain.plot(name)``
        draws a column over two axes.

    Raises
    ------
    InputError
        An axis or column that does not exist, a value that is refused, or a grid of more than
        200 million points.

    Examples
    --------
    >>> grid = sweep(build, {"rpm": [4000, 6000], "cooler.effectiveness": [0.6, 0.8]})
    >>> dict(grid["power"].sizes)
    {'rpm': 2, 'cooler.effectiveness': 2}
    """
    wanted = _wanted(columns)
    if not axes:
        raise refusal("sweep", "axes", "{}", "name at least one input", 'such as {"rpm": [5000]}')
    numbers = {n: _lane_values(build, n, v) for n, v in axes.items() if _lane(build, n)}
    rebuilt = _rebuilt(build, numbers)
    lanes = {name: values for name, values in numbers.items() if name not in rebuilt}
    typed = {n: numbers.get(n, v) for n, v in axes.items() if n not in lanes}
    outer = {name: _listed(name, values) for name, values in typed.items()}
    if not any(name in ("rpm", "engine_speed") for name in lanes):
        hint = 'such as "rpm": [3000, 4000, 5000]'
        raise refusal("sweep", "axes", quoted(list(axes)), 'hold "rpm" or "engine_speed"', hint)
    order = [*outer, *lanes]
    shape = (*(len(v) for v in outer.values()), *(v.size for v in lanes.values()))
    points = int(np.prod([float(n) for n in shape]))
    if points > _LARGEST:
        raise refusal("sweep", "axes", f"{points:,} points", f"make at most {_LARGEST:,}")
    _check_memory(points, wanted)
    build = build.with_surface()  # what is refused costs no surface
    arrays = _solve_all(build, outer, lanes, wanted, shape, threads, progress)
    transpose = [order.index(name) for name in axes]
    arrays = {name: values.transpose(transpose) for name, values in arrays.items()}
    return _dataset(build, axes, {**outer, **numbers}, arrays)


def write_dataset(dataset: Dataset, path: str | os.PathLike[str]) -> None:
    """Write a sweep to a file in one step, as comma-separated text or netCDF by its name.

    Parameters
    ----------
    dataset : xarray.Dataset
        The sweep.
    path : str or path
        The file, ending in ``.csv`` (SI, statuses by name) or ``.nc``.

    Raises
    ------
    InputError
        The name ends otherwise, or the file cannot be written; what was there is untouched.
    """
    target = checked_target(path, ".csv", ".nc")
    if target.suffix.lower() == ".csv":
        frame = dataset.to_dataframe().reset_index()
        names = np.array(statuses.status_names())
        frame["status"] = names[frame["status"].to_numpy()]
        write_text(target, frame.to_csv(index=False, lineterminator="\n"))
        return
    extra("scipy.io")
    write_with(target, lambda beside: dataset.to_netcdf(beside, engine="scipy"))


def _wanted(names: Sequence[str] | None) -> list[str]:
    default = (
        *("power", "torque", "boost", "charge_temperature", "air_flow", "fuel_flow"),
        *("drive_power", "isentropic_efficiency", "surge_margin", "speed_margin"),
        *("plenum_pressure", "peak_pressure"),
    )
    if isinstance(names, str):
        names = [names]
    chosen = [column(name, "sweep").name for name in (default if names is None else names)]
    for name in chosen:
        if name in {later for later, *_ in LATER}:
            rule = "be a column that the core solves"
            hint = "a pull of the build has it: every point costs some cycles"
            raise refusal("sweep", "column", quoted(name), rule, hint)
    return list(dict.fromkeys([*chosen, "status", "flags"]))


def _solve_all(
    build: Build,
    outer: Mapping[str, list[Typed]],
    lanes: Mapping[str, Array],
    wanted: list[str],
    shape: tuple[int, ...],
    threads: int,
    progress: Callable[[int, int], None] | None,
) -> dict[str, Array]:
    """Fill the grid: outer axes rebuild the chain, lane axes go to the core together."""
    # The chains are all built first: a value that is refused costs no work.
    chains = [
        _changed(build, dict(zip(outer, values, strict=True))).chain
        for values in product(*outer.values())
    ]
    inner = tuple(len(v) for v in lanes.values())
    whole: dict[str, Array] = {
        name: np.empty((len(chains), *inner), dtype=_type(name)) for name in wanted
    }
    core_axes = dict(_core_axis(build, name, values) for name, values in lanes.items())
    each = int(np.prod(inner))
    for row, chain in enumerate(chains):

        def report_row(done: int, before: int = row * each) -> None:
            if progress is not None:
                progress(before + done, len(chains) * each)

        solved = _core.solve(chain, core_axes, wanted, threads=threads, progress=report_row)
        for name in wanted:
            whole[name][row] = solved[name]
    return {name: values.reshape(shape) for name, values in whole.items()}


def _check_memory(points: int, wanted: list[str]) -> None:
    """Refuse a grid that would not fit in what memory is free."""
    # The core fills numbers of eight bytes, which are then copied to their place in the grid.
    need = points * (8 * len(wanted) + sum(np.dtype(_type(name)).itemsize for name in wanted))
    free = free_memory()
    if need > free:
        shown = f"{points:,} points of {len(wanted)} columns, {need / 2**30:,.1f} GiB"
        rule = f"fit in the {free / 2**30:,.1f} GiB of memory that are free"
        raise refusal("sweep", "axes", shown, rule, "sweep fewer columns, or part of the grid")


def _type(name: str) -> type:
    # Signed, because the plainest netCDF has no unsigned numbers.
    return {"status": np.int8, "flags": np.int32}.get(name, np.float64)


def _station_field(build: Build, path: str) -> tuple[str, str] | None:
    """Return name and SI unit of a field that the core can vary, or None."""
    station, _, field = path.partition(".")
    part = build.chain.stations().get(station) if field else None
    if part is None:
        return None
    return next(((name, unit) for name, unit, *_ in part.fields() if name == field), None)


def _core_axis(build: Build, path: str, values: Array) -> tuple[str, Array]:
    """Name and values of an axis as the core takes it: SI, behind the factors of a fit."""
    if path == "rpm":
        return "engine_speed", values * RPM
    station, _, field = path.partition(".")
    return path, lane_values(build.factors, station, field, values)


def _rebuilt(build: Build, lanes: Mapping[str, Array]) -> set[str]:
    """Axes whose values the core must not set by themselves, since more follows from them.

    What is typed may move other numbers of the chain too: with a dew point a temperature moves the
    humidity. So a few values are typed into the build, and compared with the field set alone.
    """
    paths = [name for name in lanes if name not in ("rpm", "engine_speed")]
    alone = {path for path in paths if not _by_itself(build, {path: lanes[path]})}
    together = {path: lanes[path] for path in paths if path not in alone}
    if len(together) > 1 and not _by_itself(build, together):
        return set(paths)
    return alone


def _by_itself(build: Build, lanes: Mapping[str, Array]) -> bool:
    """Whether typing these values does to the chain what setting the fields alone does."""
    for place in np.linspace(0.0, 1.0, _PROBES):
        one = {path: v[round(place * (len(v) - 1))] for path, v in lanes.items()}
        try:
            typed = build.replace({path: _typed(build, path, v) for path, v in one.items()})
        except InputError:
            continue  # no such key in the file, or a value that the core will refuse by name
        chain = build.chain
        for path, value in one.items():
            station, _, field = path.partition(".")
            behind = _core_axis(build, path, np.array([value]))[1][0]
            part = getattr(chain, station).replace(**{field: float(behind)})
            chain = chain.replace(**{station: part})
        if chain != typed.chain:
            return False
    return True


def _typed(build: Build, path: str, value: float) -> str | float:
    """A value [SI] of a station's field as the build file takes it."""
    unit = KINDS[_kind(build, path)].si_unit
    return f"{float(value)!r} {unit}" if unit else float(value)


def _lane(build: Build, path: str) -> bool:
    return path in ("rpm", "engine_speed") or _station_field(build, path) is not None


def _listed(name: str, values: Axis) -> list[Typed]:
    listed: list[Any] = [values]
    if isinstance(values, Iterable) and not isinstance(values, str):
        listed = list(values) if getattr(values, "ndim", 1) else listed
    if not listed:
        raise refusal("sweep", name, "[]", "hold at least one value")
    return listed


def _kind(build: Build, path: str) -> str:
    if path in ("rpm", "engine_speed"):
        return "speed"
    field = _station_field(build, path)
    return kind_of(*field) if field else "dimensionless"


def _lane_values(build: Build, path: str, values: Axis) -> Array:
    """Return the values of a lane axis: SI, but rpm where the axis is called so."""
    kind = _kind(build, path)
    unit = "rpm" if path == "rpm" else KINDS[kind].si_unit or None
    if is_quantity(values):
        values = [values] if np.ndim(values.magnitude) == 0 else list(values)
    numbers = [to_si(v, kind, where="sweep", field=path, unit=unit) for v in _listed(path, values)]
    if path == "rpm":
        return checked_speeds(np.array(numbers) / RPM, "sweep")
    return np.array(numbers)


def _changed(build: Build, values: Mapping[str, Any]) -> Build:
    """Return the build at one combination of outer values."""
    if "level" in values:
        level = values["level"]
        if level not in build.levels:
            known = [str(name) for name in build.levels]
            rule = f"be a level of the build: {', '.join(known) or 'it has none'}"
            raise refusal("sweep", "level", quoted(level), rule, suggestion(str(level), known))
        build = build.level(level)
    rest = {
        path: _typed(build, path, value) if _lane(build, path) else value
        for path, value in values.items()
        if path != "level"
    }
    return build.replace(rest) if rest else build


def _dataset(
    build: Build, axes: Mapping[str, Axis], values: Mapping[str, Axis], arrays: Mapping[str, Array]
) -> Dataset:
    dims = tuple(axes)
    coordinates = {}
    for name in dims:
        lane = isinstance(values[name], np.ndarray)
        unit = "rpm" if name == "rpm" else KINDS[_kind(build, name)].si_unit if lane else ""
        attributes = {"units": unit or "1", "long_name": _words(name)}
        coordinates[name] = (name, values[name], attributes if lane else {})
    variables = {n: (dims, a, _attributes(n)) for n, a in arrays.items()}
    attributes = {
        "title": build.title,
        "summary": f"{statuses.outcome(arrays['status'], arrays['flags'])} {_NO_KNOCK}",
        "breathing": breathing_words(build),
        "fingerprint": _fingerprint(build, values, list(arrays)),
    }
    grid: Dataset = extra("xarray").Dataset(variables, coordinates, attributes)
    add_tools()
    return grid


def _words(path: str) -> str:
    station, _, field = path.rpartition(".")
    if path == "rpm":
        return "engine speed"
    return heading(field) if field.startswith(station) else f"{station} {heading(field)}".strip()


def _attributes(name: str) -> dict[str, str | NDArray[np.integer]]:
    row = columns()[name]
    attributes: dict[str, str | NDArray[np.integer]] = {
        "long_name": heading(name),
        "comment": row.words,
    }
    if name == "status":
        names = statuses.status_names()
        attributes["flag_values"] = np.arange(len(names), dtype=np.int8)
        attributes["flag_meanings"] = " ".join(names)
    elif name == "flags":
        bits = statuses.flag_bits()
        attributes["flag_masks"] = np.array(list(bits.values()), dtype=np.int32)
        attributes["flag_meanings"] = " ".join(bits)
    else:
        attributes["units"] = row.unit
    return attributes


def _fingerprint(build: Build, values: Mapping[str, Axis], names: list[str]) -> str:
    """Return a hash of everything the result depends on, so that a stale file can be told."""
    axis_texts = {name: [repr(v) for v in np.asarray(v).tolist()] for name, v in values.items()}
    dependencies = (__version__, build.fingerprint, axis_texts, names)
    return hashlib.sha256(repr(dependencies).encode()).hexdigest()
