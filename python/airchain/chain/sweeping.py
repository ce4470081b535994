"""Many chains at once: a grid over any inputs of a build, as a dataset with units."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import product
from typing import Any

import numpy as np

from ..base.errors import quoted, refusal, suggestion
from ..base.extras import extra
from ..base.speeds import RPM, checked_speeds
from ..base.text_file import checked_target, write_text, write_with
from ..shown import statuses
from ..shown.columns import column, columns, heading, kind_of
from ..units.convert import KINDS, to_si

__all__ = ["sweep", "write_dataset"]

_LARGEST = 200_000_000


def sweep(
    build: Any,
    axes: Mapping[str, Any],
    columns: Sequence[str] | None = None,
    *,
    threads: int = 0,
    progress: Callable[[int, int], None] | None = None,
) -> Any:
    """Solve a build over the full grid of some inputs.

    Numeric inputs of a station and the engine speed go to the core together; every other path of
    the build file, and ``"level"``, rebuilds the chain once a value.

    Parameters
    ----------
    build : Build
        The build.
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
        flags, and a fingerprint of the inputs in the attributes.

    Raises
    ------
    InputError
        An axis or column that does not exist, a value that is refused, or a grid of more than
        200 million points.

    Examples
    --------
    >>> sweep(build, {"rpm": [4000, 6000], "cooler.effectiveness": [0.6, 0.8]})  # doctest: +SKIP
    """
    wanted = _wanted(columns)
    if not axes:
        raise refusal("sweep", "axes", "{}", "name at least one input", 'such as {"rpm": [5000]}')
    lanes = {name: _lane_values(build, name, v) for name, v in axes.items() if _lane(build, name)}
    outer = {name: _listed(name, v) for name, v in axes.items() if name not in lanes}
    if not any(name in ("rpm", "engine_speed") for name in lanes):
        hint = 'such as "rpm": [3000, 4000, 5000]'
        raise refusal("sweep", "axes", quoted(list(axes)), 'hold "rpm" or "engine_speed"', hint)
    order = [*outer, *lanes]
    shape = tuple(len(v) for v in (*outer.values(), *lanes.values()))
    points = int(np.prod([float(n) for n in shape]))
    if points > _LARGEST:
        raise refusal("sweep", "axes", f"{points:,} points", f"make at most {_LARGEST:,}")
    arrays = _solve_all(build, outer, lanes, wanted, shape, threads, progress)
    transpose = [order.index(name) for name in axes]
    arrays = {name: values.transpose(transpose) for name, values in arrays.items()}
    return _dataset(build, axes, {**outer, **lanes}, arrays)


def write_dataset(dataset: Any, path: str | os.PathLike[str]) -> None:
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
    return list(dict.fromkeys([*chosen, "status", "flags"]))


def _solve_all(
    build: Any,
    outer: Mapping[str, list[Any]],
    lanes: Mapping[str, Any],
    wanted: list[str],
    shape: tuple[int, ...],
    threads: int,
    progress: Callable[[int, int], None] | None,
) -> dict[str, Any]:
    """Fill the grid: outer axes rebuild the chain, lane axes go to the core together."""
    from .. import _core

    # The chains are all built first: a value that is refused costs no work.
    chains = [
        _changed(build, dict(zip(outer, values, strict=True))).chain
        for values in product(*outer.values())
    ]
    inner = tuple(len(v) for v in lanes.values())
    whole: dict[str, Any] = {
        name: np.empty((len(chains), *inner), dtype=_type(name)) for name in wanted
    }
    core_axes = {
        ("engine_speed" if name == "rpm" else name): values * (RPM if name == "rpm" else 1.0)
        for name, values in lanes.items()
    }
    each = int(np.prod(inner))
    for row, chain in enumerate(chains):

        def told(done: int, before: int = row * each) -> None:
            if progress is not None:
                progress(before + done, len(chains) * each)

        solved = _core.solve(chain, core_axes, wanted, threads=threads, progress=told)
        for name in wanted:
            whole[name][row] = solved[name]
    return {name: values.reshape(shape) for name, values in whole.items()}


def _type(name: str) -> type:
    # Signed, because the plainest netCDF has no unsigned numbers.
    return {"status": np.int8, "flags": np.int32}.get(name, np.float64)


def _station_field(build: Any, path: str) -> tuple[str, str] | None:
    """Return name and SI unit of a field that the core can vary, or None."""
    station, _, field = path.partition(".")
    part = getattr(build.chain, station, None) if field else None
    if part is None or not hasattr(part, "fields"):
        return None
    return next(((name, unit) for name, unit, *_ in part.fields() if name == field), None)


def _lane(build: Any, path: str) -> bool:
    return path in ("rpm", "engine_speed") or _station_field(build, path) is not None


def _listed(name: str, values: Any) -> list[Any]:
    if isinstance(values, str) or not isinstance(values, Iterable):
        values = [values]
    found = list(values)
    if not found:
        raise refusal("sweep", name, "[]", "hold at least one value")
    return found


def _kind(build: Any, path: str) -> str:
    if path in ("rpm", "engine_speed"):
        return "speed"
    field = _station_field(build, path)
    return kind_of(*field) if field else "dimensionless"


def _lane_values(build: Any, path: str, values: Any) -> Any:
    """Return the values of a lane axis: SI, but rpm where the axis is called so."""
    kind = _kind(build, path)
    unit = "rpm" if path == "rpm" else KINDS[kind].si_unit or None
    if hasattr(values, "magnitude") and hasattr(values, "units"):
        values = [values] if np.ndim(values.magnitude) == 0 else list(values)
    numbers = [to_si(v, kind, where="sweep", field=path, unit=unit) for v in _listed(path, values)]
    if path == "rpm":
        return checked_speeds(np.array(numbers) / RPM, "sweep")
    return np.array(numbers)


def _changed(build: Any, values: Mapping[str, Any]) -> Any:
    """Return the build at one combination of outer values."""
    if "level" in values:
        level = values["level"]
        if level not in build.levels:
            known = [str(name) for name in build.levels]
            rule = f"be a level of the build: {', '.join(known) or 'it has none'}"
            raise refusal("sweep", "level", quoted(level), rule, suggestion(str(level), known))
        build = build.level(level)
    rest = {path: value for path, value in values.items() if path != "level"}
    return build.replace(rest) if rest else build


def _dataset(
    build: Any, axes: Mapping[str, Any], values: Mapping[str, Any], arrays: Mapping[str, Any]
) -> Any:
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
        "summary": statuses.count(arrays["status"]),
        "fingerprint": _fingerprint(build, values, list(arrays)),
    }
    return extra("xarray").Dataset(variables, coordinates, attributes)


def _words(path: str) -> str:
    station, _, field = path.rpartition(".")
    if path == "rpm":
        return "engine speed"
    return heading(field) if field.startswith(station) else f"{station} {heading(field)}".strip()


def _attributes(name: str) -> dict[str, Any]:
    row = columns()[name]
    attributes: dict[str, Any] = {"long_name": heading(name), "comment": row.words}
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


def _fingerprint(build: Any, values: Mapping[str, Any], names: list[str]) -> str:
    """Return a hash of everything the result depends on, so that a stale file can be told."""
    from .. import __version__

    told = {name: [repr(v) for v in np.asarray(v).tolist()] for name, v in values.items()}
    made_of = (build.fingerprint, build.level_name, build.supercharged)
    return hashlib.sha256(repr((__version__, made_of, told, names)).encode()).hexdigest()
