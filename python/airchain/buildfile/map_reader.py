"""The reader of compressor map files: one pass over the lines, refusing by line and column."""

from __future__ import annotations

import csv
import re
from math import isfinite
from typing import Any, NoReturn

from ..base.errors import InputError, all_of, quoted, refusal, suggestion
from ..units.convert import NUMBER, to_si
from .map_format import COLUMNS, KEYS, OPTIONAL, ORIGINS, QUANTITIES, WORDS, MapFile, SpeedLine

_COMMAS_ONLY = "cells are separated by commas and decimals written with a point"


class MapReader:
    """One pass over a map file: what was found so far, and where."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.keys: dict[str, tuple[str, int]] = {}
        self.notes: list[str] = []
        self.columns: list[tuple[str, str]] = []  # name, unit
        self.points: dict[float, list[tuple[int, dict[str, float]]]] = {}

    def read(self, text: str) -> MapFile:
        """Return the map; every line that is refused is told."""
        errors: list[InputError] = []
        for row, line in enumerate(text.split("\n"), 1):
            try:
                self._line(line, row)
            except InputError as error:
                errors.append(error)
                if not self.columns and not line.lstrip(' "').startswith("#"):
                    break  # without its header the rest says nothing
        if errors:
            raise all_of(errors)
        return self._finish()

    def _line(self, line: str, row: int) -> None:
        # A spreadsheet pads short rows with commas and quotes a line that holds one.
        cells = self._cells(line, row)
        if not any(cells):
            return
        if cells[0].startswith("#"):
            quoted_line = line.lstrip().startswith('"')
            self._comment(cells[0] if quoted_line else line.strip().rstrip(", \t"), row)
        elif not self.columns:
            self.columns = self._header(cells, line, row)
        else:
            self._point(cells, line, row)

    def _refuse(self, row: int, what: str, value: str, rule: str, hint: str = "") -> NoReturn:
        raise refusal(f"{self.name}:{row}" if row else self.name, what, value, rule, hint)

    def _cells(self, line: str, row: int) -> list[str]:
        try:
            return [cell.strip() for cell in next(csv.reader([line], skipinitialspace=True), [])]
        except csv.Error as error:
            self._refuse(row, "row", quoted(line), "be comma-separated text", str(error))

    def _comment(self, line: str, row: int) -> None:
        entry = re.fullmatch(r"#+\s*([A-Za-z_][A-Za-z0-9_]*)\s*=\s*(.*)", line)
        if not entry:
            self.notes.extend(filter(None, [line.lstrip("#").strip()]))
            return
        key, value = entry.groups()
        if key not in KEYS:
            hint = suggestion(key, list(KEYS))
            self._refuse(row, key, quoted(value), "be a key of a map file", hint)
        if key in self.keys:
            hint = f"it is also in line {self.keys[key][1]}"
            self._refuse(row, key, quoted(value), "be given once", hint)
        if not value:
            self._refuse(row, key, '""', "have a value", f'write for example "{KEYS[key]}"')
        self.keys[key] = (value, row)

    def _header(self, cells: list[str], line: str, row: int) -> list[tuple[str, str]]:
        if len(cells) == 1 and re.search("[;\t]", line):
            self._refuse(row, "header", quoted(line), "be separated by commas", _COMMAS_ONLY)
        while not cells[-1]:
            cells.pop()
        columns: list[tuple[str, str]] = []
        for cell in cells:
            heading = re.fullmatch(r"([^\[(]*)(?:[\[(]([^\])]*)[\])])?", cell)
            column = re.sub(r"[ _]+", "_", heading[1].strip().lower()) if heading else cell
            if column not in COLUMNS:
                hint = suggestion(column, list(COLUMNS)) or f"the columns are {', '.join(COLUMNS)}"
                self._refuse(row, "column", quoted(cell), "be a column of a map file", hint)
            if column in dict(columns):
                self._refuse(row, "column", quoted(cell), "stand once")
            columns.append((column, self._unit(column, heading[2] if heading else None, row)))
        missing = [column for column in COLUMNS if column not in dict(columns)]
        if missing:
            self._refuse(row, "header", quoted(line), f"have the column {missing[0]}")
        return columns

    def _unit(self, column: str, given: str | None, row: int) -> str:
        """Return the unit of a column once it is known to serve."""
        kind, usual = COLUMNS[column]
        unit = (given or "").strip()
        if not unit or (unit == "-" and usual is not None):
            if usual is None:
                example = "speed [rpm]" if column == "speed" else "flow [lb/min]"
                self._refuse(row, "column", quoted(column), "name its unit", f'write "{example}"')
            return usual
        to_si(f"1 {unit}", kind, where=f"{self.name}:{row}", field=f"unit of column {column}")
        return unit

    def _point(self, cells: list[str], line: str, row: int) -> None:
        count = len(self.columns)
        if len(cells) < count or any(cells[count:]):
            self._refuse(row, "row", quoted(line), f"have {count} cells", _COMMAS_ONLY)
        point: dict[str, float] = {}
        for position, ((column, unit), cell) in enumerate(
            zip(self.columns, cells, strict=False), 1
        ):
            what = f"{column} (column {position})"
            if not NUMBER.fullmatch(cell) or not isfinite(float(cell)):
                self._refuse(row, what, quoted(cell), "be a finite number")
            where = f"{self.name}:{row}"
            kind = COLUMNS[column][0]
            point[column] = to_si(float(cell), kind, where=where, field=what, unit=unit)
        self.points.setdefault(point["speed"], []).append((row, point))

    def _finish(self) -> MapFile:
        values = {key: self._value(key) for key in KEYS}
        if not self.columns:
            hint = 'add the line "speed [rpm], flow [lb/min], pressure_ratio, efficiency"'
            self._refuse(0, "header", "nothing", "be given", hint)
        if not self.points:
            self._refuse(0, "points", "nothing", "be given", "one row a point below the header")
        units = dict(self.columns)
        return MapFile(
            **values,
            lines=tuple(_speed_line(speed, points) for speed, points in self.points.items()),
            speed_unit=units["speed"],
            flow_unit=units["flow"],
            notes=tuple(self.notes),
        )

    def _value(self, key: str) -> Any:
        """Return the checked value of a preamble key, None where it may be missing."""
        text, row = self.keys.get(key, ("", 0))
        if not text:
            if key in OPTIONAL:
                return None
            self._refuse(0, key, "nothing", "be given", f'add the line "{KEYS[key]}"')
        if key in QUANTITIES:
            where = f"{self.name}:{row}"
            value = to_si(text, QUANTITIES[key][0], where=where, field=key)
            if key.startswith("reference_"):
                _check_reference(where, key, value)
            return value
        if key in WORDS and text not in WORDS[key]:
            self._refuse(row, key, quoted(text), f"be {' or '.join(WORDS[key])}")
        if key == "origin" and re.split(r"\W", text)[0] not in ORIGINS:
            self._refuse(row, key, quoted(text), f"begin with {' or '.join(ORIGINS)}")
        return text


def _check_reference(where: str, key: str, value: float) -> None:
    """Refuse a value that no reference state has, in the core's words at the file's line."""
    from .. import _core

    try:
        _core.ReferenceState(**{key.removeprefix("reference_"): value})
    except InputError as error:
        raise refusal(where, key, error.value, error.rule, error.hint) from None


def _speed_line(speed: float, points: list[tuple[int, dict[str, float]]]) -> SpeedLine:
    return SpeedLine(
        speed=speed,
        flow=tuple(point["flow"] for _, point in points),
        pressure_ratio=tuple(point["pressure_ratio"] for _, point in points),
        efficiency=tuple(point["efficiency"] for _, point in points),
        rows=tuple(row for row, _ in points),
    )
