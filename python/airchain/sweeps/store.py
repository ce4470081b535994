"""A sweep in a folder: tiles are chunks of a Zarr store; those done are marked."""

from __future__ import annotations

import contextlib
import os
import shutil
import time
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from math import prod
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError, quoted, refusal
from ..base.extras import extra
from ..base.places import place_beside
from ..shown import statuses
from ..shown.columns import columns
from .described import NO_KNOCK, NOT_SOLVED_YET, Frame, summary_of
from .grid import blocks, column_type, tile_shape

if TYPE_CHECKING:
    from xarray import Dataset

__all__ = ["open_sweep"]

#: The array that tells which tiles are done: how many points of each have which status.
TILES = "tiles_done"
#: What marks a folder as ours, and the layout of what lies in it.
_KIND, _FORMAT = "airchain sweep", 1
#: Time between two markings of what is done [s]: what a killed run has to do again at most.
_BETWEEN = 1.0


class Store:
    """The folder of a sweep, held by one process. Made by `opened`.

    Parameters
    ----------
    folder : pathlib.Path
        The folder, made and of the right sweep.
    frame : Frame
        What the sweep is.
    """

    def __init__(self, folder: Path, frame: Frame) -> None:
        self.folder = folder
        self._group = extra("zarr").open_group(str(folder), mode="r+")
        self._columns = {name: self._group[name] for name in frame.columns}
        # Arrays stand in the order of the user's axes, tiles are solved in another one.
        self._turn = frame.turn
        kept = self._columns["status"].chunks
        tile = tuple(kept[self._turn.index(i)] for i in range(len(kept)))
        self.blocks = blocks(frame.shape, tile)
        self._tallies: NDArray[np.int64] = self._group[TILES][:]
        self._written: list[int] = []
        self._sides = tuple(-(-n // side) for n, side in zip(frame.shape, tile, strict=True))
        self._marked = time.monotonic()
        self._bytes = {name: prod(tile) * column_type(name).itemsize for name in frame.columns}
        for done in np.flatnonzero(statuses.points_of(self._tallies)).tolist():
            if not self._is_whole(done):
                self._tallies[done] = 0  # somebody took a part of it away: it is solved again

    def _is_whole(self, tile: int) -> bool:
        """Whether the chunks of a tile are there; one without any number is no file."""
        for name, size in self._bytes.items():
            try:
                if (self.folder.joinpath(name, "c", *self._chunk(tile))).stat().st_size != size:
                    return False
            except FileNotFoundError:
                if name == "status":
                    return False
        return True

    def waiting(self) -> list[int]:
        """Return the numbers of the tiles that are not done [dimensionless]."""
        return np.flatnonzero(statuses.points_of(self._tallies) == 0).tolist()

    @property
    def done(self) -> int:
        """Points of the tiles that are done [dimensionless]."""
        return int(statuses.points_of(self._tallies).sum())

    @property
    def need(self) -> int:
        """Bytes that the tiles to come will take at most [dimensionless]."""
        points = sum(prod(b - a for a, b in self.blocks[tile]) for tile in self.waiting())
        return points * sum(column_type(name).itemsize for name in self._columns)

    def put(self, tile: int, solved: Mapping[str, NDArray[np.generic]]) -> None:
        """Write a tile; it counts as done once it is safe on the disk.

        Parameters
        ----------
        tile : int
            Its number [dimensionless].
        solved : mapping
            Every column over the tile, SI.

        Raises
        ------
        InputError
            It cannot be written; what is done is kept.
        """
        block = self.blocks[tile]
        place = tuple(slice(*block[i]) for i in self._turn)
        with _refused(self.folder):
            for name, array in self._columns.items():
                array[place] = solved[name].transpose(self._turn)
        self._tallies[tile] = statuses.tally(solved["status"], solved["flags"])
        self._written.append(tile)
        if time.monotonic() - self._marked > _BETWEEN:
            self.mark()

    def _chunk(self, tile: int) -> list[str]:
        """Where the chunks of a tile lie below their columns."""
        place = np.unravel_index(tile, self._sides)
        return [str(place[i]) for i in self._turn]

    def mark(self) -> None:
        """Mark what was written as done, after it has reached the disk."""
        if not self._written:
            return
        with _refused(self.folder):
            chunks = [
                self.folder.joinpath(name, "c", *self._chunk(tile))
                for tile in self._written
                for name in self._columns
            ]
            _settle(chunks)
            # A name is safe once its folder is.
            _settle({up for chunk in chunks for up in chunk.parents if self.folder in up.parents})
            self._group[TILES][:] = self._tallies
            _settle([self.folder / TILES / "c" / "0" / "0", self.folder / TILES / "c" / "0"])
        self._written.clear()
        self._marked = time.monotonic()


@contextmanager
def opened(path: str | os.PathLike[str], frame: Frame, tile: int) -> Iterator[Store]:
    """Make the folder of a sweep, or open the one that was begun, and hold it.

    Parameters
    ----------
    path : str or path
        The folder.
    frame : Frame
        What the sweep is.
    tile : int
        Points of a tile [dimensionless], where the folder is new.

    Yields
    ------
    Store
        The folder.

    Raises
    ------
    InputError
        The folder cannot be made or written, holds something else or another sweep, is held by
        another process, or lies on a disk without room.
    """
    folder = checked_folder(path)
    with _refused(folder):
        # A name beside it is asked for in any case: that takes away what a killed run left.
        beside = place_beside(folder, folder.name)
        if not folder.exists() or not any(folder.iterdir()):
            _make(beside, folder, frame, tile)
    with _held(folder):
        _check(folder, frame)
        with _refused(folder):
            for left in folder.rglob("*.partial"):  # of writes that were killed
                left.unlink(missing_ok=True)
            store = Store(folder, frame)
        _check_room(folder, store.need)
        try:
            yield store
        finally:
            store.mark()


def checked_folder(path: str | os.PathLike[str]) -> Path:
    """Return the folder of a sweep, or refuse it before any work.

    Parameters
    ----------
    path : str or path
        The folder.

    Returns
    -------
    pathlib.Path
        The folder.

    Raises
    ------
    InputError
        Its name does not end in .zarr, what it should lie in is no folder or cannot be written to,
        or it is a file.
    """
    extra("zarr")
    folder = Path(os.path.realpath(path))
    if folder.suffix.lower() != ".zarr":
        raise refusal("sweep", "store", quoted(os.fspath(path), 200), "end in .zarr")
    objection = ""
    if not folder.parent.is_dir():
        objection = "what it should lie in is no folder"
    elif folder.exists() and not folder.is_dir():
        objection = "a file has that name"
    elif not os.access(folder if folder.exists() else folder.parent, os.W_OK):
        objection = "its place may not be written to"
    if objection:
        raise _unfit(path, objection)
    return folder


def _unfit(path: str | os.PathLike[str], objection: str) -> InputError:
    rule = f"be a folder that can be written; {objection}"
    return refusal("sweep", "store", quoted(os.fspath(path), 200), rule)


@contextmanager
def _refused(folder: Path) -> Iterator[None]:
    """Tell what the system refuses in the words of a bad input."""
    try:
        yield
    except OSError as error:
        raise _unfit(folder, error.strerror or str(error)) from None


def _make(beside: Path, folder: Path, frame: Frame, tile: int) -> None:
    """Fill a folder with all but the numbers, and let it take its place in one step."""
    try:
        zarr = extra("zarr")
        about = {**frame.attributes, "kind": _KIND, "format": _FORMAT,
                 "knock": NO_KNOCK}  # fmt: skip
        group = zarr.open_group(str(beside), mode="w-", zarr_format=3, attributes=about)
        for name, (dim, values, words) in frame.coordinates.items():
            array = np.asarray(values)
            plain = array.dtype.kind not in "US"
            made = group.create_array(
                name, shape=array.shape, dtype=array.dtype if plain else str,
                dimension_names=[dim], attributes=dict(words),
            )  # fmt: skip
            made[:] = array if plain else array.astype(object)
        sides = tile_shape(frame.shape, tile)
        for name, said in frame.columns.items():
            kind = column_type(name)
            empty = {"status": NOT_SOLVED_YET, "flags": 0}.get(name, np.nan)
            group.create_array(
                name, shape=frame.turned(frame.shape), chunks=frame.turned(sides), dtype=kind,
                fill_value=empty, compressors=None, dimension_names=list(frame.order),
                attributes=_plain(said),
            )  # fmt: skip
        count = len(blocks(frame.shape, sides))
        group.create_array(
            TILES, shape=(count, statuses.tally_size()), dtype=np.int64, fill_value=0,
            chunks=(count, len(statuses.status_names())), dimension_names=["tile", "status_code"],
            attributes={"long_name": "points of each tile by status; none where it is not done"},
        )  # fmt: skip
        with contextlib.suppress(FileNotFoundError):
            folder.rmdir()  # it is empty
        _settle(beside.rglob("*"))
        beside.rename(folder)
        _settle([folder.parent])
    except OSError:
        if not _about(folder):  # else another process was first, and is then asked who holds it
            raise
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _plain(said: Mapping[str, Any]) -> dict[str, Any]:
    """Attributes as JSON has them."""
    return {n: v.tolist() if isinstance(v, np.ndarray) else v for n, v in said.items()}


def _about(folder: Path) -> dict[str, Any]:
    """What a folder says of itself; empty where it holds no sweep."""
    try:
        attributes = dict(extra("zarr").open_group(str(folder), mode="r").attrs)
    except (OSError, ValueError, KeyError, TypeError):
        return {}
    return attributes if attributes.get("kind") == _KIND else {}


def _check(folder: Path, frame: Frame) -> None:
    """Refuse a folder that holds something else, or another sweep."""
    about = _about(folder)
    shown = quoted(str(folder), 200)
    if not about:
        rule = "be empty, not there yet, or a sweep that was begun"
        raise refusal("sweep", "store", shown, rule, "choose another folder")
    if (
        about.get("format") != _FORMAT
        or about.get("fingerprint") != frame.attributes["fingerprint"]
    ):
        rule = "hold the sweep that is asked for: it was begun with another build, other axes or "
        rule += "columns, or another airchain"
        hint = "choose another folder, or remove this one"
        raise refusal("sweep", "store", shown, rule, hint)


def _check_room(folder: Path, need: int) -> None:
    free = shutil.disk_usage(folder).free
    if need > free:
        shown = f"{need / 2**30:,.1f} GiB"
        rule = f"fit in the {free / 2**30:,.1f} GiB that are free where the folder lies"
        raise refusal("sweep", "store", shown, rule, "ask for fewer columns, or use another disk")


@contextmanager
def _held(folder: Path) -> Iterator[None]:
    """Hold a folder, so that no other process writes to it; however this one ends, it is let go."""
    try:
        import fcntl
    except ImportError:  # not on Windows
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            rule = "be written by one process at a time, and another one is at it"
            raise refusal("sweep", "store", quoted(str(folder), 200), rule) from None
        except OSError:
            pass  # a file system without locks
        yield
    finally:
        os.close(handle)


def _settle(paths: Iterable[Path]) -> None:
    """Wait until files and folders have reached the disk; a chunk without a number is no file."""
    for path in paths:
        with contextlib.suppress(FileNotFoundError, PermissionError):  # of folders on Windows
            handle = os.open(path, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)


def open_sweep(path: str | os.PathLike[str]) -> Dataset:
    """Open the folder of a sweep, finished or not; numbers are read when they are asked for.

    Parameters
    ----------
    path : str or path
        The folder that `sweep` was given as its store.

    Returns
    -------
    xarray.Dataset
        As `sweep` returns it. Points that are not reached yet are NaN, their status is -1.

    Raises
    ------
    InputError
        The folder holds no sweep.
    """
    folder = Path(path)
    about = _about(folder)
    if not about:
        rule = "be the folder of a sweep"
        raise refusal("open_sweep", "store", quoted(os.fspath(path), 200), rule)
    found: Dataset = extra("xarray").open_zarr(str(folder), chunks=None, consolidated=False)
    tally = found[TILES].to_numpy().sum(axis=0)
    summary = summary_of(tally, prod(found["status"].shape) - int(statuses.points_of(tally)))
    # Words come as a type of text that NumPy itself can do little with.
    words = {
        n: c.astype(object).astype(str) for n, c in found.coords.items() if c.dtype.kind == "T"
    }
    # Xarray itself takes only what is named as its axis for what stands along one.
    along = [str(n) for n in found.data_vars if n not in columns() and n != TILES]
    found = found.set_coords(along).drop_vars(TILES).assign_coords(words)
    found.attrs = {n: about[n] for n in ("title", "breathing", "fingerprint")}
    found.attrs["summary"] = summary
    from .swept import swept

    return swept(found)
