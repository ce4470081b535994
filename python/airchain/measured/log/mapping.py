"""How a log is read: which column is which quantity, in what unit, on what footing."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields, replace
from types import MappingProxyType
from typing import Any

from ...base.errors import quoted, refusal, suggestion
from ...base.text_file import write_text
from ...buildfile.toml_lines import TomlFile, read_toml
from ...shown.tables import Shown, Table
from ..quantities import quantity

__all__ = ["ColumnMap", "LogMapping"]

_WEATHER = ("barometer", "ambient_temperature", "relative_humidity")
_REFERENCES = ("absolute", "gauge", "vacuum")


@dataclass(frozen=True)
class ColumnMap:
    """Where one quantity comes from.

    Attributes
    ----------
    column : tuple of str or int
        Headings, or numbers of columns from 1 (dimensionless); several are averaged.
    unit : str
        Unit of its numbers.
    reference : str
        Of a pressure: ``"absolute"``, ``"gauge"``, or ``"vacuum"`` counted downwards.
    scale : float
        Of lambda: the stoichiometric ratio that an air-fuel ratio is divided by, dimensionless;
        0 where the log holds lambda itself.
    density : str
        Of fuel flow by volume: the fuel's density with its unit.
    reason : str
        Why it was taken so.
    """

    column: tuple[str | int, ...] = ()
    unit: str = ""
    reference: str = ""
    scale: float = 0.0
    density: str = ""
    reason: str = field(default="", compare=False)


@dataclass(frozen=True, repr=False)
class LogMapping(Shown):
    """How a log was read, or is to be read; what is empty is guessed from the log.

    Attributes
    ----------
    encoding, delimiter, decimal : str
        Of the text.
    header_line : int
        Line of the headings from 1, dimensionless; 0 to have it found.
    power_basis : str
        ``"observed"`` or the standard torque and power are corrected by.
    run_column : str
        Heading of a column that numbers the pulls.
    columns : mapping
        `ColumnMap` by quantity.
    ambient : mapping
        Texts with units for barometer, ambient_temperature and relative_humidity.
    ignore : tuple of str
        Headings that are left out.
    reasons : mapping
        Why each of the others was taken so.
    questions : tuple of str
        What the log does not tell and the mapping must.
    """

    encoding: str = ""
    delimiter: str = ""
    decimal: str = ""
    header_line: int = 0
    power_basis: str = ""
    run_column: str = ""
    columns: Mapping[str, ColumnMap] = field(default_factory=dict)
    ambient: Mapping[str, str] = field(default_factory=dict)
    ignore: tuple[str, ...] = ()
    reasons: Mapping[str, str] = field(default_factory=dict, compare=False)
    questions: tuple[str, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        for name in ("columns", "ambient", "reasons"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))

    @classmethod
    def of(cls, given: Any) -> LogMapping:
        """Return a mapping from None, a mapping, a dict, or the path of a saved one.

        Parameters
        ----------
        given : LogMapping, dict, path or None
            What was given; a dict has the keys of the saved file.

        Returns
        -------
        LogMapping
            The mapping, with everything empty that was not given.

        Raises
        ------
        InputError
            An unknown key or quantity, or a value of the wrong type.
        """
        if given is None:
            return cls()
        if isinstance(given, LogMapping):
            return given
        if isinstance(given, str | os.PathLike):
            return _Reader(read_toml(given)).mapping()
        if isinstance(given, Mapping):
            return _Reader(TomlFile("mapping", dict(given), {})).mapping()
        rule = "be a dict, a LogMapping or the path of a saved mapping"
        raise refusal("read_pulls", "mapping", type(given).__name__, rule)

    def replace(self, **changes: Any) -> LogMapping:
        """Return the mapping with some attributes changed.

        Parameters
        ----------
        **changes : object
            Attributes and their new values.

        Returns
        -------
        LogMapping
            The new mapping.
        """
        return replace(self, **changes)

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write the mapping as TOML in one step; `read_pulls` takes the file as its mapping.

        Parameters
        ----------
        path : str or path
            The file; one that is there is replaced.
        """
        write_text(path, self.toml())

    def toml(self, reasons: bool = True) -> str:
        """Return the mapping as TOML.

        Parameters
        ----------
        reasons : bool
            Whether each choice has its reason in a comment.

        Returns
        -------
        str
            The text.
        """
        lines = ["# How airchain reads this log."]
        for name in ("encoding", "delimiter", "decimal", "power_basis", "run_column"):
            lines += self._line(name, getattr(self, name), reasons)
        lines += [f"header_line = {self.header_line}"] if self.header_line else []
        lines += [f"ignore = {_value(list(self.ignore))}"] if self.ignore else []
        if self.ambient:
            lines += ["", "[ambient]"]
            lines += [f"{k} = {_value(v)}" for k, v in self.ambient.items()]
        for name, one in self.columns.items():
            lines += ["", f"[columns.{name}]"]
            lines += [f"# {one.reason}"] if one.reason and reasons else []
            chosen = {k: v for k, v in asdict(one).items() if v and k != "reason"}
            lines += [f"{k} = {_value(v)}" for k, v in chosen.items()]
        return "\n".join(lines) + "\n"

    def _line(self, name: str, value: str, reasons: bool) -> list[str]:
        if not value:
            return []
        reason = self.reasons.get(name, "") if reasons else ""
        return [f"{name} = {_value(value)}" + (f"  # {reason}" if reason else "")]

    @property
    def verdict(self) -> str:
        """What the table tells."""
        return "How the log was read" if self.columns else "No column of the log was read"

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for name, one in self.columns.items():
            unit = " ".join(filter(None, (one.unit, one.reference, one.density)))
            unit += f", divided by {one.scale:g}" if one.scale else ""
            rows.append([name, " + ".join(map(str, one.column)), unit, one.reason])
        headings = ["quantity", "column", "read as", "because"]
        return [Table(headings, [""] * 4, rows)] if rows else []

    @property
    def notes(self) -> list[str]:
        """How the text was read, and what is still to be answered."""
        lines = []
        for name in ("encoding", "delimiter", "decimal", "power_basis", "run_column"):
            value, reason = getattr(self, name), self.reasons.get(name, "")
            lines += (
                [f"{name} = {_value(value)}" + (f": {reason}" if reason else "")] if value else []
            )
        lines += [f"{key} = {value}: as the mapping says" for key, value in self.ambient.items()]
        weather = self.reasons.get("weather", "")
        lines += [f"weather in the text: {weather}"] if weather else []
        lines += [f"not used: {', '.join(self.ignore)}"] if self.ignore else []
        return lines + [f"to be answered: {question}" for question in self.questions]

    def __reduce__(self) -> Any:
        plain = [getattr(self, part.name) for part in fields(self)]
        return LogMapping, tuple(dict(v) if isinstance(v, Mapping) else v for v in plain)


