"""Plenum and collectors of a whole engine, as typed: rooms, their pipes, and what ends in which."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, pi
from typing import NamedTuple

import numpy as np

from .. import _core
from ..typed.place import Typed
from ..typed.section import Section
from .groups import groups_of
from .keys import PLENUM, SECONDARIES, THROTTLE

#: Length of a cell [m] of a room's pipe unless cells are typed, as fine as a primary's, and their
#: fewest and most.
_CELL, _FEW, _MANY = 0.05, 6, 40
#: Inside of a collector's pipe at full load, and of a duct, unless typed (common practice, no
#: source) [K].
_HOT, _COLD = 800.0, 310.0
#: End correction of a duct's mouth in the plenum's wall [Nomura et al. 1960], over its radius.
_FLUSH = 0.8217
#: Keys that need a pipe.
_OF_PIPE = ("diameter", "outer_diameter", "friction_factor", "wall_temperature", "cells",
            "end_correction", "inner_end_correction")  # fmt: skip
#: Keys that may have a value for each of several merges.
_EACH = ("volume", "merge_length", "length", *_OF_PIPE)


class PipeSize(NamedTuple):
    """A cylinder's own pipe.

    Attributes
    ----------
    length, diameter : float
        Length, port included, and diameter at the end away from the valve [m].
    """

    length: float
    diameter: float


class Exhaust(NamedTuple):
    """What primaries end in.

    Attributes
    ----------
    rooms : tuple of EngineRoom, or None
        The collectors, then the merges of pairs; None for the point's gas at rest.
    into : tuple of int
        Of each of these, which one its pipe ends in, -1 for the outside.
    outlet : tuple of int
        Which of these each primary opens into, from 0.
    """

    rooms: tuple[_core.EngineRoom, ...] | None
    into: tuple[int, ...]
    outlet: tuple[int, ...]


def pipes_of(
    typed: Section | None, name: str, runner: _core.Runner, cylinders: int
) -> tuple[PipeSize, ...]:
    """Return each cylinder's runner or primary, those of the engine unless lengths are typed."""
    usual = runner.taper
    lengths = _by_cylinder(typed, f"{name}_lengths", "length", usual.length, cylinders)
    widths = _by_cylinder(typed, f"{name}_diameters", "diameter", usual.diameter, cylinders)
    return tuple(PipeSize(*one) for one in zip(lengths, widths, strict=True))


def _by_cylinder(
    typed: Section | None, name: str, field: str, usual: float, cylinders: int
) -> list[float]:
    if typed is None or not typed.has(name):
        return [usual] * cylinders
    values = typed.numbers(name)
    low, high = next((low, high) for key, _, low, high, _ in _core.Pipe.fields() if key == field)
    if len(values) != cylinders:
        typed.refuse(name, f"have one {field} for each of the {cylinders} cylinders")
    if not all(low <= value <= high for value in values):
        typed.refuse(name, f"be {field}s between {low:g} and {high:g} m")
    return values


def with_size(pipe: _core.Runner, size: PipeSize) -> _core.Runner:
    """Return a pipe of another size, straight where it was straight; itself where it is its own."""
    taper = pipe.taper
    if size == (taper.length, taper.diameter):
        return pipe
    far = size.diameter if taper.far_diameter == taper.diameter else taper.far_diameter
    own = taper.replace(length=size.length, diameter=size.diameter, far_diameter=far)
    return pipe.replace(taper=own)


def plenum_room(typed: Section) -> _core.EngineRoom:
    """Return the plenum: fed by a duct, through a throttle, or steadily."""
    typed.need("volume")
    opening = None
    if typed.has("throttle"):
        if typed.has("length"):
            hint = "a throttle stands in place of the duct: remove one of them"
            typed.refuse("throttle", "not stand beside a length", hint)
        bores = typed.sub("throttle", THROTTLE)
        area = bores.area(needed=True)
        opening = bores.make(_core.Throttle, **{**bores.fields(_core.Throttle), **area})
    pipe = _pipe(typed, _COLD, _FLUSH, [n for n in _OF_PIPE if n in PLENUM])
    return typed.make(
        _core.EngineRoom, **typed.fields(_core.EngineRoom), pipe=pipe, opening=opening
    )


