"""How a log is laid out: delimiter, decimal mark, header row, row of units, first row of data."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from ...base.errors import quoted, refusal
from ...units.text import known_unit
from .cells import one_number, split_rows

_DELIMITERS = ("\t", ";", "|", ",", " ")
# Lines looked at to tell the marks: all of the first, then some.
_CLOSE, _SAMPLE, _EVERY = 60, 400, 5
_NAMES = {"\t": "tab", ";": "semicolon", "|": "bar", ",": "comma", " ": "spaces"}
_COMMENT = re.compile(r"^\s*(?:#|%|//|!)+\s*")
_BRACKETS = re.compile(r"^\s*[\[({<]\s*(.*?)\s*[\])}>]\s*$")


@dataclass(frozen=True)
class Layout:
    """Where everything stands in a log; line numbers count from 0, -1 where there is none."""

    delimiter: str
    decimal: str
    header: int
    units: int
    first: int
    width: int
    reason: str
    question: str = ""


def bare(cell: str) -> str:
    """Return a cell without brackets around it, such as a unit's."""
    inside = _BRACKETS.match(cell)
    return inside[1] if inside else cell.strip()


def row_of(line: str, delimiter: str) -> list[str]:
    """Return the cells of a heading line; a comment mark before them is taken off."""
    cells = split_rows([_COMMENT.sub("", line)], delimiter)[0]
    return [cell.strip() for cell in cells]


def is_data(cells: Sequence[str], decimal: str) -> bool:
    """Return whether a row is one of readings: numbers outweigh what is neither that nor empty."""
    numeric, other = _weigh(cells, decimal)
    return numeric >= 2 and numeric >= other


def find_layout(
    lines: Sequence[str], name: str, delimiter: str = "", decimal: str = "", header_line: int = 0
) -> Layout:
    """Return the layout of a log.

    Raises
    ------
    InputError
        There is no table of numbers, or no row of headings above it.
    """
    sample = [*lines[:_CLOSE], *lines[_CLOSE:_SAMPLE:_EVERY]]
    scores = _scores(sample, delimiter, decimal)
    if not scores:
        raise _no_table(lines, name, delimiter, decimal)
    best = max(scores, key=lambda pair: scores[pair][0])
    score, width = scores[best]
    other = (best[0], "." if best[1] == "," else ",")
    question = ""
    if scores.get(other, (0, 0))[0] == score and not decimal:
        best = (best[0], ".")
        if best[0] != "," and any(re.search(r"\d,\d", line) for line in sample):
            question = "every comma in its numbers is followed by three digits"
    first = next(i for i, line in enumerate(lines) if _opens(line, best, width))
    header, units = _headings(lines, first, best, header_line)
    if header < 0:
        hint = "give columns by number in the mapping, such as columns.torque.column = 2"
        raise refusal(f"{name}:{first + 1}", "header row", "missing", "name the columns", hint)
    reason = f"{score} numbers in rows of {width} cells parted by {_NAMES.get(best[0], best[0])}"
    return Layout(*best, header, units, first, width, reason, question)


def _opens(line: str, marks: tuple[str, str], width: int) -> bool:
    row = split_rows([line], marks[0])[0]
    return len(row) == width and is_data(row, marks[1])


def _scores(
    sample: Sequence[str], delimiter: str, decimal: str
) -> dict[tuple[str, str], tuple[int, int]]:
    """Return, for each pair of marks, how many numbers it finds in rows of one width."""
    found = {}
    quotes = any('"' in line for line in sample)
    for mark in [delimiter] if delimiter else _DELIMITERS:
        if sum(mark in line for line in sample) * 4 < min(len(sample), 8):
            continue
        for point in [decimal] if decimal else (".", ","):
            if mark == point and not quotes:
                continue
            rows = [row for row in split_rows(sample, mark) if is_data(row, point)]
            if not rows:
                continue
            width, _ = Counter(map(len, rows)).most_common(1)[0]
            numeric = sum(_weigh(row, point)[0] for row in rows if len(row) == width)
            found[mark, point] = (numeric, width)
    return found


def _headings(
    lines: Sequence[str], first: int, marks: tuple[str, str], header_line: int
) -> tuple[int, int]:
    """Return the lines of the headings and of their units, -1 where there is none."""
    if header_line:
        below = header_line
        units = below if below < first and _is_units(row_of(lines[below], marks[0])) else -1
        return header_line - 1, units
    above = [i for i in range(first) if len(_filled(row_of(lines[i], marks[0]))) >= 2]
    if not above:
        return -1, -1
    last = row_of(lines[above[-1]], marks[0])
    if len(above) > 1 and _is_units(last):
        return above[-2], above[-1]
    return above[-1], -1


def _is_units(cells: Sequence[str]) -> bool:
    filled = _filled(cells)
    bracketed = sum(bool(_BRACKETS.match(cell)) for cell in filled)
    known = sum(known_unit(bare(cell)) or bare(cell) in ("-", "", "1") for cell in filled)
    return bool(filled) and (bracketed == len(filled) or known * 2 > len(filled))


def _filled(cells: Sequence[str]) -> list[str]:
    return [cell for cell in cells if cell]


def _weigh(cells: Sequence[str], decimal: str) -> tuple[int, int]:
    """Return how many cells are numbers, and how many are something else."""
    numeric = other = 0
    for cell in cells:
        value = one_number(cell, decimal)
        if value is None:
            other += 1
        elif value[0] == value[0]:
            numeric += 1
    return numeric, other


def _no_table(lines: Sequence[str], name: str, delimiter: str, decimal: str) -> Exception:
    if delimiter or decimal:
        shown = f"delimiter {quoted(delimiter or 'any')}, decimal {quoted(decimal or 'any')}"
        rule = "part the rows into numbers"
        return refusal(f"{name}:1", "mapping", shown, rule, "leave them out to have them found")
    last = len(lines)
    hint = "there is a heading but no row of numbers below it" if last < 4 else ""
    rule = "hold rows of at least two numbers"
    return refusal(f"{name}:{last}", "table", "missing", rule, hint)
