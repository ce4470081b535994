"""The walk over TOML text that notes the line of every key."""

from __future__ import annotations

import re
import tomllib
from contextlib import suppress

from ..typed.place import KeyPath


def key_lines(text: str) -> dict[KeyPath, int]:
    """Return the 1-based line of every key path in TOML text.

    A table's line is its first header, an array's element stands where its value starts. Text that
    is not TOML gives the keys up to the fault.

    Parameters
    ----------
    text : str
        The document.

    Returns
    -------
    dict
        Line by key path, 1 for the first [-].
    """
    scanner = _Scanner(text)
    with suppress(_StopScanError, RecursionError):
        scanner.document()
    return scanner.lines


class _StopScanError(Exception):
    """The text is not TOML here; what was found before stands."""


# Values other than strings, arrays and inline tables have no structure: dates, numbers, booleans.
_PLAIN_VALUE = re.compile(r"[^\s,\]}#][^,\]}#\n]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
# Most lines of a build file: a bare key and one value without structure, alone on its line.
_PLAIN_LINE = re.compile(
    r"""([A-Za-z0-9_-]+)[ \t]*=[ \t]*(?:"[^"\\\n]*"|[^\s"'\[\]{},#]+)[ \t]*(?:#[^\n]*)?(?:\n|\Z)"""
)
_PLAIN_ITEM = re.compile(r"[^\s\"'\[\]{},#]+,")  # of an array, with its comma
_SPACE = re.compile(r"[ \t]*")
_SPACE_LINES_COMMENTS = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_STRINGS = tuple(
    re.compile(pattern, re.DOTALL)
    for pattern in (
        r'"""(?:[^\\]|\\.)*?"{3,5}',
        r"'''.*?'{3,5}",
        r'"(?:[^"\\\n]|\\.)*"',
        r"'[^'\n]*'",
    )
)


class _Scanner:
    """One walk over the text; `at` is the position, `lines` what was found."""

    def __init__(self, text: str) -> None:
        self.text = text.replace("\r\n", "\n")
        self.at = 0
        self.lines: dict[KeyPath, int] = {}
        self.counts: dict[KeyPath, int] = {}  # arrays of tables: elements so far
        self._counted_to, self._line = 0, 1

    def document(self) -> None:
        table: KeyPath = ()
        while self._skip(_SPACE_LINES_COMMENTS):
            plain = _PLAIN_LINE.match(self.text, self.at)
            if plain:
                self.lines.setdefault((*table, plain[1]), self._line_here())
                self.at = plain.end()
            elif self._take("[["):
                table = self._header(closing="]]")
            elif self._take("["):
                table = self._header(closing="]")
            else:
                self._key_value(table)

    def _header(self, closing: str) -> KeyPath:
        line = self._line_here()
        keys = self._dotted_key()
        self._expect(closing)
        table: KeyPath = ()
        for position, key in enumerate(keys):
            table += (key,)
            self.lines.setdefault(table, line)
            if closing == "]]" and position == len(keys) - 1:
                self.counts[table] = self.counts.get(table, 0) + 1
            if table in self.counts:
                table += (self.counts[table] - 1,)
                self.lines.setdefault(table, line)
        return table

    def _key_value(self, table: KeyPath) -> None:
        line = self._line_here()
        for key in self._dotted_key():
            table += (key,)
            self.lines.setdefault(table, line)
        self._expect("=")
        self._skip(_SPACE)
        self._value(table)

    def _value(self, path: KeyPath) -> None:
        if self._take("["):
            self._array(path)
        elif self._take("{"):
            self._inline_table(path)
        elif self.text[self.at : self.at + 1] in ('"', "'"):
            self._string()
        else:
            self._match(_PLAIN_VALUE)

    def _array(self, path: KeyPath) -> None:
        index = 0
        while self._skip(_SPACE_LINES_COMMENTS) and not self._take("]"):
            self.lines[(*path, index)] = self._line_here()
            plain = _PLAIN_ITEM.match(self.text, self.at)
            if plain:
                self.at = plain.end()
            else:
                self._value((*path, index))
                self._skip(_SPACE_LINES_COMMENTS)
                self._take(",")
            index += 1

    def _inline_table(self, path: KeyPath) -> None:
        while self._skip(_SPACE_LINES_COMMENTS) and not self._take("}"):
            self._key_value(path)
            self._skip(_SPACE_LINES_COMMENTS)
            self._take(",")

    def _dotted_key(self) -> list[str]:
        keys: list[str] = []
        while True:
            self._skip(_SPACE)
            if self.text[self.at : self.at + 1] in ('"', "'"):
                keys.append(_unquoted(self._string()))
            else:
                keys.append(self._match(_BARE_KEY))
            self._skip(_SPACE)
            if not self._take("."):
                return keys

    def _string(self) -> str:
        for pattern in _STRINGS:
            matched = pattern.match(self.text, self.at)
            if matched:
                self.at = matched.end()
                return matched[0]
        raise _StopScanError

    def _match(self, pattern: re.Pattern[str]) -> str:
        matched = pattern.match(self.text, self.at)
        if not matched:
            raise _StopScanError
        self.at = matched.end()
        return matched[0]

    def _skip(self, pattern: re.Pattern[str]) -> bool:
        """Pass over `pattern`; say whether any text is left."""
        self._match(pattern)
        return self.at < len(self.text)

    def _take(self, mark: str) -> bool:
        taken = self.text.startswith(mark, self.at)
        self.at += len(mark) if taken else 0
        return taken

    def _expect(self, mark: str) -> None:
        if not self._take(mark):
            raise _StopScanError

    def _line_here(self) -> int:
        self._line += self.text.count("\n", self._counted_to, self.at)
        self._counted_to = self.at
        return self._line


def _unquoted(key: str) -> str:
    """Return a quoted key's text, escapes resolved."""
    try:
        return next(iter(tomllib.loads(f"{key} = 0")))
    except ValueError:
        raise _StopScanError from None
