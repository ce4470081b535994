"""What was noticed about measured data: said in words, with the lines of the file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Finding", "spans"]


@dataclass(frozen=True)
class Finding:
    """Something noticed about a log or a pull; it changes no reading.

    Attributes
    ----------
    topic : str
        What was looked at, such as ``"power against torque"``.
    words : str
        What was found.
    lines : tuple of int
        Line numbers of the file it stands on, dimensionless; empty where it concerns them all.
    """

    topic: str
    words: str
    lines: tuple[int, ...] = ()

    def __str__(self) -> str:
        where = f" (line{'s' if len(self.lines) > 1 else ''} {spans(self.lines)})"
        return f"{self.topic}: {self.words}" + (where if self.lines else "")


def spans(numbers: Iterable[int], most: int = 4) -> str:
    """Return line numbers as text, runs joined: ``3, 7-9 and 12 more``.

    Parameters
    ----------
    numbers : iterable of int
        The numbers, dimensionless.
    most : int
        Runs written out, dimensionless.

    Returns
    -------
    str
        The text.
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    text = ", ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in runs[:most])
    left = sum(b - a + 1 for a, b in runs[most:])
    return f"{text} and {left} more" if left else text
