"""One way of fitting the parts, tried: whether it keeps the limits and which targets it meets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..shown import statuses
from ..shown.columns import peak_of
from ._reason import Reason
from ._solving import Solved
from .knock import Knock
from .limits import QUANTITIES, Limit
from .margins import Margin, margins_of
from .parts import Fitting
from .request import AS_TYPED, PlanRequest, Target
from .throttle_shut import ThrottleShut

__all__ = ["Trial", "overspeed"]


def overspeed(
    fitting: Fitting, request: PlanRequest, compressor: _core.Compressor
) -> tuple[Reason, ...]:
    """Return why a ratio is too high before anything is solved: by kinematics alone.

    Parameters
    ----------
    fitting : Fitting
        What is fitted.
    request : PlanRequest
        Limits and engine speeds.
    compressor : Compressor
        For its impeller.

    Returns
    -------
    tuple of Reason
        One a limit.
    """
    rotor = float(fitting.drive.speed_ratio) * float(request.rpm[-1]) * RPM
    diameter = float(compressor.map.data.tip_diameter)
    reasons = []
    for name, value in (("rotor_speed", rotor), ("tip_speed", 0.5 * rotor * diameter)):
        limit: Limit | None = request.limits.get(name)
        if limit is not None and value > limit.value:
            kind = limit.quantity.kind
            sentence = "{}: it is {} at {} rpm, and the limit is at most {} ({})"
            rpm = f"{request.rpm[-1]:,.0f}"
            values = (limit.quantity.words, (value, kind), rpm, (limit.value, kind), limit.source)
            reasons.append(Reason(sentence, values))
    return tuple(reasons)


@dataclass(frozen=True, eq=False)
class Trial:
    """A fitting with everything that is known of it.

    Attributes
    ----------
    fitting : Fitting
        Parts and which way round.
    request : PlanRequest
        What was asked.
    solved : mapping
        What it gives, by weather; empty where it cannot be fitted or overspeeds at once.
    at_once : tuple of Reason
        What ruled it out before anything was solved.
    knock : mapping or None
        The room to knock by weather; empty where nobody looked for it, None where nothing is known
        of the cylinder.
    shut : ThrottleShut or None
        The valve fitted against what it must pass as the throttle shuts; None without a valve.
    """

    fitting: Fitting
    request: PlanRequest
    solved: Mapping[str, Solved]
    at_once: tuple[Reason, ...] = field(default=())
    knock: Mapping[str, Knock] | None = None
    shut: ThrottleShut | None = None

    @cached_property
    def margins(self) -> dict[str, list[Margin]]:
        """Margins by weather."""
        room = self.knock or {}
        by_weather = {
            weather: margins_of(self.fitting, self.request, weather, solved, room.get(weather))
            for weather, solved in self.solved.items()
        }
        if self.knock is None or room:
            return by_weather
        return {w: [m for m in row if m.name != "knock"] for w, row in by_weather.items()}

    @property
    def knock_open(self) -> bool:
        """Whether its room to knock could be looked for, and nobody has done so."""
        answers = [bool(solved.matched.any()) for solved in self.solved.values()]
        return self.knock == {} and bool(answers) and all(answers)

    @cached_property
    def objections(self) -> tuple[str, ...]:
        """Why it is rejected whatever the level: empty for one that keeps every limit."""
        return self.objections_in("trade")

    def objections_in(self, system: str) -> tuple[str, ...]:
        """Return why it is rejected whatever the level.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        tuple of str
            Empty for one that keeps every limit.
        """
        if self.at_once:
            ruled = tuple(reason.text(system) for reason in self.at_once)
            first = f"{ruled[0].partition(':')[0]} fails first"
            return ruled if self.fitting.obstacles else (*ruled, *self._unseen(first))
        unsolved = [text for weather, solved in self.solved.items()
                    for text in _unsolved(weather, solved)]  # fmt: skip
        # A limit that fails in several weathers is named once, at its worst.
        failed = _worst_of([m for row in self.margins.values() for m in row if not m.clears])
        narrow = self._narrow_valve()
        told = (*unsolved, *(margin.reason(system) for margin in failed), *narrow)
        first = next((margin.words for margin in failed), "the bypass")
        since = "not every point can be run" if unsolved else f"{first} fails first"
        return (*told, *self._unseen(since)) if told else ()

    def _unseen(self, since: str) -> tuple[str, ...]:
        """Say that nobody looked for knock: whoever mends the rest shall not take it for clear."""
        if self.knock != {} or "knock" not in self.request.limits:
            return ()
        return (f"{QUANTITIES['knock'].words}: not looked at, since {since}",)

    def _narrow_valve(self) -> tuple[str, ...]:
        """Whether the valve fitted passes too little as the throttle shuts."""
        shut = self.shut
        if shut is None or shut.holds is not False:
            return ()
        when = f"as the throttle shuts at {shut.rpm:,.0f} rpm, {shut.weather}"
        return (f"bypass: {shut.judgement}, {when}",)

    def worst_margins(self) -> list[Margin]:
        """Return each quantity's margin in the weather where it is worst.

        Returns
        -------
        list of Margin
            In the order of `limits.QUANTITIES`; the build's own weather where all are alike.
        """
        return _worst_of([margin for row in self.margins.values() for margin in row])

    @property
    def knocks(self) -> bool:
        """Whether it knocks by the estimate on some day, whatever limit was typed."""
        margins = (m for m in self.worst_margins() if m.name == "knock" and not m.floor)
        return any(m.value < 0.0 for m in margins)

    @property
    def tightest(self) -> Margin | None:
        """The margin that uses most of its limit."""
        limited = [m for m in self.worst_margins() if m.limit is not None and m.known]
        # A floor may have far more room than it shows, so it is nearest only where it is alone.
        return max(limited, key=lambda m: (not m.open_ended, np.nan_to_num(m.used)), default=None)

    def reaches(self, target: Target) -> float:
        """Return what it gives of a target's quantity in the build's own weather.

        Parameters
        ----------
        target : Target
            The target.

        Returns
        -------
        float
            The value [SI]; NaN where there is no answer.
        """
        solved = self.solved.get(AS_TYPED)
        if solved is None:
            return float("nan")
        values, _ = solved.band(target.name)
        if not target.rpm:
            return peak_of(values, solved.rpm)[0]
        return float(np.interp(target.rpm, solved.rpm, values))

    def deviation(self, target: Target) -> float:
        """Return how far it lies from a target, in tolerances.

        Parameters
        ----------
        target : Target
            The target.

        Returns
        -------
        float
            0 on target, above 1 outside its tolerance [dimensionless]; NaN where it gives none.
        """
        return abs(self.reaches(target) - target.value) / target.tolerance

    def misses(self, target: Target, system: str = "trade") -> str:
        """Return by how much it misses a target, empty where it meets it.

        Parameters
        ----------
        target : Target
            The target.
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            Such as ``"it misses tame by +120.3 hp"``.
        """
        if self.deviation(target) <= 1.0:
            return ""
        off = self.reaches(target) - target.value
        if not np.isfinite(off):
            return f"it gives no {target.name} for {target.level}"
        sign = "+" if off > 0 else "-"
        return f"it misses {target.level} by {sign}{target.shown(abs(off), system)}"


def _worst_of(margins: Sequence[Margin]) -> list[Margin]:
    """Each quantity's margin in the weather that leaves it least; the first where all are alike."""
    worst: dict[str, Margin] = {}
    for margin in margins:
        kept = worst.get(margin.name)
        if kept is None or _load(margin) > _load(kept):
            worst[margin.name] = margin
    return list(worst.values())


def _load(margin: Margin) -> float:
    if margin.limit is None:
        # Without a limit the value itself is compared, its band towards the worse end included.
        worst = margin.worst
        return worst if np.isfinite(worst) else -np.inf
    return margin.used if np.isfinite(margin.used) or margin.used > 0.0 else -np.inf


def _unsolved(weather: str, solved: Solved) -> list[str]:
    """Points without an answer, by their cause, and points where the compressor is choked."""
    names = statuses.status_names()
    reasons = []
    for code, name in enumerate(names):
        at = solved.rpm[np.asarray(solved.status) == code]
        if code and at.size:
            reasons.append(f"no answer at {_span(at)} rpm, {weather}: {statuses.words(name)}")
    choked = solved.matched & statuses.has(solved.flags, "on_choke_line")
    if choked.any():
        at = solved.rpm[choked]
        reasons.append(f"the compressor is choked at {_span(at)} rpm, {weather}: it passes no more")
    return reasons


def _span(rpm: NDArray[np.float64]) -> str:
    return f"{rpm[0]:,.0f}" + (f" to {rpm[-1]:,.0f}" if rpm.size > 1 else "")
