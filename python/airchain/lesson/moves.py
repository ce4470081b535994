"""What the guesses at a change are told."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from ..base.safe_text import safe
from ..shown.tables import escaped, html_table, text_table
from .changes import Move

__all__ = ["ChangeAnswer"]

_HEADINGS = ("quantity", "before", "after", "it goes", "you said", "")
_FLUSH = (0, 3, 4, 5)


@dataclass(frozen=True, eq=False, repr=False)
class ChangeAnswer:
    """What the guesses at a change are told, one row a quantity.

    Attributes
    ----------
    words : str
        The change.
    moves : tuple of Move
        What became of each quantity.
    said : mapping
        What was guessed.
    why : str
        The physics.
    system : str
        ``"trade"`` or ``"si"``.
    further : callable or None
        Returns a warning, and HTML of a picture.
    missing : sequence of str
        Quantities without a guess yet.
    """

    words: str
    moves: tuple[Move, ...]
    said: Mapping[str, str]
    why: str
    system: str
    further: Callable[[], tuple[str, str]] | None = None
    missing: Sequence[str] = field(default_factory=list)

    @property
    def right(self) -> int:
        """How many guesses are right [dimensionless]."""
        return sum(1 for one in self.moves if self.said[one.name] in one.right)

    @property
    def asked(self) -> int:
        """How many quantities can be told [dimensionless]."""
        return sum(1 for one in self.moves if one.right)

    @property
    def verdict(self) -> str:
        """How many are right; what to do where a guess is missing."""
        if self.missing:
            return (
                f'No guess yet for {", ".join(self.missing)}. Put "up", "down" or "same" where '
                'the three dots are, for knock "nearer", "further" or "same", and run the cell '
                "again."
            )
        return f"{self.right} of {self.asked} right."

    def rows(self) -> list[list[str]]:
        """Return a row of texts for each quantity.

        Returns
        -------
        list of list of str
            Quantity, before, after, which way it goes, what was said, right or not.
        """
        found = []
        for one in self.moves:
            goes = " or ".join(one.right) if one.right else "cannot be told"
            said = self.said[one.name]
            mark = ("right" if said in one.right else "wrong") if one.right else "not counted"
            found.append([one.name, one.before, one.after, goes, said, mark])
        return found

    def text(self) -> str:
        """Return verdict, table, physics, and a warning of knock.

        Returns
        -------
        str
            Lines of text.
        """
        if self.missing:
            return safe(self.verdict)
        table = text_table(_HEADINGS, [""] * len(_HEADINGS), self.rows(), _FLUSH)
        warning = self.further()[0] if self.further else ""
        parts = (self.verdict, table, f"Why: {self.why}", warning)
        return safe("\n".join(part for part in parts if part))

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        if self.missing:
            return f"<p><strong>{escaped(self.verdict)}</strong></p>"
        warning, shown = self.further() if self.further else ("", "")
        html = html_table(
            _HEADINGS, [""] * len(_HEADINGS), self.rows(), f"{self.words} {self.verdict}", _FLUSH
        )
        html += f"<p>Why: {escaped(self.why)}</p>"
        return html + (f"<p><strong>{escaped(warning)}</strong></p>" if warning else "") + shown
