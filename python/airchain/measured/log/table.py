"""The rows of a log: its readings by column, and the lines of text between them."""

from __future__ import annotations

import gc
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ...base.errors import quoted, refusal
from ..finding import Finding
from .cells import Cells, clean_numbers, split_rows
from .layout import Layout, is_data, row_of
from .logtext import LogText

DECIMAL_COMMAS = "are these decimal commas? export with a delimiter other than the comma"


@dataclass
class Table:
    """Readings as text. Rows of one block stand together, without a line of text between them."""

    name: str
    headings: list[str]
    units: list[str]
    columns: list[Cells]
    lines: NDArray[np.int64]
    blocks: NDArray[np.int64]
    titles: list[str]
    notes: list[tuple[int, str]]
    findings: list[Finding] = field(default_factory=list)

    def same(self, one: int, other: int) -> bool:
        """Whether two columns hold the same readings."""
        return np.array_equal(np.asarray(self.columns[one]), np.asarray(self.columns[other]))

    def where(self, row: int) -> str:
        """``file:line`` of a row."""
        return f"{self.name}:{self.lines[row]}"


Needed = Callable[[list[str], list[str]], list[int]]


def read_table(text: LogText, layout: Layout, needed: Needed) -> Table:
    """Return the rows below the headings; `needed` says from headings and units which columns.

    Raises
    ------
    InputError
        A row has more cells than the headings, or a second table begins with other headings.
    """
    headings = row_of(text.lines[layout.header], layout.delimiter)
    units = row_of(text.lines[layout.units], layout.delimiter) if layout.units >= 0 else []
    while len(headings) > layout.width and not headings[-1]:
        headings.pop()
    _check_width(text, layout, headings)
    width = max(len(headings), layout.width)
    headings += [""] * (width - len(headings))
    units = (units + [""] * width)[:width]
    body = text.lines[layout.first :]
    repeats = [headings, units, headings[: layout.width], units[: layout.width]]
    reader = _Rows(text.name, layout, width, repeats)
    wanted = needed(headings, units)
    clean = clean_numbers(body, layout.delimiter, layout.decimal, width, wanted)
    columns, kept = (clean, np.arange(len(body))) if clean else _by_cells(reader, body)
    starts = np.array(reader.breaks, dtype=np.int64)
    notes = [(i + 1, text.lines[i]) for i in range(layout.header) if text.lines[i].strip()]
    first_title = notes[-1][1] if notes else ""
    return Table(
        text.name,
        headings,
        units,
        columns,
        kept.astype(np.int64) + layout.first + 1,
        np.searchsorted(starts, kept, side="left"),
        [first_title, *reader.titles],
        notes + reader.notes,
        reader.findings,
    )


def _by_cells(reader: _Rows, body: Sequence[str]) -> tuple[list[Cells], NDArray[np.int64]]:
    """Return the columns as text and the rows they come from, when the log is not all numbers."""
    collecting = gc.isenabled()
    gc.disable()  # millions of small texts without cycles: the collector would triple the time
    try:
        rows = split_rows(body, reader.layout.delimiter)
        kept = reader.sort_out(body, rows)
        if not kept.size:
            rule = "hold rows of readings below its headings"
            raise refusal(f"{reader.name}:{reader.layout.first}", "table", "no row", rule)
        return list(zip(*[rows[i] for i in kept.tolist()], strict=True)), kept
    finally:
        if collecting:
            gc.enable()


def _check_width(text: LogText, layout: Layout, headings: list[str]) -> None:
    """Refuse a table whose rows go on where its headings have ended."""
    row = split_rows([text.lines[layout.first]], layout.delimiter)[0]
    while row and not row[-1].strip():
        row.pop()
    named = max((i for i, text in enumerate(headings, 1) if text), default=0)
    if len(row) > named:
        hint = DECIMAL_COMMAS if layout.delimiter == "," else "give header_line in the mapping"
        rule = f"have no more cells than the {named} headings on line {layout.header + 1}"
        raise refusal(f"{text.name}:{layout.first + 1}", "row", f"{len(row)} cells", rule, hint)


class _Rows:
    """Sorts the lines below the headings into readings, titles and what is broken."""

    def __init__(self, name: str, layout: Layout, width: int, repeats: list[list[str]]) -> None:
        self.name = name
        self.layout = layout
        self.width = width
        self.repeats = repeats
        self.breaks: list[int] = []
        self.titles: list[str] = []
        self.notes: list[tuple[int, str]] = []
        self.findings: list[Finding] = []
        self.short: list[int] = []

    def sort_out(self, body: Sequence[str], rows: list[list[str]]) -> NDArray[np.int64]:
        """Return the numbers of the rows that hold readings; short ones are filled up."""
        kept = []
        for i, row in enumerate(rows):
            if not any(cell.strip() for cell in row):
                continue
            if self._is_reading(row):
                self._fit(i, row, last=i == len(rows) - 1)
                kept.append(i)
            else:
                self._text(i, body[i], row)
        if kept and self.short and self.short[-1] == kept[-1] == len(rows) - 1:
            line = self._line(kept.pop())
            words = "is cut off within a row; it was left out"
            self.findings.append(Finding("last line", words, (line,)))
            self.short.pop()
        if self.short:
            words = "have fewer cells than headings; the last ones are taken as missing"
            lines = tuple(self._line(i) for i in self.short)
            self.findings.append(Finding("short rows", words, lines))
        return np.array(kept, dtype=np.int64)

    def _is_reading(self, row: list[str]) -> bool:
        first = row[0].strip()[:1]
        if len(row) == self.width and first.isdigit():
            return True
        return is_data(row, self.layout.decimal)

    def _fit(self, i: int, row: list[str], last: bool) -> None:
        while len(row) > self.width and not row[-1].strip():
            row.pop()
        if len(row) > self.width:
            hint = ""
            if self.layout.delimiter == "," and len(row) >= 2 * self.width - 2:
                hint = (
                    "decimal commas cannot be told from delimiters; export with another delimiter"
                )
            rule = f"have no more cells than the {self.width} headings"
            raise refusal(f"{self.name}:{self._line(i)}", "row", f"{len(row)} cells", rule, hint)
        if len(row) < self.width:
            if len(row) < self.layout.width or last:
                self.short.append(i)
            row += [""] * (self.width - len(row))

    def _text(self, i: int, line: str, row: list[str]) -> None:
        """Note a line of text; it begins a new block."""
        stripped = [cell.strip() for cell in row_of(line, self.layout.delimiter)]
        if not self.breaks or self.breaks[-1] != i - 1:
            self.titles.append("")
            self.breaks.append(i)
        else:
            self.breaks[-1] = i
        if stripped in self.repeats:
            return
        if len([cell for cell in stripped if cell]) > max(2, self.width // 2):
            rule = "be readings, a title or the headings once more"
            hint = "a second table with other headings: put it in a file of its own"
            raise refusal(f"{self.name}:{self._line(i)}", "row", quoted(line), rule, hint)
        self.titles[-1] = self.titles[-1] or line.strip()
        self.notes.append((self._line(i), line))

    def _line(self, i: int) -> int:
        return self.layout.first + i + 1