class _Reader:
    """Reads a mapping from a document, and refuses what is none."""

    def __init__(self, file: TomlFile) -> None:
        self.file = file

    def mapping(self) -> LogMapping:
        """Return the mapping."""
        data = self.file.data
        texts = ("encoding", "delimiter", "decimal", "power_basis", "run_column")
        known = [*texts, "header_line", "ignore", "ambient", "columns"]
        self._only((), data, known)
        made: dict[str, Any] = {
            n: self._typed((n,), data[n], str, "text") for n in texts if n in data
        }
        if "header_line" in data:
            made["header_line"] = self._typed(("header_line",), data["header_line"], int, "a line")
        if "ignore" in data:
            made["ignore"] = self._texts(("ignore",), data["ignore"])
        weather = self._typed(("ambient",), data.get("ambient", {}), Mapping, "a table")
        self._only(("ambient",), weather, list(_WEATHER))
        made["ambient"] = {
            k: self._typed(("ambient", k), v, str, "text with a unit") for k, v in weather.items()
        }
        columns = self._typed(("columns",), data.get("columns", {}), Mapping, "a table")
        made["columns"] = {name: self._column(name, value) for name, value in columns.items()}
        return LogMapping(**made)

    def _column(self, name: str, value: Any) -> ColumnMap:
        path = ("columns", name)
        quantity(name, self.file.where(path))
        if isinstance(value, str | int | list | tuple):
            return ColumnMap(self._texts(path, value))
        table = self._typed(path, value, Mapping, "a heading or a table")
        texts = ("unit", "reference", "density")
        self._only(path, table, ["column", "scale", *texts])
        given = [name for name in texts if name in table]
        made: dict[str, Any] = {n: self._typed((*path, n), table[n], str, "text") for n in given}
        if "column" in table:
            made["column"] = self._texts((*path, "column"), table["column"])
        if "scale" in table:
            scale = self._typed((*path, "scale"), table["scale"], int | float, "a number")
            if not 0.0 < scale < 30.0:
                self._refuse((*path, "scale"), scale, "be above 0 and below 30")
            made["scale"] = float(scale)
        if made.get("reference", "absolute") not in _REFERENCES:
            self._refuse(
                (*path, "reference"), made["reference"], "be one of " + ", ".join(_REFERENCES)
            )
        return ColumnMap(**made)

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


def _value(value: Any) -> str:
    """Return a value as TOML."""
    if isinstance(value, list | tuple):
        return _value(value[0]) if len(value) == 1 else f"[{', '.join(map(_value, value))}]"
    if isinstance(value, str):
        text = "".join(_ESCAPES.get(c, c if c.isprintable() else f"\\u{ord(c):04x}") for c in value)
        return f'"{text}"'
    return repr(value)


_ESCAPES = {"\\": "\\\\", '"': '\\"', "\t": "\\t", "\n": "\\n"}
