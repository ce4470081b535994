"""The glossary: one word for each quantity, used by every table, picture and page."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from textwrap import wrap

from ..base.errors import quoted, refusal, suggestion
from ..base.safe_text import safe
from ..units.convert import KINDS
from .glossary_entries import CYCLE_ENTRIES, ENTRIES, Entry
from .tables import Shown, Table

__all__ = ["Glossary", "entry", "glossary", "word"]

_WIDTH = 78
_NOTES = [
    "Every pressure is absolute; a reading on a gauge needs the barometer added. Boost, mean "
    "effective pressures and pressure losses are differences.",
    "A total pressure or temperature is that of the gas brought to rest. A tap in a pipe's wall "
    "reads static pressure, which lies a little lower where the gas is fast.",
    "A thermometer in the plenum reads plenum temperature. Charge temperature lies lower, because "
    "port fuel has evaporated by then.",
]


class Glossary(Shown):
    """One word for each quantity: its column, meaning, unit, basis, and where it stands.

    Attributes
    ----------
    entries : tuple of Entry
        The quantities.
    """

    entries: tuple[Entry, ...]

    def __init__(self, entries: tuple[Entry, ...]) -> None:
        self.entries = entries

    def __iter__(self) -> Iterator[Entry]:
        return iter(self.entries)

    def __len__(self) -> int:
        return len(self.entries)

    def __getitem__(self, name: str) -> Entry:
        for row in self.entries:
            if name in (row.name, row.word):
                return row
        known = [text for row in self.entries for text in (row.name, row.word)]
        rule = "be a column or a word of the glossary"
        raise refusal("glossary", "name", quoted(name), rule, suggestion(name, known))

    def about(self, text: str) -> Glossary:
        """Return the entries whose column, word or meaning holds a text.

        Parameters
        ----------
        text : str
            The text, in either case.

        Returns
        -------
        Glossary
            Those entries.

        Raises
        ------
        InputError
            No entry holds it.
        """
        sought = text.lower().replace("_", " ").strip()
        rows = tuple(
            row
            for row in self.entries
            if sought in f"{row.name} {row.word} {row.meaning}".lower().replace("_", " ")
        )
        if not rows:
            known = [row.word for row in self.entries]
            hint = suggestion(text, known)
            raise refusal("glossary", "word", quoted(text), "be in the glossary", hint)
        return Glossary(rows)

    @property
    def verdict(self) -> str:
        """How many words there are."""
        words = len(self.entries)
        return f"{words} {'word' if words == 1 else 'words'}, each for one quantity."

    @property
    def notes(self) -> list[str]:
        """What holds for all of them."""
        return list(_NOTES)

    def _tables(self, system: str) -> list[Table]:
        rows = [
            [row.word, row.name, _unit(row, system), row.meaning, _basis(row),
             ", ".join(row.tables)]
            for row in self.entries
        ]  # fmt: skip
        headings = ["word", "column", "unit", "meaning", "basis", "stands in"]
        return [Table(headings, [""] * len(headings), rows, flush=tuple(range(len(headings))))]

    def tables_text(self, system: str = "trade", width: int = 0) -> str:
        """Return the entries as paragraphs, which a terminal has room for.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.
        width : int
            Characters a line may take, 78 where it is 0 [dimensionless].

        Returns
        -------
        str
            A paragraph an entry.
        """
        return "\n".join(_paragraph(row, system, width or _WIDTH) for row in self.entries)


def glossary() -> Glossary:
    """Say what each quantity means: one word for it, where it is measured, and in which unit.

    Returns
    -------
    Glossary
        Its entries; ``glossary()["plenum_pressure"].meaning`` is a sentence.

    Examples
    --------
    >>> glossary()["boost"].meaning
    'Plenum pressure less ambient pressure.'
    """
    return Glossary((*ENTRIES, *CYCLE_ENTRIES))


@cache
def _by_name() -> tuple[dict[str, Entry], dict[str, Entry]]:
    shared = {row.name: row for row in ENTRIES}
    return shared, {**shared, **{row.name: row for row in CYCLE_ENTRIES}}


def entry(name: str, of_a_cycle: bool = False) -> Entry | None:
    """Return the entry of a column, or None where it has none.

    Parameters
    ----------
    name : str
        The column.
    of_a_cycle : bool
        Whether it is a column of a cycle, where two words differ from a pull's.

    Returns
    -------
    Entry or None
        The entry.
    """
    return _by_name()[of_a_cycle].get(name)


def word(name: str, of_a_cycle: bool = False) -> str:
    """Return the one word for a column; a name without an entry reads as it stands.

    Parameters
    ----------
    name : str
        The column.
    of_a_cycle : bool
        Whether it is a column of a cycle.

    Returns
    -------
    str
        The word.
    """
    row = entry(name, of_a_cycle)
    return name.replace("_", " ") if row is None else row.word


def _unit(row: Entry, system: str) -> str:
    kind = KINDS[row.kind]
    return kind.trade if system == "trade" else kind.metric


def _basis(row: Entry) -> str:
    return "; ".join(text for text in (row.basis, row.fuel, row.cycle) if text)


def _paragraph(row: Entry, system: str, width: int) -> str:
    unit = _unit(row, system)
    first = row.word + (f" [{unit}]" if unit else "") + f", column {row.name}"
    basis = _basis(row)
    rest = row.meaning + (f" {basis[0].upper()}{basis[1:]}." if basis else "")
    rest += f" In: {', '.join(row.tables)}."
    lines = wrap(rest, max(width, 20), initial_indent="    ", subsequent_indent="    ")
    return safe("\n".join([first, *lines]))
