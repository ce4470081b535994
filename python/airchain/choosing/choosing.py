"""From candidates, pairs and step-ups to the compressor that makes every level best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from ..base.errors import quoted, refusal
from ..base.progress import Progress, telling
from ..chain.build import Build
from ..chain.solving import default_speeds
from ..typed.place import TypedByName
from .asking import Pairs, days_of, misfits_of, pairs_of, targets_of
from .candidates import Candidate
from .choice import Choice, Standing
from .trying import Trial, tried

__all__ = ["choose_compressor"]

_WHERE = "choose_compressor"


def choose_compressor(
    build: Build, targets: TypedByName, candidates: Sequence[Candidate], *,
    pairs: Pairs | None = None, weather: Mapping[str, TypedByName] | None = None,
    tolerance: float = 0.03, surge_margin: float = 0.0, choke_margin: float = 0.0,
    progress: Progress | None = None,
) -> Choice:  # fmt: skip
    """Choose the compressor that makes every level, out of those that can be had.

    Every candidate is tried with every step-up and every pair of gears, in every weather. Each such
    combination is a trial. It passes only if all of its points are solved and all limits are kept
    in each weather. The levels
    of one candidate share its step-up and one sum of teeth, because the shafts do not move. For
    each level the passing pair is taken that comes nearest to the target in the build's own
    weather.

    The candidate that misses fewest levels comes first. Among equals, one with less than 5 % left
    to a limit comes behind those with more; then the one whose drive takes the smaller share of
    power comes first. Each candidate is judged on its own: another one beside it changes nothing.

    Parameters
    ----------
    build : Build
        The engine with its ways, cooler and weather; its own compressor is no candidate unless it
        is among them.
    targets : mapping
        Peak power, torque or boost by level, such as ``{"tame": "700 hp", "full": "20 psi"}``. A
        level need not be one of the build's; a name that only nearly is one of theirs is refused.
    candidates : sequence of Candidate
        What can be had; `family` makes similar ones.
    pairs : sequence, optional
        Pairs of teeth, such as ``"40:33"``, each tried both ways round; those of the build's
        drive, levels and plan without it.
    weather : mapping, optional
        Days by name, each a table like ``[ambient]``, with a ``coolant_temperature`` where it
        differs; those of the build's ``[plan.weather]`` without it.
    tolerance : float
        How far a level may lie off its target, as a share of it [dimensionless, above 0 to 0.5].
    surge_margin, choke_margin : float
        Least margin to surge and to choke that every point must keep [dimensionless].
    progress : callable, optional
        Called with the candidates done and all of them [dimensionless]. Without it, work that
        lasts tells on standard error how far it is.

    Returns
    -------
    Choice
        The candidates ranked, with the reason, every level and every rejection.

    Raises
    ------
    InputError
        There is no candidate, a name stands twice, or a target, pair or table is refused.

    Notes
    -----
    Exact over the candidates: every trial is solved. A pair that does not go between the shafts is
    rejected where their distance and its module are known, from the build or its plan; a train
    that turns the impeller the wrong way is rejected too. Where a candidate's table has no
    ``rotates``, its hand is that which the build's own train turns. Left out: bores, belts and
    knock, which `plan_levels` judges. A map predicted from dimensions tends to
    read 2 to 4 points of efficiency high.
    """
    if build.chain.compressor is None:
        raise refusal(build.title, "compressor", "none", "be there, to show how it is driven")
    _check_candidates(candidates)
    asked = targets_of(build, targets, tolerance)
    build = build.with_surface()
    ways, days, rpm = pairs_of(build, pairs), days_of(build, weather), default_speeds(build)
    misfits = misfits_of(build, ways)
    standings = []
    with telling("choice of a compressor", "candidates") as told:
        tell = told if progress is None else progress
        for number, candidate in enumerate(candidates):
            tell(number, len(candidates))
            trials: list[Trial] = []
            for step_up in candidate.step_ups or (float(build.chain.drive.step_up),):
                limits = (surge_margin, choke_margin)
                trials += tried(build, candidate, step_up, ways, days, rpm, limits, misfits)
            standings.append(Standing.of(candidate, trials, asked))
        tell(len(candidates), len(candidates))
    order = np.array([s.key for s in standings], dtype=float)
    ranked = [standings[i] for i in np.lexsort(order.T[::-1])]
    return Choice(build, asked, tuple(ranked))


def _check_candidates(candidates: Sequence[Candidate]) -> None:
    hint = 'such as [airchain.Candidate.of("big", airchain.load("big.toml"))]'
    others = [type(one).__name__ for one in candidates if not isinstance(one, Candidate)]
    if others:
        raise refusal(_WHERE, "candidates", others[0], "hold candidates only", hint)
    names = [one.name for one in candidates]
    if not names:
        raise refusal(_WHERE, "candidates", "none", "hold at least one candidate", hint)
    if len(set(names)) < len(names):
        rule = "hold candidates of different names"
        raise refusal(_WHERE, "candidates", quoted(", ".join(names)), rule)
