"""How a log is read: which column is which quantity, in what unit, on what footing."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, fields, replace
from types import MappingProxyType
from typing import Unpack

from ...base.errors import refusal
from ...base.text_file import write_text
from ...buildfile.toml_lines import TomlFile, read_toml
from ...shown.tables import Shown, Table
from .column_map import ColumnMap
from .mapping_keys import MappingEntry, MappingKeys, attributes

__all__ = ["LogMapping"]


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
    missing : tuple of str
        Marks that stand for a missing reading, beside the usual ones.
    aliases : mapping
        By quantity further headings that name it; a log need not have them.
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
    missing: tuple[str, ...] = ()
    aliases: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    reasons: Mapping[str, str] = field(default_factory=dict, compare=False)
    questions: tuple[str, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        for name in ("columns", "ambient", "aliases", "reasons"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))

    @classmethod
    def of(
        cls, given: LogMapping | Mapping[str, MappingEntry] | str | os.PathLike[str] | None
    ) -> LogMapping:
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
            return cls(**attributes(read_toml(given)))
        if isinstance(given, Mapping):
            return cls(**attributes(TomlFile("mapping", dict(given), {})))
        rule = "be a dict, a LogMapping or the path of a saved mapping"
        raise refusal("read_pulls", "mapping", type(given).__name__, rule)

    def replace(self, **changes: Unpack[MappingKeys]) -> LogMapping:
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
        lines += [f"missing = {_value(list(self.missing))}"] if self.missing else []
        if self.ambient:
            lines += ["", "[ambient]"]
            lines += [f"{k} = {_value(v)}" for k, v in self.ambient.items()]
        if self.aliases:
            lines += ["", "[aliases]"]
            lines += [f"{k} = {_value(list(v))}" for k, v in self.aliases.items()]
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

    def __reduce__(self) -> tuple[type[LogMapping], tuple[object, ...]]:
        plain = [getattr(self, part.name) for part in fields(self)]
        return LogMapping, tuple(dict(v) if isinstance(v, Mapping) else v for v in plain)


def _value(value: str | float | Sequence[str | int]) -> str:
    """Return a value as TOML."""
    if isinstance(value, list | tuple):
        return _value(value[0]) if len(value) == 1 else f"[{', '.join(map(_value, value))}]"
    if isinstance(value, str):
        text = "".join(_ESCAPES.get(c, c if c.isprintable() else f"\\u{ord(c):04x}") for c in value)
        return f'"{text}"'
    return repr(value)


_ESCAPES = {"\\": "\\\\", '"': '\\"', "\t": "\\t", "\n": "\\n"}
