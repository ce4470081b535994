"""Cells of a log as numbers: decimal comma, thousands marks, missing marks, clock times, units."""

from __future__ import annotations

import csv
import re
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite

import numpy as np
from numpy.typing import NDArray

#: What stands for a missing reading, in small letters.
_MARKS = """
-- --- n/a na nan null none #n/a #na nil ? * *** err error inf -inf +inf - ---.- --.-
"""
MISSING = frozenset({"", "no data", *_MARKS.split()})

_SPACES = "\u00a0\u202f\u2009' "  # thousands marks besides comma and point


def _pattern(group: str, point: str) -> re.Pattern[str]:
    """Return what a number looks like, with what follows it as its second group."""
    whole = rf"(?:[1-9][0-9]{{0,2}}(?:{group}[0-9]{{3}})+|[0-9]+)?"
    rest = rf"(?:{point}[0-9]*)?(?:[eE][+-]?[0-9]+)?"
    return re.compile(rf"(?=[+-]?{point}?[0-9])([+-]?{whole}{rest})\s*(.*)")


_POINT, _COMMA = _pattern(",", r"\."), _pattern(r"\.", ",")
_CLOCK = re.compile(r"(?:([0-9]+):)?([0-9]{1,2}):([0-9]{1,2}(?:[.,][0-9]*)?)$")
_UNIT = re.compile(r"[^\d\s,;.+-][^\d,;]{0,11}$|[^\d\s,;.+-]\w{0,11}$")


#: A column as it stands in the log, or already as numbers.
Cells = Sequence[str] | NDArray[np.float64]
# Missing marks that are taken out of a whole log at once; the rest are found cell by cell.
_COMMON = ("---", "--", "N/A", "n/a", "NA", "-")


@dataclass(frozen=True)
class Numbers:
    """A column's numbers, the unit its cells carry, and the first cell that is no number."""

    values: NDArray[np.float64]
    unit: str = ""
    bad: int = -1
    why: str = ""


def split_rows(lines: Sequence[str], delimiter: str) -> list[list[str]]:
    """Return the cells of every line; quotes are taken off."""
    if delimiter == " ":
        return [line.split() for line in lines]
    if any('"' in line for line in lines):
        # One line is one row in every log; a quote that stays open must not swallow the next.
        return [next(csv.reader([line], delimiter=delimiter), [""]) for line in lines]
    return [line.split(delimiter) for line in lines]


def clean_numbers(
    lines: Sequence[str], delimiter: str, decimal: str, width: int, wanted: Sequence[int]
) -> list[Cells] | None:
    """Return the wanted columns when the log has nothing but numbers and missing readings.

    Columns that are not wanted are empty. None where there is more than numbers.
    """
    joined = as_read = "\n".join(lines)
    if decimal == ",":
        if "." in joined or delimiter == ",":
            return None
        joined = joined.replace(",", ".")
    mark = None if delimiter == " " else delimiter
    if mark and joined.count(mark) != (width - 1) * len(lines):
        return None
    # With the last column among those read, no row is shorter; the count of marks tells the rest.
    read = sorted({*wanted, width - 1})
    made = _matrix(joined, lines if joined == as_read else None, mark, read)
    if made is None and mark:
        made = _matrix(_blanked(joined, mark), None, mark, read)
    if made is None or made.shape != (len(lines), len(read)) or np.isinf(made).any():
        return None
    columns: list[Cells] = [np.zeros(0)] * width
    for place, values in zip(read, made.T, strict=True):
        columns[place] = np.ascontiguousarray(values)
    return columns


def _matrix(
    joined: str, lines: Sequence[str] | None, mark: str | None, read: list[int]
) -> NDArray[np.float64] | None:
    """Return the columns to be read of a text of numbers; None where there is more in it."""
    if not joined.strip() or _clean_text(mark or " ").fullmatch(joined) is None:
        return None
    if mark and mark * 2 in joined:
        # Twice, because neighbours share a delimiter.
        empty = mark * 2, f"{mark}nan{mark}"
        joined, lines = joined.replace(*empty).replace(*empty), None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            rows = joined.split("\n") if lines is None else lines
            return np.loadtxt(rows, delimiter=mark, usecols=read, ndmin=2)
    except (ValueError, UserWarning):
        return None


