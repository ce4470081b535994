"""Which headings of a table speak of a quantity in other words than the glossary's."""

import re
from collections.abc import Iterable, Iterator

from airchain.shown.glossary import glossary
from airchain.shown.tables import Shown, Table

#: A heading that speaks of a quantity holds one of these; others, such as 'level', need no entry.
QUANTITY = re.compile(
    r"pressure|temperature|flow|power|torque|boost|margin|speed|ratio|efficiency|density|[BIFP]MEP"
)
#: What a heading may say before a word of the glossary: which of its values is shown.
WHICH = re.compile(r"^(peak|least|largest|highest|lowest|mean) ")
#: Headings of inputs, of links of the drive and of stations, which are no columns of a result.
OTHERS = {
    "speed in", "speed out", "torque in", "torque out", "power in", "drive ratio", "pressure",
    "temperature", "density", "all flow", "compression ratio", "density altitude",
    "at peak power", "torque left", "of its torque", "surge flow", "flow", "pressure swing",
}  # fmt: skip


def _headings(tables: Iterable[Table]) -> Iterator[str]:
    """Every heading of a column, and of a row where rows are quantities."""
    for table in tables:
        yield from table.headings
        if table.headings[0] in ("quantity", "level", "at peak power"):
            yield from (row[0] for row in table.rows)


def quantities(shown: Shown) -> list[str]:
    """Headings that speak of a quantity, without unit and place."""
    plain = [re.sub(r" (\[.*\]|at.*)$", "", text) for text in _headings(shown.tables())]
    return [text for text in plain if QUANTITY.search(text) and text not in OTHERS]


def strange_words(shown: Shown) -> list[str]:
    """Headings that speak of a quantity in words of their own."""
    words = {row.word for row in glossary()}
    return [text for text in quantities(shown) if not {text, WHICH.sub("", text)} & words]
