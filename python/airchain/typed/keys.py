"""Keys of typed tables: what may stand in one, and the kind of each value.

A field's physical range and default live in the core; here stand only the key it is typed under
and its quantity kind, which follows from the core's SI unit wherever that unit leaves no choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple, Protocol, runtime_checkable

from ..units.tables import SI_KINDS


class Key(NamedTuple):
    """One key of a table.

    `kind` is a quantity kind of `airchain.units`, or ``si:UNIT`` for a unit too rare to have one,
    or one of text, flag, count, table, tables. `field` is the core's name where it differs, and
    `factor` takes the typed value to it. `unit` is that of bare numbers. A count is a whole number
    from `least` to `most`.
    """

    kind: str
    field: str = ""
    factor: float = 1.0
    unit: str | None = None
    choices: tuple[str, ...] = ()
    least: int = 1
    most: int = 1000


Keys = dict[str, Key]


@runtime_checkable
class HasFields(Protocol):
    """A core class, or what describes itself as one does."""

    def fields(self) -> Sequence[tuple[Any, ...]]:
        """Name, SI unit, lowest and highest value, and meaning of every number."""


TEXT = Key("text")
FLAG = Key("flag")
TABLE = Key("table")
TABLES = Key("tables")


def choice(*choices: str) -> Key:
    """Return the key of a word out of a list."""
    return Key("text", choices=choices)


def core_keys(station: HasFields, without: tuple[str, ...] = (), **kinds: str) -> Keys:
    """Return a key for every field of a core class; `kinds` names those the unit cannot tell.

    A radius may be typed as a diameter too.
    """
    keys: Keys = {}
    for name, unit, *_ in station.fields():
        if name in without:
            continue
        kind = kinds.get(name) or SI_KINDS.get(unit, f"si:{unit}")
        keys[name] = Key(kind, name)
        if name.endswith("_radius"):
            keys[name.removesuffix("radius") + "diameter"] = Key(kind, name, 0.5)
    return keys


def renamed(keys: Keys, **names: str) -> Keys:
    """Return the keys with some typed under another name: ``renamed(keys, new="old")``."""
    old = {value: key for key, value in names.items()}
    return {old.get(name, name): key for name, key in keys.items()}
