"""Words that sentences are made of."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["counted", "listed"]


def counted(number: int, noun: str) -> str:
    """Return a number and what it counts: ``"1 level"``, ``"4 levels"``.

    Parameters
    ----------
    number : int
        How many, dimensionless.
    noun : str
        What is counted, one of it.

    Returns
    -------
    str
        Both.
    """
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def listed(names: Sequence[str], last_word: str = "and") -> str:
    """Return names as a sentence lists them: ``"A, B and C"``; empty without any.

    Parameters
    ----------
    names : sequence of str
        The names.
    last_word : str
        What stands before the last.

    Returns
    -------
    str
        The list.
    """
    *first, last = names or [""]
    return f"{', '.join(first)} {last_word} {last}" if first else last
