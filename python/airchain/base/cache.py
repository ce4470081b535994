"""The folder in which long work is kept from one run to the next, and its size.

Everything in it may be deleted at any time, by anybody: it is made again. What cannot be read or
written costs time and never changes a number.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
import sys
import time
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from .. import _core
from .errors import InputError, quoted, refusal
from .text_file import write_text

__all__ = [
    "Entry", "core_digest", "empty", "entries", "folder", "forget", "limit", "read", "read_sealed",
    "write", "write_sealed",
]  # fmt: skip

#: Megabytes that the folder may hold unless `LIMIT` says otherwise: some 500 surfaces.
USUAL_LIMIT = 200.0
FOLDER, LIMIT = "AIRCHAIN_CACHE", "AIRCHAIN_CACHE_LIMIT"
#: Names of what is ours; nothing else in the folder is ever touched.
_OURS = re.compile(
    r"\.?(surface|begun|cylinders|together|sparks)-[0-9a-f]{32}(\.[0-9a-f]{12}\.tmp)?\.json"
)
#: What finished files hold, by how their names begin.
_KINDS = {
    "surface-": "breathing surface",
    "cylinders-": "cylinders told apart",
    "together-": "all cylinders together",
    "sparks-": "knock searches",
}
#: A file written beside its place stays only where its process was killed [s].
_ABANDONED = 24 * 3600.0
_LARGEST = 64 * 1024 * 1024


@dataclass(frozen=True)
class Entry:
    """One file of the folder.

    Attributes
    ----------
    path : pathlib.Path
        The file.
    size : int
        Its length in bytes [dimensionless].
    used : float
        When it was written or read last, in seconds since 1970 [s].
    """

    path: Path
    size: int
    used: float

    @property
    def words(self) -> str:
        """What it holds."""
        found = [words for start, words in _KINDS.items() if self.path.name.startswith(start)]
        return found[0] if found else "unfinished surface"

    @property
    def unfinished(self) -> bool:
        """Whether it holds work that was interrupted, or was never written to its end."""
        return not self.path.name.startswith(tuple(_KINDS))


def folder() -> Path:
    """Return the folder.

    Returns
    -------
    pathlib.Path
        ``$AIRCHAIN_CACHE`` where that is set, else ``airchain`` in the user's folder for caches.

    Raises
    ------
    RuntimeError
        There is no home folder, and no variable names another.
    """
    if chosen := os.environ.get(FOLDER):
        return Path(chosen)
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "airchain"


def limit() -> float:
    """Return how much the folder may hold.

    Returns
    -------
    float
        Bytes [dimensionless]: ``$AIRCHAIN_CACHE_LIMIT`` in megabytes, 200 without it; 0 keeps
        nothing.

    Raises
    ------
    InputError
        The variable is no number from 0 on.
    """
    typed = os.environ.get(LIMIT, "")
    try:
        megabytes = float(typed) if typed.strip() else USUAL_LIMIT
    except ValueError:
        megabytes = float("nan")
    if not 0.0 <= megabytes < float("inf"):
        rule = "be a number of megabytes from 0 on, such as 200"
        raise refusal("environment", LIMIT, quoted(typed), rule)
    return megabytes * 1e6


def read(name: str) -> str | None:
    """Return the text of a file and mark it as used; None where there is no whole file.

    Parameters
    ----------
    name : str
        Its name in the folder.

    Returns
    -------
    str or None
        The text.
    """
    try:
        path = folder() / name
        # A pipe would otherwise wait for someone to write to it.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(handle, "rb") as stream:
            about = os.fstat(handle)
            if not stat.S_ISREG(about.st_mode) or about.st_size > _LARGEST:
                return None
            text = stream.read(_LARGEST).decode("utf-8")
        _mark_used(path)
        return text
    except (OSError, ValueError, RuntimeError):
        return None


def _mark_used(path: Path) -> None:
    try:
        os.utime(path)
    except OSError:
        return  # a folder that may only be read


def write(name: str, text: str) -> None:
    """Keep a text, and let the files used longest ago go where there is too much.

    Parameters
    ----------
    name : str
        Its name in the folder.
    text : str
        The text. Where it cannot be written nothing is kept.
    """
    size = limit()
    if len(text) > size:
        return
    try:
        folder().mkdir(parents=True, exist_ok=True)
        write_text(folder() / name, text)
    except (OSError, InputError, RuntimeError):  # the last where there is no home
        _say_unkept()
        return
    _shrink(size, name)


@lru_cache(maxsize=1)
def _say_unkept() -> None:
    """Say once that what was solved will be solved again."""
    try:
        place = f"in {folder()}"
    except RuntimeError:
        place = "without a home folder"
    sys.stderr.write(
        f"Nothing can be kept {place}: what was solved now is solved again the next time. "
        f"The variable {FOLDER} names another folder.\n"
    )


@lru_cache(maxsize=1)
def core_digest() -> str:
    """Return what tells one compiled core from another, of which every figure depends.

    Returns
    -------
    str
        SHA-256 of its file.
    """
    return hashlib.sha256(Path(_core.__file__).read_bytes()).hexdigest()


def read_sealed(name: str, key: str) -> str | None:
    """Return the body of a file that `write_sealed` wrote; None unless it is whole and the key's.

    Parameters
    ----------
    name : str
        Its name in the folder.
    key : str
        SHA-256 of everything that the body was made of.

    Returns
    -------
    str or None
        The body.
    """
    parts = (read(name) or "").split("\n")
    whole = len(parts) == 4 and parts[0] == key and parts[1] == _digest(parts[2])
    return parts[2] if whole else None


def write_sealed(name: str, key: str, body: str) -> None:
    """Keep a body with the fingerprint of what it was made of and its own digest.

    Parameters
    ----------
    name : str
        Its name in the folder.
    key : str
        As of `read_sealed`.
    body : str
        One line.
    """
    write(name, f"{key}\n{_digest(body)}\n{body}\n")


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _shrink(size: float, newest: str) -> None:
    """Remove abandoned files, then the files used longest ago, until the rest fits."""
    left, now = [], time.time()

    def age(entry: Entry) -> float:
        # A clock that jumped back leaves times to come: nobody knows how old those files are.
        return abs(now - entry.used)

    for one in entries():
        if one.path.name.startswith(".") and age(one) > _ABANDONED:
            _remove(one.path)
        else:
            left.append(one)
    too_much = sum(one.size for one in left) - size
    for one in sorted(left, key=age, reverse=True):
        if too_much <= 0.0:
            return
        if one.path.name != newest and not one.path.name.startswith("."):
            _remove(one.path)
            too_much -= one.size


def forget(name: str) -> None:
    """Remove a file that is not needed any more.

    Parameters
    ----------
    name : str
        Its name in the folder.
    """
    try:
        _remove(folder() / name)
    except RuntimeError:
        return


def _remove(path: Path) -> bool:
    """Remove a file; another process may have done so, or may still read it without harm."""
    try:
        path.unlink()
    except OSError:
        return False
    return True


def entries() -> list[Entry]:
    """Return the files of the folder, the one used last first.

    Returns
    -------
    list of Entry
        Regular files of ours; empty where there is no folder.
    """
    found = []
    try:
        with os.scandir(folder()) as each:
            for one in each:
                if _OURS.fullmatch(one.name) and one.is_file(follow_symlinks=False):
                    about = one.stat(follow_symlinks=False)
                    found.append(Entry(Path(one.path), about.st_size, about.st_mtime))
    except (OSError, RuntimeError):
        pass  # what was listed so far; another process may have emptied the folder
    return sorted(found, key=lambda entry: -entry.used)


def empty() -> list[Entry]:
    """Remove every file of ours from the folder.

    Returns
    -------
    list of Entry
        Those that were removed.
    """
    return [one for one in entries() if _remove(one.path)]
