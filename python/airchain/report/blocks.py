"""What a report is set from: sections of blocks, each a piece of HTML with every text escaped."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from ..base.extras import extra
from ..shown.lean_svg import lean
from ..shown.tables import LONG, Shown, Table, escaped, html_list, html_table
from .legible import printed_width, raise_text

if TYPE_CHECKING:
    from matplotlib.figure import Figure

#: Characters that a table's columns may take together, gaps counted in: as it is, in smaller
#: print, and on a sheet turned on its side. What is wider still stands in pieces.
_UPRIGHT, _SMALL, _SHEET = 104, 115, 152
#: Characters at which the words of a table are broken that would else be too wide.
_TIGHT = 17
#: What a telephone has no room for.
_HAND = 60
#: Rows beyond which a table may break over pages, upright and turned; its headings are repeated.
_LONGEST, _LONGEST_TURNED = 40, 28


class Section(NamedTuple):
    """One part of a document: the name of its anchor, its title, and its blocks of HTML.

    `tables` are all that belong to it, printed or not: they are written as files.
    """

    key: str
    title: str
    blocks: list[str]
    fresh: bool = False
    tables: Sequence[Table] = ()

    @property
    def print_as(self) -> str:
        """Class of the section: whether it begins on a page of its own."""
        return "fresh" if self.fresh else ""


def words(text: str, kind: str = "") -> str:
    """Return a paragraph; `kind` is its class."""
    return f'<p class="{kind}">{escaped(text)}</p>' if kind else f"<p>{escaped(text)}</p>"


def heading(text: str) -> str:
    """Return a heading inside a section."""
    return f"<h3>{escaped(text)}</h3>"


class Bullets(str):
    """A list as a block of HTML, which still knows its items."""

    items: tuple[str, ...]

    def __new__(cls, items: Iterable[str]) -> Bullets:
        """Make the block."""
        texts = tuple(items)
        block = super().__new__(cls, html_list(texts))
        block.items = texts
        return block


def bullets(items: Iterable[str]) -> list[str]:
    """Return a list as a block; none when it is empty."""
    block = Bullets(items)
    return [block] if block else []


def said_once(sections: Sequence[Section]) -> tuple[list[str], list[Section]]:
    """Return what several sections say, and the sections without it.

    A sentence counts as said there too where it stands after the names of levels.
    """
    places: dict[str, set[str]] = {}
    for section in sections:
        for item in _items(section):
            places.setdefault(item, set()).add(section.key)
    for item, where in list(places.items()):
        _, _, bare = item.partition(": ")
        if bare in places:
            places[bare] |= where
    several = [item for item, where in places.items() if len(where) > 1]
    told = [item for item in several if item.partition(": ")[2] not in several]

    def left(block: str) -> list[str]:
        if not isinstance(block, Bullets):
            return [block]
        return bullets(
            item for item in block.items if not {item, item.partition(": ")[2]} & {*told}
        )

    return told, [s._replace(blocks=[b for one in s.blocks for b in left(one)]) for s in sections]


def _items(section: Section) -> Iterator[str]:
    return (item for one in section.blocks if isinstance(one, Bullets) for item in one.items)


def table(shown_table: Table, caption: str = "", sheet: bool = False) -> Iterator[str]:
    """Yield a table, in pieces of columns where it is too wide for its page, and then its key.

    The page is upright, or a `sheet` of its own turned on its side.
    """
    caption = caption or shown_table.caption
    most, widths = _SHEET if sheet else _SMALL, _widths(shown_table, LONG)
    tight = not sheet and sum(widths) > most
    if tight:
        widths = _widths(shown_table, _TIGHT)
    pieces = _pieces(widths, most)
    key = words(shown_table.key, "key") if shown_table.key else ""
    for number, columns in enumerate(pieces):
        here = f"{caption}, further columns" if number else caption
        width = sum(widths[c] for c in columns)
        over = len(here) > width  # it would be broken into a narrow column
        html = html_table(
            [shown_table.headings[c] for c in columns],
            [shown_table.units[c] for c in columns],
            [[row[c] for c in columns] for row in shown_table.rows],
            "" if over else here,
            tuple(place for place, c in enumerate(columns) if c in shown_table.flush),
        )
        title = f'<p class="title">{escaped(here)}</p>' if over and here else ""
        longest = _LONGEST_TURNED if sheet else _LONGEST
        kinds = ["long" if len(shown_table.rows) > longest else "whole"]
        kinds += ["small"] * (width > _UPRIGHT) + ["tight"] * tight + ["wide"] * (width > _HAND)
        piece = f'<div class="scroll {" ".join(kinds)}">{title}{html}</div>'
        # A key stays with its table; only one that may itself break over pages lets it go.
        with_key = bool(key) and number == len(pieces) - 1
        if with_key and kinds[0] == "whole":
            yield f'<div class="whole">{piece}{key}</div>'
        else:
            yield piece
            yield from [key] * with_key


def signatures(*names: str) -> list[str]:
    """Return a line to sign for each of several people, side by side."""
    lines = "".join(
        f"<div><p>{escaped(name)}</p><p>name, date, signature</p></div>" for name in names
    )
    return [f'<div class="signed">{lines}</div>']


def tell(result: Shown, system: str, most: int | None = None) -> list[str]:
    """Return what is told as blocks: the verdict over the first `most` tables, then the notes."""
    tables = named_tables(result, system)
    blocks = [words(result.verdict)] if not tables or result.tables(system)[0].caption else []
    for one in tables[:most]:
        blocks += table(one)
    return [*blocks, *bullets(result.notes_in(system))]


def named_tables(result: Shown, system: str) -> list[Table]:
    """Return the tables of what is told; one without a caption has the verdict."""
    return [
        one if one.caption else one._replace(caption=result.verdict)
        for one in result.tables(system)
    ]


def figure(drawn: Figure, name: str, caption: str, beside: str = "") -> str:
    """Return a picture with its caption; `name` must be unique in the document.

    It may stand beside another picture, ``"pair"``.
    """
    width, height = drawn.get_size_inches()
    tall = height > 0.9 * width
    raise_text(drawn, printed_width(tall, beside))
    kinds = " ".join(k for k in ("tall" if tall else "", beside) if k)
    kind = f' class="{kinds}"' if kinds else ""
    return (
        f'<figure{kind} role="img" aria-label="{escaped(caption)}">{as_svg(drawn, name)}'
        f"<figcaption>{escaped(caption)}</figcaption></figure>"
    )


def _widths(shown_table: Table, longest: int) -> list[int]:
    """Characters that each column takes, the gap counted in."""
    heads = [max(len(word) for word in text.split() or [""]) for text in shown_table.headings]
    cells = zip(shown_table.units, *shown_table.rows, strict=True)
    return [
        max(head, *(min(len(text), longest) for text in column)) + 2
        for head, column in zip(heads, cells, strict=True)
    ]


def _pieces(widths: Sequence[int], most: int) -> list[list[int]]:
    """Columns of each piece of a table, alike in width; every piece has the first column."""
    first, rest = widths[0], widths[1:]
    pieces: list[list[int]] = [[0]]
    count = -(-sum(rest) // (most - first)) if sum(widths) > most > first else 1
    share, done = sum(rest) / max(count, 1), 0
    for column, width in enumerate(rest, 1):
        if done + width / 2 > share * len(pieces) and len(pieces[-1]) > 1:
            pieces.append([0])
        pieces[-1].append(column)
        done += width
    return pieces


def as_svg(drawn: Figure, name: str) -> str:
    """Return a figure as an SVG element to be set into HTML.

    Parameters
    ----------
    drawn : matplotlib.figure.Figure
        The figure.
    name : str
        Unique in the document, as ids inside must be.

    Returns
    -------
    str
        The element, the same for the same figure.
    """
    target = io.StringIO()
    with extra("matplotlib").rc_context(
        {"svg.hashsalt": f"airchain-{name}", "svg.fonttype": "path"}
    ):
        drawn.savefig(target, format="svg", metadata={"Date": None, "Creator": None})
    return lean(target.getvalue(), name)
