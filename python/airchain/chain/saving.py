"""A build as a file: the document as it stands, and the changes made to it besides."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from pathlib import Path

from .. import _core
from ..base.errors import all_of, quoted, refusal, suggestion
from ..base.text_file import write_text
from ..buildfile.breathing import table_of
from ..buildfile.document import Document
from ..buildfile.drive import link_of
from ..buildfile.keys import BREATHING
from ..buildfile.source import Source
from ..buildfile.toml_text import toml_text
from ..typed.keys import TABLE, TABLES, TEXT, Key, Keys
from ..typed.place import KeyPath, Typed, dotted
from ..typed.section import Section
from ..units.tables import KINDS
from .changes import (
    Aspirated,
    Change,
    DriveRatio,
    Factors,
    Instant,
    LevelFitted,
    Link,
    LinksFitted,
    Mixture,
    Weather,
)
from .cylinders_held import CylindersHeld
from .factors import FACTORS, SHAPE, Factor
from .replay import with_change

__all__ = ["read_changes", "saved"]

_HEADING = """\
# Airchain: a build with changes. Its document comes first; [[changes]] holds what was changed
# besides, in the order in which it acts.
"""
Tables = dict[str, object]


def saved(document: Document, changes: tuple[Change, ...], path: str | os.PathLike[str]) -> Path:
    """Write a build to a file, in one step.

    Parameters
    ----------
    document : Document
        What is typed.
    changes : tuple of Change
        What was changed besides.
    path : str or path
        The file; one that is there is replaced, and stays if anything fails.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    target = Path(path)
    tables: Tables = document.tables_at(target.parent)
    if changes:
        tables["changes"] = [{"kind": one.kind, **_written(one)} for one in changes]
    write_text(target, _HEADING + "\n" + toml_text(tables))
    return target


def read_changes(source: Source) -> tuple[Document, tuple[Change, ...]]:
    """Return the document of a file and the changes that it holds besides.

    Parameters
    ----------
    source : Source
        The whole file.

    Returns
    -------
    tuple
        The document, not yet checked, and the changes in the order in which they act.

    Raises
    ------
    InputError
        A change is of no known kind, or something in it is missing, unknown or out of range.
    """
    if "changes" not in source.file.data:
        return Document(source), ()
    data = {name: table for name, table in source.file.data.items() if name != "changes"}
    top = Section(source, (), {"changes": TABLES}, {"changes": source.file.data["changes"]})
    changes: tuple[Change, ...] = ()
    for path, table in top.tables("changes"):
        change = source.attempt(_read, source, path, table)
        if change is not None:
            changes = with_change(changes, change)
    if source.errors:
        raise all_of(source.errors)
    return Document(Source(replace(source.file, data=data), source.replaced)), changes


def _read(source: Source, path: KeyPath, table: Mapping[str, Typed]) -> Change:
    kind = table.get("kind")
    if not isinstance(kind, str) or kind not in _KEYS:
        shown = "missing" if kind is None else quoted(kind)
        near = suggestion(kind, list(_KEYS)) if isinstance(kind, str) else ""
        rule = f"be one of {', '.join(_KEYS)}"
        raise refusal(source.where(path), dotted((*path, "kind")), shown, rule, near)
    typed = Section(source, path, {"kind": TEXT, **_KEYS[kind]}, table)
    return _READERS[kind](typed)


_OF_TOGETHER: Keys = {name: BREATHING[name] for name in ("rpm", "pressure_ratio", "values")}
_KEYS: Mapping[str, Keys] = {
    "naturally_aspirated": {},
    "cylinders_held": _OF_TOGETHER,
    "level": {"name": TEXT},
    "links": {"name": TEXT, "links": TABLES},
    "weather": {
        "pressure": Key("barometer", "pressure"),
        "temperature": Key("temperature", "temperature"),
        "relative_humidity": Key("dimensionless", "relative_humidity"),
        "coolant_temperature": Key("temperature", "coolant_temperature"),
    },
    "mixture": {"lambda": Key("dimensionless", "lambda")},
    "factors": {"factors": TABLE},
    "drive_ratio": {"name": TEXT, "ratio": Key("dimensionless", "drive_ratio")},
    "instant": {
        "engine_speed": Key("speed", "engine_speed"),
        "engine_acceleration": Key("angular_acceleration", "engine_acceleration"),
        "water_temperature": Key("temperature", "coolant_temperature"),
    },
}


