"""The keys of a saved mapping, read from a document and checked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...base.errors import quoted, refusal, suggestion
from ...buildfile.toml_lines import TomlFile
from .._measured_checks import checked_rounding
from ..quantities import quantity
from .column_map import ColumnMap

_WEATHER = ("barometer", "ambient_temperature", "relative_humidity")
_REFERENCES = ("absolute", "gauge", "vacuum")


def attributes(file: TomlFile) -> dict[str, Any]:
    """Return the attributes of the mapping that a document describes, or refuse it by key."""
    return _Reader(file).attributes()


class _Reader:
    """Reads a mapping from a document, and refuses what is none."""

    def __init__(self, file: TomlFile) -> None:
        self.file = file

    def attributes(self) -> dict[str, Any]:
        """Return what the document says, by attribute of a mapping."""
        data = self.file.data
        texts = ("encoding", "delimiter", "decimal", "power_basis", "run_column")
        known = [*texts, "header_line", "ignore", "missing", "ambient", "aliases", "columns"]
        self._only((), data, known)
        keys: dict[str, Any] = {
            n: self._typed((n,), data[n], str, "text") for n in texts if n in data
        }
        if "header_line" in data:
            keys["header_line"] = self._typed(("header_line",), data["header_line"], int, "a line")
        for name in ("ignore", "missing"):
            if name in data:
                several = self._texts((name,), data[name])
                keys[name] = tuple(str(text) for text in several)
        aliases = self._typed(("aliases",), data.get("aliases", {}), Mapping, "a table")
        for name in aliases:
            quantity(name, self.file.where(("aliases", name)))
        keys["aliases"] = {n: self._texts(("aliases", n), v) for n, v in aliases.items()}
        weather = self._typed(("ambient",), data.get("ambient", {}), Mapping, "a table")
        self._only(("ambient",), weather, list(_WEATHER))
        keys["ambient"] = {
            k: self._typed(("ambient", k), v, str, "text with a unit") for k, v in weather.items()
        }
        columns = self._typed(("columns",), data.get("columns", {}), Mapping, "a table")
        keys["columns"] = {name: self._column(name, value) for name, value in columns.items()}
        return keys

    def _column(self, name: str, value: Any) -> ColumnMap:
        path = ("columns", name)
        quantity(name, self.file.where(path))
        if isinstance(value, str | int | list | tuple):
            return ColumnMap(self._texts(path, value))
        table = self._typed(path, value, Mapping, "a heading or a table")
        texts = ("unit", "reference", "density", "rounding")
        self._only(path, table, ["column", "scale", *texts])
        given = [name for name in texts if name in table]
        keys: dict[str, Any] = {n: self._typed((*path, n), table[n], str, "text") for n in given}
        if "column" in table:
            keys["column"] = self._texts((*path, "column"), table["column"])
        if "scale" in table:
            scale = self._typed((*path, "scale"), table["scale"], int | float, "a number")
            if not 0.0 < scale < 30.0:
                self._refuse((*path, "scale"), scale, "be above 0 and below 30")
            keys["scale"] = float(scale)
        if keys.get("reference", "absolute") not in _REFERENCES:
            self._refuse(
                (*path, "reference"), keys["reference"], "be one of " + ", ".join(_REFERENCES)
            )
        if "rounding" in keys:
            checked_rounding("mapping", {name: keys["rounding"]})
        return ColumnMap(**keys)

    def _texts(self, path: tuple[str, ...], value: Any) -> tuple[Any, ...]:
        several = value if isinstance(value, list | tuple) else [value]
        if any(isinstance(v, bool) or not isinstance(v, str | int) for v in several):
            self._refuse(path, value, "be headings, or numbers of columns from 1")
        return tuple(several)

    def _typed(self, path: tuple[str, ...], value: Any, kind: Any, words: str) -> Any:
        if not isinstance(value, kind) or isinstance(value, bool):
            self._refuse(path, value, f"be {words}")
        return value

    def _only(self, path: tuple[str, ...], table: Mapping[str, Any], known: list[str]) -> None:
        for name in table:
            if name not in known:
                hint = suggestion(name, known) or "the keys are " + ", ".join(known)
                self._refuse((*path, name), table[name], "be a key of a mapping", hint)

    def _refuse(self, path: tuple[str, ...], value: Any, rule: str, hint: str = "") -> None:
        where = self.file.where(path) if self.file.lines else self.file.name
        raise refusal(where, ".".join(path), quoted(value), rule, hint)
