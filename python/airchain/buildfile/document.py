"""The document of a build: what was typed, what it describes, and the same with other values."""

from __future__ import annotations

import os
from collections.abc import Mapping
from copy import copy, deepcopy
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from ..base.errors import quoted, refusal, suggestion
from ..shown.words import listed
from ..typed.place import KeyPath, Typed
from .assemble import Parts, assemble
from .keys import SECTIONS, TABLES_OF_NUMBERS
from .source import Source

__all__ = ["Document"]

#: Values that are paths of files, relative to the build file.
_FILES = (
    ("compressor", "map"),
    ("engine", "camshaft", "intake", "lift_file"),
    ("engine", "camshaft", "exhaust", "lift_file"),
)


@dataclass(frozen=True, eq=False)
class Document:
    """What was typed about a build.

    Attributes
    ----------
    source : Source
        The tables, with the place of every key.
    """

    source: Source

    @property
    def name(self) -> str:
        """What stands for the document in refusals: its path as it was given."""
        return self.source.file.name

    @property
    def tables(self) -> dict[str, Any]:
        """Every table as it was typed; not to be changed."""
        return self.source.file.data

    @cached_property
    def parts(self) -> Parts:
        """Everything that the document describes, checked."""
        return assemble(self.source)

    @cached_property
    def inputs(self) -> dict[str, str]:
        """Everything typed, as text by its dotted path."""
        return dict(_leaves(self.tables, ()))

    def text(self, path: str) -> str:
        """Return a value as it was typed.

        Parameters
        ----------
        path : str
            Dotted path, list entries counted from 0.

        Returns
        -------
        str
            The text.

        Raises
        ------
        InputError
            Nothing was typed there.
        """
        if path not in self.inputs:
            rule = "be the path of a value that was typed"
            near = suggestion(path, list(self.inputs))
            raise refusal(self.name, "path", quoted(path), rule, near)
        return self.inputs[path]

    def with_values(
        self, values: Mapping[str, Typed], title: str
    ) -> tuple[Document, list[KeyPath]]:
        """Return the document with other values typed, and the keys that were typed.

        Parameters
        ----------
        values : mapping
            New value by dotted path; None takes a key out.
        title : str
            What the build is called in refusals.

        Returns
        -------
        tuple
            The document, not yet checked, and the path of each key.

        Raises
        ------
        InputError
            A path leads nowhere.
        """
        data = dict(self.tables)
        paths = [_put(data, path, value, title) for path, value in values.items()]
        file = replace(self.source.file, data=data)
        return Document(Source(file, (*self.source.replaced, *paths))), paths

    def tables_at(self, folder: Path) -> dict[str, Any]:
        """Return the tables as they read in a file of another folder.

        Parameters
        ----------
        folder : pathlib.Path
            Where the file will stand.

        Returns
        -------
        dict
            A copy; paths of files that it names lead to the same files from there.
        """
        data = deepcopy(self.tables)
        here = Path(self.name).parent.resolve()
        for *place, key in _FILES:
            table: Any = data
            for part in place:
                table = table.get(part) if isinstance(table, dict) else None
            if isinstance(table, dict) and isinstance(table.get(key), str):
                table[key] = _moved(table[key], here, folder.resolve())
        return data


def _moved(name: str, here: Path, there: Path) -> str:
    """A relative path seen from another folder; one that is absolute stays."""
    if here == there or Path(name).is_absolute():
        return name
    try:
        return Path(os.path.relpath(here / name, there)).as_posix()
    except ValueError:  # on another drive there is no way from here to there
        return str(here / name)


def _leaves(typed: Typed, path: KeyPath) -> list[tuple[str, str]]:
    """Dotted path and text of every value below a table or list of tables."""
    if isinstance(typed, dict):
        return [leaf for key, value in typed.items() for leaf in _leaves(value, (*path, key))]
    if isinstance(typed, list) and typed and all(isinstance(row, dict) for row in typed):
        return [leaf for i, value in enumerate(typed) for leaf in _leaves(value, (*path, i))]
    return [(".".join(str(part) for part in path), _typed(typed))]


def _typed(value: Typed) -> str:
    """A value as a file has it, texts without their quotes."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_typed, value))}]"
    return str(value)


def _whole_path(data: Mapping[str, Typed], key: str) -> str:
    """A hint at the paths whose last part is a key, or nearly so."""
    known = [path for path, _ in _leaves(dict(data), ())]
    meant = [path for path in known if path.rpartition(".")[2] == key]
    if meant:
        return f"did you mean {listed([quoted(path) for path in meant[:4]], 'or')}?"
    tables = [f"{table}.{key}" for table, keys in TABLES_OF_NUMBERS.items() if key in keys]
    if tables:
        return f"did you mean {listed([quoted(path) for path in tables[:4]], 'or')}?"
    return suggestion(key, [*known, *SECTIONS]) or f"the tables are {', '.join(SECTIONS)}"


def _put(data: dict[str, Any], path: str, value: Typed, name: str) -> KeyPath:
    """Set one value, None takes it out; tables on the way are copied, all others stay shared."""
    parts = path.split(".") if isinstance(path, str) else []
    if len(parts) == 1 and path not in SECTIONS:
        rule = "be a dotted path in the build file, such as cooler.effectiveness"
        raise refusal(name, "replace", quoted(path), rule, _whole_path(data, path))
    place: Any = data
    key: list[str | int] = []
    for i, part in enumerate(parts):
        last = i == len(parts) - 1
        index: str | int = int(part) if isinstance(place, list) and part.isdecimal() else part
        inside = index in place if isinstance(place, dict) else index in range(len(place))
        if not inside and not (isinstance(place, dict) and (last or value is not None)):
            break
        key.append(index)
        if last:
            if value is not None:
                place[index] = value
            elif inside:
                del place[index]
            return tuple(key)
        place[index] = copy(place[index]) if inside else {}
        place = place[index]
        if not isinstance(place, dict | list):
            break
    rule = "be a dotted path in the build file, such as cooler.effectiveness"
    raise refusal(name, "replace", quoted(path), rule, "list entries are counted from 0")
