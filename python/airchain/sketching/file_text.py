"""Lines as a build file: tables in the order of the air, with a mark behind every line."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from ..typed.place import KeyPath
from .lines import Line, Value

#: Tables in the order that the air meets them.
_ORDER = ("build", "ambient", "scoop", "inlet", "compressor", "drive", "levels", "discharge",
          "cooler", "charge_duct", "throttle", "fuel", "engine", "combustion", "exhaust",
          "fuel_system", "trust")  # fmt: skip
#: Tables that stand within their parent's lines.
_INLINE = ("measured", "dead_time", "gears")
_MARK_COLUMN = 46


def file_text(lines: Sequence[Line], marks: Mapping[str, str] | None = None, head: str = "") -> str:
    """Return the text of a build file.

    `marks` holds by dotted path what stands behind a line; nothing does without it.
    """
    tables: dict[KeyPath, list[Line]] = {}
    for line in sorted(lines, key=lambda one: _ORDER.index(str(one.path[0]))):
        tables.setdefault(_table(line.path), []).append(line)
    blocks = [head] if head else []
    for path, members in tables.items():
        rows = [_heading(path), *(_row(path, line, marks or {}) for line in members)]
        blocks.append("\n".join(rows))
    return "\n\n".join(blocks) + "\n"


def _table(path: KeyPath) -> KeyPath:
    """The table that a line stands in."""
    table = path[:-1]
    while table and table[-1] in _INLINE:
        table = table[:-1]
    return table


def _heading(path: KeyPath) -> str:
    names = ".".join(_name(part) for part in path if isinstance(part, str))
    return f"[[{names}]]" if isinstance(path[-1], int) else f"[{names}]"


def _name(part: str) -> str:
    plain = part.replace("_", "").replace("-", "")
    return part if plain.isascii() and plain.isalnum() else json.dumps(part)


def _row(table: KeyPath, line: Line, marks: Mapping[str, str]) -> str:
    key = ".".join(str(part) for part in line.path[len(table) :])
    row = f"{key} = {_toml(line.value)}"
    mark = marks.get(line.key, "")
    return f"{row:<{_MARK_COLUMN}}  # {mark}" if mark else row


def _toml(value: Value) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_toml(one) for one in value) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return repr(value)
