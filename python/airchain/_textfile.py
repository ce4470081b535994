"""Reading and writing of small text files, so that bad ones are refused and none is left half."""

from __future__ import annotations

import os
import secrets
import shutil
from pathlib import Path

from ._errors import InputError, quoted, refusal

#: Largest input file read [bytes]; the longest real build or map is a hundredth of it.
LARGEST_FILE = 4 * 1024 * 1024


def read_text(path: str | os.PathLike[str], what: str) -> str:
    """Return the text of a file, without byte-order mark and with every line ending as LF.

    Parameters
    ----------
    path : str or path
        The file.
    what : str
        What the file should be, such as ``"a build file"``.

    Raises
    ------
    InputError
        The file is missing, a directory, unreadable, larger than 4 MiB, or not UTF-8 text.
    """
    file = Path(path)
    try:
        # Opening a pipe would wait for someone to write to it.
        special = file.exists() and not file.is_file() and not file.is_dir()
        raw = b"" if special else _start_of(file)
    except FileNotFoundError:
        raise _bad_file(file, what, "there is no such file") from None
    except IsADirectoryError:
        raise _bad_file(file, what, "it is a directory") from None
    except (OSError, ValueError) as error:
        raise _bad_file(file, what, f"it cannot be read: {_reason(error)}") from None
    if special:
        raise _bad_file(file, what, "it is no regular file")
    if len(raw) > LARGEST_FILE:
        raise _bad_file(file, what, "it is larger than 4 MiB")
    if b"\0" in raw:
        raise _bad_file(file, what, "it is binary")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _bad_file(file, what, f"line {line} is not UTF-8; save it as UTF-8") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def write_text(path: str | os.PathLike[str], text: str) -> None:
    """Write `text` as UTF-8 to a file in one step: a reader sees the old file or the new one.

    Raises
    ------
    InputError
        The file cannot be written; what was there before is untouched.
    """
    write_bytes(path, text)


def write_bytes(path: str | os.PathLike[str], data: bytes | str) -> None:
    """Write `data` to a file in one step, as `write_text` does; text as UTF-8."""
    try:
        raw = data.encode("utf-8") if isinstance(data, str) else data
        _write_in_one_step(Path(os.path.realpath(path)), raw)
    except (OSError, ValueError) as error:
        rule = f"be a file that can be written; {_reason(error)}"
        raise refusal("", "file", _name(path), rule) from None


def _write_in_one_step(target: Path, data: bytes) -> None:
    beside = target.with_name(f".{target.name[:64]}.{secrets.token_hex(6)}.tmp")
    try:
        with beside.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def _start_of(file: Path) -> bytes:
    """Return the bytes of a file, or of its start if it is too large."""
    with file.open("rb") as stream:
        return stream.read(LARGEST_FILE + 1)


def _bad_file(file: Path, what: str, why: str) -> InputError:
    return refusal("", "file", _name(file), f"be {what}", why)


def _name(file: str | os.PathLike[str]) -> str:
    return quoted(os.fspath(file), limit=200)


def _reason(error: OSError | ValueError) -> str:
    return str(getattr(error, "strerror", None) or error)
