"""Places of a lattice at which whole engines are solved, each once, and kept from run to run."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base import cache as kept_files
from ..base.kept import ByIdentity
from ..base.progress import relay, telling
from .parts import Cylinder

__all__ = ["KeptPlaces", "Place", "Solve", "key_of", "with_cells"]

Array = NDArray[np.float64]
#: A place: which of a lattice's speeds, and which of its ratios.
Place: TypeAlias = tuple[int, int]
#: Solves places and is called with how many are done: an array whose first axis is places.
Solve: TypeAlias = Callable[[Sequence[Place], Callable[[int], None] | None], Array]
#: Places of one call of the core; an interrupt loses no more.
_BATCH = 8


def _text_of(cylinder: Cylinder) -> str:
    layout = None if cylinder.layout is None else tuple(cylinder.layout)
    return repr((cylinder.setup, cylinder.cylinders, layout))


#: Cylinders are long to write out, and asked for again with every pull.
_texts = ByIdentity[Cylinder, str](_text_of)


def key_of(cylinder: Cylinder, settings: str) -> str:
    """Return the SHA-256 of everything that places depend on, the compiled core included."""
    text = repr((kept_files.core_digest(), settings, _texts.get(cylinder)))
    return hashlib.sha256(text.encode()).hexdigest()


def with_cells(cylinder: Cylinder, most: float) -> Cylinder:
    """Return the cylinder and its layout with so many cells in each pipe at most."""

    def of_pipe(pipe: _core.Runner) -> _core.Runner:
        return pipe if pipe.cells <= most else pipe.replace(cells=most)

    def of_room(room: _core.EngineRoom) -> _core.EngineRoom:
        return room if room.pipe is None else room.replace(pipe=of_pipe(room.pipe))

    setup, layout = cylinder.setup, cylinder.layout
    setup = setup.replace(intake=of_pipe(setup.intake), exhaust=of_pipe(setup.exhaust))
    if layout is not None:
        rooms = None if layout.collectors is None else tuple(map(of_room, layout.collectors))
        plenum = None if layout.plenum is None else of_room(layout.plenum)
        layout = layout._replace(plenum=plenum, collectors=rooms)
    return replace(cylinder, setup=setup, layout=layout)


class KeptPlaces:
    """What whole engines say at places, by the engine.

    Parameters
    ----------
    prefix : str
        How the names of its files begin.
    words : str
        What is solved, as progress tells it.
    """

    def __init__(self, prefix: str, words: str) -> None:
        self._prefix, self._words = prefix, words
        self.made: dict[str, dict[Place, Array]] = {}

    def at(
        self, key: str, places: Iterable[Place], solve: Solve, whose: str = ""
    ) -> dict[Place, Array]:
        """Return what is told at places; those never asked for are solved now.

        Progress names whose engine it is. They are kept in the folder of `airchain.base.cache`,
        those of work that was interrupted too. A file that is damaged counts as none.
        """
        if key not in self.made:
            kept_files.limit()  # refused before the work, not after it
            self.made[key] = self._read(key)
        made = self.made[key]
        wanted = list(dict.fromkeys(places))
        new = sorted(place for place in wanted if place not in made)
        if new:
            try:
                words = f"{self._words}, {whose}" if whose else self._words
                with telling(words, "whole engines") as tell:
                    for first in range(0, len(new), _BATCH):
                        batch = new[first : first + _BATCH]
                        found = solve(batch, relay(tell, first, len(new)))
                        made |= dict(zip(batch, found, strict=True))
            finally:
                self._write(key)
        return {place: made[place] for place in wanted}

    def _name(self, key: str) -> str:
        return f"{self._prefix}-{key[:32]}.json"

    def _read(self, key: str) -> dict[Place, Array]:
        """The places that are kept; none where there is no whole file."""
        try:
            told = json.loads(kept_files.read_sealed(self._name(key), key) or "[]")
            return {(int(k), int(j)): np.array(rows, dtype=float) for k, j, rows in told}
        except (ValueError, TypeError):
            return {}

    def _write(self, key: str) -> None:
        """Keep all places; what another process kept since is kept too."""
        made = self.made[key]
        made |= {p: rows for p, rows in self._read(key).items() if p not in made}
        body = json.dumps([[k, j, rows.tolist()] for (k, j), rows in sorted(made.items())])
        kept_files.write_sealed(self._name(key), key, body)
