"""Gear pairs, pulleys and shafts of a [plan] table."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import replace

from .. import _core
from ..base.errors import quoted, refusal
from ..chain.build import Build
from ..typed.place import dotted
from ..typed.section import Section
from . import keys
from .parts import Part, Shafts


def shafts_of(build: Build, typed: Section) -> Shafts:
    """The shafts with their centres, and the belt that runs on pulleys."""
    own = typed.sub("shafts", keys.SHAFTS, optional=True)
    belt = typed.sub("belt", keys.BELT, optional=True)
    own.positive("centre_distance")
    gears = next((link for link in build.links if isinstance(link, _core.GearPair)), None)
    fitted = next((link for link in build.links if isinstance(link, _core.PulleyPair)), None)
    distance = own.get("centre_distance", gears.centre_distance if gears else 0.0)
    fields = {name: getattr(fitted, name) for name, *_ in _core.PulleyPair.fields()
              if not name.endswith("_diameter")} if fitted else {}  # fmt: skip
    fields |= belt.fields(_core.PulleyPair)
    if distance and not fields.get("centre_distance") and gears:
        fields["centre_distance"] = distance
    if belt.has("length"):
        belt.need("take_up")
        if not fields.get("centre_distance"):
            belt.refuse("length", "stand beside a centre_distance")
    else:
        belt.only_with("a length", "take_up")
    return Shafts(
        own.text("crank"),
        own.text("compressor"),
        distance,
        fields,
        belt.get("length", 0.0),
        belt.get("take_up", 0.0),
        build.text("compressor.rotates") if "compressor.rotates" in build.inputs else "",
    )


def gear_parts(typed: Section, shafts: Shafts) -> tuple[Part, ...]:
    """Gear pairs; a pair typed twice is refused, also where it was typed the other way round."""
    if not typed.table.get("gears"):
        return ()
    sections = [Section(typed.source, path, keys.GEARS, t) for path, t in typed.tables("gears")]
    teeth = typed.sub("teeth", keys.TEETH, optional=True)
    bored = bool(shafts is not None and (shafts.crank or shafts.compressor))
    parts = typed.source.every(lambda one: _gear_part(one, teeth, bored), [(s,) for s in sections])
    _all_differ(sections, parts, _gear_key)
    return tuple(parts)


def _gear_part(typed: Section, teeth: Section, bored: bool) -> Part:
    typed.need("name", "driving_teeth", "driven_teeth", "module")
    typed.positive("module")
    if bored:
        typed.need("driving_bore", "driven_bore")
    pair = typed.make(_core.GearPair, **typed.fields(_core.GearPair))
    strength = None
    if teeth.table:
        typed.need("face_width")
        strength = teeth.make(_core.GearTeeth, **teeth.fields(_core.GearTeeth),
                          **typed.fields(_core.GearTeeth))  # fmt: skip
    elif typed.has("face_width"):
        typed.refuse("face_width", "stand beside a table [plan.teeth]", "with what they carry")
    bores = (typed.text("driving_bore"), typed.text("driven_bore"))
    return replace(_part(typed), pair=pair, teeth=strength, bores=bores if any(bores) else ())


def _part(typed: Section) -> Part:
    """What every part to buy says of itself."""
    price = typed.get("price", 0.0)
    if price < 0.0:
        typed.refuse("price", "be 0 or more")
    name = typed.text("name").strip()
    if not name:
        typed.refuse("name", "be a name")
    return Part(name, typed.flag("owned"), price, where=typed.source.where(typed.path))


def pulley_parts(typed: Section, shafts: Shafts) -> tuple[Part, ...]:
    """Loose pulleys, any of which may drive any other."""
    if not typed.table.get("pulleys"):
        return ()
    tables = typed.tables("pulleys")
    sections = [Section(typed.source, path, keys.PULLEY, table) for path, table in tables]
    parts = typed.source.every(_pulley_part, [(one,) for one in sections])
    _all_differ(sections, parts, lambda part: (part.diameter, part.bores, part.name))
    if len(parts) < 2:
        rule, hint = "hold two pulleys", "one on the crank and one on the compressor"
        raise refusal(typed.where("pulleys"), "plan.pulleys", "one", rule, hint)
    return tuple(parts)


def _pulley_part(typed: Section) -> Part:
    typed.need("name", "diameter")
    typed.positive("diameter")
    bore = typed.text("bore")
    diameter = typed.number("diameter")
    return replace(_part(typed), diameter=diameter, bores=(bore,) if bore else ())


def _gear_key(part: Part) -> Hashable:
    """What a pair is, whichever way round."""
    if part.pair is None:
        return part.name
    sides = zip(
        (part.pair.driving_teeth, part.pair.driven_teeth), part.bores or ("", ""), strict=True
    )
    return part.pair.module, tuple(sorted(sides)), part.teeth and part.teeth.face_width


def _all_differ(
    sections: Sequence[Section], parts: Sequence[Part], key: Callable[[Part], Hashable]
) -> None:
    seen: dict[Hashable, Part] = {}
    names: dict[str, Part] = {}
    for typed, part in zip(sections, parts, strict=True):
        twin = names.get(part.name) or seen.get(key(part))
        if twin is not None:
            where, path = typed.where("name"), dotted((*typed.path, "name"))
            hint = f'"{twin.name}" at {twin.where} is the same; flipped it is a second ratio anyway'
            raise refusal(where, path, quoted(part.name), "differ from every other part", hint)
        names[part.name] = seen[key(part)] = part
