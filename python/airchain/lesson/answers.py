"""What a guess is told: how far off, which way, and why."""

from __future__ import annotations

import base64
import re
from dataclasses import dataclass
from types import EllipsisType
from typing import TYPE_CHECKING

from ..base.errors import quoted, refusal
from ..base.safe_text import safe
from ..shown.tables import escaped
from ..units.convert import NUMBER, from_si, to_si, unit_label
from .point import per_cent
from .question import Question

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["Answer"]

#: What may be written as a guess: a number, text with a unit, or the three dots of the cell.
Guess = float | str | EllipsisType | None
#: A comma that parts thousands.
_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}(\D|$))")
#: Kinds of which a share of the answer says nothing.
_NO_SHARE = ("temperature", "temperature_difference", "angle", "dimensionless")


def picture(figure: Figure, words: str) -> str:
    """Return a figure as HTML that shows anywhere, with words for who does not see it."""
    from ..shown.figure import as_png

    data = base64.b64encode(as_png(figure)).decode()
    return f'<img alt="{escaped(words)}" src="data:image/png;base64,{data}">'


def has_pictures() -> bool:
    """Return whether the package for pictures is installed."""
    from importlib.util import find_spec

    return find_spec("matplotlib") is not None


def number_of(guess: Guess, question: Question) -> float | None:
    """Return a guess [SI]; None where there is none yet.

    Parameters
    ----------
    guess : number, str or three dots
        What was written; a bare number is in the unit that is asked for.
    question : Question
        What was asked.

    Returns
    -------
    float or None
        The guess [SI], of a choice its number [dimensionless].

    Raises
    ------
    InputError
        It is no number, has another unit, or is none of the choices.
    """
    if guess is None or guess is ... or (isinstance(guess, str) and guess.strip() in ("", "...")):
        return None
    if question.options:
        said = str(guess).strip().lower()
        if said not in question.options:
            rule = "be " + " or ".join(quoted(one) for one in question.options)
            raise refusal("check", "guess", quoted(guess), rule)
        return float(question.options.index(said))
    if isinstance(guess, tuple):
        hint = "Python reads a comma as two numbers: write 40000, not 40,000"
        raise refusal("check", "guess", quoted(guess), "be one number", hint)
    typed = _THOUSANDS.sub("", guess) if isinstance(guess, str) else guess
    if isinstance(typed, str) and not NUMBER.match(typed.strip().replace("\N{MINUS SIGN}", "-")):
        asked = f" of {question.asked_in}, or one with a unit of its own" * bool(question.asked_in)
        raise refusal("check", "guess", quoted(guess), f"be a number{asked}")
    return to_si(typed, question.kind, where="check", field="guess", unit=question.asked_in or None)


@dataclass(frozen=True, eq=False, repr=False)
class Answer:
    """What a guess is told.

    Attributes
    ----------
    question : Question
        What was asked.
    guess : float or None
        What was said [SI]; None where the cell still has its three dots.
    """

    question: Question
    guess: float | None

    @property
    def right(self) -> bool:
        """Whether the guess is near enough."""
        q = self.question
        if self.guess is None:
            return False
        high = q.at_least and self.guess > q.answer
        return high or abs(self.guess - q.answer) <= q.tolerance

    @property
    def verdict(self) -> str:
        """How far off, and which way; what to do where nothing was guessed."""
        q = self.question
        if self.guess is None:
            return what_to_do(q)
        if q.options:
            said, right = q.shown(self.guess), q.shown(q.answer)
            return f"Right: {right}." if self.right else f"No: not {said}, it is {right}."
        least = "at least " if q.at_least else ""
        told = f"You said {q.shown(self.guess)}; it is {least}{q.shown(q.answer)}."
        if self.right:
            return f"Right. {told}"
        return f"Too {'high' if self.guess > q.answer else 'low'} by {self._off()}. {told}"

    def _off(self) -> str:
        q = self.question
        off = abs(self.guess - q.answer) if self.guess is not None else 0.0
        kinds = {"temperature": "temperature_difference", "pressure": "pressure_difference"}
        kind = kinds.get(q.kind, q.kind)
        unit = q.unit or unit_label(kind, q.system)
        number = float(from_si(off, unit, kind))
        text = f"{number:,.0f} {unit}" if number >= 100.0 else f"{number:.2g} {unit}".rstrip()
        if q.kind in _NO_SHARE or not q.answer:
            return text
        share = off / abs(q.answer)
        much = f"{per_cent(share)} of it" if share < 2.0 else f"{share:,.0f} times it"
        return f"{text}, {much}"

    @property
    def slip(self) -> str:
        """The slip that leads to this guess, where it is a usual one; else empty."""
        q, guess = self.question, self.guess
        if guess is None or self.right:
            return ""
        near = 0.6 * q.tolerance
        for wrong, words in q.slips:
            if abs(guess - wrong) <= near:
                return f"That comes out when {words}."
        return self._other_unit(near)

    def _other_unit(self, near: float) -> str:
        """Whether the number would have been right in a unit that was not asked for."""
        q = self.question
        if q.options or self.guess is None:
            return ""
        number = float(from_si(self.guess, q.asked_in, q.kind)) if q.asked_in else self.guess
        other = unit_label(q.kind, "si" if q.system == "trade" else "trade")
        if other in ("", q.asked_in):
            return ""
        if abs(to_si(number, q.kind, field="guess", unit=other) - q.answer) <= near + q.tolerance:
            return f"It is right in {other}, but {q.asked_in} was asked for."
        return ""

    def text(self) -> str:
        """Return verdict, slip and physics.

        Returns
        -------
        str
            Lines of text.
        """
        why = f"Why: {self.question.why}" if self.guess is not None else ""
        return safe("\n".join(part for part in (self.verdict, self.slip, why) if part))

    def plot(self) -> Figure:
        """Draw the guess beside the answer.

        Returns
        -------
        matplotlib.figure.Figure
            The picture; without the answer where nothing was guessed.
        """
        return self.question.draw(self.guess, self.guess is not None)

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        first, *rest = self.text().split("\n")
        html = f"<p><strong>{escaped(first)}</strong></p>"
        html += "".join(f"<p>{escaped(line)}</p>" for line in rest)
        if self.guess is not None and has_pictures():
            html += picture(self.plot(), first)
        return html


def what_to_do(question: Question) -> str:
    """Return how a guess is written, where the cell still has its three dots."""
    if question.options:
        such = f'guess = "{question.options[0]}"'
        return f"No guess yet. Put one of the choices where the three dots are, such as {such}."
    unit = f", in {question.asked_in}" if question.asked_in else ""
    return (
        "No guess yet. Put your number where the three dots are, such as guess = 10"
        f"{unit}, and run the cell again."
    )
