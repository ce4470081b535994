"""Writing tables as TOML, so that the standard reader gives back the same values."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time

from ..base.errors import quoted, refusal

__all__ = ["toml_text"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def toml_text(data: Mapping[str, object]) -> str:
    """Return tables as a TOML document.

    Parameters
    ----------
    data : mapping
        Texts, numbers, flags, dates, lists and mappings of these by name.

    Returns
    -------
    str
        The document; `tomllib.loads` gives back `data`.

    Raises
    ------
    InputError
        A value has no form in TOML.
    """
    return "\n".join(_table_lines(data, ())).lstrip("\n") + "\n"


def _table_lines(table: Mapping[str, object], path: tuple[str, ...]) -> list[str]:
    """Lines of a table: its plain values first, since a heading ends them."""
    inner = {name: value for name, value in table.items() if _has_heading(value)}
    lines = [f"{_key(n)} = {_value(v, (*path, n))}" for n, v in table.items() if n not in inner]
    for name, value in inner.items():
        here = (*path, name)
        heading = ".".join(_key(part) for part in here)
        if isinstance(value, Mapping):
            lines += ["", f"[{heading}]", *_table_lines(value, here)]
        elif isinstance(value, Sequence):
            for row in value:
                lines += ["", f"[[{heading}]]", *_table_lines(row, here)]
    return lines


def _has_heading(value: object) -> bool:
    """Whether a value is written under a heading of its own: a table, or a list of tables."""
    if isinstance(value, list):
        return bool(value) and all(isinstance(row, Mapping) for row in value)
    return isinstance(value, Mapping)


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _quoted(name)


def _quoted(text: str) -> str:
    # JSON's escapes are TOML's; DEL alone has to be escaped besides.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: object, path: tuple[str, ...]) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(item, path) for item in value)}]"
    if isinstance(value, Mapping):
        pairs = (f"{_key(str(name))} = {_value(item, path)}" for name, item in value.items())
        return f"{{ {', '.join(pairs)} }}"
    rule = "be a text, a number, true or false, a date, a list or a table"
    raise refusal("", ".".join(path), quoted(value), rule, "TOML knows nothing else")
