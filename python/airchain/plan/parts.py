"""What can be fitted: gear pairs and pulleys, and what stands against each way of fitting them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from .. import _core
from ..chain.build_words import link_words
from ._reason import Reason

__all__ = ["Fitting", "Link", "Part", "Shafts", "fittings"]

Link = _core.GearPair | _core.StepUp | _core.PulleyPair
#: Two centre distances within this are the same [m].
SAME_CENTRES = 1e-6


@dataclass(frozen=True)
class Part:
    """A gear pair or a pulley that can be bought, or is owned already.

    Attributes
    ----------
    name : str
        What the file calls it.
    owned : bool
        Whether it need not be bought.
    price : float
        In the plan's currency [dimensionless].
    pair : GearPair or None
        The gears as typed.
    teeth : GearTeeth or None
        What they carry, where it was typed.
    diameter : float
        Of a pulley [m]; 0 for gears.
    bores : tuple of str
        Bore or spline of the driving and the driven gear, or of the pulley; empty where not typed.
    assumed : str
        What of its teeth nobody typed, so that the usual values stand.
    """

    name: str
    owned: bool
    price: float
    pair: _core.GearPair | None = None
    teeth: _core.GearTeeth | None = None
    diameter: float = 0.0
    bores: tuple[str, ...] = ()
    assumed: str = ""


@dataclass(frozen=True)
class Shafts:
    """What the parts go on.

    Attributes
    ----------
    crank, compressor : str
        Bore or spline that fits each shaft; empty where not typed.
    centre_distance : float
        Of the two shafts [m]; 0 when not known.
    belt : mapping
        Fields of the pulley link besides its diameters [SI].
    belt_length, take_up : float
        Of the belt, and by how much the tensioner lets its path differ either way [m]; 0 when not
        typed.
    rotates : str
        How the impeller must turn: ``"with crank"`` or ``"against crank"``.
    """

    crank: str
    compressor: str
    centre_distance: float
    belt: Mapping[str, float]
    belt_length: float
    take_up: float
    rotates: str


@dataclass(frozen=True, eq=False)
class Fitting:
    """One way to drive the compressor: parts, which way round, and the train they make.

    Attributes
    ----------
    parts : tuple of Part
        What is fitted, none for a link that stays as the build has it.
    words : str
        Parts and which way round.
    links : tuple
        The whole train, crank first.
    rated : tuple
        (number of the link [dimensionless], its teeth) of gears whose teeth are known.
    obstacles : tuple of Reason
        What stands against it before anything is run: bore, centre distance, rotation, belt.
    drive : Drive
        What the train makes.
    """

    parts: tuple[Part, ...]
    words: str
    links: tuple[Link, ...]
    rated: tuple[tuple[int, _core.GearTeeth], ...]
    obstacles: tuple[Reason, ...]
    drive: _core.Drive

    @cached_property
    def drive_ratio(self) -> float:
        """Compressor input shaft over crank speed [dimensionless]."""
        return float(self.drive.drive_ratio)

    @property
    def to_buy(self) -> frozenset[str]:
        """Names of the parts that are not owned."""
        return frozenset(part.name for part in self.parts if not part.owned)


@dataclass(frozen=True)
class _Way:
    """One link and which way round it is fitted, before it is put in the train."""

    parts: tuple[Part, ...]
    words: str
    link: Link | None
    teeth: _core.GearTeeth | None
    obstacles: tuple[Reason, ...]


def _bore_words(words: str, bores: Sequence[str], shafts: Shafts) -> list[Reason]:
    """Refuse a part whose bore does not suit the shaft it would sit on."""
    misfits = []
    for bore, shaft, place in zip(
        bores, (shafts.crank, shafts.compressor), ("crank", "compressor"), strict=True
    ):
        if shaft and bore != shaft:
            sentence = 'bore: {} has "{}", but the {} shaft takes "{}"'
            misfits.append(Reason(sentence, (words, bore, place, shaft)))
    return misfits


def _gear_ways(part: Part, shafts: Shafts) -> list[_Way]:
    ways: list[_Way] = []
    if part.pair is None:
        return ways
    for flipped in (False, True):
        link = part.pair.flipped() if flipped else part.pair
        teeth = part.teeth.flipped() if flipped and part.teeth is not None else part.teeth
        bores = part.bores[::-1] if flipped else part.bores
        words = f"{part.name} {link_words(link)}, {'flipped' if flipped else 'as typed'}"
        against = _bore_words(words, bores, shafts) if bores else []
        needs, has = link.centre_distance, shafts.centre_distance
        if has and abs(needs - has) > SAME_CENTRES:
            sentence = "centre distance: the pair needs {}, but the shafts are {} apart"
            against.append(Reason(sentence, ((needs, "length"), (has, "length"))))
        ways.append(_Way((part,), words, link, teeth, tuple(against)))
        if link.driving_teeth == link.driven_teeth and part.bores == part.bores[::-1]:
            break  # the other way round is the same drive
    return ways


def _pulley_ways(pulleys: Sequence[Part], shafts: Shafts) -> list[_Way]:
    """Every pulley on the crank with every other on the compressor."""
    ways = []
    for driving in pulleys:
        for driven in pulleys:
            if driving is driven:
                continue
            words = f"{driving.name} drives {driven.name}"
            bores = (*driving.bores, *driven.bores)
            against = _bore_words(words, bores, shafts) if len(bores) == 2 else []
            link, more = _belt_of(driving.diameter, driven.diameter, shafts)
            against += more
            ways.append(_Way((driving, driven), words, link, None, tuple(against)))
    return ways


def _belt_of(
    driving: float, driven: float, shafts: Shafts
) -> tuple[_core.PulleyPair, list[Reason]]:
    """Two pulleys with the belt, and what keeps it from running on them."""
    pulleys = {"driving_diameter": driving, "driven_diameter": driven}
    apart, needed = shafts.belt.get("centre_distance", 0.0), 0.5 * (driving + driven)
    if apart and apart <= needed:
        sentence = "centre distance: the pulleys need more than {}, but the shafts are {} apart"
        link = _core.PulleyPair(**{**shafts.belt, **pulleys, "centre_distance": 0.0})
        return link, [Reason(sentence, ((needed, "length"), (apart, "length")))]
    link = _core.PulleyPair(**{**shafts.belt, **pulleys})
    off = abs(link.belt_length - shafts.belt_length) if shafts.belt_length else 0.0
    if off <= shafts.take_up:
        return link, []
    lengths = (link.belt_length, shafts.belt_length, shafts.take_up)
    sentence = "belt: its path is {} long, but the belt is {} with {} of take-up"
    return link, [Reason(sentence, tuple((x, "length") for x in lengths))]


def fittings(
    links: Sequence[Link],
    rest: _core.Drive,
    gears: Sequence[Part],
    pulleys: Sequence[Part],
    shafts: Shafts,
) -> list[Fitting]:
    """Return every way to fit the parts into a train, those that cannot be among them.

    Gear pairs take the place of the train's first gear link and pulleys that of its first pulley
    link; in a train with only one of the two, both kinds take the place of that one.

    Parameters
    ----------
    links : sequence
        The train as the build has it, crank first.
    rest : Drive
        Fields that the links do not make.
    gears, pulleys : sequence of Part
        What there is to choose from.
    shafts : Shafts
        What they go on.

    Returns
    -------
    list of Fitting
        Every pair both ways round, every pulley with every other, and their combinations in a
        train that has both kinds.
    """
    gear_ways = [way for part in gears for way in _gear_ways(part, shafts)]
    belt_ways = _pulley_ways(pulleys, shafts)
    at_gears = first_of(_core.GearPair, links)
    at_belt = first_of(_core.PulleyPair, links)
    if at_gears is not None and at_belt is not None:
        stays = _Way((), "", None, None, ())
        pairs = [[(at_gears, g), (at_belt, b)] for g in gear_ways or [stays]
                 for b in belt_ways or [stays]]  # fmt: skip
    else:
        place = at_gears if at_gears is not None else at_belt
        pairs = [[(place, way)] for way in (*gear_ways, *belt_ways)] if place is not None else []
    return [_fitted(links, rest, pair, shafts) for pair in pairs]


def first_of(kind: type, links: Sequence[Link]) -> int | None:
    """Return the place of the first link of a kind in a train, crank first; None without one."""
    return next((i for i, link in enumerate(links) if isinstance(link, kind)), None)


def _fitted(
    links: Sequence[Link], rest: _core.Drive, ways: Sequence[tuple[int, _Way]], shafts: Shafts
) -> Fitting:
    train = list(links)
    for place, way in ways:
        if way.link is not None:
            train[place] = way.link
    against = [reason for _, way in ways for reason in way.obstacles]
    turns = "with crank" if _core.drive_rotation(train) > 0 else "against crank"
    if shafts.rotates and turns != shafts.rotates:
        sentence = (
            "rotation: the impeller would turn {}, but it is made to turn {}, and a wrong-handed "
            "impeller is scrap"
        )
        against.append(Reason(sentence, (turns, shafts.rotates)))
    rated = tuple((place, way.teeth) for place, way in ways if way.teeth is not None)
    return Fitting(
        tuple(part for _, way in ways for part in way.parts),
        "; ".join(way.words for _, way in ways if way.words),
        tuple(train),
        rated,
        tuple(against),
        _core.reduce_drive(train, rest=rest),
    )
