"""Tables as text and as HTML: a heading row, a row of units, rows of cells that are text."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

Rows = Sequence[Sequence[str]]


def text_table(headings: Sequence[str], units: Sequence[str], rows: Rows) -> str:
    """Return a table in columns of fixed width; the first column is flush left."""
    lines = [list(headings), *([list(units)] if any(units) else []), *[list(row) for row in rows]]
    widths = [max(len(line[i]) for line in lines) for i in range(len(headings))]
    text = []
    for line in lines:
        cells = [
            cell.rjust(width) if i else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(line, widths, strict=True))
        ]
        text.append("  ".join(cells).rstrip())
    return "\n".join(text)


def html_table(headings: Sequence[str], units: Sequence[str], rows: Rows, caption: str) -> str:
    """Return a table in HTML with its caption; every text is escaped."""
    head = "".join(f'<th scope="col">{escape(h)}</th>' for h in headings)
    unit = "".join(f'<th scope="col">{escape(u)}</th>' for u in units)
    unit = f"<tr>{unit}</tr>" if any(units) else ""
    body = "".join(
        f'<tr><th scope="row" style="text-align:left">{escape(row[0])}</th>'
        + "".join(f"<td>{escape(cell)}</td>" for cell in row[1:])
        + "</tr>"
        for row in rows
    )
    return (
        f'<table class="airchain"><caption>{escape(caption)}</caption>'
        f"<thead><tr>{head}</tr>{unit}</thead><tbody>{body}</tbody></table>"
    )


def html_list(items: Sequence[str]) -> str:
    """Return a list in HTML, or nothing when it is empty."""
    return "".join(["<ul>", *(f"<li>{escape(i)}</li>" for i in items), "</ul>"]) if items else ""
