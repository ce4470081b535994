"""The chain compiled for pages: its code, and whether it is that of the core at hand."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files

__all__ = ["code", "objection"]

_STALE = (
    "The page's core was made of other sources than this package's, so only a kernel solves. "
    "python cpp/wasm/build.py makes it anew."
)


@cache
def code() -> bytes:
    """Return the WebAssembly of the chain.

    Returns
    -------
    bytes
        What a page's own core is compiled to.
    """
    return (files(__package__) / "chain.wasm").read_bytes()


def objection() -> str:
    """Return why the page must not solve by itself; empty where it may.

    An installed package knows what its own core was made of. In a tree of sources nothing is known
    here; the page itself then compares its first answer with the core's.

    Returns
    -------
    str
        A sentence that says who solves instead, and what to do.
    """
    folder = files(__package__)
    made_of = json.loads((folder / "chain.json").read_text(encoding="utf-8"))["made_of"]
    own = folder / "core_sources.txt"
    if own.is_file() and own.read_text(encoding="utf-8").strip() != made_of:
        return _STALE
    return ""
