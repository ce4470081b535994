"""Groups of cylinders as typed: banks, collectors, pairs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NoReturn

import numpy as np

from .. import _core
from ..base.errors import InputError, Refusal, told_as
from ..typed.section import Section

#: What a cylinder lacks that no group names, by the group's key.
_LOST = {
    "banks": "stands in a bank",
    "primaries": "ends in a collector",
    "pairs": "meets another first",
}


def told_at(typed: Section, otherwise: str, make: Callable[[], list[float]]) -> list[float]:
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


def groups_of(typed: Section, name: str, cylinders: int) -> list[list[int]]:
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

    def check() -> list[float]:
        _core.require_each_once(groups, cylinders, name, _LOST[name])
        return []

    told_at(typed, name, check)
    return groups