@lru_cache(maxsize=8)
def _clean_text(mark: str) -> re.Pattern[str]:
    return re.compile(rf"[0-9eE+.\snaN{re.escape(mark)}-]*")


def _blanked(joined: str, mark: str) -> str:
    """Return the text with the commonest missing marks written as nan."""
    for word in _COMMON:
        if word not in joined:
            continue
        for before, after in ((mark, mark), (mark, mark), (mark, "\n"), ("\n", mark)):
            cell = f"{before}{word}{after}"  # twice, because neighbours share a delimiter
            if cell in joined:
                joined = joined.replace(cell, f"{before}nan{after}")
    return joined


def numbers(cells: Cells, decimal: str, missing: frozenset[str] = MISSING) -> Numbers:
    """Return cells as numbers; NaN where one is missing."""
    if isinstance(cells, np.ndarray):
        return Numbers(cells)
    joined = "\x1f".join(cells)
    if decimal == ",":
        plain = "." not in joined
        quick = joined.replace(",", ".").split("\x1f") if plain else cells
    else:
        plain, quick = "," not in joined, cells
    # A name such as "1_000" or "infinity" is a number to Python but not in a log.
    if plain and "_" not in joined and "n" not in joined and "N" not in joined:
        try:
            read = np.array(list(map(float, quick)))
        except ValueError:
            read = np.full(1, np.inf)
        if not np.isinf(read).any():
            return Numbers(read)
    return _slowly(cells, decimal, missing)


def _slowly(cells: Sequence[str], decimal: str, missing: frozenset[str]) -> Numbers:
    """Read every distinct cell with care."""
    found: dict[str, tuple[float, str] | None] = {}
    for cell in set(cells):
        found[cell] = one_number(cell, decimal, missing)
    bad = next((i for i, cell in enumerate(cells) if found[cell] is None), -1)
    if bad >= 0:
        return Numbers(np.full(len(cells), np.nan), "", bad, "be a number")
    read = {cell: pair for cell, pair in found.items() if pair is not None}
    values = np.array([read[cell][0] for cell in cells])
    units = {unit for value, unit in read.values() if value == value}
    if len(units) > 1:
        usual = read[next(c for c in cells if read[c][0] == read[c][0])][1]
        odd = next(
            i for i, c in enumerate(cells) if read[c][0] == read[c][0] and read[c][1] != usual
        )
        why = f"have one unit throughout, here {usual or 'none'} before"
        return Numbers(values, "", odd, why)
    return Numbers(values, next(iter(units), ""))


def one_number(
    cell: str, decimal: str, missing: frozenset[str] = MISSING
) -> tuple[float, str] | None:
    """Return one cell's number and unit; NaN where it is missing, None where it is no number."""
    text = cell.strip().replace("\N{MINUS SIGN}", "-")
    if text.lower() in missing:
        return float("nan"), ""
    clock = _CLOCK.match(text)
    if clock:
        hours, minutes, seconds = clock.groups()
        second = float(seconds.replace(",", "."))
        return 3600.0 * float(hours or 0) + 60.0 * float(minutes) + second, ""
    text = re.sub(rf"(?<=\d)[{_SPACES}](?=\d{{3}}(?!\d))", "", text)
    match = (_COMMA if decimal == "," else _POINT).match(text)
    if match is None:
        return None
    if match[2] and not _UNIT.match(match[2]):
        return None
    group, point = (".", ",") if decimal == "," else (",", ".")
    digits = match[1].replace(group, "").replace(point, ".")
    value = float(digits)
    return (value, match[2].strip()) if isfinite(value) else None
