"""How a log is laid out: delimiter, decimal mark, rows of headings and units, first readings."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from ...base.errors import InputError, quoted, refusal
from .cells import one_number, split_rows
from .fixed_width import cuts_of, parts_no_word, places, sliced
from .heading_rows import Above, heading_rows, is_ruler, joined_brackets

_DELIMITERS = ("\t", ";", "|", ",", " ")
# Lines looked at to tell the marks: the first ones, then some spread over the rest.
_CLOSE, _SPREAD, _MOST_CELLS = 60, 160, 200
_NAMES = {"\t": "tab", ";": "semicolon", "|": "bar", ",": "comma", " ": "spaces"}


@dataclass(frozen=True)
class Layout:
    """Where everything stands in a log; line numbers count from 0, -1 where there is none.

    `cuts` are places of the line where columns of fixed width part; `headings` and `units` the
    cells above the columns, empty where none are there or where they cannot be told apart; `own`
    the headings without what a row above them adds.
    """

    delimiter: str
    decimal: str
    header: int
    first: int
    width: int
    headings: tuple[str, ...]
    own: tuple[str, ...]
    units: tuple[str, ...]
    reason: str
    question: str = ""
    heading_question: str = ""
    cuts: tuple[int, ...] = ()

    def cells_of(self, line: str) -> list[str]:
        """Return the cells of one line."""
        row = split_rows([line], self.delimiter)[0]
        if self.cuts and len(row) != self.width:
            return sliced(line, self.cuts)
        return row


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
        There is no table of numbers.
    """
    every = max(1, (len(lines) - _CLOSE) // _SPREAD)
    sample = [*lines[:_CLOSE], *lines[_CLOSE::every], *lines[-3:]]
    scores = _scores(sample, delimiter, decimal)
    if not scores:
        raise _no_table(lines, name, delimiter, decimal)
    best = max(scores, key=lambda pair: scores[pair][0])
    score, width = scores[best]
    other = (best[0], "." if best[1] == "," else ",")
    question = ""
    if scores.get(other, (0, 0))[0] == score and not decimal:
        point = re.compile(r"(?<![\d.,])[1-9]\d{0,2}([.,])\d{3}(?![\d.,])")
        marks = {m[1] for line in sample for m in point.finditer(line)}
        best = (best[0], ".") if best[0] != "," or "." in marks else best
        if marks - {best[0]}:
            question = "every decimal mark in its numbers is followed by three digits"
    rows = [line for line in sample if _opens(line, best, width)]
    first = next(i for i, line in enumerate(lines) if _opens(line, best, width))
    above = heading_rows(lines, first, best[0], width, header_line)
    reason = f"{score} numbers in rows of {width} cells parted by {_NAMES.get(best[0], best[0])}"
    return _named(
        Layout(*best, above.line, first, width, (), (), (), reason, question), above, rows
    )


def _named(layout: Layout, above: Above, rows: Sequence[str]) -> Layout:
    """Return the layout with its headings and units, or with what keeps them from being told."""
    width = layout.width
    headings, own, units = above.headings, above.own, above.units
    cuts: tuple[int, ...] = ()
    question = "" if headings else "there is no row of headings"
    if layout.delimiter == " ":
        spans = places(rows, width)
        if spans is not None:
            cuts = cuts_of(spans, rows, above.text) if above.text else ()
            if cuts and len(headings) != width:
                headings = own = sliced(above.text, cuts)
            if above.unit_text and cuts and parts_no_word(above.unit_text, cuts):
                units = sliced(above.unit_text, cuts)
            if above.upper_text and cuts:
                upper = sliced(above.upper_text, cuts)
                headings = [f"{u} {h}".strip() for u, h in zip(upper, headings, strict=True)]
        if len(headings) != width:  # two blanks part what one blank joins
            parted = re.split(r"\s{2,}", above.text.strip())
            headings = own = parted if len(parted) == width else headings
        if len(units) != width:
            units = []
    while len(headings) > width and not headings[-1]:
        headings, own = headings[:-1], own[:-1]
    if len(headings) > width and layout.delimiter in (",", ";"):
        headings = own = joined_brackets(above.text, layout.delimiter, width) or headings
    if headings and (len(headings) > width or (layout.delimiter == " " and len(headings) < width)):
        question = f"the {len(headings)} headings do not fit the {width} cells of the rows"
        headings = own = units = []
    headings = [*headings, *[""] * (width - len(headings))]
    own = [*own, *[""] * (width - len(own))]
    units = [*units, *[""] * (width - len(units))][:width]
    return Layout(
        layout.delimiter, layout.decimal, above.line if any(headings) else -1, layout.first,
        width, tuple(headings), tuple(own), tuple(units), layout.reason, layout.question, question,
        cuts,
    )  # fmt: skip


def _opens(line: str, marks: tuple[str, str], width: int) -> bool:
    row = split_rows([line], marks[0])[0]
    return len(row) == width and is_data(row, marks[1])


def _scores(
    sample: Sequence[str], delimiter: str, decimal: str
) -> dict[tuple[str, str], tuple[int, int]]:
    """Return, for each pair of marks, how many numbers it finds in rows of one width."""
    scores: dict[tuple[str, str], tuple[int, int]] = {}
    tabled: dict[str, int] = {}
    quotes = any('"' in line for line in sample)
    sample = [line for line in sample if line.strip() and not is_ruler(line)]
    for mark in [delimiter] if delimiter else _DELIMITERS:
        if sum(mark in line for line in sample) * 4 < min(len(sample), 8):
            continue
        for point in [decimal] if decimal else (".", ","):
            if mark == point and not quotes:
                continue
            rows = [row for row in split_rows(sample, mark) if is_data(row[:_MOST_CELLS], point)]
            if not rows:
                continue
            width, _ = Counter(map(len, rows)).most_common(1)[0]
            even = (row[:_MOST_CELLS] for row in rows if len(row) == width)
            scores[mark, point] = (sum(_weigh(row, point)[0] for row in even), width)
            tabled[mark] = max(tabled.get(mark, 0), len(rows))
    # Blanks stand within cells too: '1 234' between tabs is one number.
    if max((tabled.get(mark, 0) for mark in "\t;|"), default=0) >= tabled.get(" ", 0) > 0:
        scores = {marks: score for marks, score in scores.items() if marks[0] != " "}
    return scores


def _weigh(cells: Sequence[str], decimal: str) -> tuple[int, int]:
    """Return how many cells are numbers, and how many are something else."""
    numeric = other = 0
    for cell in cells:
        weight = _weight(cell, decimal)
        if weight is None:
            other += 1
        else:
            numeric += weight
    return numeric, other


@lru_cache(maxsize=1 << 14)
def _weight(cell: str, decimal: str) -> int | None:
    """1 for a number, 0 where it is missing; kept, since every pair of marks asks again."""
    value = one_number(cell, decimal)
    return None if value is None else int(value[0] == value[0])


def _no_table(lines: Sequence[str], name: str, delimiter: str, decimal: str) -> InputError:
    if delimiter or decimal:
        shown = f"delimiter {quoted(delimiter or 'any')}, decimal {quoted(decimal or 'any')}"
        rule = "part the rows into numbers"
        return refusal(f"{name}:1", "mapping", shown, rule, "leave them out to have them found")
    last = len(lines)
    hint = "there is a heading but no row of numbers below it" if last < 4 else ""
    rule = "hold rows of at least two numbers"
    return refusal(f"{name}:{last}", "table", "missing", rule, hint)
