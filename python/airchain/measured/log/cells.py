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

from .clocks import clock_seconds

#: What stands for a missing reading, in small letters.
_MARKS = """
-- --- ---- n/a na nan null none #n/a #na #div/0! #value! #ref! nil ? * *** **** err err. error
inf -inf +inf - ---.- --.- – — ol o.l. ovr ovfl over overflow open short fault invalid #num!
n.v. n.a. k.a. off 1.#inf -1.#inf 1.#qnan -1.#qnan 1.#ind -1.#ind 1.#nan <na> missing
"""
MISSING = frozenset({"", "no data", "not available", *_MARKS.split()})

_SPACES = "\u00a0\u202f\u2009'\u2019 "  # thousands marks besides comma and point
_LONGEST_NUMBER = 60


def _pattern(group: str, point: str) -> re.Pattern[str]:
    """Return what a number looks like, with what follows it as its second group."""
    whole = rf"(?:[1-9][0-9]{{0,2}}(?:{group}[0-9]{{3}})+|[0-9]+)?"
    rest = rf"(?:{point}[0-9]*)?(?:[eE][+-]?[0-9]+)?"
    return re.compile(rf"(?=[+-]?{point}?[0-9])([+-]?{whole}{rest})\s*(.*)")


_POINT, _COMMA = _pattern(",", r"\."), _pattern(r"\.", ",")
_GROUPED = re.compile(rf"(?<=\d)[{_SPACES}](?=\d{{3}}(?!\d))")
_BARE = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")  # most cells
_UNIT = re.compile(r"[^\d\s,;:).+-][^\d,;]{0,11}$|[^\d\s,;:).+-]\w{0,11}$")


@dataclass(frozen=True)
class Numbers:
    """A column's numbers, the unit its cells carry, and the first cell that is no number.

    `bad` is that cell's place, -1 where there is none: its row, or its line once a log is read.
    """

    values: NDArray[np.float64]
    unit: str = ""
    bad: int = -1
    why: str = ""
    clocks: bool = False
    cell: str = ""


def split_rows(lines: Sequence[str], delimiter: str) -> list[list[str]]:
    """Return the cells of every line; quotes are taken off."""
    if delimiter == " ":
        return [line.split() for line in lines]
    if any('"' in line for line in lines):
        # One line is one row in every log; a quote that stays open must not swallow the next.
        # ="..." is how a spreadsheet keeps a text from being read as a number.
        return [
            next(csv.reader([line.replace('="', '"')], delimiter=delimiter), [""]) for line in lines
        ]
    return [line.split(delimiter) for line in lines]


def clean_rows(
    lines: Sequence[str], delimiter: str, decimal: str, width: int, wanted: Sequence[int]
) -> NDArray[np.float64] | None:
    """Return the wanted columns of lines that hold nothing but numbers and empty cells.

    A row a line. None where there is more than numbers, or where a row has another width.
    """
    mark = None if delimiter == " " else delimiter
    joined = "\n".join(lines)
    if not joined or _clean_text(mark or " ", decimal).fullmatch(joined) is None:
        return None
    if mark:
        # With the last column among those read no row is shorter; the marks tell of longer ones.
        fits = joined.count(mark) == (width - 1) * len(lines)
    else:
        fits = all(len(line.split()) == width for line in lines)
    if not fits:
        return None
    rows: Sequence[str] = lines
    if decimal == ",":
        rows = [line.replace(",", ".") for line in lines]
    if mark and (mark * 2 in joined or f"{mark}\n" in joined or f"\n{mark}" in joined):
        rows = [_filled_up(line, mark) for line in rows]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            columns = sorted({*wanted, width - 1})
            read = np.loadtxt(rows, delimiter=mark, usecols=columns, ndmin=2, comments=None)
    except (ValueError, UserWarning):
        return None
    if read.shape[0] != len(lines) or np.isinf(read).any():
        return None
    return np.asarray(read[:, [columns.index(column) for column in wanted]])


