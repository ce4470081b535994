"""How the cylinders of an engine stand together: firing order, plenum and collectors, as typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, pi
from typing import NamedTuple, NoReturn

import numpy as np

from .. import _core
from ..base.errors import InputError, Refusal, told_as
from ..typed.section import Section
from .keys import COLLECTORS, FIRING, PLENUM

#: Length of a cell [m] of the duct before a plenum and of a collector's pipe unless cells are
#: typed, as fine as a primary's, and their fewest and most.
_CELL, _FEW, _MANY = 0.05, 6, 40
#: Inside of a collector's pipe at full load, and of a duct, unless typed (common practice, no
#: source) [K].
_WALLS = {"collectors": 800.0, "plenum": 310.0}
_ROOMS = ("plenum", "collectors")
#: What a whole engine is solved without.
LEFT_OUT = (
    "Left out: how the shape of plenum and merge directs flow to one cylinder or another, pulses "
    "before the plenum's feed, the crank's change of speed within a turn, blow-by, and heat to the "
    "walls of plenum and merge. A jet that enters a merge loses its speed there, so that a "
    "well-made merge of small angle draws a little better than told."
)


class Layout(NamedTuple):
    """Every cylinder's place.

    Attributes
    ----------
    order : tuple of int
        Cylinders in the order of their firing.
    firing : tuple of float
        Crank angle at which each fires after cylinder 1 [rad].
    collector : tuple of int
        Which collector each opens into, from 0.
    plenum, collectors : EngineRoom or None
        Plenum, and what stands for every collector; None for the point's gas at rest.
    runner_lengths, primary_lengths : tuple of float or None
        Of each cylinder [m], ports included; None where all are those of the engine.
    """

    order: tuple[int, ...]
    firing: tuple[float, ...]
    collector: tuple[int, ...]
    plenum: _core.EngineRoom | None
    collectors: _core.EngineRoom | None
    runner_lengths: tuple[float, ...] | None
    primary_lengths: tuple[float, ...] | None


def layout_of(typed: Section, setup: _core.CycleSetup, cylinders: int) -> Layout | None:
    """Return the layout of an engine's table; None where no firing order was typed.

    Parameters
    ----------
    typed : Section
        The engine's table.
    setup : CycleSetup
        One cylinder, whose pipes are those of all unless lengths are typed.
    cylinders : int
        How many there are, dimensionless.

    Returns
    -------
    Layout or None
        The layout.

    Raises
    ------
    InputError, NotedError
        Cylinders that are named twice or not at all, an order that the crank cannot have, groups
        that leave a primary open, and values out of range.
    """
    if not typed.has("firing_order"):
        typed.only_with("a firing_order", *(n for n in (*FIRING, *_ROOMS) if n != "firing_order"))
        return None
    order = [int(n) for n in typed.numbers("firing_order")]
    if len(order) != cylinders:
        typed.refuse("firing_order", f"name each of the {cylinders} cylinders once")
    banks = _groups(typed, "banks", cylinders) if typed.has("banks") else []
    firing = _firing(typed, order, banks)
    plenum = typed.sub("plenum", PLENUM) if typed.has("plenum") else None
    collectors = typed.sub("collectors", COLLECTORS) if typed.has("collectors") else None
    groups = banks or [list(range(1, cylinders + 1))]
    if collectors is not None and collectors.has("primaries"):
        groups = _groups(collectors, "primaries", cylinders)
    where = {number: place for place, group in enumerate(groups) for number in group}
    lengths = typed.source.every(
        lambda table, name: None if table is None else _lengths(table, name, cylinders),
        [(plenum, "runner_lengths"), (collectors, "primary_lengths")],
    )
    most = max(len(group) for group in groups)
    return Layout(
        tuple(order),
        tuple(firing),
        tuple(where[n] for n in range(1, cylinders + 1)),
        None if plenum is None else _room(plenum, "plenum", 0.0),
        None if collectors is None else _collector(collectors, setup, most),
        *lengths,
    )


def _firing(typed: Section, order: list[int], banks: list[list[int]]) -> list[float]:
    typed.one_of("throws", "crank")
    throws: list[float] = []
    named = False
    in_a_bank = len(banks[0]) if banks else len(order)
    if typed.has("throws"):
        throws = typed.numbers("throws")
    elif (crank := typed.text("crank", "even")) != "even":
        throws = _told(typed, "crank", lambda: _core.throws_of(crank, in_a_bank))
        named = True  # a crank of that name may turn either way
    angle = typed.get("bank_angle", 0.5 * pi)
    if not throws:
        typed.only_with('throws or a crank that is not "even"', "bank_angle")
    return _told(
        typed, "firing_order", lambda: _core.firing_angles(order, throws, banks, angle, named)
    )


def _told(typed: Section, otherwise: str, make: Callable[[], list[float]]) -> list[float]:
    """Call the core; what it refuses is told at the key that is at fault."""
    names = {"order": "firing_order"}

    try:
        return make()
    except InputError as error:

        def located(one: Refusal) -> Refusal:
            name = names.get(one.field, one.field)
            name = name if name in typed.table else otherwise
            path = ".".join(str(part) for part in (*typed.path, name))
            return one.replace(where=typed.where(name), field=path)

        raise told_as(error, located) from None


def _groups(typed: Section, name: str, cylinders: int) -> list[list[int]]:
    """Return a list of lists of cylinder numbers that holds each of them once."""
    rows = typed.table[name]

    def refuse() -> NoReturn:
        typed.refuse(name, "be lists of cylinder numbers", f"such as {name} = [[1, 4], [2, 3]]")

    if not isinstance(rows, Sequence) or isinstance(rows, str) or not rows:
        refuse()
    groups: list[list[int]] = []
    for row in rows:
        if not isinstance(row, Sequence | np.ndarray) or isinstance(row, str):
            refuse()
        group = []
        for n in row:
            if not isinstance(n, int | np.integer) or isinstance(n, bool):
                refuse()
            group.append(min(max(int(n), -1), 1000))
        groups.append(group)
    lost = "ends in a collector" if name == "primaries" else "stands in a bank"

    def check() -> list[float]:
        _core.require_each_once(groups, cylinders, name, lost)
        return []

    _told(typed, name, check)
    return groups


def _lengths(typed: Section, name: str, cylinders: int) -> tuple[float, ...] | None:
    if not typed.has(name):
        return None
    values = typed.numbers(name)
    ranges = {field: (low, high) for field, _, low, high, _ in _core.Pipe.fields()}
    low, high = ranges["length"]
    if len(values) != cylinders:
        typed.refuse(name, f"have one length for each of the {cylinders} cylinders")
    if not all(low <= value <= high for value in values):
        typed.refuse(name, f"be lengths between {low:g} and {high:g} m")
    return tuple(values)


def _pipe(typed: Section, name: str) -> _core.Runner | None:
    """The pipe between a room and the outside, where a length was typed."""
    if not typed.has("length"):
        typed.only_with("a length", *(n for n in PLENUM if n not in ("volume", "runner_lengths")))
        return None
    typed.need("length", "diameter")
    values = {"far_diameter": typed.number("diameter"), **typed.fields(_core.Pipe)}
    taper = typed.make(_core.Pipe, **values)
    cells = float(min(max(ceil(taper.length / _CELL), _FEW), _MANY))
    own = {"cells": cells, "wall_temperature": _WALLS[name], **typed.fields(_core.Runner)}
    return typed.make(_core.Runner, taper=taper, **own)


def _room(typed: Section, name: str, volume: float) -> _core.EngineRoom:
    if not volume:
        typed.need("volume")
    given = typed.fields(_core.EngineRoom) or {"volume": volume}
    return typed.make(_core.EngineRoom, **given, pipe=_pipe(typed, name))


def _collector(typed: Section, setup: _core.CycleSetup, most: int) -> _core.EngineRoom:
    """A merge by its volume or its length: as wide as its primaries and its pipe in the mean."""
    volume = 0.0
    if typed.one_of("volume", "merge_length", needed=True) == "merge_length":
        typed.positive("merge_length")
        inlets = most * 0.25 * pi * setup.exhaust.taper.diameter**2
        outlet = 0.25 * pi * typed.number("diameter") ** 2 if typed.has("diameter") else inlets
        volume = typed.number("merge_length") * 0.5 * (inlets + outlet)
        typed.made_of["volume"] = "merge_length"
    return _room(typed, "collectors", volume)
