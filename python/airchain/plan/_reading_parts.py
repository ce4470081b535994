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
from .profile_shift import ShiftedPair
from .usual import assumed_teeth

#: Module of teeth of which nothing is known [m]; only what is independent of it is then used.
_MODULE = 2.5e-3


def usual(typed: Section) -> bool:
    """Whether usual limits and teeth stand in for those that were not typed."""
    if typed.has("usual_limits"):
        return typed.flag("usual_limits")
    return not typed.table.get("limits")


def plain_teeth(build: Build, typed: Section) -> tuple[_core.GearTeeth, str]:
    """Teeth as the plan has them for gears of the drive, and what of them nobody typed."""
    own = typed.sub("teeth", keys.TEETH, optional=True)
    gears = next((link for link in build.links if isinstance(link, _core.GearPair)), None)
    module = gears.module if gears is not None and gears.module else _MODULE
    faces = [
        Section(typed.source, path, keys.GEARS, table).number("face_width")
        for path, table in (typed.tables("gears") if typed.table.get("gears") else ())
        if "face_width" in table
    ]
    fields = own.fields(_core.GearTeeth)
    if faces:
        fields["face_width"] = max(faces)
    return assumed_teeth(fields, module)


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
    # Where nobody says how the impeller must turn, the train that drives it today does.
    turns = "with crank" if _core.drive_rotation(list(build.links)) > 0 else "against crank"
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
        build.text("compressor.rotates") if "compressor.rotates" in build.inputs else turns,
    )


def gear_parts(typed: Section, shafts: Shafts) -> tuple[Part, ...]:
    """Gear pairs; a pair typed twice is refused, also where it was typed the other way round."""
    if not typed.table.get("gears"):
        return ()
    sections = [Section(typed.source, path, keys.GEARS, t) for path, t in typed.tables("gears")]
    teeth = typed.sub("teeth", keys.TEETH, optional=True)
    bored = bool(shafts is not None and (shafts.crank or shafts.compressor))
    guessed = usual(typed)
    parts = typed.source.every(
        lambda one: _gear_part(one, teeth, bored, guessed), [(s,) for s in sections]
    )
    _all_differ(sections, parts, _gear_key)
    return tuple(parts)


def _gear_part(typed: Section, teeth: Section, bored: bool, guessed: bool) -> Part:
    typed.need("name", "driving_teeth", "driven_teeth", "module")
    typed.positive("module")
    if bored:
        typed.need("driving_bore", "driven_bore")
    pair = typed.make(_core.GearPair, **typed.fields(_core.GearPair))
    strength, assumed = None, ""
    if teeth.table:
        typed.need("face_width")
    if guessed:
        fields = {**teeth.fields(_core.GearTeeth), **typed.fields(_core.GearTeeth)}
        strength, assumed = teeth.make(assumed_teeth, fields, pair.module)
    elif teeth.table:
        strength = teeth.make(_core.GearTeeth, **teeth.fields(_core.GearTeeth),
                          **typed.fields(_core.GearTeeth))  # fmt: skip
    elif typed.has("face_width"):
        typed.refuse("face_width", "stand beside a table [plan.teeth]", "with what they carry")
    bores = (typed.text("driving_bore"), typed.text("driven_bore"))
    if typed.has("cut_for"):
        pair, strength = _shifted(typed, pair, strength)
    return replace(_part(typed), pair=pair, teeth=strength, bores=bores if any(bores) else (),
                   assumed=assumed)  # fmt: skip


def _shifted(
    typed: Section, pair: _core.GearPair, teeth: _core.GearTeeth | None
) -> tuple[_core.GearPair, _core.GearTeeth | None]:
    """A pair whose teeth are shifted for centres that are not its module's, rated as such."""
    typed.positive("cut_for")
    cut = ShiftedPair(round(pair.driving_teeth), round(pair.driven_teeth), pair.module,
                      typed.number("cut_for"))  # fmt: skip
    against = cut.obstacles()
    if against:
        typed.refuse("cut_for", "suit the teeth by a profile shift", "; ".join(against))
    return cut.pair(pair.efficiency), None if teeth is None else cut.rated(teeth)


def _part(typed: Section) -> Part:
    """What every part to buy says of itself."""
    price = typed.get("price", 0.0)
    if price < 0.0:
        typed.refuse("price", "be 0 or more")
    name = typed.text("name").strip()
    if not name:
        typed.refuse("name", "be a name")
    return Part(name, typed.flag("owned"), price)


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
    seen: dict[Hashable, tuple[Part, Section]] = {}
    names: dict[str, tuple[Part, Section]] = {}
    for typed, part in zip(sections, parts, strict=True):
        same = names.get(part.name) or seen.get(key(part))
        if same is not None:
            twin, place = same[0], typed.source.where(same[1].path)
            where, path = typed.where("name"), dotted((*typed.path, "name"))
            hint = f'"{twin.name}" at {place} is the same; flipped it is a second ratio anyway'
            raise refusal(where, path, quoted(part.name), "differ from every other part", hint)
        names[part.name] = seen[key(part)] = part, typed
