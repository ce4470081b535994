"""Results with many tables: the first one stands open, the others are folded away."""

from __future__ import annotations

from collections.abc import Sequence

from ..base.safe_text import safe
from .tables import Shown, Table, escaped, html_list, html_table, text_table
from .words import listed

__all__ = ["Folded"]

#: Most that a notebook keeps of one result [bytes]; tables beyond are named.
_MOST = 38_500


class Folded(Shown):
    """A result that shows its verdict and its first table; `Shown.text` has everything.

    A notebook is saved with what it shows, so that large tables are named there and not shown.
    """

    def __repr__(self) -> str:
        tables = self.tables()
        parts = [self.verdict, *(_as_text(table) for table in tables[:1])]
        rest = len(tables) - 1
        if rest > 0:
            parts.append(f"text() shows {rest} more tables and {len(self.notes)} notes.")
        return safe("\n".join(parts))

    def _repr_html_(self) -> str:
        tables = self.tables()
        head = f"<p><strong>{escaped(self.verdict)}</strong></p>"
        first, notes = "".join(_as_html(table) for table in tables[:1]), html_list(self.notes)
        left = _MOST - len(f"{head}{first}{notes}".encode())
        folded, shown = "", 1
        for table in tables[1:]:
            html = _as_html(table)
            left -= len(html.encode())
            if left < 0:
                break
            folded, shown = folded + html, shown + 1
        words = f"{max(len(tables) - 1, 0)} more tables and {len(self.notes)} notes"
        folded += _named(tables[shown:]) + notes
        return f"{head}{first}<details><summary>{words}</summary>{folded}</details>"


def _named(tables: Sequence[Table]) -> str:
    """What the tables are that have no room in a notebook, and how to see them."""
    if not tables:
        return ""
    names = list(dict.fromkeys(table.caption.partition(":")[0] for table in tables))
    return f"<p>text() shows {len(tables)} more tables: {escaped(listed(names))}.</p>"


def _as_text(table: Table) -> str:
    text = text_table(table.headings, table.units, table.rows, table.flush)
    return "\n".join(part for part in (table.caption, text, table.key) if part)


def _as_html(table: Table) -> str:
    html = html_table(table.headings, table.units, table.rows, table.caption, table.flush)
    return html + (f"<p>{escaped(table.key)}</p>" if table.key else "")
