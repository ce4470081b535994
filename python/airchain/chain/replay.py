"""Changes put in the order in which they act, and replayed on what a document describes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..buildfile.assemble import Parts
from ..typed.place import KeyPath
from .changes import Change

__all__ = ["replayed", "typed_over", "with_change"]


def with_change(changes: Iterable[Change], change: Change) -> tuple[Change, ...]:
    """Return changes with one more, in the order in which they act.

    Parameters
    ----------
    changes : iterable of Change
        What was changed before.
    change : Change
        What is changed now.

    Returns
    -------
    tuple of Change
        Those that still tell something.
    """
    kept = []
    for earlier in changes:
        if earlier.kind not in change.replaces:
            kept.append(earlier)
        elif earlier.kind == change.kind:
            change = change.after(earlier)
    return tuple(sorted([*kept, change], key=lambda one: one.rank))


def typed_over(changes: Iterable[Change], paths: Sequence[KeyPath]) -> tuple[Change, ...]:
    """Return changes once keys of the document were typed after them: what is typed last holds.

    Parameters
    ----------
    changes : iterable of Change
        What was changed before.
    paths : sequence of key paths
        What was typed.

    Returns
    -------
    tuple of Change
        Those that still tell something.
    """
    left: list[Change] = []
    for change in changes:
        rest: Change | None = change
        for path in paths:
            rest = rest.typed_over(path) if rest is not None else None
        if rest is not None:
            left.append(rest)
    return tuple(left)


def replayed(parts: Parts, changes: Iterable[Change]) -> Parts:
    """Return what a document describes with changes on it.

    Parameters
    ----------
    parts : Parts
        What the document describes.
    changes : iterable of Change
        In the order in which they act.

    Returns
    -------
    Parts
        The whole.

    Raises
    ------
    InputError
        A change does not suit what the document describes.
    """
    for change in changes:
        parts = change.apply(parts)
    return parts
