"""The rows of a log: its readings by column, and the lines of text between them."""

from __future__ import annotations

import gc
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ...base.errors import quoted, refusal
from ..finding import Finding
from .cells import MISSING, Numbers, clean_rows, is_clean, numbers, one_number
from .layout import Layout
from .logtext import LogText
from .rows import DECIMAL_COMMAS, Rows

Column = NDArray[np.float64]
#: Lines read at a time, so that their texts do not all stand in memory at once.
_CHUNK = 4_000
#: Rows of numbers above the headings that make a table of their own, and lines that are looked at.
_A_TABLE, _MOST_ABOVE = 8, 2_000
#: Which columns are read as numbers, and which as text.
Needed = Callable[[Layout], tuple[list[int], list[int]]]


@dataclass
class Table:
    """Readings of the columns that are needed. Rows of one block stand without text between them.

    Attributes
    ----------
    numbers : dict
        By number of a column what its cells read.
    texts : dict
        By number of a column its cells as text, for the one that names the runs.
    """

    name: str
    headings: list[str]
    own: list[str]
    units: list[str]
    numbers: dict[int, Numbers]
    texts: dict[int, list[str]]
    lines: NDArray[np.int64]
    blocks: NDArray[np.int32]
    titles: list[str]
    notes: list[tuple[int, str]]
    findings: list[Finding] = field(default_factory=list)

    def same(self, one: int, other: int) -> bool:
        """Whether two columns hold the same readings."""
        a, b = self.numbers[one].values, self.numbers[other].values
        return np.array_equal(a, b, equal_nan=True)

    def where(self, row: int) -> str:
        """``file:line`` of a row."""
        return f"{self.name}:{self.lines[row]}"


def read_table(
    text: LogText, layout: Layout, needed: Needed, missing: frozenset[str] = MISSING
) -> Table:
    """Return the rows below the headings; `needed` says which columns.

    Raises
    ------
    InputError
        A row has more cells than the headings, or a second table begins with other headings.
    """
    _check_width(text, layout)
    _check_above(text, layout)
    wanted, texts = needed(layout)
    reader = Rows(text.name, layout, text.lines[layout.first])
    body = _Body(layout, reader, wanted, texts, missing)
    collecting = gc.isenabled()
    gc.disable()  # millions of small texts without cycles: the collector would triple the time
    try:
        body.read(text)
    finally:
        if collecting:
            gc.enable()
    kept = body.rows()
    starts = np.array(reader.breaks, dtype=np.int64)
    above = text.lines[: layout.header if layout.header >= 0 else layout.first]
    notes = [(i + 1, line[:500]) for i, line in enumerate(above) if line.strip()]
    return Table(
        text.name,
        list(layout.headings),
        list(layout.own),
        list(layout.units),
        {column: body.column(place) for place, column in enumerate(wanted)},
        body.texts,
        kept + layout.first + 1,
        np.searchsorted(starts, kept, side="left").astype(np.int32),
        [notes[-1][1] if notes else "", *reader.titles],
        notes + reader.notes,
        [*text.findings, *reader.findings],
    )


def _check_width(text: LogText, layout: Layout) -> None:
    """Refuse a table whose rows go on where its headings have ended."""
    row = layout.cells_of(text.lines[layout.first])
    while row and not row[-1].strip():
        row.pop()
    named = max((i for i, cell in enumerate(layout.headings, 1) if cell), default=0)
    if layout.header >= 0 and len(row) > named:
        hint = DECIMAL_COMMAS if layout.delimiter == "," else "give header_line in the mapping"
        rule = f"have no more cells than the {named} headings on line {layout.header + 1}"
        raise refusal(f"{text.name}:{layout.first + 1}", "row", f"{len(row)} cells", rule, hint)


def _check_above(text: LogText, layout: Layout) -> None:
    """Refuse a log whose headings stand below another table."""
    above = text.lines[: max(layout.header, 0)][-_MOST_ABOVE:]
    rows = 0
    for number, line in enumerate(above, max(layout.header, 0) - len(above) + 1):
        cells = layout.cells_of(line)
        read = [one_number(cell, layout.decimal) for cell in cells]
        rows = rows + 1 if len(cells) > 1 and None not in read else 0
        if rows >= _A_TABLE:
            rule = "stand in one table"
            hint = (
                f"other headings follow on line {layout.header + 1}: put each table in a file of "
                "its own"
            )
            shown = quoted(line)
            raise refusal(f"{text.name}:{number}", "row", shown, rule, hint)


