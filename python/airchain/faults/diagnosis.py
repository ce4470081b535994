"""What a diagnosis found: faults with their chances, what cannot be told apart, what decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..fit.questions import Answers
from ..fit.runs import Run
from ..measured.quantities import QUANTITIES
from ..shown.tables import Shown, Table
from .catalogue import Fault
from .cylinders import Weakest
from .sizes import said

__all__ = ["Diagnosis", "Suspect"]

Array = NDArray[np.float64]
#: Chance from which a pull is said to be odd, and share of the faults' from which one is named.
SURE, _NAMED = 0.9, 0.8
#: Share below which a fault is no rival, and how many are told.
_RIVAL, _MOST = 0.04, 5
#: Rows of a table, at least and at most, and the chance from which a fault has one.
_ROWS, _SHOWN = (3, 8), 0.005
#: Level of all questions together at which a channel is called unexplained.
_UNEXPLAINED = 0.01
#: Chance from which a cylinder is named.
_THIS_ONE = 0.9


@dataclass(frozen=True)
class Suspect:
    """One fault, weighed against a pull.

    Attributes
    ----------
    fault : Fault
        What it is, and what would prove it.
    chance : float
        That it is this one, from 0 to 1 [dimensionless].
    kind : str
        What its size is: ``"share"``, ``"hole"``, ``"pressure"``, ``"temperature"``, ``"angle"``,
        ``"time"``, ``"atmospheres"`` or ``"cylinder"``.
    size, low, high : float
        The likeliest size if it is this fault, and the ends of its 90 % interval [SI].
    shows_from : float
        The least size that a pull with these channels would show [SI]; NaN if none would.
    beyond : mapping
        By channel, what it adds to the readings [SI] over the rows.
    """

    fault: Fault
    chance: float
    kind: str
    size: float
    low: float
    high: float
    shows_from: float
    beyond: Mapping[str, Array]

    @property
    def name(self) -> str:
        """Name of the fault."""
        return self.fault.name

    def size_words(self, system: str = "trade") -> str:
        """Return its size as text.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            The size with its unit.
        """
        return said(self.kind, self.size, system)


@dataclass(frozen=True)
class Pair:
    """Two faults at once that explain a pull better than any one.

    Attributes
    ----------
    suspects : tuple of Suspect
        The two, each with the size that it has beside the other.
    share : float
        Chance of this pair among all pairs [dimensionless].
    """

    suspects: tuple[Suspect, Suspect]
    share: float

    @property
    def words(self) -> str:
        """What the two are called."""
        return " with ".join(s.fault.short for s in self.suspects)


@dataclass(frozen=True, eq=False, repr=False)
class Diagnosis(Shown):
    """What is wrong with a pull, as far as its channels tell. Made by `airchain.diagnose`.

    Attributes
    ----------
    run : Run
        The pull as it was looked at.
    suspects : tuple of Suspect
        Every fault that can be in such a pull, the likeliest first.
    healthy_chance : float
        That none of them is [dimensionless].
    rest : mapping of str to Answers
        By channel, whether what the best explanation leaves is offset, shaped or scattered.
    weak : Weakest or None
        The weakest cylinder, where readings by cylinder were given.
    next_log : str
        The sensor that would tell the rivals apart, in a sentence; empty where none would.
    pairs : tuple of Pair
        Two faults at once, the likeliest first, where one alone does not explain the pull and two
        do far better; else empty.
    """

    run: Run
    suspects: tuple[Suspect, ...]
    healthy_chance: float
    rest: Mapping[str, Answers]
    weak: Weakest | None = None
    next_log: str = ""
    pairs: tuple[Pair, ...] = ()

    def with_next(self, words: str) -> Diagnosis:
        """Return the same with the sensor that would decide.

        Parameters
        ----------
        words : str
            A sentence; empty for none.

        Returns
        -------
        Diagnosis
            The whole.
        """
        return replace(self, next_log=words)

    @property
    def unexplained(self) -> tuple[str, ...]:
        """Channels that neither a sound engine nor the likeliest fault explains."""
        level = _UNEXPLAINED / (3.0 * max(len(self.rest), 1))
        return tuple(name for name, answers in self.rest.items() if answers.faults(level))

    @property
    def healthy(self) -> bool:
        """Whether nothing is seen to be wrong."""
        return 1.0 - self.healthy_chance < SURE and not self.unexplained

    @property
    def rivals(self) -> tuple[Suspect, ...]:
        """Faults that these channels cannot tell apart, the likeliest first; none of a healthy one.

        One alone is named.
        """
        if 1.0 - self.healthy_chance < SURE:
            return ()
        whole = sum(s.chance for s in self.suspects)
        if self.suspects[0].chance >= _NAMED * whole:
            return self.suspects[:1]
        return tuple(s for s in self.suspects if s.chance >= _RIVAL * whole)[:_MOST]

    @property
    def named(self) -> Suspect | None:
        """The fault, where one alone explains the pull; else None."""
        return self.rivals[0] if len(self.rivals) == 1 and not self.pairs else None

    @property
    def two(self) -> Pair | None:
        """The two faults that explain the pull together; None where that is not sure."""
        return self.pairs[0] if self.pairs and self.pairs[0].share >= _NAMED else None

    def effects(self, column: str, rpm: float) -> dict[str, float]:
        """Return what the likeliest fault adds to a reading, or each of the likeliest two.

        Parameters
        ----------
        column : str
            A channel of the pull, or ``"power"`` or ``"boost"``.
        rpm : float
            Engine speed within the pull [rpm].

        Returns
        -------
        dict
            By what the fault is called, what it adds [SI]; empty where nothing is wrong.

        Raises
        ------
        InputError
            The pull did not read the column.
        """
        channel = {"power": "torque", "boost": "plenum_pressure"}.get(column, column)
        if channel not in self.run.columns:
            raise refusal(self.run.name, "column", quoted(column), "be read in the pull")
        likeliest = self.pairs[0].suspects if self.pairs else self.rivals[:1]
        added = {}
        for suspect in likeliest:
            over = suspect.beyond.get(channel, np.zeros(self.run.rpm.size))
            over = over * self.run.speeds if column == "power" else over
            added[suspect.fault.short] = float(np.interp(rpm, self.run.rpm, over))
        return added

    @property
    def verdict(self) -> str:
        """What is wrong, as it is said beside the dyno."""
        name = self.run.name
        if other := self.run.other_level:
            return (f"{name}: the rotor turned as the drive of level {other} turns it. "
                    "Diagnose the pull at that level first. If the level was right, the rotor "
                    "speed sensor is wrong.")  # fmt: skip
        if self.healthy:
            return f"{name}: nothing is seen to be wrong."
        if self.pairs:
            return f"{name}: {self._pair_words()}"
        if not self.rivals:
            words = ", ".join(QUANTITIES[n].words for n in self.unexplained)
            return (f"{name}: something is wrong with {words}, and none of the faults known here "
                    "explains it.")  # fmt: skip
        best = self.suspects[0]
        if self.named is not None:
            return f"{name}: {best.fault.words} ({best.size_words()})."
        words = ", or ".join(s.fault.short for s in self.rivals)
        return f"{name}: something is wrong, and these channels cannot tell what: {words}."

    def _pair_words(self) -> str:
        """Return that one fault alone does not explain the pull, and which two do."""
        if self.two is not None:
            a, b = self.two.suspects
            if self.unexplained:
                return (f"one fault alone does not explain it. The likeliest two are "
                        f"{a.fault.short} ({a.size_words()}) with {b.fault.short} "
                        f"({b.size_words()}), and they leave something open.")  # fmt: skip
            return (f"one fault alone does not explain it, but two do: {a.fault.short} "
                    f"({a.size_words()}) and {b.fault.short} ({b.size_words()}).")  # fmt: skip
        words = ", or ".join(pair.words for pair in self._likely_pairs)
        return ("one fault alone does not explain it, and these channels cannot tell which two do: "
                f"{words}.")  # fmt: skip

    @property
    def _likely_pairs(self) -> tuple[Pair, ...]:
        """Pairs that are told: the one that is sure, or those that cannot be told apart."""
        if self.two is not None:
            return self.pairs[:1]
        return tuple(p for p in self.pairs if p.share >= _RIVAL)[:_MOST]

    @property
    def _called(self) -> tuple[Suspect, ...]:
        """Every fault that is called, once."""
        if not self.pairs:
            return self.rivals
        both = {s.name: s for pair in reversed(self._likely_pairs) for s in pair.suspects}
        return tuple(both.values())

    @property
    def notes(self) -> list[str]:
        """What cannot be told apart, what would decide, and cautions."""
        if self.healthy:
            return [self._unseen(), *self.run.notes]
        sentences = self._doubt()
        if self.next_log:
            sentences.append(self.next_log)
        sentences += [f"{s.fault.short.capitalize()}: {s.fault.check}" for s in self._called]
        if self.unexplained and self._called:
            words = ", ".join(QUANTITIES[n].words for n in self.unexplained)
            more = "" if self.pairs else ", and no two of the faults known here do much better"
            sentences.append(f"Even so, {words} is not explained{more}.")
        sentences += [s.fault.caution for s in self._called if s.fault.caution]
        sentences.append("Find the cause before the next pull, and before the next step.")
        return list(dict.fromkeys([*sentences, *self.run.notes]))

    def _doubt(self) -> list[str]:
        """Return how sure it is, and which cylinder it is."""
        if self.pairs:
            return self._pair_doubt()
        if not self.rivals:
            return ["Every fault known here was tried alone, and the likeliest two by two."]
        whole = sum(s.chance for s in self.suspects)
        sentences = []
        if self.named is not None:
            doubt = 1.0 - self.named.chance / whole
            left = "less than 1" if doubt < 0.01 else f"{100.0 * doubt:.0f}"
            sentences.append(f"The chance that it is another of the faults known here is {left} %.")
        else:
            shares = ", ".join(f"{s.fault.short} {100.0 * s.chance / whole:.0f} %"
                               for s in self.rivals)  # fmt: skip
            sentences.append(f"The chances stand: {shares}.")
        return [*sentences, *self._which_cylinder()]

    def _pair_doubt(self) -> list[str]:
        """Return how sure the pair is, and which cylinder it is."""
        shares = ", ".join(f"{p.words} {100.0 * p.share:.0f} %" for p in self._likely_pairs)
        said = f"The chances of two at once stand: {shares}."
        if self.two is not None:
            said = (f"The chance that it is another two of the faults known here is "
                    f"{100.0 * max(1.0 - self.two.share, 0.01):.0f} %.")  # fmt: skip
        return [said, "Look for both: clearing one leaves the other.", *self._which_cylinder()]

    def _which_cylinder(self) -> list[str]:
        """Return which cylinder is down, where one may be."""
        sentences = []
        down = any(s.name == "cylinder_down" for s in self._called)
        if self.weak is not None and down and self.weak.log_odds > 0.0:
            sentences.append(
                f"It is cylinder {self.weak.number}." if self.weak.share > _THIS_ONE else
                f"The readings do not tell which cylinder; {self.weak.number} lies furthest off."
            )  # fmt: skip
        return sentences

    def _unseen(self) -> str:
        """Return which sizes of the faults that an operator asks for first would not show."""
        of_probes = ("_offset", "_lag")
        shown = [s for s in sorted(self.suspects, key=lambda s: s.name)
                 if np.isfinite(s.shows_from) and not s.name.endswith(of_probes)]  # fmt: skip
        if not shown:
            return "These channels would show none of the faults known here."
        sizes = "; ".join(f"{s.fault.short} {said(s.kind, s.shows_from)}" for s in shown)
        return f"Smaller faults than these would not show: {sizes}."

    def _tables(self, system: str) -> list[Table]:
        rows = []
        told = [s for i, s in enumerate(self.suspects) if i < _ROWS[0] or s.chance > _SHOWN]
        for s in told[: _ROWS[1]]:
            ends = f"{said(s.kind, s.low, system)} to {said(s.kind, s.high, system)}"
            rows.append([s.fault.short, f"{100.0 * s.chance:.0f} %", s.size_words(system), ends,
                         said(s.kind, s.shows_from, system)])  # fmt: skip
        rows.append(["nothing wrong", f"{100.0 * self.healthy_chance:.0f} %", "", "", ""])
        headings = ["fault", "chance", "size, if so", "90 %", "would show from"]
        return [Table(headings, [""] * 5, rows)]
