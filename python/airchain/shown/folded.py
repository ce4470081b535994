"""Results with many tables: the first one stands open, the others are folded away."""

from __future__ import annotations

from ..base.safe_text import safe
from .tables import Shown, Table, escaped, html_list, html_table, text_table

__all__ = ["Folded"]


class Folded(Shown):
    """A result that shows its verdict and its first table; `Shown.text` has everything."""

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
        first = "".join(_as_html(table) for table in tables[:1])
        folded = "".join(_as_html(table) for table in tables[1:]) + html_list(self.notes)
        words = f"{max(len(tables) - 1, 0)} more tables and {len(self.notes)} notes"
        return f"{head}{first}<details><summary>{words}</summary>{folded}</details>"


def _as_text(table: Table) -> str:
    text = text_table(table.headings, table.units, table.rows, table.flush)
    return "\n".join(part for part in (table.caption, text, table.key) if part)


def _as_html(table: Table) -> str:
    html = html_table(table.headings, table.units, table.rows, table.caption, table.flush)
    return html + (f"<p>{escaped(table.key)}</p>" if table.key else "")