class _Body:
    """Reads the lines below the headings, some thousands at a time."""

    def __init__(
        self, layout: Layout, reader: Rows, wanted: list[int], texts: list[int],
        missing: frozenset[str],
    ) -> None:  # fmt: skip
        self.layout, self.reader, self.wanted, self.missing = layout, reader, wanted, missing
        self.texts: dict[int, list[str]] = {column: [] for column in texts}
        self.kept: list[NDArray[np.int64]] = []
        self.values = np.zeros((len(wanted), 0))
        self.units: list[set[str]] = [set() for _ in wanted]
        self.bad: list[tuple[int, str, str]] = [(-1, "", "")] * len(wanted)
        self.clocks = [False] * len(wanted)
        self.count = 0
        self.plain = False

    def read(self, text: LogText) -> None:
        """Read all lines."""
        first, lines = self.layout.first, text.lines
        body = len(lines) - first
        self.values = np.empty((len(self.wanted), body))
        ends = lines[-2:] if body >= 2 else []
        for start in range(0, body, _CHUNK):
            self._chunk(start, lines[first + start : first + start + _CHUNK], body)
        if not self.count:
            rule = "hold rows of readings below its headings"
            raise refusal(f"{self.reader.name}:{first}", "table", "no row", rule)
        self._end(body, ends, text.ended)

    def rows(self) -> NDArray[np.int64]:
        """Return the numbers of the lines that hold readings, from 0 below the headings."""
        return np.concatenate(self.kept)[: self.count]

    def column(self, place: int) -> Numbers:
        """Return one of the wanted columns."""
        values: Column = self.values[place, : self.count]
        units = self.units[place] - {""}
        bad, why, cell = self.bad[place]
        if bad < 0 and len(self.units[place]) > 1:
            row = int(self.rows()[np.flatnonzero(np.isfinite(values))[0]])
            several = " and ".join(sorted(unit or "none" for unit in self.units[place]))
            bad, why, cell = self.reader.line(row), "have one unit throughout", several
        unit = next(iter(units), "") if len(units) == 1 else ""
        return Numbers(values, unit, bad, why, self.clocks[place], cell)

    def _chunk(self, start: int, chunk: list[str], body: int) -> None:
        layout = self.layout
        marks = layout.delimiter, layout.decimal, layout.width
        block = None if self.texts else clean_rows(chunk, *marks, self.wanted)
        if block is not None:
            self._add(np.arange(start, start + len(chunk)), block, clean=True)
            return
        clean = [] if self.texts else [i for i, line in enumerate(chunk) if is_clean(line, *marks)]
        block = clean_rows([chunk[i] for i in clean], *marks, self.wanted) if clean else None
        clean = clean if block is not None else []
        simple = set(clean)
        cells: list[list[str]] = []
        odd: list[int] = []
        for i, line in enumerate(chunk):
            if i in simple:
                continue
            row = self.reader.reading(start + i, line, last=start + i == body - 1)
            if row is not None:
                odd.append(i)
                cells.append(row)
        slow = self._slowly(cells, start, odd)
        order = np.argsort(np.array([*clean, *odd], dtype=np.int64), kind="stable")
        both = slow if block is None else np.concatenate([block, slow])
        places = np.array([*clean, *odd], dtype=np.int64)[order] + start
        self._add(places, both[order], clean=bool(clean))
        for column, texts in self.texts.items():
            texts += [row[column] for row in cells]

    def _add(self, places: NDArray[np.int64], block: Column, clean: bool) -> None:
        if clean:
            for units in self.units:
                units.add("")
        self.kept.append(places.astype(np.int64))
        self.values[:, self.count : self.count + len(places)] = block.T
        self.count += len(places)

    def _slowly(self, cells: list[list[str]], start: int, odd: Sequence[int]) -> Column:
        """Read rows cell by cell."""
        block = np.full((len(cells), len(self.wanted)), np.nan)
        for place, column in enumerate(self.wanted):
            if not cells:
                break
            texts = [row[column] for row in cells]
            read = numbers(texts, self.layout.decimal, self.missing)
            block[:, place] = read.values
            self.clocks[place] |= read.clocks
            if read.unit or np.isfinite(read.values).any():
                self.units[place].add(read.unit)
            if read.bad >= 0 and self.bad[place][0] < 0:
                line = self.reader.line(start + odd[read.bad])
                self.bad[place] = (line, read.why, texts[read.bad])
        return block

    def _end(self, body: int, ends: Sequence[str], ended: bool) -> None:
        """Leave out a last row that was cut off."""
        last = int(self.kept[-1][-1]) if self.kept[-1].size else -1
        if self.reader.finish(last, body):
            self.count -= 1
        elif not ended and last == body - 1 and len(ends) == 2 and self._cut_short(*ends):
            words = "its last number is cut short; the row was left out"
            finding = Finding("last line", words, (self.reader.line(last),))
            self.reader.findings.append(finding)
            self.count -= 1

    def _cut_short(self, before: str, line: str) -> bool:
        """Return whether the last cell has fewer decimals than the one above it."""
        one, other = self.layout.cells_of(before), self.layout.cells_of(line)
        if len(one) != len(other) or not one:
            return False
        above, cell = one[-1].strip(), other[-1].strip()
        point = self.layout.decimal
        if point in above:
            return len(cell.partition(point)[2]) < len(above.partition(point)[2])
        return len(cell) < len(above) and above[:1].isdigit()
