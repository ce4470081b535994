"""What a choice of compressor gives: candidates ranked, levels, rejections and pictures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from ..base.errors import quoted, refusal, suggestion
from ..chain.build import Build
from ..chain.plot_map import draw_on_map
from ..chain.pull import Pull
from ..plan.request import Target
from ..shown.columns import heading, label, shown
from ..shown.tables import Shown, Table
from ..shown.words import listed
from ..units.convert import formatted, unit_label
from .candidates import Candidate
from .trying import Trial, fitted, hand_of

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["Choice"]

#: Room below which a candidate stands close to a limit (common practice, no source).
CLOSE = 0.05
_SPEEDS = ("rotor_speed", "tip_speed")


@dataclass(frozen=True, eq=False)
class Standing:
    """How one candidate does.

    Attributes
    ----------
    candidate : Candidate
        The compressor.
    trials : tuple of Trial
        All its trials.
    chosen : mapping
        The trial taken for each level by its name, None for a level that none makes.
    """

    candidate: Candidate
    trials: tuple[Trial, ...]
    chosen: Mapping[str, Trial | None]

    @classmethod
    def of(cls, candidate: Candidate, trials: Sequence[Trial],
           targets: Sequence[Target]) -> Standing:  # fmt: skip
        """Return the best of its step-ups and sums of teeth."""
        together: dict[tuple[float, int], list[Trial]] = {}
        for trial in trials:
            if not trial.objections():
                together.setdefault((trial.step_up, sum(trial.teeth)), []).append(trial)
        ways = [cls(candidate, tuple(trials), _nearest(group, targets))
                for group in together.values()]  # fmt: skip
        nothing = cls(candidate, tuple(trials), {target.level: None for target in targets})
        return min([nothing, *ways], key=lambda one: one.key)

    @property
    def missed(self) -> list[str]:
        """Levels that no trial makes."""
        return [level for level, trial in self.chosen.items() if trial is None]

    @property
    def made(self) -> dict[str, Trial]:
        """The trial of every level that is made."""
        return {level: trial for level, trial in self.chosen.items() if trial is not None}

    @cached_property
    def key(self) -> tuple[float, float, float]:
        """What it is ranked by, the least first: levels missed, close to a limit, drive's share."""
        return float(len(self.missed)), float(self.tightest[1] < CLOSE), self.drive_share

    @property
    def drive_share(self) -> float:
        """Drive power over crank power at peak power, the mean of the levels made."""
        shares = [t.at_peak_power("drive_power") / t.at_peak_power("power")
                  for t in self.made.values()]  # fmt: skip
        return float(np.mean(shares)) if shares else float("inf")

    @property
    def strongest(self) -> Trial | None:
        """The level made that is driven fastest."""
        return max(self.made.values(), key=lambda t: t.step_up * t.ratio, default=None)

    @property
    def tightest(self) -> tuple[str, float]:
        """The limit that stands nearest at any level, and the room to it."""
        rooms = [(room, name) for t in self.made.values() for name, room in t.rooms().items()]
        room, name = min(rooms, default=(float("inf"), "nothing known"))
        return name, room

    def nearest_limit(self) -> str:
        """The limit nearest to the strongest level, and the room to it."""
        trial = self.strongest
        if trial is None:
            return "–"
        rooms = trial.rooms()
        if not rooms:
            return "not known"
        name = min(rooms, key=lambda one: rooms[one])
        return f"{name}, {100.0 * rooms[name]:.0f} % away"

    def most_boost(self) -> float:
        """Largest boost of any pair that keeps every limit [Pa]; NaN without one."""
        kept = [t.peak("boost")[0] for t in self.trials if not t.objections()]
        return max(kept, default=float("nan"))

    def misses(self, target: Target, system: str) -> str:
        """Why no trial makes a level: the nearest one, and what is against it."""
        near = min(self.trials, key=lambda t: (t.deviation(target), len(t.objections())))
        value = near.peak(target.name)[0]
        gives = f"gives {target.shown(value, system)}" if np.isfinite(value) else "gives nothing"
        against = "; ".join(near.objections(system))
        if not against and near.deviation(target) > 1.0:
            against = f"{target.shown(target.value, system)} was asked for, give or take "
            against += target.shown(target.tolerance, system)
        against = against or "it needs another step-up or sum of teeth than the levels made"
        return f"{target.level}: the nearest pair, {_pair_words(near)}, {gives}; {against}"


