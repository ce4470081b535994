"""Days to look at: typed by name, or read from a table."""

from __future__ import annotations

import csv
import os
from collections.abc import Mapping

from ..base.errors import quoted, refusal, suggestion
from ..base.text_file import read_text
from ..chain.build import Build
from ..typed.keys import TABLE
from ..typed.place import KeyPath, Place, TypedByName, dotted
from ..typed.section import Section
from .keys import DAY
from .reading import day_of
from .request import Day

__all__ = ["asked_day", "read_days"]


class _Asked(Place):
    """Days that were asked for, by call or by a file with a line a day."""

    def __init__(self, place: str, lines: Mapping[str, int] | None = None) -> None:
        super().__init__()
        self.place, self.lines = place, lines or {}

    def where(self, path: KeyPath) -> str:
        """The call, or file and line."""
        line = self.lines.get(str(path[0])) if path else None
        return self.place if line is None else f"{self.place}:{line}"

    def name_of(self, path: KeyPath) -> str:
        """The day, as it was called."""
        return f"the day {quoted(dotted(path))}"


def asked_day(build: Build, name: str, typed: TypedByName) -> Day:
    """Return a day as ``[plan.weather]`` would type it.

    Parameters
    ----------
    build : Build
        The build, whose cooler a coolant must suit.
    name : str
        What the day is called.
    typed : mapping
        Keys of ``[plan.weather]`` with their values, such as ``{"altitude": "5000 ft",
        "temperature": "90 degF"}``.

    Returns
    -------
    Day
        The day.

    Raises
    ------
    InputError
        A key is missing, unknown or out of range.
    """
    place = _Asked("weather_bands")
    return place.whole(_day, build, place, name, typed)


def _day(build: Build, place: Place, name: str, typed: TypedByName) -> Day:
    return day_of(build, Section(place, (), {name: TABLE}, {name: typed}), name)


def read_days(path: str | os.PathLike[str], build: Build) -> dict[str, Day]:
    """Read a table of days: a row a day, columns parted by commas, semicolons or tabs.

    Parameters
    ----------
    path : str or path
        The file. Its first row names the columns: ``day``, then keys of ``[plan.weather]`` such as
        altitude, temperature and humidity. A unit stands in each cell, or once in the heading:
        ``altitude [ft]``. An empty cell is not typed.
    build : Build
        The build, whose cooler a coolant must suit.

    Returns
    -------
    dict
        A `Day` by its name, in the order of the file.

    Raises
    ------
    InputError
        The file cannot be read, or something in it is missing, unknown, twice there or out of
        range; the message has file and line.
    """
    lines = [(number, line) for number, line in enumerate(read_text(path, "a table of days")
             .split("\n"), 1) if line.strip()]  # fmt: skip
    where = str(path)
    if len(lines) < 2:
        raise refusal(where, "days", "none", "hold a row of headings and a row for each day")
    mark = max(",;\t", key=lines[0][1].count)
    heads = [_head(f"{where}:{lines[0][0]}", cell) for cell in _cells(lines[0][1], mark)]
    keys = [key for key, _ in heads]
    if keys.count("day") != 1 or len(set(keys)) < len(keys):
        rule = "name a column day, and each other column once"
        raise refusal(f"{where}:{lines[0][0]}", "headings", quoted(lines[0][1]), rule)
    typed: dict[str, dict[str, str]] = {}
    numbers: dict[str, int] = {}
    for number, line in lines[1:]:
        name, values = _row(f"{where}:{number}", _cells(line, mark), heads)
        if name in typed:
            raise refusal(f"{where}:{number}", "day", quoted(name), "be there once")
        typed[name], numbers[name] = values, number
    place = _Asked(where, numbers)
    made = place.whole(_days, build, place, typed)
    return dict(zip(typed, made, strict=True))


def _days(build: Build, place: Place, typed: Mapping[str, TypedByName]) -> list[Day]:
    return place.every(_day, [(build, place, name, values) for name, values in typed.items()])


def _cells(line: str, mark: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([line], delimiter=mark), [])]


def _head(where: str, cell: str) -> tuple[str, str]:
    """Key and unit of a column."""
    key, _, unit = cell.partition("[")
    key = key.strip().lower().replace(" ", "_")
    if key != "day" and key not in DAY:
        near = suggestion(key, ["day", *DAY]) or f"the columns are day, {', '.join(DAY)}"
        raise refusal(where, "heading", quoted(cell), "be a column of a table of days", near)
    return key, unit.rstrip("] ").strip()


def _row(where: str, cells: list[str], heads: list[tuple[str, str]]) -> tuple[str, dict[str, str]]:
    """Name of a day, and what is typed of it."""
    if len(cells) > len(heads):
        rule = f"have at most {len(heads)} cells"
        raise refusal(where, "row", quoted(" ".join(cells)), rule)
    typed = {key: f"{cell} {unit}".strip()
             for cell, (key, unit) in zip(cells, heads, strict=False) if cell}  # fmt: skip
    name = typed.pop("day", "")
    if not name:
        raise refusal(where, "day", "missing", "be the name of the day")
    return name, typed
