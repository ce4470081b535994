"""Arguments of a `CrankEngine`: the cylinder they make, and one place in them changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..base.errors import quoted, refusal
from ..typed.keys import TABLE, TEXT
from ..typed.place import Place, Typed
from ..typed.section import Section
from .assembly import assembled
from .camshaft import Cam
from .charge import charge_of
from .keys import CYLINDER, FUEL
from .parts import Cylinder

_KEYS = {**CYLINDER, "fuel": TABLE, "name": TEXT}


def cylinder_from(place: Place, given: Mapping[str, Typed]) -> Cylinder:
    typed = Section(place, (), _KEYS, {n: v for n, v in given.items() if v is not None})
    charge = place.attempt(lambda: charge_of(typed.sub("fuel", FUEL)))
    return assembled(typed, charge)


def changed(old: Any, path: Sequence[str], value: Any, whole: str) -> Any:
    """Return a value with one place in it changed."""
    if not path:
        return value
    if isinstance(old, Cam):
        return old.replace(**{path[0]: {path[1]: value} if len(path) > 1 else value})
    if not isinstance(old, Mapping):
        raise refusal("replace", whole, quoted(value), "be a path of the engine")
    return {**old, path[0]: changed(old.get(path[0]), path[1:], value, whole)}
