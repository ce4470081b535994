"""Axes that the core sets by itself: fields of stations, where nothing else follows from them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..base.errors import InputError, refusal
from ..base.speeds import RPM, checked_speeds
from ..chain.build import Build
from ..chain.factors import lane_values
from ..shown.columns import kind_of
from ..typed.place import Typed
from ..units.convert import KINDS, is_quantity, to_si

Array = NDArray[np.float64]
#: Values of one axis, one or several.
Axis: TypeAlias = ArrayLike | Typed
#: Names of the engine's speed: in rpm, and in SI.
SPEEDS = ("rpm", "engine_speed")
#: How many values of an axis are tried before the core may set it by itself.
_PROBES = 4


def _station_field(build: Build, path: str) -> tuple[str, str] | None:
    """Return name and SI unit of a field that the core can vary, or None."""
    station, _, field = path.partition(".")
    part = build.chain.stations().get(station) if field else None
    if part is None:
        return None
    return next(((name, unit) for name, unit, *_ in part.fields() if name == field), None)


def is_lane(build: Build, path: str) -> bool:
    """Whether a path is engine speed or a number of a station."""
    return path in SPEEDS or _station_field(build, path) is not None


def kind_of_path(build: Build, path: str) -> str:
    """Return the quantity kind of a path; dimensionless where the core does not know it."""
    if path in SPEEDS:
        return "speed"
    field = _station_field(build, path)
    return kind_of(*field) if field else "dimensionless"


def listed(name: str, values: Axis) -> list[Typed]:
    """Return the values of an axis as a list, or refuse an empty one."""
    found: list[Any] = [values]
    if isinstance(values, Iterable) and not isinstance(values, str):
        found = list(values) if getattr(values, "ndim", 1) else found
    if not found:
        raise refusal("sweep", name, "[]", "hold at least one value")
    return found


def numbers(build: Build, path: str, values: Axis) -> Array:
    """Return the values of a lane axis: SI, but rpm where the axis is called so."""
    kind = kind_of_path(build, path)
    unit = "rpm" if path == "rpm" else KINDS[kind].si_unit or None
    if is_quantity(values):
        values = [values] if np.ndim(values.magnitude) == 0 else list(values)
    found = [to_si(v, kind, where="sweep", field=path, unit=unit) for v in listed(path, values)]
    if path == "rpm":
        return checked_speeds(np.array(found) / RPM, "sweep")
    return np.array(found)


def core_axis(build: Build, path: str, values: Array) -> tuple[str, Array]:
    """Name and values of an axis as the core takes it: SI, behind the factors of a fit."""
    if path == "rpm":
        return "engine_speed", values * RPM
    station, _, field = path.partition(".")
    return path, lane_values(build.factors, station, field, values)


def typed(build: Build, path: str, value: float) -> str | float:
    """A value [SI] of a station's field as the build file takes it."""
    unit = KINDS[kind_of_path(build, path)].si_unit
    return f"{float(value)!r} {unit}" if unit else float(value)


def rebuilt(build: Build, lanes: Mapping[str, Array]) -> set[str]:
    """Axes whose values the core must not set by themselves, since more follows from them.

    What is typed may move other numbers of the chain too: with a dew point a temperature moves the
    humidity. So a few values are typed into the build, and compared with the field set alone.
    """
    paths = [name for name in lanes if name not in SPEEDS]
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
            changed = build.replace({path: typed(build, path, v) for path, v in one.items()})
        except InputError:
            continue  # no such key in the file, or a value that the core will refuse by name
        chain = build.chain
        for path, value in one.items():
            station, _, field = path.partition(".")
            behind = core_axis(build, path, np.array([value]))[1][0]
            part = getattr(chain, station).replace(**{field: float(behind)})
            chain = chain.replace(**{station: part})
        if chain != changed.chain:
            return False
    return True
