"""The fingerprint of a build: a digest of everything that its answers depend on."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import fields
from typing import TypeVar
from weakref import ReferenceType, ref

import numpy as np

from .. import _core
from ..buildfile.assemble import Parts
from ..cylinder.surface import AXES, VALUES

__all__ = ["fingerprint_of"]

_STATIONS = (
    *("operation", "ambient", "scoop", "inlet", "drive", "discharge", "cooler", "charge_duct"),
    *("throttle", "fuel", "injection", "engine", "combustion", "exhaust", "bypass"),
)
Thing = TypeVar("Thing")
#: Digests of what is long to write out, by identity, as long as it lives.
_digests: dict[int, tuple[ReferenceType[object], str]] = {}


def fingerprint_of(parts: Parts) -> str:
    """Return the SHA-256 of the resolved numbers and names of a build.

    Parameters
    ----------
    parts : Parts
        What the document describes, with every change on it.

    Returns
    -------
    str
        64 hexadecimal digits. Builds that differ in any number have different ones; units,
        layout and the way to a number do not count, nor does a plan.
    """
    told = [repr(getattr(parts, f.name)) for f in fields(parts) if f.name not in _LONG]
    told += [repr(getattr(parts.chain, name)) for name in _STATIONS]
    told += [_compressor(parts.chain.compressor), _breathing(parts.chain.breathing)]
    told.append("" if parts.cylinder is None else _digest(parts.cylinder, repr))
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


_LONG = ("chain", "cylinder")


def _plain(part: _core.Compressor | _core.Breathing) -> str:
    return repr([(name, getattr(part, name)) for name, *_ in part.fields()])


def _compressor(compressor: _core.Compressor | None) -> str:
    if compressor is None:
        return ""
    return _plain(compressor) + _digest(compressor.map, lambda one: repr(one.data))


def _breathing(breathing: _core.Breathing) -> str:
    table, surface = breathing.table, breathing.surface
    of_table = "" if table is None else _digest(table, repr)
    return _plain(breathing) + of_table + ("" if surface is None else _digest(surface, _numbers))


def _numbers(surface: _core.BreathingSurface) -> str:
    """Every number of a surface, bit for bit."""
    arrays = [np.asarray(getattr(surface, name), dtype=float) for name in (*AXES, *VALUES)]
    digest = hashlib.sha256()
    for array in arrays:
        digest.update(repr(array.shape).encode() + array.tobytes())
    return digest.hexdigest()


def _digest(thing: Thing, text: Callable[[Thing], str]) -> str:
    """Digest of a long text, kept while the thing lives; builds share maps and surfaces."""
    key = id(thing)
    kept = _digests.get(key)
    if kept is not None and kept[0]() is thing:
        return kept[1]
    made = hashlib.sha256(text(thing).encode()).hexdigest()

    def forget(gone: ReferenceType[object]) -> None:
        # Another thing may stand at the same place by now.
        if (entry := _digests.get(key)) is not None and entry[0] is gone:
            del _digests[key]

    _digests[key] = (ref(thing, forget), made)
    return made
