"""Reading a TOML file so that every key can be traced back to its line.

The standard reader checks the syntax and gives the values but no positions; `key_lines` walks the
same text once more and notes where each key stands, once a line is asked for.
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from ..base.errors import InputError, quoted, refusal
from ..base.text_file import read_text
from ..typed.place import KeyPath
from .toml_scan import key_lines

__all__ = [
    "TomlFile",
    "find_line",
    "key_lines",
    "nearest_line",
    "parse_toml",
    "read_toml",
]


@dataclass(frozen=True)
class TomlFile:
    """A TOML document, with the line of each of its keys.

    Attributes
    ----------
    name : str
        The path as it was given, used at the head of refusals.
    data : dict
        The values, as `tomllib` gives them.
    lines : mapping
        1-based line of every key path [-].
    """

    name: str
    data: dict[str, Any]
    lines: Mapping[KeyPath, int] = field(repr=False)

    def where(self, path: Sequence[str | int] = ()) -> str:
        """Return ``file:line`` of a key, or of its nearest parent that stands in the file.

        Parameters
        ----------
        path : sequence of str and int
            Keys and indices [-] from the top.

        Returns
        -------
        str
            The place, as refusals begin with it.
        """
        return f"{self.name}:{nearest_line(self.lines, path)}"


def read_toml(path: str | os.PathLike[str]) -> TomlFile:
    """Read a TOML file.

    Parameters
    ----------
    path : str or path
        The file.

    Returns
    -------
    TomlFile
        Its values, and the line of each key.

    Raises
    ------
    InputError
        The file cannot be read as text, or is not TOML; the message has file and line.
    """
    return parse_toml(read_text(path, "a TOML text file"), os.fspath(path))


def parse_toml(text: str, name: str = "TOML") -> TomlFile:
    """Parse TOML text.

    Parameters
    ----------
    text : str
        The document.
    name : str
        What stands for the file in refusals.

    Returns
    -------
    TomlFile
        Its values, and the line of each key.

    Raises
    ------
    InputError
        The text is not TOML.
    """
    try:
        data = tomllib.loads(text)
    except RecursionError:
        raise refusal(name, "text", "...", "be valid TOML", "it is nested too deeply") from None
    except ValueError as error:
        raise _syntax_error(text, name, str(error)) from None
    return TomlFile(name, data, _LinesOf(text))


class _LinesOf(Mapping[KeyPath, int]):
    """The line of every key of a text, looked for at the first question: most files please."""

    def __init__(self, text: str) -> None:
        self._text = text

    @cached_property
    def _found(self) -> dict[KeyPath, int]:
        return key_lines(self._text)

    def __getitem__(self, path: KeyPath) -> int:
        return self._found[path]

    def __iter__(self) -> Iterator[KeyPath]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


def find_line(text: str, path: Sequence[str | int]) -> int:
    r"""Return the 1-based line of a key in TOML text, or of its nearest parent.

    Parameters
    ----------
    text : str
        The document.
    path : sequence of str and int
        Keys and indices [-] from the top.

    Returns
    -------
    int
        The line, 1 for the first [-].

    Examples
    --------
    >>> find_line('[[drive.link]]\ndriven_teeth = 0\n', ("drive", "link", 0, "driven_teeth"))
    2
    """
    return nearest_line(key_lines(text), path)


def nearest_line(lines: Mapping[KeyPath, int], path: Sequence[str | int]) -> int:
    """Return the line of `path`, else of its nearest known parent, else 1.

    Parameters
    ----------
    lines : mapping
        1-based line of every key path [-].
    path : sequence of str and int
        Keys and indices [-] from the top.

    Returns
    -------
    int
        The line, 1 for the first [-].
    """
    key = tuple(path)
    while key and key not in lines:
        key = key[:-1]
    return lines.get(key, 1)


def _syntax_error(text: str, name: str, message: str) -> InputError:
    position = re.search(r"\(at line (\d+), column (\d+)\)", message)
    rows = text.split("\n")
    line = int(position[1]) if position else len(text.rstrip("\n").split("\n"))
    reason = re.sub(r" \(at .*\)$", "", message)
    if "integer string conversion" in reason:  # the reader's own words name a Python setting
        reason = "a number has too many digits"
    hint = reason + (f" at column {position[2]}" if position else " before the end of the file")
    shown = quoted(rows[min(line, len(rows)) - 1].strip())
    return refusal(f"{name}:{line}", "text", shown, "be valid TOML", hint)
