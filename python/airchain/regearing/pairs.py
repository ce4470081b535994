"""Every pair of gears or pulleys that fits the shafts of a build and drives between two ratios."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from .. import _core
from ..chain.build import Build
from ..plan.as_fitted import carried_by
from ..plan.parts import Fitting, Part, first_of, fittings
from ..plan.profile_shift import MODULES, ShiftedPair
from ..plan.request import PlanRequest
from ..units.convert import formatted

#: Fewest and most teeth of a gear that is offered: the rating knows none below 12.
_FEWEST, _MOST = 12, 200
#: Modules that are offered, over that of the pair in the drive.
_FINER, _COARSER = 0.7, 1.45
#: Steps that pulleys are turned to [m].
_TURNED = 0.5e-3
#: How hard something is to come by: owned, of the exact sum or on the list, else new tools.
OWNED, PLAIN, SHIFTED, OTHER = range(4)


@dataclass(frozen=True, eq=False)
class Offer:
    """One way to drive faster.

    Attributes
    ----------
    fitting : Fitting
        Parts and the train they make.
    rank : int
        How hard it is to come by, 0 for what is owned [dimensionless].
    mesh : ShiftedPair or None
        Geometry of a pair that is to be cut for these centres.
    """

    fitting: Fitting
    rank: int
    mesh: ShiftedPair | None = None


def offers(build: Build, request: PlanRequest, low: float, high: float) -> list[Offer]:
    """Return what drives between two ratios: parts of the plan, pairs to be cut, pulleys to turn.

    `build` stands on the fastest drive handed over. Ratios are input shaft over crank
    [dimensionless]; the lower end is left out.
    """
    rest, shafts = build.chain.drive, request.shafts
    listed = fittings(build.links, rest, request.gears, request.pulleys, shafts)
    found = [Offer(way, OWNED if not way.to_buy else PLAIN) for way in listed]
    taken = {_teeth(way) for way in listed if not way.obstacles}
    found += [one for one in _cut(build, request, low, high) if _teeth(one.fitting) not in taken]
    found += _turned(build, request, low, high)
    return [one for one in found if low < one.fitting.drive_ratio <= high]


def _teeth(way: Fitting) -> tuple[float, ...]:
    """Teeth and module of the first pair of a train."""
    place = first_of(_core.GearPair, way.links)
    pair = way.links[place] if place is not None else None
    if not isinstance(pair, _core.GearPair):
        return ()
    return pair.driving_teeth, pair.driven_teeth, round(1e6 * pair.module)


def _cut(build: Build, request: PlanRequest, low: float, high: float) -> list[Offer]:
    """Pairs that could be cut for the centres, every one both ways round by its own ratio."""
    place = first_of(_core.GearPair, build.links)
    if place is None:
        return []
    pair = build.links[place]
    assert isinstance(pair, _core.GearPair)
    rest = float(build.chain.drive.drive_ratio) / pair.ratio
    limits = low / rest, high / rest
    module = pair.module or _listed(request)
    if not module or not request.shafts.centre_distance:
        total = round(pair.driving_teeth + pair.driven_teeth)
        ways = list(_split(total, limits))
        return [_offer(build, request, place, _plain(a, b, pair), "exact sum") for a, b in ways]
    found = []
    for mesh in _meshes(module, request.shafts.centre_distance, limits):
        rank = PLAIN if mesh.module == module and not mesh.shifted else SHIFTED
        rank = OTHER if mesh.module != module and mesh.shifted else rank
        link = mesh.pair(pair.efficiency)
        found.append(replace(_offer(build, request, place, link, mesh.words, mesh), rank=rank))
    return found


def _listed(request: PlanRequest) -> float:
    """Module of the plan's pairs, where the drive's own is not known [m]; 0 without any."""
    return next((part.pair.module for part in request.gears if part.pair), 0.0)


def _plain(driving: int, driven: int, like: _core.GearPair) -> _core.GearPair:
    return like.replace(driving_teeth=driving, driven_teeth=driven)


def _split(total: int, limits: tuple[float, float]) -> Iterator[tuple[int, int]]:
    """Driving and driven teeth of a sum within ratios."""
    for driving in range(_FEWEST, total - _FEWEST + 1):
        driven = total - driving
        if limits[0] < driving / driven <= limits[1] and max(driving, driven) <= _MOST:
            yield driving, driven


def _meshes(module: float, centres: float, limits: tuple[float, float]) -> Iterator[ShiftedPair]:
    """Every pair that can be cut for the centres: of the drive's own module and of preferred ones.

    Centres that differ from a sum's own by less than a thousandth of a module need no shift.
    """
    others = [m for m in MODULES if _FINER <= m / module <= _COARSER and abs(m - module) > 1e-9]
    for size in (module, *others):
        whole = 2.0 * centres / size
        for total in range(floor(whole) - 1, ceil(whole) + 2):
            for driving, driven in _split(total, limits):
                mesh = ShiftedPair(driving, driven, size, centres)
                if not mesh.obstacles():
                    yield mesh


def _offer(build: Build, request: PlanRequest, place: int, link: _core.GearPair, how: str,
           mesh: ShiftedPair | None = None) -> Offer:  # fmt: skip
    train = list(build.links)
    train[place] = link
    teeth = carried_by(request, link)
    if teeth is not None and mesh is not None:
        teeth = mesh.rated(teeth)
    rated = ((place, teeth),) if teeth is not None and link.module > 0.0 else ()
    words = f"{link.driving_teeth:.0f}/{link.driven_teeth:.0f} teeth, {how}"
    part = Part(words, False, 0.0, link, teeth)
    drive = _core.reduce_drive(train, rest=build.chain.drive)
    return Offer(Fitting((part,), words, tuple(train), rated, (), drive), PLAIN, mesh)


def _turned(build: Build, request: PlanRequest, low: float, high: float) -> list[Offer]:
    """The pulleys of the drive with one of them turned to another diameter."""
    place = first_of(_core.PulleyPair, build.links)
    if place is None or first_of(_core.GearPair, build.links) is not None:
        return []
    now = build.links[place]
    assert isinstance(now, _core.PulleyPair)
    ratio = float(build.chain.drive.drive_ratio)
    found: list[Offer] = []
    for faster in (low + (high - low) * i / 8.0 for i in range(1, 9)):
        larger = _rounded(now.driving_diameter * faster / ratio)
        smaller = _rounded(now.driven_diameter * ratio / faster)
        for driving, driven in ((larger, now.driven_diameter), (now.driving_diameter, smaller)):
            found += _pulleys(build, request, driving, driven)
    return list({one.fitting.words: one for one in found}.values())


def _rounded(diameter: float) -> float:
    return _TURNED * round(diameter / _TURNED)


def _pulleys(build: Build, request: PlanRequest, driving: float, driven: float) -> list[Offer]:
    names = [f"pulley of {formatted(d, 'length')}" for d in (driving, driven)]
    parts: Sequence[Part] = [
        Part(name, False, 0.0, diameter=d) for name, d in zip(names, (driving, driven), strict=True)
    ]
    ways = fittings(build.links, build.chain.drive, (), parts, request.shafts)
    return [Offer(way, PLAIN) for way in ways if way.parts[0] is parts[0]]
