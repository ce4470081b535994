"""The lines below the headings: which are readings, which are remarks, and what is broken."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ...base.errors import quoted, refusal
from ..finding import Finding
from .cells import MISSING
from .heading_rows import is_ruler, row_of
from .headings import heading_of
from .layout import Layout, is_data

DECIMAL_COMMAS = "are these decimal commas? export with a delimiter other than the comma"
_STATISTICS = re.compile(
    r"(?i)\s*(?:min|max|mean|avg|average|std|std ?dev|stdev|sum|total|count|median|peak|minimum"
    r"|maximum|mittel(?:wert)?|durchschnitt|summe|moyenne|media|m[ií]n(?:imo)?|m[áa]x(?:imo)?"
    r"|range|samples|sd|sigma)\.?:?\s*$"
)
_LONGEST_REMARK = 500
_COMMENT, _WORD = re.compile(r"\s*(?:#|%|//)"), re.compile(r"\s*[^\W\d_]{3}")


class Rows:
    """Sorts the lines below the headings into readings, titles and what is broken.

    `first` is the first line of readings: what it does not begin with may be a remark.
    """

    def __init__(self, name: str, layout: Layout, first: str) -> None:
        self.name = name
        self.layout = layout
        self.commented = bool(_COMMENT.match(first))
        self.worded = bool(_WORD.match(layout.cells_of(first)[0]))
        width = layout.width
        self.repeats = [list(layout.own), list(layout.headings), list(layout.units)]
        self.repeats += [row[:width] for row in self.repeats]
        self.breaks: list[int] = []
        self.titles: list[str] = []
        self.notes: list[tuple[int, str]] = []
        self.findings: list[Finding] = []
        self.short: list[int] = []
        self.statistics: list[int] = []

    def reading(self, i: int, line: str, last: bool) -> list[str] | None:
        """Return the cells of line `i` below the headings, filled up; None where it is text."""
        if not line.strip() or is_ruler(line):
            return None
        row = self.layout.cells_of(line)
        rest = [cell for cell in row if len(cell) >= 20 or not _STATISTICS.match(cell)]
        if len(rest) < len(row) and is_data(rest, self.layout.decimal):
            self.statistics.append(i)
            return None
        if self._is_reading(row) and not self._is_remark(line, row):
            self._fit(i, row, last)
            return row
        self._text(i, line, row)
        return None

    def finish(self, kept_last: int, count: int) -> bool:
        """List what was noticed; return whether the last line, cut off in a row, is to go."""
        cut = bool(self.short) and self.short[-1] == kept_last == count - 1
        if cut:
            words = "is cut off within a row; it was left out"
            self.findings.append(Finding("last line", words, (self.line(self.short.pop()),)))
        if self.short:
            words = "have fewer cells than headings; the last ones are taken as missing"
            lines = tuple(self.line(i) for i in self.short)
            self.findings.append(Finding("short rows", words, lines))
        if self.statistics:
            rows = "rows hold" if len(self.statistics) > 1 else "row holds"
            words = f"{len(self.statistics)} {rows} statistics of the others; left out"
            lines = tuple(self.line(i) for i in self.statistics)
            self.findings.append(Finding("rows of statistics", words, lines))
        return cut

    def line(self, i: int) -> int:
        """Return the number in the file, from 1, of a line below the headings."""
        return self.layout.first + i + 1

    def _is_reading(self, row: list[str]) -> bool:
        first = row[0].strip()[:1]
        if len(row) == self.layout.width and first.isdigit():
            return True
        return is_data(row, self.layout.decimal)

    def _is_remark(self, line: str, row: list[str]) -> bool:
        """Whether a comment mark, or a word before too few cells, begins a line with numbers."""
        if _COMMENT.match(line) and not self.commented:
            return True
        short = len(row) < self.layout.width and bool(_WORD.match(row[0]))
        return short and not self.worded and row[0].strip().lower() not in MISSING

    def _fit(self, i: int, row: list[str], last: bool) -> None:
        width = self.layout.width
        while len(row) > width and not row[-1].strip():
            row.pop()
        if len(row) > width:
            hint = ""
            if self.layout.delimiter == "," and len(row) >= 2 * width - 2:
                hint = (
                    "decimal commas cannot be told from delimiters; export with another delimiter"
                )
            rule = f"have no more cells than the {width} headings"
            raise refusal(f"{self.name}:{self.line(i)}", "row", f"{len(row)} cells", rule, hint)
        if len(row) < width:
            if self.layout.delimiter == " ":
                rule = f"have as many cells as the {width} headings, or stand below them"
                hint = "which cell is missing cannot be told; export with a delimiter"
                place = f"{self.name}:{self.line(i)}"
                if not last:
                    raise refusal(place, "row", f"{len(row)} cells", rule, hint)
            self.short.append(i)
            row += [""] * (width - len(row))

    def _text(self, i: int, line: str, row: list[str]) -> None:
        """Note a line of text; it begins a new block."""
        line = line[:_LONGEST_REMARK]
        cells = [cell.strip() for cell in row_of(line, self.layout.delimiter)]
        sliced = [cell.strip() for cell in row]
        if not self.breaks or self.breaks[-1] != i - 1:
            self.titles.append("")
            self.breaks.append(i)
        else:
            self.breaks[-1] = i
        if cells in self.repeats or sliced in self.repeats:
            return
        filled = [cell for cell in sliced if cell]
        if len(filled) > 2 and self._names_columns(filled):
            rule = "be readings, a title or the headings once more"
            hint = "a second table with other headings: put it in a file of its own"
            raise refusal(f"{self.name}:{self.line(i)}", "row", quoted(line), rule, hint)
        self.titles[-1] = self.titles[-1] or line.strip()
        self.notes.append((self.line(i), line))

    def _names_columns(self, cells: Sequence[str]) -> bool:
        """Return whether a row of text names columns, and so begins another table."""
        if self.layout.delimiter == " ":
            return False
        known = sum(bool(heading_of(cell, 0).quantity) for cell in cells)
        short = sum(len(cell.split()) <= 3 and ":" not in cell for cell in cells)
        return known >= 2 or (known >= 1 and short == len(cells) >= self.layout.width)
