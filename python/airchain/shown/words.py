"""Words that sentences are made of."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["counted", "listed", "milliseconds"]


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


def milliseconds(seconds: float) -> str:
    """Return a short time as a shop would say it: ``"147 ms"``, with three digits at most.

    Parameters
    ----------
    seconds : float
        The time [s].

    Returns
    -------
    str
        Number and unit.
    """
    return f"{float(f'{1e3 * seconds:.3g}'):,g} ms"