def is_clean(line: str, delimiter: str, decimal: str, width: int) -> bool:
    """Return whether a line looks like one that `clean_rows` takes."""
    mark = None if delimiter == " " else delimiter
    if _clean_text(mark or " ", decimal).fullmatch(line) is None or not line.strip():
        return False
    return _cell_count(line, mark) == width


def _cell_count(line: str, mark: str | None) -> int:
    return line.count(mark) + 1 if mark else len(line.split())


def _filled_up(line: str, mark: str) -> str:
    """Return a line with every empty cell written as nan."""
    empty, filled = mark * 2, f"{mark}nan{mark}"
    line = line.replace(empty, filled).replace(empty, filled)  # neighbours share a mark
    line = f"nan{line}" if line.startswith(mark) else line
    return f"{line}nan" if line.endswith(mark) else line


@lru_cache(maxsize=16)
def _clean_text(mark: str, decimal: str) -> re.Pattern[str]:
    other = "" if decimal == mark else re.escape(decimal)
    plain = rf"[0-9+ \n{other}{re.escape(mark)}]"
    # Without backtracking: a text that is no table must be told in one pass.
    return re.compile(rf"(?:{plain}++|[eE][+-]?[0-9]|-(?=[0-9.,]))*+")


def numbers(cells: Sequence[str], decimal: str, missing: frozenset[str] = MISSING) -> Numbers:
    """Return cells as numbers; NaN where one is missing."""
    joined = "\x1f".join(cells)
    plain = ("." if decimal == "," else ",") not in joined
    # A name such as "1_000" or "infinity" is a number to Python but not in a log.
    if plain and "_" not in joined and "n" not in joined and "N" not in joined:
        quick = joined.replace(",", ".").split("\x1f") if decimal == "," else cells
        try:
            read = np.array(list(map(float, quick)))
        except ValueError:
            read = np.full(1, np.inf)
        if not np.isinf(read).any():
            return Numbers(read)
    return _slowly(cells, decimal, missing)


def _slowly(cells: Sequence[str], decimal: str, missing: frozenset[str]) -> Numbers:
    """Read every distinct cell with care."""
    by_cell = {cell: one_number(cell, decimal, missing) for cell in set(cells)}
    bad = next((i for i, cell in enumerate(cells) if by_cell[cell] is None), -1)
    read = {cell: pair for cell, pair in by_cell.items() if pair is not None}
    nothing = (float("nan"), "")
    values = np.array([read.get(cell, nothing)[0] for cell in cells])
    clocks = any(":" in cell for cell in read)
    if bad >= 0:
        return Numbers(values, "", bad, "be a number", clocks)
    units = {unit for value, unit in read.values() if value == value}
    if len(units) > 1:
        first = next(c for c in cells if read[c][0] == read[c][0])
        usual = read[first][1]
        odd = next(
            i for i, c in enumerate(cells) if read[c][0] == read[c][0] and read[c][1] != usual
        )
        why = f"have one unit throughout, here {usual or 'none'} before"
        return Numbers(values, "", odd, why, clocks)
    return Numbers(values, next(iter(units), ""), clocks=clocks)


def one_number(
    cell: str, decimal: str, missing: frozenset[str] = MISSING
) -> tuple[float, str] | None:
    """Return one cell's number and unit; NaN where it is missing, None where it is no number."""
    text = cell.strip().replace("\N{MINUS SIGN}", "-")
    if text.lower() in missing:
        return float("nan"), ""
    if len(text) > _LONGEST_NUMBER:
        return None
    if decimal == "." and _BARE.fullmatch(text):
        return float(text), ""
    seconds = clock_seconds(text)
    if seconds is not None:
        return seconds, ""
    text = _GROUPED.sub("", text)
    match = (_COMMA if decimal == "," else _POINT).match(text)
    if match is None:
        return None
    if match[2] and not _UNIT.match(match[2]):
        return None
    group, point = (".", ",") if decimal == "," else (",", ".")
    digits = match[1].replace(group, "").replace(point, ".")
    value = float(digits)
    return (value, match[2].strip()) if isfinite(value) else None
