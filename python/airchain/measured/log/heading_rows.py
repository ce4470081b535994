"""The rows above the readings that name them: one or two of headings, and one of units."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from ...units.text import known_unit
from .cells import split_rows
from .clocks import is_clock_unit

_COMMENT = re.compile(r"^\s*(?:#|%|//|!)+\s*")
_BRACKETS = re.compile(r"^\s*[\[({<]\s*(.*?)\s*[\])}>]\s*$")
_RULER = re.compile(r"[\s=_~*+|#-]*[=_~*+-]{2,}[\s=_~*+|#-]*$")
_NUMBER = re.compile(r"[-+]?[\d.,]+$")
#: Longest heading that is looked at; what is longer names nothing.
LONGEST = 120
#: Most lines that headings in quotes go over.
_MOST_LINES = 40


@dataclass(frozen=True)
class Above:
    """What stands above the readings; `line` counts from 0, -1 where there are no headings."""

    line: int = -1
    headings: list[str] = field(default_factory=list)
    own: list[str] = field(default_factory=list)
    units: list[str] = field(default_factory=list)
    text: str = ""
    unit_text: str = ""
    upper_text: str = ""


def bare(cell: str) -> str:
    """Return a cell without brackets around it, such as a unit's."""
    inside = _BRACKETS.match(cell[:LONGEST])
    return inside[1] if inside else cell.strip()


def is_ruler(line: str) -> bool:
    """Return whether a line only draws a rule, such as ``----  ----``."""
    return len(line) < 2000 and bool(_RULER.match(line)) and not re.search(r"\w", line)


def row_of(line: str, delimiter: str) -> list[str]:
    """Return the cells of a heading line; a comment mark before them is taken off."""
    cells = split_rows([_COMMENT.sub("", line)], delimiter)[0]
    return [cell.strip() for cell in cells]


def joined_brackets(line: str, delimiter: str, width: int) -> list[str]:
    """Return `width` headings whose own commas stand in brackets; or none."""
    apart = rf"{re.escape(delimiter)}(?![^(\[{{]*[)\]}}])"
    cells = [cell.strip() for cell in re.split(apart, _COMMENT.sub("", line))]
    return cells if len(cells) == width else []


def is_units(cells: Sequence[str]) -> bool:
    """Return whether the cells of a row are units."""
    filled = [cell for cell in cells if cell]
    bracketed = sum(bool(_BRACKETS.match(cell[:LONGEST])) for cell in filled)
    known = sum(
        known_unit(bare(cell)) or bare(cell) in ("-", "", "1") or is_clock_unit(bare(cell))
        for cell in filled
        if len(cell) < LONGEST
    )
    return bool(filled) and (bracketed == len(filled) or known * 2 > len(filled))


def heading_rows(
    lines: Sequence[str], first: int, delimiter: str, width: int, header_line: int
) -> Above:
    """Return the headings and units above the first readings, which stand on line `first`."""
    wrapped, start = _wrapped(lines, first, delimiter, width)
    if wrapped and not header_line:
        return Above(start, wrapped, wrapped)
    if header_line:
        below = header_line < first and is_units(row_of(lines[header_line], delimiter))
        rows = [header_line - 1, *([header_line] if below else [])]
    else:
        rows = _full_rows(_close_rows(lines, first, delimiter), lines, delimiter, width)
    if not rows:
        return Above()
    cells = {i: row_of(lines[i], delimiter) for i in rows}
    units = -1
    filled = {i: sum(bool(cell) for cell in cells[i]) for i in rows}
    if len(rows) > 1 and is_units(cells[rows[-1]]) and 2 * filled[rows[-2]] > filled[rows[-1]]:
        units = rows.pop()
    elif len(rows) > 1 and is_units(cells[rows[-2]]) and len(cells[rows[-2]]) == width:
        units = rows.pop(-2)
    line = rows[-1]
    headings = own = cells[line]
    upper = rows[-2] if len(rows) > 1 and rows[-2] == line - 1 and not header_line else -1
    upper_text = ""
    if upper >= 0 and _is_upper(cells[upper], headings, width, lines[upper], delimiter):
        if delimiter == " ":
            upper_text = lines[upper]
        else:
            headings = _joined(cells[upper], headings)
    text = _COMMENT.sub(lambda m: " " * len(m[0]), lines[line])
    unit_text = lines[units] if units >= 0 else ""
    unit_cells = cells[units] if units >= 0 else []
    return Above(line, headings, own, unit_cells, text, unit_text, upper_text)


def _wrapped(lines: Sequence[str], first: int, delimiter: str, width: int) -> tuple[list[str], int]:
    """Return headings in quotes that go over several lines, and the first of these lines."""
    if not first or lines[first - 1].count('"') % 2 == 0:
        return [], -1
    for start in range(first - 2, max(-1, first - 2 - _MOST_LINES), -1):
        rows = csv.reader([f"{line}\n" for line in lines[start:first]], delimiter=delimiter)
        cells = [" ".join(cell.split()) for cell in next(rows, [])]
        if len(cells) == width and next(rows, None) is None:
            return cells, start
    return [], -1


def _full_rows(rows: list[int], lines: Sequence[str], delimiter: str, width: int) -> list[int]:
    """Return the rows without remarks below the fullest one that name fewer columns."""
    counts = {i: sum(bool(cell) for cell in row_of(lines[i], delimiter)) for i in rows}
    if delimiter == " ":
        return rows
    while len(rows) > 1 and counts[rows[-1]] < width == counts[rows[-2]]:
        if is_units(row_of(lines[rows[-1]], delimiter)):
            break
        rows = rows[:-1]
    return rows


def _close_rows(lines: Sequence[str], first: int, delimiter: str) -> list[int]:
    """Return the rows of two cells or more above the readings, three at most, from the top."""
    rows: list[int] = []
    for i in range(first - 1, -1, -1):
        line = lines[i]
        if not line.strip() or is_ruler(line):
            continue
        if sum(bool(cell) for cell in row_of(line, delimiter)) < 2:
            if rows:
                break
            continue
        rows.insert(0, i)
        if len(rows) == 3:
            break
    return rows


def _is_upper(
    upper: Sequence[str], headings: Sequence[str], width: int, line: str, delimiter: str
) -> bool:
    """Return whether a row above the headings belongs to them, as in 'Engine' over 'Speed'."""
    filled = [cell for cell in upper if cell]
    if len(filled) < 2 or any(_NUMBER.match(cell) or len(cell) > 40 for cell in filled):
        return False
    if any(mark in line for mark in (":", "=")) or is_units(upper):
        return False
    if delimiter == " ":
        return "  " in line.strip() and len(filled) <= 2 * width
    return len(upper) == len(headings) and len(filled) * 2 >= min(width, len(headings))


def _joined(upper: Sequence[str], headings: Sequence[str]) -> list[str]:
    """Return each heading after the word above it, which may stand over several columns."""
    over, joined = "", []
    for word, heading in zip(upper, headings, strict=True):
        over = word or over
        joined.append(f"{over} {heading}".strip() if heading else over)
    return joined
