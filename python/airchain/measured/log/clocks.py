"""Times of day and dates in the cells of a log, as seconds."""

from __future__ import annotations

import re
from datetime import date

_DAY = 86400.0
_CLOCK = re.compile(
    r"(?:(\d+):)?(\d{1,2}):(\d{1,2}(?:[.,]\d*)?)\s*([AaPp]\.?\s?[Mm]\.?)?(?:Z|[+-]\d{2}:?\d{2})?$"
)
_SHORT = re.compile(r"(\d{1,2}):(\d{2})\s*([AaPp]\.?\s?[Mm]\.?)$")
_DATED = re.compile(r"(\d{1,4})([-./])(\d{1,2})\2(\d{2,4})(?:[T\s,]+(.+))?$")
_UNIT = re.compile(r"[hHmMsS:.,\s]+$")


def clock_seconds(text: str) -> float | None:
    """Return the seconds of a clock time, with or without a date before it; None for others.

    A date alone counts its days. Days and months may stand either way round: only differences of
    times are used, and only a change of the date within one log would tell.
    """
    if ":" not in text:
        return None
    dated = _DATED.match(text)
    if dated is None:
        return _of_day(text)
    of_day = _of_day(dated[5] or "0:00:00")
    days = _days(dated[1], dated[3], dated[4])
    return None if of_day is None or days is None else days * _DAY + of_day


def is_clock_unit(unit: str) -> bool:
    """Return whether a unit names the parts of a clock time, such as hh:mm:ss."""
    return ":" in unit and bool(_UNIT.match(unit))


def _of_day(text: str) -> float | None:
    short = _SHORT.match(text)
    if short:
        return 3600.0 * _hour(int(short[1]), short[3]) + 60.0 * float(short[2])
    clock = _CLOCK.match(text)
    if clock is None:
        return None
    hours, minutes, seconds, half = clock.groups()
    hour = _hour(int(hours or 0), half) if half else int(hours or 0)
    return 3600.0 * hour + 60.0 * float(minutes) + float(seconds.replace(",", "."))


def _hour(hour: int, half: str) -> int:
    return hour % 12 + (12 if half[0] in "pP" else 0)


def _days(first: str, second: str, third: str) -> int | None:
    """Return a running number of a day, from a date with its year first or last."""
    numbers = (int(first), int(second), int(third))
    if len(first) == 4:
        year, month, day = numbers
    else:
        day, month, year = numbers
        year += 2000 if year < 100 else 0
    if month > 12:
        month, day = day, month
    try:
        return date(year, month, day).toordinal()
    except ValueError:
        return None
