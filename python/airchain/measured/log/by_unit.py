"""Columns in words that nobody knows, told by their units and by each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...base.errors import quoted
from ..finding import Finding
from .footing import units_of_product
from .headings import Heading, names_another
from .loose_headings import kind_of_unit
from .table import Table
from .unit_factor import factor

if TYPE_CHECKING:
    from .choose import Choice


def choose_by_unit(table: Table, choice: Choice) -> None:
    """Take the only column that turns, and torque and power whose product fits with it."""
    taken = {i for columns in choice.columns.values() for i in columns} | {choice.run}
    free = [
        h
        for h in choice.headings
        if h.text and not h.quantity and h.index not in taken and not names_another(h.text)
    ]
    by_kind: dict[str, list[Heading]] = {}
    for heading in free:
        by_kind.setdefault(kind_of_unit(heading.unit), []).append(heading)
    turning = by_kind.get("speed", [])
    if "engine_speed" not in choice.columns and len(turning) == 1 and not choice.questions:
        _take(choice, "engine_speed", turning[0], "the only one in a unit of rotation")
    if {"torque", "power"} & choice.columns.keys() or "engine_speed" not in choice.columns:
        return
    pair = by_kind.get("torque", []), by_kind.get("power", [])
    if all(len(several) == 1 for several in pair) and _fit(table, choice, pair[0][0], pair[1][0]):
        for name, several in zip(("torque", "power"), pair, strict=True):
            _take(choice, name, several[0], "by its unit, and power is torque times speed")


def needs_numbers(headings: list[Heading]) -> list[int]:
    """Return the columns that `choose_by_unit` may look at."""
    kinds = ("speed", "torque", "power")
    return [h.index for h in headings if not h.quantity and kind_of_unit(h.unit) in kinds]


def _take(choice: Choice, name: str, heading: Heading, why: str) -> None:
    choice.columns[name] = (heading.index,)
    choice.reasons[name] = why
    words = f"{quoted(heading.text)} was taken as {name.replace('_', ' ')}: {why}"
    choice.findings.append(Finding(name.replace("_", " "), words))


def _fit(table: Table, choice: Choice, torque: Heading, power: Heading) -> bool:
    speed = choice.headings[choice.columns["engine_speed"][0]]
    turn = factor(speed.unit, "speed") if speed.unit else None
    if turn is None:
        return False
    t, p, n = (table.numbers[h.index].values for h in (torque, power, speed))
    return bool(units_of_product(t, p, n * turn[0], torque.unit, power.unit))