def _links(typed: Section) -> LinksFitted:
    typed.need("name", "links")
    rows = [(typed.source, path, table) for path, table in typed.tables("links")]
    return LinksFitted(typed.text("name"), tuple(typed.source.every(link_of, rows)))


def _factors(typed: Section) -> Factors:
    typed.need("factors")
    table = typed.table["factors"]
    names = list(table) if isinstance(table, Mapping) else []
    inner = typed.sub("factors", dict.fromkeys(names, Key("dimensionless")))
    return Factors(tuple(_factor(inner, name) for name in names))


def _factor(typed: Section, key: str) -> Factor:
    name, _, place = key.partition("@")
    if name not in FACTORS or bool(place) != (name == SHAPE):
        hint = suggestion(name, list(FACTORS)) or f"a shape has its speed behind it: {SHAPE}@3000"
        typed.refuse(key, f"be one of {', '.join(FACTORS)}", hint)
    try:
        rpm = float(place or 0.0)
    except ValueError:
        rpm = float("nan")
    if place and not 0.0 < rpm < float("inf"):
        typed.refuse(key, "have an engine speed above 0 in rpm behind the @")
    return Factor(name, typed.number(key), rpm)


def _only(typed: Section, *names: str) -> dict[str, float | None]:
    return {name: typed.number(name) if typed.has(name) else None for name in names}


_AIR = ("pressure", "temperature", "relative_humidity", "coolant_temperature")
_READERS: Mapping[str, Callable[[Section], Change]] = {
    "naturally_aspirated": lambda typed: Aspirated(),
    "cylinders_held": lambda typed: CylindersHeld(table_of(typed)),
    "level": lambda typed: LevelFitted(_named(typed)),
    "links": _links,
    "weather": lambda typed: Weather(**_only(typed, *_AIR)),
    "mixture": lambda typed: Mixture(typed.number("lambda")),
    "factors": _factors,
    "drive_ratio": lambda typed: DriveRatio(_named(typed), typed.number("ratio")),
    "instant": lambda typed: Instant(
        typed.number("engine_speed"), typed.number("engine_acceleration"),
        **_only(typed, "water_temperature"),
    ),
}  # fmt: skip


def _named(typed: Section) -> str:
    typed.need("name")
    return typed.text("name")


def _written(change: Change) -> Tables:
    """A change as a table of its file: numbers to the last digit, each with its SI unit."""
    if isinstance(change, LevelFitted):
        return {"name": change.name}
    if isinstance(change, LinksFitted):
        return {"name": change.name, "links": [_link(link) for link in change.links]}
    if isinstance(change, CylindersHeld):
        table = change.table
        speeds = [_with_unit(float(v), "rad/s") for v in table.engine_speed]
        return {"rpm": speeds, "pressure_ratio": table.pressure_ratio.tolist(),
                "values": table.values.T.tolist()}  # fmt: skip
    if isinstance(change, Mixture):
        return {"lambda": change.value}
    if isinstance(change, Factors):
        multipliers = {f"{f.name}@{f.rpm!r}" if f.rpm else f.name: f.value for f in change.factors}
        return {"factors": multipliers}
    if isinstance(change, DriveRatio):
        return {"name": change.name, "ratio": change.ratio}
    given = {f.name: getattr(change, f.name) for f in fields(change)}
    units = {n: KINDS[key.kind].si_unit for n, key in _KEYS[change.kind].items()}
    return {n: _with_unit(float(v), units[n]) for n, v in given.items() if v is not None}


def _link(link: Link) -> Tables:
    kind = _LINK_KINDS[type(link)]
    table: Tables = {"kind": kind}
    for name, unit, *_ in link.fields():
        value = getattr(link, name)
        if name == "reversing":
            table[name] = bool(value)
        else:
            table[name] = _with_unit(float(value), "" if unit == "1" else unit)
    return table


_LINK_KINDS = {_core.GearPair: "gears", _core.StepUp: "step_up", _core.PulleyPair: "pulleys"}


def _with_unit(value: float, unit: str) -> str | float:
    return f"{value!r} {unit}" if unit else value
