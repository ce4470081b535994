"""The error every bad input ends in, and the one wording it has."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from .._core import InputError as InputError
from .._core import Refusal as Refusal
from .safe_text import safe

_MOST_TOLD = 20
#: Index of the last of several refusals, which counts those that are not told.
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
    # A rule or a hint may hold what was read, such as a unit with a mark of writing direction.
    where, field, rule, hint = (safe(text, "?") for text in (where, field, rule, hint))
    return InputError([Refusal(where=where, field=field, value=value, rule=rule, hint=hint)])


def told_as(error: InputError, change: Callable[[Refusal], Refusal]) -> InputError:
    """Return an `InputError` whose refusals are those of another, each one changed.

    Parameters
    ----------
    error : InputError
        What was refused.
    change : callable
        Returns a refusal as it is to be told.

    Returns
    -------
    InputError
        The same refusals in other words.
    """
    return InputError([change(one) for one in error.refusals])


def under(where: str, error: InputError) -> InputError:
    """Return an `InputError` that is told to have happened somewhere.

    Parameters
    ----------
    where : str
        The file, or what was being done; the refusals' own places follow it.
    error : InputError
        What was refused.

    Returns
    -------
    InputError
        The same refusals, each under that place.
    """
    return told_as(error, lambda one: one.replace(where=joined(where, one.where)))


def joined(*places: str) -> str:
    """Return places one inside the other as one text, empty ones left out.

    Parameters
    ----------
    *places : str
        From the outermost to the innermost.

    Returns
    -------
    str
        The places parted by colons.
    """
    return ": ".join(place for place in places if place)


def all_of(errors: Iterable[InputError]) -> InputError:
    """Return one `InputError` that tells several, a line each in the order of their file's lines.

    Parameters
    ----------
    errors : iterable of InputError
        What was refused; of several refusals of one field the first is kept.

    Returns
    -------
    InputError
        Twenty at most, and how many more there are.
    """
    unique: dict[tuple[str, ...], Refusal] = {}
    rest = -_MOST_TOLD
    for one in (one for error in errors for one in error.refusals):
        if _MORE in one.indices:
            rest += one.indices[_MORE]
        else:
            indices = map(str, one.indices.items())
            unique.setdefault((one.where, one.field, one.statement, *indices), one)
    refusals = sorted(unique.values(), key=lambda one: _line(one.where))
    rest += len(refusals)
    if rest > 0:
        count = Refusal(statement=f"and {rest} more refusals", indices={_MORE: rest})
        refusals = [*refusals[:_MOST_TOLD], count]
    return InputError(refusals)


def _line(where: str) -> tuple[str, int]:
    """File and line of a place; places without a line come first."""
    file, _, rest = where.partition(":")
    line = rest.partition(":")[0]
    return (file, int(line)) if line.isdecimal() else ("", 0)


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
