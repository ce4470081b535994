"""Reading of small text files and writing of any, so that bad ones are refused and none is half."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

from .errors import InputError, quoted, refusal
from .places import place_beside, put_in_place

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


def checked_target(path: str | os.PathLike[str], *endings: str) -> Path:
    """Return a file that is to be written, or refuse it before the work that fills it.

    Parameters
    ----------
    path : str or path
        The file.
    endings : str
        What its name may end in, such as ``".png"``, whatever the case; anything without them.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        The name ends otherwise, its folder is none or cannot be written to, or it is a folder.
    """
    file = Path(path)
    if endings and file.suffix.lower() not in endings:
        *first, last = endings
        rule = f"end in {', '.join(first)} or {last}" if first else f"end in {last}"
        raise refusal("", "file", _name(path), rule)
    try:
        objection = _objection(Path(os.path.realpath(file)))
    except (OSError, ValueError) as error:
        objection = _reason(error)
    if objection:
        raise refusal("", "file", _name(path), f"be a file that can be written; {objection}")
    return file


def _objection(target: Path) -> str:
    """Why a file could not be written; empty if it could."""
    if not target.parent.is_dir():
        return "its folder does not exist"
    if target.is_dir():
        return os.strerror(errno.EISDIR)
    return "" if os.access(target.parent, os.W_OK) else os.strerror(errno.EACCES)


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
    raw = data.encode("utf-8") if isinstance(data, str) else data

    def fill(beside: Path) -> None:
        beside.write_bytes(raw)

    write_with(path, fill)


def write_with(path: str | os.PathLike[str], fill: Callable[[Path], object]) -> None:
    """Let `fill` write a file beside the one wanted, which then takes its place in one step.

    Parameters
    ----------
    path : str or path
        The file wanted.
    fill : callable
        Writes to the path it is given, whose name ends as that of the file wanted.

    Raises
    ------
    InputError
        The file cannot be written; what was there before is untouched.
    """
    try:
        _write_in_one_step(Path(os.path.realpath(path)), fill)
    except (OSError, ValueError) as error:
        rule = f"be a file that can be written; {_reason(error)}"
        raise refusal("", "file", _name(path), rule) from None


def _write_in_one_step(target: Path, fill: Callable[[Path], object]) -> None:
    beside = place_beside(target, target.stem, target.suffix)
    try:
        # Made here first, so that nothing that already has the name is written over.
        beside.open("xb").close()
        fill(beside)
        with beside.open("rb") as stream:
            os.fsync(stream.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def write_folder(
    path: str | os.PathLike[str], files: Mapping[str, bytes | str], objection: Callable[[Path], str]
) -> list[Path]:
    """Write files as a folder in one step: a reader sees the old folder, or the new one whole.

    Parameters
    ----------
    path : str or path
        The folder; made with its parents if it is not there.
    files : mapping
        Bytes, or text that becomes UTF-8, by file name.
    objection : callable
        Says why a folder that is there, and not empty, must not be replaced; empty if it may be.

    Returns
    -------
    list of pathlib.Path
        The files, in the order given.

    Raises
    ------
    InputError
        The folder cannot be written or must not be replaced; what was there before is untouched.
    """
    try:
        target = Path(os.path.realpath(path))
        why = objection(target) if target.is_dir() and any(target.iterdir()) else ""
        if not why:
            target.parent.mkdir(parents=True, exist_ok=True)
            _replace_folder(target, files)
    except (OSError, ValueError) as error:
        rule = f"be a folder that can be written; {_reason(error)}"
        raise refusal("", "folder", _name(path), rule) from None
    if why:
        raise refusal("", "folder", _name(path), "be empty or one that may be replaced", why)
    return [Path(path) / name for name in files]


def _replace_folder(target: Path, files: Mapping[str, bytes | str]) -> None:
    """Fill a folder beside the target, and let it take the target's place."""
    if target.exists() and not target.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR))
    beside = place_beside(target, target.name)
    try:
        beside.mkdir()
        for name, data in files.items():
            write_bytes(beside / name, data)
        if target.exists():
            shutil.copymode(target, beside)
        put_in_place(beside, target)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


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
