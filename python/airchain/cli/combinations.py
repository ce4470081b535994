"""What is typed about many combinations: axes of values, inputs that scatter, limits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from xarray import Dataset

    from ..sweeps.distributions import Distribution
    from ..typed.place import Typed

_SCATTER = "must be PATH=A to B, PATH=A +- B (a tolerance) or PATH=A sd B (a standard deviation)"
_LIMIT = "must be NAME<=VALUE, NAME>=VALUE or NAME=VALUE"


def read_axis(text: str) -> tuple[str, list[str | float]]:
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


def read_scatter(text: str) -> tuple[str, Distribution]:
    """Read how one input scatters: A to B evenly, A +- B within a tolerance, A sd B normally."""
    from ..sweeps.distributions import Even, Normal, Toleranced

    path, equals, typed = text.partition("=")
    for mark, kind in ((" to ", Even), ("+-", Toleranced), ("±", Toleranced), (" sd ", Normal)):
        first, found, second = typed.partition(mark)
        if path.strip() and equals and found and first.strip() and second.strip():
            return path.strip(), kind(_plain(first.strip()), _plain(second.strip()))
    raise click.UsageError(f"--scatter {text}: {_SCATTER}")


def read_limits(option: str, texts: Iterable[str], grid: Dataset) -> Mapping[str, Typed]:
    """Read limits on a sweep's points as `best_points` takes them; both ends of one name meet."""
    ends: dict[str, list[str | float | None]] = {}
    names: dict[str, list[str]] = {}
    for text in texts:
        name, sign, value = _parted(option, text)
        if sign == "=" and name in grid.coords and grid[name].dtype.kind not in "fiu":
            names[name] = [word.strip() for word in value.split(",")]
            continue
        low, high = ends.setdefault(name, [None, None])
        number = _plain(value)
        ends[name] = [low if sign == "<=" else number, high if sign == ">=" else number]
    return {**ends, **names}


def read_choices(option: str, texts: Iterable[str], grid: Dataset) -> Dataset:
    """Return a sweep at one name or number of some axes."""
    for text in texts:
        name, sign, value = _parted(option, text)
        if sign != "=" or name not in grid.indexes:
            known = ", ".join(map(str, grid.indexes))
            raise click.UsageError(f"{option} {text}: must be AXIS=VALUE, of {known}")
        along = [str(one) for one in grid[name].to_numpy()]
        wanted = str(_plain(value)) if grid[name].dtype.kind in "fiu" else value
        if wanted not in along:
            raise click.UsageError(f"{option} {text}: must be one of {', '.join(along[:20])}")
        grid = grid.isel({name: along.index(wanted)})
    return grid


def _parted(option: str, text: str) -> tuple[str, str, str]:
    for sign in ("<=", ">=", "="):
        name, found, value = text.partition(sign)
        if found and name.strip() and value.strip():
            return name.strip(), sign, value.strip()
    raise click.UsageError(f"{option} {text}: {_LIMIT}")


def _evenly(text: str, first: str, last: str, count: str) -> list[str | float]:
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
    return [f"{value!r} {unit}" if unit else value for value in values]


def _plain(word: str) -> str | float:
    try:
        return float(word)
    except ValueError:
        return word
