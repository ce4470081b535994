"""What a sketch gives: a build, its file, its bands, and what to measure first."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np

from .._core import drive_rotation
from ..base.errors import quoted, refusal
from ..base.text_file import checked_target, write_text
from ..chain.build import Build
from ..chain.pull import Pull
from ..shown import statuses
from ..shown.columns import column, heading
from ..shown.tables import Shown, Table
from ..shown.words import listed
from ..units.convert import display, formatted, unit_label
from .aiming import AIMED
from .asking import asked_for, asking_words
from .bands import Bands
from .cams import with_cams
from .driving import Pair
from .facts import OF_CAMS
from .file_text import file_text
from .lines import GUESSED, TYPED, WORKED_OUT, Line
from .marks import doubt_words, head_of, marks_of
from .model import FLOW_SCALES, Model
from .today import Known, missed

__all__ = ["Sketch"]

_SHOWN = ("power", "torque", "boost", "charge_temperature", "air_flow")
_FIRST = 5
#: How far a rated flow may lie off that of its stage: some 90 % of what guesses leave open.
_FLOW_OFF = 0.2
#: How far short of its aim a level may fall before choke and still be said to reach it.
_SHORT = 0.02


@dataclass(frozen=True, eq=False, repr=False)
class Sketch(Shown):
    """A build sketched from a few facts. Made by `airchain.sketch`.

    Attributes
    ----------
    model : Model
        The facts and the guesses.
    known : Known
        What today's figures leave of the guesses.
    pairs : mapping
        The gears or pulleys of every level.
    lines : tuple of Line
        Every line of the file.
    build : Build
        The build that the file describes.
    bands : Bands
        What every level makes, with half its 90 % band.
    """

    model: Model
    known: Known
    pairs: Mapping[str, Pair]
    lines: tuple[Line, ...]
    build: Build
    bands: Bands

    @cached_property
    def file(self) -> str:
        """The build file, with a mark behind every line."""
        marks = marks_of(self.lines, self.model.guesses, self.known, self.model.facts.system)
        return file_text(self.lines, marks, head_of([self.verdict, *self.notes]))

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write the build file in one step.

        Parameters
        ----------
        path : str or path
            The file, such as ``"my_engine.toml"``.

        Returns
        -------
        pathlib.Path
            The file; `airchain.load` reads it.

        Raises
        ------
        InputError
            The file cannot be written, or does not end in .toml.
        """
        target = checked_target(path, ".toml")
        write_text(target, self.file)
        return target

    def band(self, level: str, name: str) -> tuple[float, float, float]:
        """Return the largest value of a column of a level, and half its 90 % band.

        Parameters
        ----------
        level : str
            The level.
        name : str
            ``"power"``, ``"torque"``, ``"boost"``, ``"charge_temperature"`` or ``"air_flow"``.

        Returns
        -------
        tuple of float
            The value [SI], half its band [SI], and the engine speed it stands at [rpm]; NaN where
            no point of the level was solved.

        Raises
        ------
        InputError
            There is no such level or column.
        """
        for what, value, known in (("level", level, self.bands.levels), ("column", name, _SHOWN)):
            if value not in known:
                rule = f"be one of {', '.join(known)}"
                raise refusal("Sketch", what, quoted(value), rule)
        return self.bands.at(level, name)

    @property
    def strongest(self) -> str:
        """The level that is driven fastest."""
        if not self.pairs:
            return self.bands.levels[0]
        return max(self.pairs, key=lambda name: self.pairs[name].ratio)

    def measure_first(self) -> list[str]:
        """Return the names of the guesses that move full-level boost and power most.

        Returns
        -------
        list of str
            Five at most, the one that moves most first.
        """
        columns = ("power", "boost") if self.pairs else ("power",)
        if not all(np.isfinite(self.bands.at(self.strongest, name)[0]) for name in columns):
            return []
        share = sum(self.bands.shares(self.strongest, name) for name in columns)
        order = np.argsort(-np.asarray(share), kind="stable")
        return [self.model.names[int(j)] for j in order[:_FIRST]]

    @property
    def asks_for(self) -> str:
        """The argument of `airchain.sketch` to tell next, where the band of power is too wide.

        Empty where it is within 15 %, or where no such figure narrows it.
        """
        return asked_for(self.model, self.bands, self.strongest)

    @property
    def verdict(self) -> str:
        """How much was told and guessed, and what the strongest level makes."""
        count = Counter(line.origin for line in self.lines)
        told = ", ".join(f"{count[origin]} {origin}" for origin in (TYPED, WORKED_OUT, GUESSED))
        power, half, rpm = self.bands.at(self.strongest, "power")
        head = f"{self.build.name}, a sketch of {len(self.lines)} lines: {told}."
        if not np.isfinite(power):
            return f"{head} No point of level {self.strongest} was solved."
        who = f"Level {self.strongest}" if self.pairs else "The engine"
        return (
            f"{head} {who} makes {self._number(power)} ± "
            f"{self._power(half)} at {rpm:,.0f} rpm (90 % band)."
        )

    def _number(self, power: float) -> str:
        return f"{display(power, 'power', self.model.facts.system)[0]:,.0f}"

    def _power(self, power: float) -> str:
        return f"{self._number(power)} {unit_label('power', self.model.facts.system)}"

    @property
    def notes(self) -> list[str]:
        """What to measure first, what is wide, and what was not solved."""
        return [*self._missed(), *self._contradicted(), *self._choked(), *self._first_words(),
                *asking_words(self.model, self.bands, self.strongest), *self._of_cams(),
                *self._hand(), *self._pairs_off(), *self._unsolved()]  # fmt: skip

    def _missed(self) -> list[str]:
        """Which of today's figures the sketch does not reach."""
        told = []
        for today, value in missed(self.model, self.build):
            system = self.model.facts.system
            said, made = (formatted(v, today.name, system) for v in (today.value, value))
            told.append(
                f"You said {said} at {today.rpm:,.0f} rpm; this sketch makes {made} there. No "
                "guess within its doubt reaches your figure. Check where it was measured (crank "
                "or wheels) and to which standard, and compression, fuel and redline."
            )
        return told

    def _contradicted(self) -> list[str]:
        """Whether the name plate's rated flow is not that of its inducer."""
        facts, system = self.model.facts, self.model.facts.system
        if not facts.has("rated_flow"):
            return []
        rated, made = facts["rated_flow"], self.model.largest_flow(self.known.z)
        off = rated / made - 1.0
        if abs(off) <= _FLOW_OFF:
            return []
        side = "above" if off > 0.0 else "below"
        taken = min(max(rated / made, FLOW_SCALES[0]), FLOW_SCALES[1])
        clipped = (
            "" if taken == rated / made
            else f" No map is scaled so far: a factor of {taken:g} is taken."
        )  # fmt: skip
        return [
            f"The rated flow of {formatted(rated, 'mass_flow', system)} lies "
            f"{100.0 * abs(off):.0f} % {side} the {formatted(made, 'mass_flow', system)} that a "
            "stage of this inducer and speed passes. Was it read in the right unit, and at the "
            "rotor's limit? Is the inducer's diameter that of its blades at the inlet? The sketch "
            f"goes by the rated flow.{clipped}"
        ]

    def _choked(self) -> list[str]:
        """Levels that reach their aim only where the compressor is choked."""
        told = []
        for aim in self.model.facts.aims:
            name = AIMED.get(aim.kind)
            if name is None:
                continue
            pull = self._pulls[aim.level]
            free = pull.matched & ~statuses.has(pull.columns["flags"], "on_choke_line")
            values = np.asarray(pull[name])
            most = float(np.max(values[free])) if free.any() else 0.0
            if not np.nanmax(values, initial=0.0) > most or most >= (1.0 - _SHORT) * aim.value:
                continue
            system = self.model.facts.system
            told.append(
                f"{aim.level}: {formatted(aim.value, aim.kind, system)} is reached only where the "
                f"compressor is choked and passes no more air. Short of choke it gives "
                f"{formatted(most, aim.kind, system)}. Ask for less, or look for a larger "
                "compressor."
            )
        return told

    @cached_property
    def _pulls(self) -> dict[str, Pull]:
        """The pull of every level; of cams on their surface, as the bands are."""
        whole = self.build.with_surface()
        return {
            name: (whole.level(name) if self.pairs else whole).pull(self.bands.rpm)
            for name in self.bands.levels
        }

    def _first_words(self) -> list[str]:
        names = self.measure_first()
        if not names:
            return []
        words = [self.model.guesses[name].words for name in names]
        what = "boost and power" if self.pairs else "power"
        return [
            f"These {len(names)} guesses move {what} of {self.strongest} most; measure them "
            f"first: {', '.join(words)}."
        ]

    def _of_cams(self) -> list[str]:
        """What cams were sketched from, or what is still to be told for them."""
        facts = self.model.facts
        if with_cams(facts):
            return [
                "Cams, ports and pipes follow proportions, and one cylinder's cycle stands for "
                "all. Without a blower the pulses of its neighbours in open headers move the "
                "filling by 4 to 5 %; the band holds that."
            ]
        told = [name for name in OF_CAMS if facts.has(name)]
        lost = [name.replace("_", " ") for name in OF_CAMS if not facts.has(name)]
        if not told:
            return []
        return [f"Tell {listed(lost)} too, and the sketch writes cams, ports and pipes."]

    def _hand(self) -> list[str]:
        """Which way the impeller turns: nobody was asked yet."""
        if not self.pairs:
            return []
        turns = "with" if drive_rotation(list(self.build.links)) > 0 else "against"
        return [
            f"This train turns the impeller {turns} the crank, if the compressor's own step-up "
            "does not reverse. Ask which way the impeller must turn before it is bought, and type "
            "compressor.rotates: a wrong-handed one is scrap."
        ]

    def _pairs_off(self) -> list[str]:
        told = []
        for name, pair in self.pairs.items():
            off = 100.0 * (pair.ratio / pair.wanted - 1.0)
            if pair.teeth[0] and abs(off) >= 1.0:
                told.append(
                    f"{name}: the nearest pair, {pair.teeth[0]} to {pair.teeth[1]} teeth, drives "
                    f"{abs(off):.1f} % {'faster' if off > 0.0 else 'slower'} than its aim wants."
                )
        return told

    def _unsolved(self) -> list[str]:
        return [
            f"{name}: {statuses.count(pull.columns['status'])}"
            for name, pull in self._pulls.items()
            if not pull.matched.all()
        ]

    def _tables(self, system: str) -> list[Table]:
        tables = [self._level_table(system)]
        if self.measure_first():
            tables.append(self._first_table(system))
        return tables

    def _level_table(self, system: str) -> Table:
        names = [*_SHOWN]
        headings = ["level", "drive", *(f"peak {heading(name)}" for name in names)]
        units = ["", "", *(unit_label(self._kind(name), system) for name in names)]
        rows = []
        for level in self.bands.levels:
            cells = [self._cell(level, name, system) for name in names]
            rows.append([level, self._drive(level), *cells])
        caption = "What each level makes, with half its 90 % band"
        return Table(headings, units, rows, caption, flush=(0, 1))

    def _kind(self, name: str) -> str:
        return column(name).kind

    def _cell(self, level: str, name: str, system: str) -> str:
        value, half, _ = self.bands.at(level, name)
        if not np.isfinite(value):
            return "–"
        kind = self._kind(name)
        shown = formatted(value, kind, system).split(" ")[0]
        kind = "temperature_difference" if kind == "temperature" else kind
        return f"{shown} ± {formatted(half, kind, system).split(' ')[0]}"

    def _drive(self, level: str) -> str:
        if level not in self.pairs:
            return "–"
        pair = self.pairs[level]
        if pair.teeth[0]:
            return f"{pair.teeth[0]}:{pair.teeth[1]}"
        return f"{pair.ratio:.3f}"

    def _first_table(self, system: str) -> Table:
        """The guesses that move most: by how much they do, and how to measure each."""
        columns = ("power", "boost") if self.pairs else ("power",)
        row_of = self.bands.levels.index(self.strongest)
        units = ["", "", *(unit_label(self._kind(name), system) for name in columns), ""]
        rows = []
        for name in self.measure_first():
            place, guess = self.model.names.index(name), self.model.guesses[name]
            spread = float(np.sqrt(self.known.covariance[place, place]))
            cells = []
            for name_of in columns:
                moves = self.bands.peaks[name_of][row_of, place] * spread
                cells.append(formatted(float(moves), self._kind(name_of), system).split(" ")[0])
            doubt = doubt_words(guess, self.model.guesses, self.known, system)
            rows.append([guess.words, f"± {doubt}", *cells, guess.measure])
        headings = ["guess", "doubt", *(f"moves {heading(name)} by" for name in columns),
                    "how to measure it"]  # fmt: skip
        caption = f"Measure these first: what one standard deviation does at {self.strongest}"
        return Table(headings, units, rows, caption, flush=(0, 1, len(headings) - 1))
