"""The error every bad input ends in, and the one wording it has."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .._core import InputError as InputError
from .._core import Refusal as Refusal
from .safe_text import safe

_MOST_SHOWN = 20
#: Index of the line that counts the refusals which are not shown.
_MORE = "more refusals"


def refusal(where: str, field: str, value: str, rule: str, hint: str = "") -> InputError:
    """Return (not raise) the `InputError` for one field.

    Parameters
    ----------
    where : str
        Station or ``file:line`` the field belongs to; may be empty.
    field : str
        Name of the field.
    value : str
        The value as it was typed, quoted when it is text, with its unit.
    rule : str
        What the value must be, worded to follow 'must'.
    hint : str
        What to write instead; may be empty.
    """
    return InputError([Refusal(where=where, field=field, value=value, rule=rule, hint=hint)])


def all_of(errors: Sequence[InputError]) -> InputError:
    """Return one `InputError` that tells several, in the order of their file's lines.

    Parameters
    ----------
    errors : sequence of InputError
        What was refused; of several refusals of one field the first is kept, empty ones are not.

    Returns
    -------
    InputError
        Twenty refusals at most, and how many more there are.
    """
    first: dict[str, Refusal] = {}
    uncounted = 0
    for one in (one for error in errors for one in _single(error)):
        if _MORE in one.indices:
            uncounted += one.indices[_MORE]
        else:
            first.setdefault(_subject(one), one)
    ordered = sorted(first.values(), key=_place)
    shown = ordered[:_MOST_SHOWN]
    uncounted += len(ordered) - len(shown)
    if uncounted:
        shown.append(Refusal(statement=f"and {uncounted} {_MORE}", indices={_MORE: uncounted}))
    return InputError(shown)


def _single(error: InputError) -> Iterator[Refusal]:
    """The refusals of an error, each line of a text for itself."""
    for one in error.refusals:
        if one.field or one.where or one.indices:
            yield one
        else:
            yield from (Refusal(statement=line) for line in one.statement.split("\n") if line)


def _subject(one: Refusal) -> str:
    """Place and field of a refusal, without its value."""
    return str(one).partition(" = ")[0]


def _place(one: Refusal) -> tuple[str, int]:
    """File and line of a refusal; those without come first."""
    place = one.where or one.statement.partition(": ")[0]
    file, colon, line = place.rpartition(":")
    return (file, int(line)) if colon and line.isdecimal() else ("", 0)


def quoted(value: object, limit: int = 60) -> str:
    """Return `value` as it is shown in a refusal: text in quotes, cut at `limit` characters."""
    try:
        text = f'"{value}"' if isinstance(value, str) else repr(value)
    except ValueError:  # Python writes out no whole number of thousands of digits
        text = "a number of thousands of digits"
    text = safe(text, "?").replace("\n", "?")
    return text if len(text) <= limit else f"{text[: limit - 3]}..."


def suggestion(name: str, known: list[str]) -> str:
    """Return ``did you mean "..."?`` for the nearest of `known`, or an empty string."""
    from difflib import get_close_matches

    near = get_close_matches(name, known, n=1, cutoff=0.6)
    return f'did you mean "{near[0]}"?' if near else ""
