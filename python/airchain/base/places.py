"""Places beside a file or folder, to fill before they take its own; none is left behind."""

from __future__ import annotations

import ctypes
import errno
import os
import re
import secrets
import shutil
import socket
import sys
import zlib
from pathlib import Path

_MOST_TURNS = 100
_EXCHANGE = 2  # RENAME_EXCHANGE of Linux
_HERE = -100  # AT_FDCWD of Linux


def place_beside(target: Path, stem: str, suffix: str = "") -> Path:
    """Return a new place beside a target, and take away what killed writers left there.

    Parameters
    ----------
    target : pathlib.Path
        What it will replace.
    stem : str
        How its name begins.
    suffix : str
        How its name ends.

    Returns
    -------
    pathlib.Path
        A path that does not exist; its name tells machine and process.
    """
    start = f".{stem[:64]}.{_machine()}-"
    _take_away_leftovers(target.parent, start)
    name = f"{start}{os.getpid()}-{secrets.token_hex(6)}.tmp{suffix[:16]}"
    return target.with_name(name)


def _machine() -> str:
    return f"{zlib.crc32(socket.gethostname().encode()):08x}"


def _take_away_leftovers(folder: Path, start: str) -> None:
    """Remove what processes of this machine that live no longer left beside a target."""
    pattern = re.compile(re.escape(start) + r"([0-9]+)-[0-9a-f]{12}\.tmp")
    try:
        names = os.listdir(folder)
    except OSError:
        return  # whoever writes there is told
    for name in names:
        match = pattern.match(name)
        if match and not _lives(int(match[1])):
            left = folder / name
            if left.is_dir() and not left.is_symlink():
                shutil.rmtree(left, ignore_errors=True)
            else:
                left.unlink(missing_ok=True)


def _lives(process: int) -> bool:
    if os.name != "posix":
        return True  # it cannot be asked without harm
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True


def put_in_place(beside: Path, target: Path) -> None:
    """Let a filled folder take a target's place; what was there is at `beside` then, or gone.

    Parameters
    ----------
    beside : pathlib.Path
        The new folder.
    target : pathlib.Path
        Its place; a folder, or nothing yet.

    Raises
    ------
    OSError
        It cannot be moved; what was at the target is there still.
    """
    for turn in range(_MOST_TURNS):
        try:
            if not target.exists():
                beside.rename(target)
            elif not _exchanged(beside, target):
                _step_by_step(beside, target)
            return
        except OSError as error:
            # Another writer put its own there, or took the old one away, in between.
            others = (errno.ENOTEMPTY, errno.EEXIST, errno.ENOENT)
            if error.errno not in others or not beside.exists() or turn == _MOST_TURNS - 1:
                raise


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step where the system can; False where it cannot."""
    if not sys.platform.startswith("linux"):
        return False
    rename = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if rename is None:
        return False
    if not rename(_HERE, os.fsencode(one), _HERE, os.fsencode(other), _EXCHANGE):
        return True
    code = ctypes.get_errno()
    if code in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP):
        return False
    raise OSError(code, os.strerror(code))


def _step_by_step(beside: Path, target: Path) -> None:
    """The same in two steps: for a moment there is nothing at the target."""
    aside = target.with_name(f"{beside.name}.old")
    target.rename(aside)
    try:
        beside.rename(target)
    except BaseException:
        if not target.exists():
            aside.rename(target)
        raise
    finally:
        shutil.rmtree(aside, ignore_errors=True)