def exhaust_of(
    typed: Section | None, groups: Sequence[Sequence[int]], primaries: Sequence[PipeSize]
) -> Exhaust:
    """Return what primaries end in: collectors, and merges of pairs before these where typed.

    Parameters
    ----------
    typed : Section or None
        The table of collectors.
    groups : sequence of sequence of int
        Cylinders of each collector, numbers from 1.
    primaries : sequence of PipeSize
        Each cylinder's primary [m].

    Returns
    -------
    Exhaust
        The rooms and how they hang together.
    """
    collector = _places(groups, len(primaries))
    if typed is None:
        return Exhaust(None, (), tuple(collector))
    inlets = [sum(_area(primaries[n - 1].diameter) for n in group) for group in groups]
    if not typed.has("secondaries"):
        rooms = _merges(typed, "collectors", inlets, 0.0)
        return Exhaust(rooms, (-1,) * len(groups), tuple(collector))
    own = typed.sub("secondaries", SECONDARIES)
    own.need("pairs", "length", "diameter")
    pairs = groups_of(own, "pairs", len(primaries))
    into = [_end_of(own, pair, collector) for pair in pairs]
    meeting = [sum(_area(primaries[n - 1].diameter) for n in pair) for pair in pairs]
    merges = _merges(own, "pairs", meeting, None)
    inlets = [0.0] * len(groups)
    for room, end in zip(merges, into, strict=True):
        assert room.pipe is not None  # lengths are needed
        inlets[end] += _area(room.pipe.taper.far_diameter)
    rooms = _merges(typed, "collectors", inlets, 0.0)
    outlet = [len(groups) + place for place in _places(pairs, len(primaries))]
    return Exhaust((*rooms, *merges), (*(-1,) * len(groups), *into), tuple(outlet))


def _places(groups: Sequence[Sequence[int]], cylinders: int) -> list[int]:
    """Which group each cylinder is in."""
    where = {number: place for place, group in enumerate(groups) for number in group}
    return [where[n] for n in range(1, cylinders + 1)]


def _end_of(typed: Section, pair: Sequence[int], collector: Sequence[int]) -> int:
    """The one collector of a pair's cylinders."""
    ends = {collector[n - 1] for n in pair}
    if len(ends) > 1:
        names = " and ".join(str(n) for n in pair)
        hint = f"cylinders {names} end in different ones: a pair meets again in its own collector"
        typed.refuse("pairs", "hold cylinders of one collector each", hint)
    return ends.pop()


def _area(diameter: float) -> float:
    return 0.25 * pi * diameter**2


def _merges(
    typed: Section, of: str, inlets: Sequence[float], inner: float | None
) -> tuple[_core.EngineRoom, ...]:
    """Merges by volume or length: as wide as what enters and what leaves them in the mean.

    Without an `inner` end correction their pipes end in other merges, and act no longer.
    """
    rooms: list[_core.EngineRoom] = []
    for one, inlet in zip(_one_by_one(typed, of, len(inlets)), inlets, strict=True):
        pipe = _pipe(one, _HOT, inner or 0.0, [n for n in _OF_PIPE if n in one.keys])
        given = one.fields(_core.EngineRoom)
        if inner is None:
            given["outer_correction"] = 0.0
        if one.one_of("volume", "merge_length", needed=True) == "merge_length":
            one.positive("merge_length")
            outlet = inlet if pipe is None else _area(pipe.taper.diameter)
            given["volume"] = one.number("merge_length") * 0.5 * (inlet + outlet)
            one.made_of["volume"] = "merge_length"
        rooms.append(one.make(_core.EngineRoom, **given, pipe=pipe))
    return tuple(rooms)


def _one_by_one(typed: Section, of: str, count: int) -> list[Section]:
    """The table of each merge: a key that was typed as a list has one value for each."""
    rows = {n: _row(value) for n, value in typed.table.items() if n in _EACH}
    lists = {n: row for n, row in rows.items() if row is not None}
    for name, row in lists.items():
        if len(row) != count:
            typed.refuse(name, f"be one value, or one for each of the {count} {of}")
    if not lists:
        return [typed] * count
    own = {n: typed.table[n] for n in rows if n not in typed.refused}
    return [
        Section(typed.source, typed.path, typed.keys, own | {n: row[i] for n, row in lists.items()})
        for i in range(count)
    ]


def _row(value: Typed) -> Sequence[Typed] | None:
    """A list of values; None for one value."""
    if isinstance(value, np.ndarray):
        return list(value)
    return value if isinstance(value, Sequence) and not isinstance(value, str) else None


def _pipe(typed: Section, wall: float, inner: float, only: Sequence[str]) -> _core.Runner | None:
    """The pipe of a room, where a length was typed."""
    if not typed.has("length"):
        typed.only_with("a length", *only)
        return None
    typed.need("length", "diameter")
    values = {"far_diameter": typed.number("diameter"), **typed.fields(_core.Pipe)}
    taper = typed.make(_core.Pipe, **values)
    cells = float(min(max(ceil(taper.length / _CELL), _FEW), _MANY))
    own = {"cells": cells, "wall_temperature": wall, "end_correction": inner}
    return typed.make(_core.Runner, taper=taper, **{**own, **typed.fields(_core.Runner)})
