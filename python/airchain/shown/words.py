"""Words that sentences are made of."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["listed"]


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence lists them: ``"A, B and C"``; empty without any.

    Parameters
    ----------
    names : sequence of str
        The names.

    Returns
    -------
    str
        The list.
    """
    *first, last = names or [""]
    return f"{', '.join(first)} and {last}" if first else last
