"""The levels of a build as its file has them, judged as a plan judges its own."""

from __future__ import annotations

from dataclasses import dataclass

from .. import _core
from ..base.errors import quoted, refusal
from ..chain.build import Build
from ..fit.reconciliation import Reconciliation
from .parts import Fitting, Link, first_of
from .plan import PlannedLevel
from .reading import read_plan
from .request import PlanRequest, Target
from .trying import planned_level, tried

__all__ = ["FittedLevels", "carried_by", "fitted_levels", "present"]


@dataclass(frozen=True, eq=False)
class FittedLevels:
    """The levels of a build, the slowest drive first.

    Attributes
    ----------
    build : Build
        The build, with the factors of a fit where there is one.
    request : PlanRequest
        Limits, weather and engine speeds.
    levels : tuple of PlannedLevel
        The levels, each with the power that it gives as its target.
    band : str
        Where the uncertainty comes from.
    """

    build: Build
    request: PlanRequest
    levels: tuple[PlannedLevel, ...]
    band: str


def fitted_levels(build: Build | Reconciliation) -> FittedLevels:
    """Judge the levels of a build as its file has them; it needs no plan.

    Parameters
    ----------
    build : Build or Reconciliation
        The build, or a fit of it to pulls, whose band is then used.

    Returns
    -------
    FittedLevels
        Levels, limits and weather.

    Raises
    ------
    InputError
        There is no compressor, the plan is refused, or a level turns the impeller too fast.
    """
    fit = build if isinstance(build, Reconciliation) else None
    whole = build.build if isinstance(build, Reconciliation) else build
    request = read_plan(whole, levels=False)
    whole = whole.with_surface()
    on = [whole.level(name) for name in whole.levels] or [whole]
    trials, band = tried(whole, fit, request, [present(one, request) for one in on])
    levels = []
    for trial in trials:
        name = trial.fitting.words
        if trial.at_once:
            value = "; ".join(trial.objections)
            rule = "keep the speed limits of its compressor"
            raise refusal(whole.title, name, quoted(value), rule, "leave the level out")
        power = trial.reaches(Target(name, "power", 1.0, 1.0, 0.0))
        target = Target(name, "power", power, 0.05 * power, 0.0)
        levels.append(planned_level(whole, fit, request, target, trial, ""))
    fitted = whole if fit is None else whole.changed(fit.factors)
    return FittedLevels(fitted, request, tuple(levels), band)


def present(build: Build, request: PlanRequest) -> Fitting:
    """Return the train of a build as it stands, its teeth rated where they are known.

    Parameters
    ----------
    build : Build
        The build on a level.
    request : PlanRequest
        What is known of teeth.

    Returns
    -------
    Fitting
        No parts, the links, and the name of the level.
    """
    links = list(build.links)
    place = first_of(_core.GearPair, links)
    rated: tuple[tuple[int, _core.GearTeeth], ...] = ()
    if place is not None:
        pair = links[place]
        if isinstance(pair, _core.GearPair) and not pair.module:
            # The drive need not say what a part of the plan with as many teeth says.
            links[place] = pair = pair.replace(module=_module(request, pair))
        teeth = carried_by(request, pair)
        if teeth is not None and isinstance(pair, _core.GearPair) and pair.module > 0.0:
            rated = ((place, teeth),)
    name = build.level_name or "the drive as built"
    return Fitting((), name, tuple(links), rated, (), build.chain.drive)


def _module(request: PlanRequest, pair: _core.GearPair) -> float:
    """Module of the plan's part with as many teeth [m]; 0 without one."""
    wanted = {pair.driving_teeth, pair.driven_teeth}
    for part in request.gears:
        if part.pair and {part.pair.driving_teeth, part.pair.driven_teeth} == wanted:
            return float(part.pair.module)
    return 0.0


def carried_by(request: PlanRequest, link: Link) -> _core.GearTeeth | None:
    """Return what the teeth of a pair carry: as the plan's own part with as many, else as usual.

    Parameters
    ----------
    request : PlanRequest
        Parts and teeth.
    link : GearPair, StepUp or PulleyPair
        The link.

    Returns
    -------
    GearTeeth or None
        None where nothing is known.
    """
    if isinstance(link, _core.GearPair):
        wanted = {link.driving_teeth, link.driven_teeth}
        for part in request.gears:
            own = part.pair
            if own and part.teeth and {own.driving_teeth, own.driven_teeth} == wanted:
                turned = own.driving_teeth != link.driving_teeth
                return part.teeth.flipped() if turned else part.teeth
    return request.teeth
