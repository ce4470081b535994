"""Tables as text and as HTML: a heading row, a row of units, rows of cells that are text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from html import escape
from textwrap import wrap
from typing import NamedTuple

from ..base.safe_text import safe

Rows = Sequence[Sequence[str]]

# A number with what may stand about it, or what stands for one: "est. 47 %", "1.2 ± 0.1 psi".
_NUMBER = re.compile(
    r"(est\. )?[-+±≥≤<>~]?\s?\d[\d,.]*( (±|to) -?\d[\d,.]*)?( \S{1,8})?"
    r"|–|(est\. )?none|not known|not given|no limit|"
)
#: Characters beyond which a cell may be broken over lines.
LONG = 28
#: Words are not broken narrower than this.
_NARROW = 20


def escaped(text: str) -> str:
    """Return text as it may stand in HTML."""
    return escape(safe(text))


class Table(NamedTuple):
    """One table of texts: its rows, and what its columns mean where that is not plain.

    `flush` names the columns of words, which stand flush left.
    """

    headings: list[str]
    units: list[str]
    rows: list[list[str]]
    caption: str = ""
    key: str = ""
    flush: tuple[int, ...] = (0,)


class Shown:
    """What is told as a verdict, tables and notes; its text and HTML follow from them."""

    @property
    def verdict(self) -> str:
        """What it is and how it went, in one line."""
        raise NotImplementedError

    @property
    def notes(self) -> list[str]:
        """What to do, and what to be careful of."""
        raise NotImplementedError

    def notes_in(self, system: str = "trade") -> list[str]:
        """Return the notes, with figures in units of a system where they depend on it.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        list of str
            Whole sentences.
        """
        return self._notes_in(system)

    def _notes_in(self, system: str) -> list[str]:
        return self.notes

    def tables(self, system: str = "trade") -> list[Table]:
        """Return the tables.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        list of Table
            Headings, units (empty where a row has its own) and rows of text.
        """
        return self._tables(system)

    def _tables(self, system: str) -> list[Table]:
        raise NotImplementedError

    def tables_text(self, system: str = "trade", width: int = 0) -> str:
        """Return the tables as text, without verdict and notes.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.
        width : int
            Characters a line may take; a wider table stands in pieces. 0 for any number
            [dimensionless].

        Returns
        -------
        str
            Lines of text.
        """
        texts = []
        for table in self.tables(system):
            text = text_table(table.headings, table.units, table.rows, table.flush, width)
            words = (wrapped_to(table.caption, width), text, wrapped_to(table.key, width))
            texts.append("\n".join(part for part in words if part))
        return safe("\n\n".join(texts))

    def text(self, system: str = "trade") -> str:
        """Return the verdict, the tables and the notes.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            Lines of text.
        """
        notes = (f"- {note}" for note in self.notes_in(system))
        parts = [self.verdict, self.tables_text(system), *notes]
        return safe("\n".join(part for part in parts if part))

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        html = ""
        for number, table in enumerate(self.tables()):
            caption = table.caption if number else self.verdict
            html += html_table(table.headings, table.units, table.rows, caption, table.flush)
            html += f"<p>{escaped(table.key)}</p>" if table.key else ""
        return (html or f"<p>{escaped(self.verdict)}</p>") + html_list(self.notes)


def text_table(
    headings: Sequence[str],
    units: Sequence[str],
    rows: Rows,
    flush: tuple[int, ...] = (0,),
    width: int = 0,
) -> str:
    """Return a table in columns of fixed width; those of `flush` are flush left.

    Where `width` characters a line are too few for it, it stands in pieces one below another, each
    with the first column; words that are still too wide are broken over lines.
    """
    lines = [list(headings), *([list(units)] if any(units) else []), *[list(row) for row in rows]]
    widths = [max(len(line[i]) for line in lines) for i in range(len(headings))]
    return "\n\n".join(
        "\n".join(
            row
            for line in lines
            for row in _broken([(line[i], widths[i], i in flush) for i in piece], width)
        )
        for piece in _pieces(widths, width)
    )


def wrapped_to(text: str, width: int) -> str:
    """Return words in lines of at most `width` characters [dimensionless]; 0 for any number."""
    if not width:
        return text
    return "\n".join(row for line in text.split("\n") for row in wrap(line, max(width, _NARROW)))


def _broken(cells: list[tuple[str, int, bool]], most: int) -> Iterator[str]:
    """Lines of one row; its last cell goes on below itself where it is too long for a line."""
    text, width, left = cells[-1]
    before = sum(one[1] + 2 for one in cells[:-1])
    room = max(most - before, _NARROW)
    if not most or before + width <= most or len(text) <= room or not left or before == 0:
        yield _line(cells)
        return
    first, *rest = wrap(text, room)
    yield _line([*cells[:-1], (first, 0, True)])
    yield from (" " * before + row for row in rest)


def _line(cells: Sequence[tuple[str, int, bool]]) -> str:
    """Cells side by side, each as wide as its column."""
    texts = [cell.ljust(width) if left else cell.rjust(width) for cell, width, left in cells]
    return "  ".join(texts).rstrip()


def _pieces(widths: Sequence[int], most: int) -> list[list[int]]:
    """Columns of each piece of a table; every piece has the first column."""
    pieces: list[list[int]] = [[0]]
    used = widths[0]
    for column, width in enumerate(widths[1:], 1):
        if most and used + 2 + width > most and len(pieces[-1]) > 1:
            pieces.append([0])
            used = widths[0]
        pieces[-1].append(column)
        used += 2 + width
    return pieces


def html_table(
    headings: Sequence[str],
    units: Sequence[str],
    rows: Rows,
    caption: str,
    flush: tuple[int, ...] = (0,),
) -> str:
    """Return a table in HTML with its caption; every text is escaped."""
    title = f"<caption>{escaped(caption)}</caption>" if caption else ""
    left = [i in flush or _is_text([row[i] for row in rows]) for i in range(len(headings))]
    sides = [' style="text-align:left"' if side else "" for side in left]
    head = "".join(
        f'<th scope="col"{side if i else ""}>{escaped(h)}</th>'
        for i, (h, side) in enumerate(zip(headings, sides, strict=True))
    )
    unit = "".join(f'<th scope="col">{escaped(u)}</th>' for u in units)
    unit = f"<tr>{unit}</tr>" if any(units) else ""
    body = ""
    for row in rows:
        kinds = [' class="long"' if len(cell) > LONG else "" for cell in row]
        body += f'<tr><th scope="row"{kinds[0]}{sides[0]}>{escaped(row[0])}</th>'
        for cell, kind, side in zip(row[1:], kinds[1:], sides[1:], strict=True):
            body += f"<td{kind}{side}>{escaped(cell)}</td>"
        body += "</tr>"
    return (
        f'<table class="airchain">{title}'
        f"<thead><tr>{head}</tr>{unit}</thead><tbody>{body}</tbody></table>"
    )


def _is_text(cells: Sequence[str]) -> bool:
    """Whether a column holds words: most cells are neither numbers nor stand for one."""
    said = [not _NUMBER.fullmatch(cell) for cell in cells if cell]
    return 2 * sum(said) > len(said)


def by_note(named_notes: Iterable[tuple[str, str]], every: int = 0) -> list[str]:
    """Return every note once, after the names of all that it is said of.

    What is said of all `every` of them needs no names.
    """
    said: dict[str, list[str]] = {}
    for name, note in named_notes:
        said.setdefault(note, []).append(name)
    return [
        note if len(names) == every > 1 else f"{', '.join(names)}: {note}"
        for note, names in said.items()
    ]


def html_list(items: Sequence[str]) -> str:
    """Return a list in HTML, or nothing when it is empty."""
    return "".join(["<ul>", *(f"<li>{escaped(i)}</li>" for i in items), "</ul>"]) if items else ""
