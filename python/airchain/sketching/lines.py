"""Lines of a build file: each value with where it comes from."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ..typed.place import KeyPath
from ..units.convert import from_si, unit_label

TYPED, WORKED_OUT, GUESSED = "typed", "worked out", "guessed"
#: How a word came into the file that nobody told.
UNLESS_TOLD = "usual, nothing was told"
Row = Sequence[str] | Sequence[float]
Value = str | float | int | bool | Row | Sequence[Row]


@dataclass(frozen=True)
class Line:
    """One key of a build file.

    Attributes
    ----------
    path : tuple
        Tables and key; a number is an entry of a list.
    value : str, number, bool or list
        As it stands in the file.
    origin : str
        ``"typed"``, ``"worked out"`` or ``"guessed"``.
    how : str
        How, and after whom.
    guess : str
        Name of the guess that it is; empty for all others.
    """

    path: KeyPath
    value: Value
    origin: str
    how: str = ""
    guess: str = ""

    @property
    def key(self) -> str:
        """Dotted path."""
        return ".".join(map(str, self.path))


class Writer:
    """Writes numbers in the units of whoever told the facts, to so many digits."""

    def __init__(self, system: str, digits: int = 4) -> None:
        self.system = system
        self.digits = digits

    def plain(self, number: float) -> float:
        """Return a number without unit, rounded."""
        return float(f"{number:.{self.digits}g}")

    def text(self, value: float, kind: str, unit: str = "") -> str:
        """Return an SI value with its unit, as it is typed in a file."""
        shown = unit or unit_label(kind, self.system)
        number = float(from_si(value, shown, kind))
        return f"{_decimal(number, self.digits)} {shown}"

    def rare(self, value: float, si_unit: str, trade: tuple[str, float]) -> str:
        """Return an SI value whose unit has no kind; `trade` is a unit and the SI value of one."""
        unit, one = trade if self.system == "trade" else (si_unit, 1.0)
        return f"{_decimal(value / one, self.digits)} {unit}"

    def texts(self, values: Sequence[float], kind: str, unit: str = "") -> list[str]:
        """Return several of them."""
        return [self.text(value, kind, unit) for value in values]


def _decimal(number: float, digits: int) -> str:
    """Return a number in decimals, never with an exponent."""
    rounded = f"{number:.{digits}g}"
    return f"{float(rounded):.15f}".rstrip("0").rstrip(".") if "e" in rounded else rounded


def unit_of(text: str) -> str:
    """Return the unit of a typed text."""
    return re.sub(r"^[\s+\-0-9.,eE]+(?![a-zA-Z])", "", text).strip()
