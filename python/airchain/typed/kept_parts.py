"""Parts are made once of what was typed: most changes of a document touch one table."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Concatenate, ParamSpec, TypeVar

from ..base.kept import Kept
from .place import Place, Typed
from .section import Section

__all__ = ["made_once", "of_tables"]

Made = TypeVar("Made")
More = ParamSpec("More")

_kept: Kept[Any] = Kept(1024)
#: Keys whose values name files, which may read otherwise the next time.
_FILES = ("lift_file", "map")
_PLAIN = (str, int, float, bool, type(None))


class _RefusedError(Exception):
    """Something was refused on the way, so that what was made is not to be kept."""


def made_once(source: Place, what: str, typed: Typed, make: Callable[[], Made]) -> Made:
    """Return what is made of typed values, kept from an earlier time where it can be.

    Parameters
    ----------
    source : Place
        Where the values stand.
    what : str
        What is made, and all that it depends on besides the values.
    typed : typed values
        The values. They are kept with where they are plain and name no file.
    make : callable
        Makes the part. It must not mark the tables that the values stand in.

    Returns
    -------
    object
        The part; it is not kept where anything was refused on the way.

    Raises
    ------
    InputError, NotedError
        What `make` raises; nothing is kept then.
    """
    if not _tells_all(typed):
        return make()
    refused_part: list[Made] = []

    def make_now() -> Made:
        before = len(source.errors)
        part = make()
        if len(source.errors) > before:
            refused_part.append(part)
            raise _RefusedError
        return part

    try:
        part: Made = _kept.get((source.bare_si, what, repr(typed)), make_now)
    except _RefusedError:
        return refused_part[0]
    return part


def of_tables(
    typed: Section, tables: tuple[str, ...], maker: Callable[Concatenate[Section, More], Made],
    *more: More.args, **named: More.kwargs,
) -> Made:  # fmt: skip
    """Return what a maker makes of some keys of a table, kept from an earlier time as above.

    Parameters
    ----------
    typed : Section
        The table; the maker's first argument.
    tables : tuple of str
        The keys, most of them tables inside; with none the part is made anew each time.
    maker : callable
        Makes the part of these keys alone. With them its name tells all that it depends on.
    more, named
        What it is handed besides.

    Returns
    -------
    object
        The part.
    """
    if not tables:
        return maker(typed, *more, **named)
    what = f"{maker.__name__} of {', '.join(tables)}"
    inside = [typed.table.get(name) for name in tables]
    return made_once(typed.source, what, inside, lambda: maker(typed, *more, **named))


def _tells_all(typed: Typed) -> bool:
    """Whether the text of typed values tells everything: no file, and nothing but plain values."""
    inside: Iterable[Typed] = ()
    if isinstance(typed, dict):
        if any(name in typed for name in _FILES):
            return False
        inside = typed.values()
    elif isinstance(typed, list):
        inside = typed
    elif type(typed) not in _PLAIN:
        return False
    return all(type(value) in _PLAIN or _tells_all(value) for value in inside)