def _nearest(trials: Sequence[Trial], targets: Sequence[Target]) -> dict[str, Trial | None]:
    chosen: dict[str, Trial | None] = {}
    for target in targets:
        near = min(trials, key=lambda t: (t.deviation(target), t.ratio))
        chosen[target.level] = near if near.deviation(target) <= 1.0 else None
    return chosen


def _pair_words(trial: Trial) -> str:
    return f"{trial.teeth[0]}:{trial.teeth[1]} x {trial.step_up:g}"


@dataclass(frozen=True, eq=False, repr=False)
class Choice(Shown):
    """Compressors ranked for the targets. Made by `airchain.choosing.choose_compressor`.

    Attributes
    ----------
    build : Build
        The engine they were tried on.
    targets : tuple of Target
        What every level is to give.
    ranked : tuple of Standing
        All candidates, the best first.
    """

    build: Build
    targets: tuple[Target, ...]
    ranked: tuple[Standing, ...]

    def __getitem__(self, name: str) -> Standing:
        for standing in self.ranked:
            if standing.candidate.name == name:
                return standing
        names = [standing.candidate.name for standing in self.ranked]
        rule = "be a candidate"
        raise refusal("Choice", "candidate", quoted(name), rule, suggestion(str(name), names))

    @property
    def found(self) -> bool:
        """Whether the best makes every level."""
        return not self.ranked[0].missed

    def pulls(self, name: str) -> dict[str, Pull]:
        """Return the pull of every level that a candidate makes.

        Parameters
        ----------
        name : str
            The candidate.

        Returns
        -------
        dict
            Pulls by level, over the engine speeds of the choice.

        Raises
        ------
        InputError
            There is no such candidate.
        """
        return {
            level: fitted(self.build, t.candidate, t.step_up, t.teeth).pull(t.rpm)
            for level, t in self[name].made.items()
        }

    def plot(self, name: str, system: str = "trade") -> Figure:
        """Draw the operating lines of all levels on a candidate's map.

        Parameters
        ----------
        name : str
            The candidate.
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        matplotlib.figure.Figure
            The picture.

        Raises
        ------
        InputError
            There is no such candidate, or it makes no level.
        """
        pulls = self.pulls(name)
        if not pulls:
            rule = "make at least one level"
            raise refusal("Choice", "candidate", quoted(name), rule, "its rejections say why not")
        return draw_on_map(pulls, system=system, title=name)

    @property
    def verdict(self) -> str:
        """Which is best and why, in a sentence or two."""
        best = self.ranked[0]
        count = len(self.ranked)
        if best.missed:
            missed = ", ".join(best.missed)
            return (
                f"None of {count} candidates makes every level; {best.candidate.name} comes "
                f"nearest and misses {missed}."
            )
        return self.reason(best.candidate.name)

    def reason(self, name: str) -> str:
        """Return why a candidate stands where it does.

        Parameters
        ----------
        name : str
            The candidate.

        Returns
        -------
        str
            A sentence or two.

        Raises
        ------
        InputError
            There is no such candidate.
        """
        one = self[name]
        if not one.made:
            return f"{name} makes no level within its limits."
        made = len(one.made)
        every = f"all {made} levels" if made > 1 else "its one level"
        levels = every if not one.missed else f"{made} of {len(one.chosen)} levels"
        share = f"its drive takes {100.0 * one.drive_share:.1f} % of the power"
        # Shares compare only where the same levels are made.
        alike = [s for s in self.ranked if s is not one and s.made.keys() == one.made.keys()]
        if alike:
            other = alike[0]
            points = round(100.0 * one.drive_share, 1) - round(100.0 * other.drive_share, 1)
            than = "more" if points > 0.0 else "less"
            share += f", {abs(points):.1f} points {than} than {other.candidate.name}"
        close = ""
        if one.tightest[1] < CLOSE:
            close = f" It stands {100.0 * one.tightest[1]:.0f} % from {one.tightest[0]}."
        boost = formatted(one.most_boost(), "pressure_difference")
        return (
            f"{name} makes {levels}; {share}.{close} The pairs at hand take it to {boost}. The "
            f"limit nearest to its strongest level is {one.nearest_limit()}."
        )

    @property
    def rejections(self) -> dict[str, list[str]]:
        """Why levels were missed and trials rejected, by candidate."""
        told: dict[str, list[str]] = {}
        for one in self.ranked:
            lines = [one.misses(t, "trade") for t in self.targets if t.level in one.missed]
            for trial in one.trials:
                lines += [f"{_pair_words(trial)}: {'; '.join(why)}"
                          for why in [trial.objections()] if why]  # fmt: skip
            if lines:
                told[one.candidate.name] = lines
        return told

    @property
    def notes(self) -> list[str]:
        """Each further candidate in a sentence, and what to be careful of."""
        others = [self.reason(s.candidate.name) for s in self.ranked if s is not self.ranked[0]]
        if self.ranked[0].missed:
            others.insert(0, self.reason(self.ranked[0].candidate.name))
        if any(s.candidate.predicted for s in self.ranked):
            others.append(
                "Maps predicted from dimensions tend to read 2 to 4 points of efficiency high, and "
                "their flow of best efficiency and their surge line are estimates."
            )
        untold = [s.candidate.name for s in self.ranked if "rotates" not in s.candidate.table]
        if untold:
            others.append(
                f"Nobody says which way the impeller of {listed(untold)} must turn. It is taken to "
                f"turn {hand_of(self.build)}, as today's train turns its compressor. Ask before "
                "one is bought, and type compressor.rotates: a wrong-handed impeller is scrap."
            )
        others.append("A computed margin is no permission: keep to the makers' limits.")
        return others

    def _tables(self, system: str) -> list[Table]:
        return [self._ranking(system), *(self._levels(s, system) for s in self.ranked if s.made)]

    def _ranking(self, system: str) -> Table:
        headings = ["candidate", "levels made", "step-up", "drive takes", "boost at most",
                    "limit nearest"]  # fmt: skip
        units = ["", "", "", "%", unit_label("pressure_difference", system), ""]
        rows = []
        for one in self.ranked:
            trial, boost = one.strongest, one.most_boost()
            room = formatted(boost, "pressure_difference", system).split(" ")[0]
            rows.append([
                one.candidate.name, f"{len(one.made)} of {len(one.chosen)}",
                f"{trial.step_up:g}" if trial else "–",
                f"{100.0 * one.drive_share:.1f}" if trial else "–",
                room if np.isfinite(boost) else "–", one.nearest_limit(),
            ])  # fmt: skip
        return Table(headings, units, rows, "The candidates, the best first", flush=(0, 5))

    def _levels(self, one: Standing, system: str) -> Table:
        """Each level at its peak power in the build's weather; margins and speeds over all days."""
        names = ("power", "boost", "isentropic_efficiency", "charge_temperature", "drive_power")
        headings = ["level", "pair", "drive ratio", *(heading(name) for name in names),
                    "least surge margin", "least choke margin", "highest rotor speed",
                    "highest tip speed"]  # fmt: skip
        units = ["", "", "", *(label(name, system) for name in names), "%", "%",
                 *(label(name, system) for name in _SPEEDS)]  # fmt: skip
        rows = []
        for level, trial in one.made.items():
            values = [shown(name, trial.at_peak_power(name), system) for name in names]
            margins = [_percent(trial.least(f"{m}_margin")[0]) for m in ("surge", "choke")]
            speeds = [shown(name, trial.most(name)[0], system) for name in _SPEEDS]
            pair = f"{trial.teeth[0]}:{trial.teeth[1]}"
            rows.append([level, pair, f"{trial.ratio:.4f}", *values, *margins, *speeds])
        return Table(headings, units, rows, one.candidate.name, flush=(0, 1))


def _percent(room: float) -> str:
    return f"{100.0 * room:.0f}" if np.isfinite(room) else "not known"
