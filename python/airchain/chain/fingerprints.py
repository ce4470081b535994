"""The fingerprint of a build: a digest of everything that its answers depend on."""

from __future__ import annotations

import hashlib
from dataclasses import fields

import numpy as np

from .. import _core
from ..base.kept import ByIdentity
from ..buildfile.assemble import Parts
from ..cylinder.parts import Cylinder
from ..cylinder.surface import AXES, BURNED, VALUES

__all__ = ["fingerprint_of"]

#: Told part by part, since a map's or a surface's numbers are many.
_BY_PARTS = ("compressor", "breathing", "cylinder")


def fingerprint_of(parts: Parts, words: bool = True) -> str:
    """Return the SHA-256 of the resolved numbers and names of a build.

    Parameters
    ----------
    parts : Parts
        What the document describes, with every change on it.
    words : bool
        Whether notes and whose report it is count too; no number depends on them [dimensionless].

    Returns
    -------
    str
        64 hexadecimal digits. Builds that differ in any number have different ones; units,
        layout and the way to a number do not count, nor does a plan.
    """
    apart = _LONG if words else _LONG + _WORDS
    part_texts = [repr(getattr(parts, f.name)) for f in fields(parts) if f.name not in apart]
    stations = parts.chain.stations()
    part_texts += [repr(part) for name, part in stations.items() if name not in _BY_PARTS]
    part_texts += [_compressor(parts.chain.compressor), _breathing(parts.chain.breathing)]
    part_texts.append("" if parts.cylinder is None else _cylinders.get(parts.cylinder))
    return hashlib.sha256("\n".join(part_texts).encode()).hexdigest()


_LONG = ("chain", "cylinder")
_WORDS = ("notes", "handover")


def _plain(part: _core.Compressor | _core.Breathing) -> str:
    return repr([(name, getattr(part, name)) for name, *_ in part.fields()])


def _compressor(compressor: _core.Compressor | None) -> str:
    if compressor is None:
        return ""
    return _plain(compressor) + _maps.get(compressor.map)


def _breathing(breathing: _core.Breathing) -> str:
    tables = (breathing.table, breathing.together)
    of_tables = "".join("" if one is None else _tables.get(one) for one in tables)
    surface = breathing.surface
    return _plain(breathing) + of_tables + ("" if surface is None else _surfaces.get(surface))


def _numbers(surface: _core.BreathingSurface) -> str:
    """Every number of a surface, bit for bit."""
    arrays = [np.asarray(getattr(surface, name), dtype=float) for name in (*AXES, *VALUES)]
    if surface.burned is not None:
        arrays += [np.asarray(getattr(surface.burned, name), dtype=float) for name in BURNED]
    digest = hashlib.sha256()
    for array in arrays:
        digest.update(repr(array.shape).encode() + array.tobytes())
    return digest.hexdigest()


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


#: Digests of what is long to write out; builds share maps, surfaces and cylinders.
_maps = ByIdentity[_core.CompressorMap, str](lambda one: _digest(repr(one.data)))
_tables = ByIdentity[_core.BreathingTable, str](lambda one: _digest(repr(one)))
_surfaces = ByIdentity[_core.BreathingSurface, str](_numbers)
_cylinders = ByIdentity[Cylinder, str](lambda one: _digest(repr(one)))
