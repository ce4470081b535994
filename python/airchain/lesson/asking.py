"""Checks: each knows one question, and tells a guess how far off it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from ..base.errors import quoted, refusal
from ..base.safe_text import safe
from ..shown.tables import escaped
from .answers import Answer, Guess, has_pictures, number_of, picture
from .changes import WORDS, Change, Move
from .moves import ChangeAnswer
from .question import Question

__all__ = ["ChangeCheck", "Check", "NotThere"]


@dataclass(frozen=True, eq=False, repr=False)
class Check:
    """One question. Called with a guess it tells how far off that is; shown, it asks.

    Attributes
    ----------
    question : Question
        What is asked.
    heard : callable
        Told of the first guess: the name, how many are right and how many were asked
        [dimensionless].
    """

    question: Question
    heard: Callable[[str, int, int], None]

    def __call__(self, guess: Guess = ...) -> Answer:
        """Tell how far off a guess is, which way, and why.

        Parameters
        ----------
        guess : number, str or three dots
            The guess in the unit that is asked for, or with a unit of its own, such as
            ``"97 kPa"``; of a choice its word. Three dots for none yet [question's unit].

        Returns
        -------
        Answer
            Words and picture. The first guess counts in the score.

        Raises
        ------
        InputError
            It is no number, has another kind of unit, or is none of the choices.
        """
        answer = Answer(self.question, number_of(guess, self.question))
        if answer.guess is not None:
            self.heard(self.question.name, int(answer.right), 1)
        return answer

    def text(self) -> str:
        """Return the question, and how to guess.

        Returns
        -------
        str
            Lines of text.
        """
        q = self.question
        unit = f" [{q.asked_in}]" if q.asked_in and not q.options else ""
        choices = f" ({', '.join(quoted(one) for one in q.options)})" if q.options else ""
        return safe(f"{q.words}\nYour guess{unit}{choices}?")

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        lines = self.text().split("\n")
        html = f"<p>{escaped(lines[0])}</p><p><strong>{escaped(lines[1])}</strong></p>"
        if has_pictures():
            html += picture(self.question.draw(None, False), "What is known so far.")
        return html


@dataclass(frozen=True, eq=False, repr=False)
class NotThere:
    """Stands for a question about a part that the build does not have.

    Attributes
    ----------
    name : str
        What the question is called.
    """

    name: str

    def __call__(self, guess: Guess | Mapping[str, Guess] = ...) -> NotThere:
        """Return itself: there is nothing to guess."""
        return self

    def __repr__(self) -> str:
        return f"This build has nothing to ask about {quoted(self.name)}. Go on with the next one."


@dataclass(frozen=True, eq=False, repr=False)
class ChangeCheck:
    """Asks what a change does. Called with four guesses it tells which are right.

    Attributes
    ----------
    change : Change
        The change.
    solved : callable
        Solves the build before and after; called with the first guess.
    heard : callable
        Told of the first guess: the name, how many are right and how many were asked
        [dimensionless].
    further : callable
        Returns a warning of knock, and HTML of a picture.
    system : str
        ``"trade"`` or ``"si"``.
    """

    change: Change
    solved: Callable[[], tuple[Move, ...]]
    heard: Callable[[str, int, int], None]
    further: Callable[[], tuple[str, str]]
    system: str

    def __call__(self, guess: Mapping[str, Guess] | None = None) -> ChangeAnswer:
        """Tell which guesses are right, and why.

        Parameters
        ----------
        guess : mapping
            For ``"boost"``, ``"temperature"`` and ``"power"`` one of ``"up"``, ``"down"`` and
            ``"same"``; for ``"knock"`` ``"nearer"``, ``"further"`` or ``"same"``; three dots for
            none yet.

        Returns
        -------
        ChangeAnswer
            A row a quantity. The first whole guess counts in the score.

        Raises
        ------
        InputError
            There is no such quantity, or the word is none of these.
        """
        said = _said(guess)
        left = [name for name in WORDS if name not in said]
        if left:
            return ChangeAnswer(
                self.change.words, (), {}, self.change.why, self.system, missing=left
            )
        moves = self.solved()
        answer = ChangeAnswer(
            self.change.words, moves, said, self.change.why, self.system, self.further
        )
        self.heard(self.change.name, answer.right, answer.asked)
        return answer

    def text(self) -> str:
        """Return the question, and how to guess.

        Returns
        -------
        str
            Lines of text.
        """
        return safe(
            f"{self.change.words} What happens to boost, charge temperature and power (up, down "
            "or same), and does knock come nearer, go further, or stay the same?"
        )

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        return f"<p>{escaped(self.text())}</p>"


def _said(guess: Mapping[str, Guess] | None) -> dict[str, str]:
    """What was guessed, by quantity; those still open are left out."""
    if guess is None:
        return {}
    if not isinstance(guess, Mapping):
        rule = 'be a dict such as {"boost": "up", "temperature": "same", ...}'
        raise refusal("check", "guess", quoted(guess), rule)
    said: dict[str, str] = {}
    for name, word in guess.items():
        if name not in WORDS:
            raise refusal("check", "guess", quoted(name), f"be one of {', '.join(WORDS)}")
        if word is None or word is ... or (isinstance(word, str) and word.strip() in ("", "...")):
            continue
        if not isinstance(word, str) or word.strip().lower() not in WORDS[name]:
            rule = f"be one of {', '.join(quoted(one) for one in WORDS[name])}"
            raise refusal("check", name, quoted(word), rule)
        said[name] = word.strip().lower()
    return said
