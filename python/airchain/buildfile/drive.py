"""The drive train of a build file: its links, and the levels that replace some of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..typed.keys import TABLE, TEXT
from ..typed.place import KeyPath, Place, Typed, dotted
from ..typed.section import Section
from .keys import DRIVE, GEARS, LEVEL, LINKS
from .source import Source
from .stations import section

_Typed = tuple[KeyPath, Mapping[str, Typed]]
_Link = _core.GearPair | _core.PulleyPair | _core.StepUp
_MAKERS: Mapping[str, type[_Link]] = {
    "gears": _core.GearPair,
    "step_up": _core.StepUp,
    "pulleys": _core.PulleyPair,
}


@dataclass(frozen=True)
class Level:
    """One drive step.

    Attributes
    ----------
    links : tuple
        The train's links from the crank on.
    drive : Drive
        What they make together.
    """

    links: tuple[_Link, ...]
    drive: _core.Drive


def drive(
    source: Source, rotor: Mapping[str, float], rotates: str
) -> tuple[Level, dict[str, Level]]:
    """Return the train as built and every level by name.

    `rotor` holds the fields of the drive that belong to the compressor, `rotates` the sense its
    impeller must turn in, if known.
    """
    typed = section(source, "drive", DRIVE, optional=False)
    typed.need("links")
    train = typed.tables("links")
    built = source.attempt(_level, typed, train, rotor, rotates)
    sense = rotates
    if built is not None and not rotates:
        sense = _sense(built.links)
    named = source.file.data.get("levels", {})
    names = named if isinstance(named, dict) else {}
    top = Section(source, ("levels",), dict.fromkeys(names, TABLE), named)
    levels: dict[str, Level] = {}
    for name in names:
        levels[name] = source.attempt(_named_level, top, name, train, rotor, rotates, sense)
    return built, levels


def _sense(links: Sequence[_Link]) -> str:
    """How a train turns the impeller."""
    return "with crank" if _core.drive_rotation(list(links)) > 0 else "against crank"


def _named_level(
    top: Section, name: str, train: list[_Typed], rotor: Mapping[str, float], rotates: str,
    sense: str,
) -> Level:  # fmt: skip
    """A level; its train turns the impeller as [compressor] says, or else as [drive] does."""
    level = top.sub(name, LEVEL)
    made = _level(level, _train_of(level, train), rotor, rotates)
    turns = _sense(made.links)
    if sense and turns != sense:
        where, shown = level.source.where(level.path), dotted(level.path)
        rule = f"turn the impeller {sense}, as [drive] does"
        hint = "an impeller has one hand: say in [compressor] which way it rotates"
        raise refusal(where, f"{shown}: rotation", quoted(turns), rule, hint)
    return made


def _train_of(level: Section, train: list[_Typed]) -> list[_Typed]:
    """The links of a level: its own, or those of the drive with its gears in the first pair."""
    if level.one_of("gears", "links", needed=True) == "links":
        return level.tables("links")
    gears = level.sub("gears", GEARS)
    kinds = [str(link.get("kind")) for _, link in train]  # an array equals nothing plainly
    place = kinds.index("gears") if "gears" in kinds else None
    if place is None:
        level.refuse("gears", "replace a gear pair", 'no link of [drive] has kind = "gears"')
    fitted = train[place][1]
    kept = {k: v for k, v in fitted.items() if k in ("kind", "efficiency", "module")}
    pair = {**kept, **gears.table}
    _same_centres(level, fitted, pair)
    return [*train[:place], (gears.path, pair), *train[place + 1 :]]


def _same_centres(level: Section, fitted: Mapping[str, Typed], pair: Mapping[str, Typed]) -> None:
    """A pair that goes on the same shafts keeps the sum of teeth."""
    # A row, which is refused for itself, equals nothing plainly.
    if not np.all(pair.get("module") == fitted.get("module")):
        return
    sums = []
    for gears in (fitted, pair):
        teeth = [gears.get(name) for name in ("driving_teeth", "driven_teeth")]
        known = [t for t in teeth if isinstance(t, int | float) and t >= 1]
        if len(known) < len(teeth):
            return  # the pair itself is refused for it
        sums.append(sum(known))
    if sums[0] != sums[1]:
        rule = f"have {sums[0]} teeth in the pair, as on [drive]'s centres; it has {sums[1]}"
        level.refuse("gears", rule, "give the level its own links where the centres move")


def _level(typed: Section, train: list[_Typed], rotor: Mapping[str, float], rotates: str) -> Level:
    links = typed.source.every(link_of, [(typed.source, path, table) for path, table in train])
    reduced = typed.make(_core.reduce_drive, links, rest=typed.make(_core.Drive, **rotor))
    turns = _sense(links)
    if rotates and turns != rotates:
        where, shown = typed.source.where(typed.path), dotted(typed.path)
        hint = "every external gear mesh reverses; a wrong-handed impeller does not compress"
        rule = f"turn the impeller {rotates}, as [compressor] rotates says"
        raise refusal(where, f"{shown}: rotation", quoted(turns), rule, hint)
    return Level(tuple(links), reduced)


def link_of(source: Place, path: KeyPath, table: Mapping[str, Typed]) -> _Link:
    """Return one link of a train from its table."""
    kind = table.get("kind", "gears" if path[-1] == "gears" else None)
    if not isinstance(kind, str) or kind not in LINKS:
        shown = "missing" if kind is None else quoted(kind)
        near = suggestion(kind, list(LINKS)) if isinstance(kind, str) else ""
        rule = f"be one of {', '.join(LINKS)}"
        raise refusal(source.where((*path, "kind")), dotted((*path, "kind")), shown, rule, near)
    typed = Section(source, path, {"kind": TEXT, **LINKS[kind]}, table)
    maker: Callable[..., _Link] = _MAKERS[kind]
    values = typed.fields(_MAKERS[kind])
    if typed.has("reversing"):
        values["reversing"] = float(typed.flag("reversing"))
    link = typed.make(maker, **values)
    if isinstance(link, _core.GearPair) and typed.flag("flipped"):
        return link.replace(driving_teeth=link.driven_teeth, driven_teeth=link.driving_teeth)
    return link
