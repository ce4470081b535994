"""The error every bad input ends in, and the one wording it has."""

from __future__ import annotations

import re

from .._core import InputError as InputError
from .safe_text import safe

_MOST_TOLD = 20


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
    place = f"{where}: " if where else ""
    tail = f"; {hint}" if hint else ""
    return InputError(f"{place}{field} = {value}; must {rule}{tail}")


def all_of(errors: list[InputError]) -> InputError:
    """Return one `InputError` that tells several, a line each in the order of their file's lines.

    Parameters
    ----------
    errors : list of InputError
        What was refused; of several refusals of one field the first is kept, empty ones are not.

    Returns
    -------
    InputError
        Twenty at most, and how many more there are.
    """
    told: dict[str, str] = {}
    rest = -_MOST_TOLD
    for line in (line for error in errors for line in str(error).split("\n") if line):
        if counted := re.fullmatch(r"and (\d+) more refusals", line):
            rest += int(counted[1])
        else:
            told.setdefault(line.partition(" = ")[0], line)
    lines = sorted(told.values(), key=_place)
    rest += len(lines)
    more = [f"and {rest} more refusals"] if rest > 0 else []
    return InputError("\n".join([*lines[:_MOST_TOLD], *more]))


def _place(line: str) -> tuple[str, int]:
    found = re.match(r"(.*?):(\d+): ", line)
    return (found[1], int(found[2])) if found else ("", 0)


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
