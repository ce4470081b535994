"""What three questions of a channel found, in words: sizes with their unit, and sentences."""

from __future__ import annotations

from collections.abc import Mapping

from ..measured.quantities import QUANTITIES
from ..units.convert import formatted
from .questions import FALSE_ALARM, IN_PROPORTION, Answers

UNTOLD = "Slip, a leak and a choking filter cannot be told apart without shaft speed."
#: Below this share of rows inside the band nothing agrees.
_HALF = 0.5


def level_of(channels: int) -> float:
    """Return the level of each question, so that all together seldom blame a healthy pull."""
    return FALSE_ALARM / (3.0 * max(channels, 1))


def size(name: str, value: float, system: str = "trade", sign: bool = True) -> str:
    """Return a difference of a channel as text: in per cent where its sensor errs so."""
    if name in IN_PROPORTION:
        return f"{100.0 * value:+.1f} %" if sign else f"{100.0 * abs(value):.1f} %"
    kind = difference_kind(name)
    text = formatted(value if sign else abs(value), kind, system)
    return f"+{text}" if sign and value > 0.0 else text


def difference_kind(name: str) -> str:
    """Return the kind of quantity of a difference of a channel."""
    kind = QUANTITIES[name].kind
    return f"{kind}_difference" if kind in ("pressure", "temperature") else kind


def cells(name: str, answers: Answers, level: float, system: str) -> list[str]:
    """Return what a table says of offset, shape and scatter."""
    faults = answers.faults(level)
    shape = "as expected"
    if "shape" in faults:
        shape = f"{size(name, answers.step, system)}, {_where(answers)}"
    return [
        size(name, answers.offset, system) if "offset" in faults else "none seen",
        shape,
        f"{answers.scatter:.1f} times" if "scatter" in faults else "as stated",
    ]


def _where(answers: Answers) -> str:
    return f"{answers.low:,.0f} to {answers.high:,.0f} rpm"


def unclear(answers: Answers, level: float) -> bool:
    """Return whether nothing was found, and yet fewer than half of the rows lie in the band.

    What is off by a constant is off in every row at once, so that a sound channel is so seldom
    enough to ask for another pull, and too often to be blamed.
    """
    return not answers.faults(level) and answers.inside < _HALF


def fault_sentences(name: str, answers: Answers, level: float, expected: str) -> list[str]:
    """Return a sentence for each fault of a channel; `expected` says what it was held against."""
    words = QUANTITIES[name].words.capitalize()
    faults = answers.faults(level)
    sentences = []
    if "offset" in faults:
        way = "more" if answers.offset > 0.0 else "less"
        much = size(name, answers.offset, sign=False)
        where = "on the mean of all speeds" if "shape" in faults else "at all speeds alike"
        sentences.append(f"{words} reads {much} {way} than {expected}, {where}.")
    if "shape" in faults:
        way = "more" if answers.step > 0.0 else "less"
        much = size(name, answers.step, sign=False)
        sentences.append(f"{words} has another shape than {expected}: it reads {much} {way} at "
                         f"{_where(answers)} than beside it.")  # fmt: skip
    if "scatter" in faults:
        sentences.append(f"{words} scatters {answers.scatter:.1f} times as much as its sensor and "
                         "the chain explain.")  # fmt: skip
    if not faults and answers.inside < _HALF:
        sentences.append(
            f"Only {100.0 * answers.inside:.0f} % of the rows of {words.lower()} lie in the band. "
            "No fault is sure, and it does not agree."
        )
    return sentences


def unseen_sentence(answers: Mapping[str, Answers], level: float) -> str:
    """Return what size of offset would not have been found."""
    shown = [n for n in ("torque", "plenum_pressure", "plenum_temperature", "air_flow")
             if n in answers and answers[n].rows]  # fmt: skip
    sizes = [f"{size(n, answers[n].unseen(level), sign=False)} of {QUANTITIES[n].words}"
             for n in shown]  # fmt: skip
    if not sizes:
        return ""
    listed = " or ".join([", ".join(sizes[:-1]), sizes[-1]] if len(sizes) > 1 else sizes)
    return f"An offset under {listed} would not show."
