"""A chain as a row of plain numbers, as `cpp/wasm/chain.cpp` reads it in a page."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from math import inf

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..cylinder.surface import BURNED, VALUES

__all__ = ["indices", "packed"]

Array = NDArray[np.float64]
_LEFT_ENDS = ("surge", "estimated", "last_point")
_RIGHT_ENDS = ("choke", "last_point")
_PLACES = ("before_compressor", "plenum", "port")
_BELTS, _UNUSED = 2, (0.0, 0.0, inf, 0.0)
#: What stands for the stations that a chain may lack; the core passes over them.
_ABSENT = {
    "compressor": {"flow_scale": 1.0, "head_scale": 1.0, "efficiency_scale": 1.0},
    "operation": {"engine_speed": 500.0, "engine_acceleration": 0.0},
}


@cache
def indices() -> dict[str, int]:
    """Return the place of every number of a chain, by ``station.field``, dimensionless."""
    fields = [name for name in _core.axis_names() if "." in name]
    belts = [f"drive.belts.{i}" for i in range(_BELTS * len(_UNUSED))]
    return {name: i for i, name in enumerate([*fields, *belts])}


def packed(chain: _core.Chain) -> Array:
    """Return a chain as numbers.

    Parameters
    ----------
    chain : Chain
        The stations; their breathing is a table or a surface.

    Returns
    -------
    ndarray
        The numbers of `indices` [SI], then what the numbers do not tell: where the fuel joins, the
        cooler's curve, the compressor's map and the breathing, each list behind its length.
    """
    return np.array([*_stations(chain), *_cooling(chain), *_map(chain), *_breathing(chain)])


def _stations(chain: _core.Chain) -> Iterator[float]:
    stations = chain.stations()
    for name in _core.axis_names():
        station, _, field = name.partition(".")
        if field:
            part = stations.get(station)
            absent = _ABSENT.get(station, {}).get(field, inf)
            yield absent if part is None else float(getattr(part, field))
    belts = list(chain.drive.belts if chain.drive is not None else ())
    for belt in [*belts, *[_UNUSED] * (_BELTS - len(belts))]:
        yield from belt
    yield float(_PLACES.index(chain.injection.place))


def _listed(values: ArrayLike) -> Iterator[float]:
    flat = np.asarray(values, dtype=float).ravel()
    yield float(flat.size)
    yield from flat.tolist()


def _cooling(chain: _core.Chain) -> Iterator[float]:
    cooler = chain.cooler
    yield float(cooler.ambient_cooled)
    curve = cooler.shape
    yield from _listed([] if curve is None else curve.x)
    yield from _listed([] if curve is None else curve.y)


def _map(chain: _core.Chain) -> Iterator[float]:
    if chain.compressor is None:
        yield 0.0
        return
    data = chain.compressor.map.data
    yield 1.0
    for name in ("temperature", "pressure", "gas_constant", "gamma"):
        yield float(getattr(data.reference, name))
    yield float(data.tip_diameter)
    yield float(data.speed_limit)
    yield float(_LEFT_ENDS.index(data.left_end))
    yield float(_RIGHT_ENDS.index(data.right_end))
    yield float(len(data.lines))
    for line in data.lines:
        yield float(line.speed)
        for values in (line.flow, line.pressure_ratio, line.efficiency):
            yield from _listed(values)


def _breathing(chain: _core.Chain) -> Iterator[float]:
    table, surface = chain.breathing.table, chain.breathing.surface
    yield 1.0 if surface is None else 2.0
    if table is not None:
        yield from _table(table)
        return
    assert surface is not None, "a page cannot run cycles"
    for values in (surface.wave_speed, surface.pressure_ratio, surface.temperature):
        yield from _listed(values)
    yield from map(float, surface.exhaust_pressure)
    for name in VALUES:
        yield from _listed(getattr(surface, name))
    yield float(surface.burned is not None)
    if surface.burned is not None:
        for name in BURNED[:-1]:
            yield from _listed(getattr(surface.burned, name))
        yield from surface.burned.own.tolist()
    together = chain.breathing.together
    yield float(together is not None)
    if together is not None:
        yield from _table(together)


def _table(table: _core.BreathingTable) -> Iterator[float]:
    for values in (table.engine_speed, table.pressure_ratio, table.values):
        yield from _listed(values)
