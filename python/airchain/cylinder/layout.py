"""How the cylinders of an engine stand together: firing order, plenum and collectors, as typed."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from .. import _core
from ..typed.section import Section
from .groups import groups_of, told_at
from .keys import COLLECTORS, FIRING, PLENUM
from .rooms import PipeSize, exhaust_of, pipes_of, plenum_room

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
        Which collector the exhaust of each ends in, from 0.
    plenum : EngineRoom or None
        The plenum; None for the point's gas at rest.
    collectors : tuple of EngineRoom, or None
        The collectors, then the merges of pairs where primaries meet in two steps; None for the
        point's gas at rest.
    into : tuple of int
        Of each of these, which one its pipe ends in, -1 for the outside.
    outlet : tuple of int
        Which of these each primary opens into, from 0.
    runners, primaries : tuple of PipeSize
        Each cylinder's own pipes [m].
    """

    order: tuple[int, ...]
    firing: tuple[float, ...]
    collector: tuple[int, ...]
    plenum: _core.EngineRoom | None
    collectors: tuple[_core.EngineRoom, ...] | None
    into: tuple[int, ...]
    outlet: tuple[int, ...]
    runners: tuple[PipeSize, ...]
    primaries: tuple[PipeSize, ...]

    @property
    def collector_count(self) -> int:
        """How many collectors there are, merges of pairs left out [dimensionless]."""
        return 1 + max(self.collector)


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
    banks = groups_of(typed, "banks", cylinders) if typed.has("banks") else []
    firing = _firing(typed, order, banks)
    plenum = typed.sub("plenum", PLENUM) if typed.has("plenum") else None
    collectors = typed.sub("collectors", COLLECTORS) if typed.has("collectors") else None
    groups = banks or [list(range(1, cylinders + 1))]
    if collectors is not None and collectors.has("primaries"):
        groups = groups_of(collectors, "primaries", cylinders)
    where = {number: place for place, group in enumerate(groups) for number in group}
    runners, primaries = typed.source.every(
        pipes_of,
        [
            (plenum, "runner", setup.intake, cylinders),
            (collectors, "primary", setup.exhaust, cylinders),
        ],
    )
    room, exhaust = typed.source.every(
        lambda make: make(),
        [
            (lambda: None if plenum is None else plenum_room(plenum),),
            (lambda: exhaust_of(collectors, groups, primaries),),
        ],
    )
    return Layout(
        tuple(order),
        tuple(firing),
        tuple(where[n] for n in range(1, cylinders + 1)),
        room,
        exhaust.rooms,
        exhaust.into,
        exhaust.outlet,
        runners,
        primaries,
    )


def _firing(typed: Section, order: list[int], banks: list[list[int]]) -> list[float]:
    typed.one_of("throws", "crank")
    throws: list[float] = []
    named = False
    in_a_bank = len(banks[0]) if banks else len(order)
    if typed.has("throws"):
        throws = typed.numbers("throws")
    elif (crank := typed.text("crank", "even")) != "even":
        throws = told_at(typed, "crank", lambda: _core.throws_of(crank, in_a_bank))
        named = True  # a crank of that name may turn either way
    angle = typed.get("bank_angle", 0.5 * pi)
    if not throws:
        typed.only_with('throws or a crank that is not "even"', "bank_angle")
    return told_at(
        typed, "firing_order", lambda: _core.firing_angles(order, throws, banks, angle, named)
    )
