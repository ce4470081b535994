"""The keys of a saved mapping, read from a document and checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NoReturn, TypeAlias, TypedDict

from ...base.errors import quoted, refusal, suggestion
from ...buildfile.toml_lines import TomlFile
from .._measured_checks import checked_rounding
from ..quantities import quantity
from .column_map import ColumnChanges, ColumnMap

#: What may stand under a key of a mapping that a user gives.
MappingEntry: TypeAlias = "str | float | Sequence[str | int] | Mapping[str, MappingEntry]"

_Text: TypeAlias = Literal["encoding", "delimiter", "decimal", "power_basis", "run_column"]
_TEXTS: tuple[_Text, ...] = ("encoding", "delimiter", "decimal", "power_basis", "run_column")
_List: TypeAlias = Literal["ignore", "missing"]
_LISTS: tuple[_List, ...] = ("ignore", "missing")
_ColumnText: TypeAlias = Literal["unit", "reference", "density", "rounding"]
_COLUMN_TEXTS: tuple[_ColumnText, ...] = ("unit", "reference", "density", "rounding")
_WEATHER = ("barometer", "ambient_temperature", "relative_humidity")
_REFERENCES = ("absolute", "gauge", "vacuum")


class MappingKeys(TypedDict, total=False):
    """Attributes of a `LogMapping` by name, each as it describes them."""

    encoding: str
    delimiter: str
    decimal: str
    header_line: int
    power_basis: str
    run_column: str
    columns: Mapping[str, ColumnMap]
    ambient: Mapping[str, str]
    ignore: tuple[str, ...]
    missing: tuple[str, ...]
    aliases: Mapping[str, tuple[str, ...]]
    reasons: Mapping[str, str]
    questions: tuple[str, ...]


def attributes(file: TomlFile) -> MappingKeys:
    """Return the attributes of the mapping that a document describes, or refuse it by key."""
    return _Reader(file).attributes()


class _Reader:
    """Reads a mapping from a document, and refuses what is none."""

    def __init__(self, file: TomlFile) -> None:
        self.file = file

    def attributes(self) -> MappingKeys:
        """Return what the document says, by attribute of a mapping."""
        data: Mapping[str, MappingEntry] = self.file.data
        known = [*_TEXTS, "header_line", *_LISTS, "ambient", "aliases", "columns"]
        self._only((), data, known)
        keys: MappingKeys = {}
        for text in _TEXTS:
            if text in data:
                keys[text] = self._text((text,), data[text])
        if "header_line" in data:
            keys["header_line"] = self._line(("header_line",), data["header_line"])
        for several in _LISTS:
            if several in data:
                headings = self._headings((several,), data[several])
                keys[several] = tuple(str(heading) for heading in headings)
        aliases = self._table(("aliases",), data.get("aliases", {}))
        for name in aliases:
            quantity(name, self.file.where(("aliases", name)))
        keys["aliases"] = {
            n: tuple(map(str, self._headings(("aliases", n), v))) for n, v in aliases.items()
        }
        weather = self._table(("ambient",), data.get("ambient", {}))
        self._only(("ambient",), weather, list(_WEATHER))
        keys["ambient"] = {
            k: self._text(("ambient", k), v, "text with a unit") for k, v in weather.items()
        }
        columns = self._table(("columns",), data.get("columns", {}))
        keys["columns"] = {name: self._column(name, value) for name, value in columns.items()}
        return keys

    def _column(self, name: str, value: MappingEntry) -> ColumnMap:
        path = ("columns", name)
        quantity(name, self.file.where(path))
        if isinstance(value, str | int | list | tuple):
            return ColumnMap(self._headings(path, value))
        table = self._table(path, value, "a heading or a table")
        self._only(path, table, ["column", "scale", *_COLUMN_TEXTS])
        keys: ColumnChanges = {}
        for text in _COLUMN_TEXTS:
            if text in table:
                keys[text] = self._text((*path, text), table[text])
        if "column" in table:
            keys["column"] = self._headings((*path, "column"), table["column"])
        if "scale" in table:
            keys["scale"] = self._scale((*path, "scale"), table["scale"])
        if keys.get("reference", "absolute") not in _REFERENCES:
            self._refuse(
                (*path, "reference"), keys["reference"], "be one of " + ", ".join(_REFERENCES)
            )
        if "rounding" in keys:
            checked_rounding("mapping", {name: keys["rounding"]})
        return ColumnMap(**keys)

    def _headings(self, path: tuple[str, ...], value: MappingEntry) -> tuple[str | int, ...]:
        entries = list(value) if isinstance(value, list | tuple) else [value]
        headings = tuple(v for v in entries if isinstance(v, str | int) and not isinstance(v, bool))
        if len(headings) < len(entries):
            self._refuse(path, value, "be headings, or numbers of columns from 1")
        return headings

    def _text(self, path: tuple[str, ...], value: MappingEntry, words: str = "text") -> str:
        if not isinstance(value, str):
            self._refuse(path, value, f"be {words}")
        return value

    def _line(self, path: tuple[str, ...], value: MappingEntry) -> int:
        if not isinstance(value, int) or isinstance(value, bool):
            self._refuse(path, value, "be a line")
        return value

    def _scale(self, path: tuple[str, ...], value: MappingEntry) -> float:
        if not isinstance(value, int | float) or isinstance(value, bool):
            self._refuse(path, value, "be a number")
        if not 0.0 < value < 30.0:
            self._refuse(path, value, "be above 0 and below 30")
        return float(value)

    def _table(
        self, path: tuple[str, ...], value: MappingEntry, words: str = "a table"
    ) -> Mapping[str, MappingEntry]:
        if not isinstance(value, Mapping):
            self._refuse(path, value, f"be {words}")
        return value

    def _only(
        self, path: tuple[str, ...], table: Mapping[str, MappingEntry], known: list[str]
    ) -> None:
        for name in table:
            if name not in known:
                hint = suggestion(name, known) or "the keys are " + ", ".join(known)
                self._refuse((*path, name), table[name], "be a key of a mapping", hint)

    def _refuse(
        self, path: tuple[str, ...], value: MappingEntry, rule: str, hint: str = ""
    ) -> NoReturn:
        where = self.file.where(path) if self.file.lines else self.file.name
        raise refusal(where, ".".join(path), quoted(value), rule, hint)
