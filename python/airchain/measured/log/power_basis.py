"""Whether torque and power are as observed or corrected, and by which standard."""

from __future__ import annotations

import re
from collections.abc import Mapping

import numpy as np

from ...base.errors import InputError, quoted, refusal
from ..bases import OBSERVED, bases, checked_basis
from .answering import set_it
from .basis_words import bases_in
from .choose import Choice, is_factor
from .mapping import LogMapping
from .table import Table

#: Words of a text that speak of power at the wheels, and of power brought back to the crank.
_WHEELS = re.compile(
    r"(?i)\bchassis\b|\bhub dyno|\brollers?\b|\b(?:rear|front|at the|all)[- ]wheels?\b"
    r"|\bwheel (?:power|torque|hp|horsepower)\b|\bwhp\b|\brollenpr"
)
_CRANK = re.compile(r"(?i)\b(?:crank(?:shaft)?|flywheel|engine (?:power|torque|dyno)|bhp)\b")
_LONGEST = 400


def basis_of(
    table: Table, choice: Choice, given: LogMapping, header: int
) -> tuple[str, str, InputError | None]:
    """Return the basis, why it was taken, and the question where nothing tells it."""
    if given.power_basis:
        return checked_basis(given.power_basis, "mapping"), "as the mapping says", None
    read = [choice.headings[i] for n in ("torque", "power") for i in choice.columns.get(n, ())]
    if not read:
        return OBSERVED, "there is neither torque nor power", None
    said = {h.basis for h in read if h.basis} - {"corrected"}
    if len(said) == 1:
        return said.pop(), "the heading says so", None
    notes = set().union(*(bases_in(text) for _, text in table.notes)) - {"corrected"}
    if not said and len(notes) == 1:
        return notes.pop(), "a line of text in the log says so", None
    if not said and not notes and _factor_is_one(table, choice):
        return OBSERVED, "its column of correction factors is 1 throughout", None
    shown = "not told" if not said | notes else " and ".join(sorted(said | notes))
    rule = "be one of " + ", ".join(bases())
    how = set_it("power_basis", rule)
    hint = f"whether torque and power are observed or corrected; {how}"
    return "", "", refusal(f"{table.name}:{max(header, 1)}", "power_basis", shown, rule, hint)


def one_basis(choice: Choice) -> str:
    """Leave out power where it stands on another basis than torque; return what was done."""
    of: Mapping[str, str] = {
        name: choice.headings[choice.columns[name][0]].basis
        for name in ("torque", "power")
        if name in choice.columns
    }
    if len(of) < 2 or of["torque"] == of["power"] or not all(of.values()):
        return ""
    kept, left = ("torque", "power") if of["torque"] == OBSERVED else ("power", "torque")
    del choice.columns[left]
    return f"{kept} is {of[kept]} but {left} is {of[left]}: {left} follows from {kept} instead"


def at_wheels(table: Table, choice: Choice) -> str:
    """Return what a log's text says of wheels or rollers, where it has torque or power."""
    if not {"torque", "power"} & choice.columns.keys():
        return ""
    said = next((text for _, text in table.notes if _WHEELS.search(text[:_LONGEST])), "")
    if not said or any(_CRANK.search(text[:_LONGEST]) for _, text in table.notes):
        return ""
    return (
        f"the text says {quoted(said.strip()[:60])}: at the wheels they are less than the crank's"
    )


def _factor_is_one(table: Table, choice: Choice) -> bool:
    for heading in choice.headings:
        if is_factor(heading.text) and heading.index in table.numbers:
            values = table.numbers[heading.index].values
            return bool(np.isfinite(values).any() and np.nanmax(np.abs(values - 1.0)) < 5e-4)
    return False
