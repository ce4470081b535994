"""One guess, with its doubt and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Guess:
    """One guess.

    Attributes
    ----------
    name : str
        What it is called.
    words : str
        What it is, in words.
    value, doubt : float
        The guess and its standard deviation, both in the same unit [SI].
    source : str
        What it follows.
    measure : str
        How it can be measured.
    part : str
        The factor of a fit that it belongs to; empty where none does.
    kind : str
        Kind of the value and its doubt.
    """

    name: str
    words: str
    value: float
    doubt: float
    source: str
    measure: str
    part: str = ""
    kind: str = "dimensionless"


def row(name: str, words: str, value: float, share: float, source: str, measure: str,
        part: str = "") -> Guess:  # fmt: skip
    """Return a guess whose doubt is a share of it."""
    return Guess(name, words, value, share * value, source, measure, part)
