"""Reading what is typed after an option."""

from __future__ import annotations

from typing import Any

import click


def read_axis(text: str) -> tuple[str, Any]:
    """Read PATH=A:B:N or PATH=value,value: numbers where all are plain, else texts."""
    path, equals, typed = text.partition("=")
    words = [word.strip() for word in typed.split(":")]
    if not (path.strip() and equals and typed.strip()):
        raise click.UsageError(f"--axis {text}: must be PATH=A:B:N or PATH=value,value")
    if len(words) == 3:
        return path.strip(), _evenly(text, *words)
    if len(words) != 1:
        raise click.UsageError(f"--axis {text}: must be PATH=A:B:N, such as rpm=3000:7000:41")
    return path.strip(), [_plain(word.strip()) for word in typed.split(",")]


def _evenly(text: str, first: str, last: str, count: str) -> list[Any]:
    from ..units.convert import NUMBER

    start, end = NUMBER.match(first), NUMBER.match(last)
    fits = count.isdecimal() and len(count) < 8 and int(count) >= 2
    if not (fits and start and end):
        raise click.UsageError(f"--axis {text}: must be A:B:N with numbers and N of at least 2")
    a, b = float(start[0]), float(end[0])
    typed, unit = first[start.end() :].strip(), last[end.end() :].strip()
    unit = unit or typed
    if typed not in ("", unit):
        raise click.UsageError(f"--axis {text}: both ends must have the same unit")
    steps = int(count) - 1
    values = [a + (b - a) * i / steps for i in range(steps)] + [b]
    return [f"{value!r} {unit}" for value in values] if unit else values


def _plain(word: str) -> Any:
    try:
        return float(word)
    except ValueError:
        return word
