"""The text of a logger's file, whatever its encoding; the file is only ever read."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import overload

import numpy as np

from ...base.errors import InputError, quoted, refusal
from ..finding import Finding

#: Largest log read [bytes]; 200,000 rows of 20 columns are about 30 MiB.
LARGEST_LOG = 128 * 1024 * 1024
#: Most cells of a row: no logger has as many channels.
_MOST_CELLS = 4000
_LONG_LINE = 8000
_END, _PIECE = 10, 1 << 18  # of a line; characters looked at in one go
_MARKS = {
    b"\xef\xbb\xbf": "utf-8-sig",
    b"\xff\xfe": "utf-16",
    b"\xfe\xff": "utf-16",
}
_SAMPLE = 4096


class Lines(Sequence[str]):
    """The lines of a text, cut out of it when they are asked for, so that it stands only once."""

    def __init__(self, text: str) -> None:
        self._text = text
        edges = [np.array([-1])]
        for start in range(0, len(text), _PIECE):
            # Four bytes a character, whatever it is; piece by piece, for the whole would be large.
            piece = np.frombuffer(text[start : start + _PIECE].encode("utf-32-le"), dtype=np.uint32)
            edges.append(np.flatnonzero(piece == _END) + start)
        self._edges = np.concatenate([*edges, [len(text)]])

    def __len__(self) -> int:
        return self._edges.size - 1

    @overload
    def __getitem__(self, key: int) -> str: ...
    @overload
    def __getitem__(self, key: slice) -> list[str]: ...
    def __getitem__(self, key: int | slice) -> str | list[str]:
        if isinstance(key, slice):
            first, last, step = key.indices(len(self))
            if step != 1:
                return [self[i] for i in range(first, last, step)]
            if first >= last:
                return []
            return self._text[self._edges[first] + 1 : self._edges[last]].split("\n")
        place = range(len(self))[key]
        return self._text[self._edges[place] + 1 : self._edges[place + 1]]

    @property
    def longest(self) -> int:
        """Number of characters of the longest line, dimensionless."""
        return int(np.diff(self._edges).max()) - 1


@dataclass(frozen=True)
class LogText:
    """A log's lines, and how they were read.

    Attributes
    ----------
    name : str
        The path as it was given.
    lines : Lines
        The lines without their ends; the last ones that are blank are left out.
    encoding : str
        The encoding, and `reason` why it was taken.
    digest : str
        SHA-256 of the bytes.
    ended : bool
        Whether the file ends with the end of a line.
    findings : tuple of Finding
        What was noticed about the text.
    """

    name: str
    lines: Lines
    encoding: str
    reason: str
    digest: str
    ended: bool = True
    findings: tuple[Finding, ...] = ()


def read_log(path: str | os.PathLike[str], encoding: str = "") -> LogText:
    """Return the text of a log, or refuse the file.

    Raises
    ------
    InputError
        The file is missing, no regular file, larger than 128 MiB, empty, binary or not text, or
        one of its rows has thousands of cells.
    """
    raw = _bytes(Path(path))
    name = os.fspath(path)
    digest = sha256(raw).hexdigest()
    if encoding:
        reason = "as the mapping says"
    else:
        encoding, reason = _encoding(raw, name)
    padded = 0 if "16" in encoding else raw.count(0)
    text = _decoded(raw.replace(b"\0", b"") if padded else raw, encoding, name)
    del raw
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    ended = text.endswith(("\n", "\x1a"))
    text = text.rstrip("\x1a \t\n")
    if not text or text.isspace():
        raise _bad(name, "it is empty")
    lines = Lines(text)
    _check_lengths(lines, name)
    words = f"{padded} bytes of zero, as loggers pad their files with, were left out"
    findings = (Finding("padding", words),) if padded else ()
    return LogText(name, lines, encoding, reason, digest, ended, findings)


def _decoded(raw: bytes, encoding: str, name: str) -> str:
    try:
        return raw.decode(encoding)
    except LookupError:
        hint = "such as utf-8, utf-16 or windows-1252"
        raise refusal(name, "encoding", quoted(encoding), "be a known encoding", hint) from None
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        place = error.start - raw.rfind(b"\n", 0, error.start)
        hint = f"byte {place} of the line fits no text in this encoding"
        raise refusal(f"{name}:{line}", "text", encoding, "be text", hint) from None


def _check_lengths(lines: Lines, name: str) -> None:
    """Refuse rows that no logger writes, before every cell of theirs is looked at."""
    if lines.longest < _LONG_LINE:
        return
    for number, line in enumerate(lines, 1):
        if len(line) < _LONG_LINE:
            continue
        cells = max(line.count(mark) for mark in "\t;|, ") + 1
        if cells > _MOST_CELLS:
            rule = f"have at most {_MOST_CELLS:,} cells"
            raise refusal(f"{name}:{number}", "row", f"{cells:,} cells", rule)


def _bytes(file: Path) -> bytes:
    name = os.fspath(file)
    try:
        if file.is_dir():
            raise _bad(name, "it is a directory")
        # Opening a pipe would wait for someone to write to it.
        if file.exists() and not file.is_file():
            raise _bad(name, "it is no regular file")
        size = file.stat().st_size
        if size > LARGEST_LOG:
            hint = f"it has {size / 2**20:.0f} MiB, the most is {LARGEST_LOG // 2**20}; "
            raise _bad(name, hint + "cut it to the pulls, or log at a lower rate")
        return file.read_bytes()
    except FileNotFoundError:
        raise _bad(name, "there is no such file") from None
    except InputError:
        raise
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise _bad(name, f"it cannot be read: {why}") from None


def _encoding(raw: bytes, name: str) -> tuple[str, str]:
    """Return the encoding of the bytes, and why it was taken."""
    for mark, encoding in _MARKS.items():
        if raw.startswith(mark):
            return encoding, "the file begins with its byte-order mark"
    start = raw[:_SAMPLE]
    if start.count(0):
        # Text in UTF-16 without a mark has a zero in every other byte, on one side only.
        odd, even = start[1::2].count(0), start[0::2].count(0)
        if min(odd, even) * 20 < max(odd, even) and max(odd, even) * 2.5 > len(start) / 2:
            return ("utf-16-le" if odd > even else "utf-16-be"), "every other byte is zero"
    control = sum(0 < byte < 32 and byte not in b"\t\n\r\f\x1a" for byte in start)
    if control * 50 > len(start) or start.count(0) * 2 > len(start) > 0:
        if 0 in start:
            raise _bad(name, f"it is binary: byte {start.index(0) + 1} is zero")
        raise _bad(name, "it is binary: it holds control characters")
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return "windows-1252", "it is not UTF-8"
    return "utf-8", "it is valid UTF-8"


def _bad(name: str, why: str) -> InputError:
    return refusal("", "file", quoted(name, limit=200), "be a text log of measured pulls", why)
