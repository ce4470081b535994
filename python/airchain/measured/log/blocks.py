"""The text that belongs to each block of a table, and the weather that it tells."""

from __future__ import annotations

import sys

import numpy as np

from ..finding import Finding
from .table import Table
from .weather import weather_in

Weather = dict[str, tuple[float, str]]


def titles_below(table: Table) -> bool:
    """Return whether the text of every block stands below it: none above, and some last."""
    if not table.notes:
        return False
    lines = [line for line, _ in table.notes]
    return min(lines) > int(table.lines.min()) and max(lines) > int(table.lines.max())


def text_of(table: Table, block: int) -> list[tuple[int, str]]:
    """Return the lines of text above a block, or below it where titles stand there."""
    own = table.lines[table.blocks == block]
    others = table.lines[table.blocks != block]
    low, high = int(own.min()), int(own.max())
    if titles_below(table):
        after = others[others > high]
        end = int(after.min()) if after.size else sys.maxsize
        return [note for note in table.notes if high < note[0] < end]
    before = others[others < low]
    begin = int(before.max()) if before.size else 0
    return [note for note in table.notes if begin < note[0] < low]


def weather_by_block(table: Table) -> tuple[dict[int, Weather], list[Finding]]:
    """Return the weather of every block [SI], and what could not be read of it.

    Where a block tells none of a quantity, what was told before it goes on to hold; text that
    stands only below the whole table holds for all of it.
    """
    findings: list[Finding] = []
    by_block: dict[int, Weather] = {}
    known_so_far: Weather = {}
    for block in np.unique(table.blocks).tolist():
        own, problems = weather_in(text_of(table, block))
        findings += problems
        known_so_far = known_so_far | own
        by_block[block] = dict(known_so_far)
    last = [note for note in table.notes if note[0] > int(table.lines.max())]
    if not titles_below(table) and last:
        below, problems = weather_in(last)
        findings += problems
        findings += _disagree(below, known_so_far, last)
        by_block = {block: below | known for block, known in by_block.items()}
    return by_block, findings


def _disagree(below: Weather, above: Weather, notes: list[tuple[int, str]]) -> list[Finding]:
    """Return what the text below a table tells otherwise than the text above it."""
    findings = []
    for name in below.keys() & above.keys():
        one, other = above[name], below[name]
        if abs(other[0] / (one[0] or 1.0) - 1.0) > 2e-3:
            words = f"the text gives two values of {name.replace('_', ' ')}, "
            words += f"{one[1]} and {other[1]}; the first was taken"
            findings.append(Finding("weather", words, (notes[0][0],)))
    return findings
