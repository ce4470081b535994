"""What stands behind each line of a sketch's file, and above it all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap

import numpy as np

from ..units.convert import formatted
from .guess import Guess
from .lines import GUESSED, TYPED, Line
from .today import Known

_WIDTH = 96
_FITTED = 0.97
_HEAD = (
    "A sketch: a whole build file from what was told at the first call. Every line is marked "
    "typed, worked out or guessed; ± is one standard deviation. Put what you measure in place of a "
    "guess, and take its share out of [trust].",
    "Nothing here is a maker's figure. A guessed limit or margin is no permission: keep to the "
    "sheets of the parts' makers, guard what turns, and follow local codes and licensed practice.",
)


def marks_of(lines: Sequence[Line], guesses: Mapping[str, Guess], known: Known,
             system: str) -> dict[str, str]:  # fmt: skip
    """Return the mark of every line by its dotted path."""
    return {line.key: _mark(line, guesses, known, system) for line in lines}


def _mark(line: Line, guesses: Mapping[str, Guess], known: Known, system: str) -> str:
    if line.origin == TYPED:
        return TYPED
    if line.origin != GUESSED:
        return f"{line.origin}: {line.how}" if line.how else line.origin
    guess = guesses[line.guess]
    doubt = doubt_words(guess, guesses, known, system)
    return f"guessed ± {doubt}: {guess.words}, {_source(guess)}"


def _source(guess: Guess) -> str:
    return guess.source if "common practice" in guess.source else f"{guess.source}; from memory"


def doubt_words(guess: Guess, guesses: Mapping[str, Guess], known: Known, system: str) -> str:
    """Return a guess's standard deviation in words, and whether today's figures moved it."""
    place = list(guesses).index(guess.name)
    spread = float(np.sqrt(known.covariance[place, place]))
    value = guess.value + float(known.z[place]) * guess.doubt
    percent = 100.0 * guess.doubt * spread / abs(value)
    text = f"{percent:.0f} %" if percent >= 10.0 else f"{percent:.2g} %"
    if guess.kind == "temperature":
        # A share of an absolute temperature tells nobody anything.
        text = formatted(guess.doubt * spread, "temperature_difference", system)
    if guess.kind == "angle":
        text = formatted(guess.doubt * spread, "angle", system)
    return f"{text}, brought to today's figures" if spread < _FITTED else text


def head_of(notes: Sequence[str]) -> str:
    """Return the comment above the first table."""
    paragraphs = [*_HEAD, *notes]
    rows = [wrap(text, _WIDTH) for text in paragraphs]
    return "\n#\n".join("\n".join(f"# {row}" for row in row_of) for row_of in rows)
