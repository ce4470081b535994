"""How many questions of a lesson were answered rightly."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..shown.tables import Shown, Table
from ..shown.words import listed

__all__ = ["Score"]


@dataclass(frozen=True, eq=False, repr=False)
class Score(Shown):
    """First guesses, part by part.

    Attributes
    ----------
    parts : mapping
        By part of the lesson and question: how many were right and how many were asked,
        dimensionless; None where it was not answered.
    """

    parts: Mapping[str, Mapping[str, tuple[int, int] | None]]

    @property
    def right(self) -> int:
        """Right first guesses [dimensionless]."""
        return sum(one[0] for part in self.parts.values() for one in part.values() if one)

    @property
    def asked(self) -> int:
        """Guesses that were made and could be judged [dimensionless]."""
        return sum(one[1] for part in self.parts.values() for one in part.values() if one)

    @property
    def verdict(self) -> str:
        """How many were right."""
        if not self.asked:
            return "Nothing was guessed yet. Go back, and put a guess where the three dots are."
        return f"{self.right} of {self.asked} right at the first guess."

    @property
    def notes(self) -> list[str]:
        """What to look at again, and what is still open."""
        missed, left = [], []
        for part in self.parts.values():
            missed += [name for name, one in part.items() if one and one[0] < one[1]]
            left += [name for name, one in part.items() if one is None]
        notes = [f"Look again at {listed(list(dict.fromkeys(missed)))}."] if missed else []
        if left and self.asked:
            notes.append(f"Still open: {listed(left)}.")
        return notes

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for name, part in self.parts.items():
            done = [one for one in part.values() if one]
            counts = sum(one[0] for one in done), sum(one[1] for one in done)
            rows.append([name, str(counts[0]), str(counts[1]), f"{len(done)} of {len(part)}"])
        return [Table(["part", "right", "guesses", "questions answered"], ["", "", "", ""], rows)]
