"""The last page: ten questions at another speed and level, and their worked answers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ..base.errors import quoted, refusal
from ..base.safe_text import safe
from ..shown.tables import escaped
from .answers import Answer, Guess, number_of
from .question import Question

__all__ = ["LastPage"]


@dataclass(frozen=True, eq=False, repr=False)
class LastPage:
    """Ten questions. Called with ten guesses it tells which are right.

    Attributes
    ----------
    title : str
        Where they are asked: build, level and speed.
    questions : tuple of Question
        The questions.
    heard : callable
        Told of every first guess: the name, how many are right and how many were
        asked [dimensionless].
    """

    title: str
    questions: tuple[Question, ...]
    heard: Callable[[str, int, int], None]

    def __call__(self, guesses: Sequence[Guess] = ()) -> Marked:
        """Tell which guesses are right, with the worked answers of those.

        Parameters
        ----------
        guesses : sequence
            A guess for each question in order, in the unit asked for; three dots for none yet.

        Returns
        -------
        Marked
            An answer for each.

        Raises
        ------
        InputError
            There are more guesses than questions, or one is no number.
        """
        if isinstance(guesses, str) or not isinstance(guesses, Sequence):
            raise refusal("check", "guess", quoted(guesses), "be a list with a guess a question")
        if len(guesses) > len(self.questions):
            rule = f"be at most {len(self.questions)}, one a question"
            raise refusal("check", "guess", f"{len(guesses)} guesses", rule)
        said = [*guesses, *[...] * (len(self.questions) - len(guesses))]
        answers = tuple(
            Answer(q, number_of(one, q)) for q, one in zip(self.questions, said, strict=True)
        )
        for answer in answers:
            if answer.guess is not None:
                self.heard(answer.question.name, int(answer.right), 1)
        return Marked(answers)

    def worked(self) -> Worked:
        """Return the worked answers of all questions.

        Returns
        -------
        Worked
            Each question with its sum by hand and what the chain says.
        """
        return Worked(self.questions)

    def text(self) -> str:
        """Return the questions.

        Returns
        -------
        str
            Lines of text.
        """
        lines = [f"{self.title}"]
        for number, q in enumerate(self.questions, 1):
            unit = f" [{q.asked_in}]" if q.asked_in else ""
            lines.append(f"{number}. {q.words}{unit}")
        return safe("\n".join(lines))

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        head, *rest = self.text().split("\n")
        items = "".join(f"<li>{escaped(line.partition('. ')[2])}</li>" for line in rest)
        return f"<p><strong>{escaped(head)}</strong></p><ol>{items}</ol>"


@dataclass(frozen=True, eq=False, repr=False)
class Marked:
    """The guesses at the last page, marked.

    Attributes
    ----------
    answers : tuple of Answer
        One a question.
    """

    answers: tuple[Answer, ...]

    @property
    def verdict(self) -> str:
        """How many are right, and how many are open."""
        said = [one for one in self.answers if one.guess is not None]
        if not said:
            return (
                "No guess yet. Put your numbers where the three dots are, in order and in the "
                "units asked for, and run the cell again."
            )
        right = sum(one.right for one in said)
        left = len(self.answers) - len(said)
        return f"{right} of {len(said)} right{f'; {left} still open' if left else ''}."

    def text(self) -> str:
        """Return the verdict, and a line for each guess.

        Returns
        -------
        str
            Lines of text.
        """
        lines = [self.verdict]
        for number, one in enumerate(self.answers, 1):
            if one.guess is not None:
                lines.append(f"{number}. {one.verdict} {one.slip}".rstrip())
        return safe("\n".join(lines))

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        first, *rest = self.text().split("\n")
        return f"<p><strong>{escaped(first)}</strong></p>" + "".join(
            f"<p>{escaped(line)}</p>" for line in rest
        )


@dataclass(frozen=True, eq=False, repr=False)
class Worked:
    """Worked answers.

    Attributes
    ----------
    questions : tuple of Question
        The questions.
    """

    questions: tuple[Question, ...]

    def text(self) -> str:
        """Return every answer with its sum.

        Returns
        -------
        str
            Lines of text.
        """
        lines = []
        for number, q in enumerate(self.questions, 1):
            lines.append(f"{number}. {q.name}: {q.shown(q.answer)} by the chain.")
            lines += [f"   {step}" for step in q.worked]
            lines.append(f"   {q.why}")
        return safe("\n".join(lines))

    def __repr__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        html = ""
        for number, q in enumerate(self.questions, 1):
            steps = "".join(f"<li>{escaped(step)}</li>" for step in q.worked)
            html += (
                f"<details><summary>{number}. {escaped(q.name)}</summary><ul>{steps}</ul>"
                f"<p><strong>{escaped(q.shown(q.answer))}</strong> by the chain. {escaped(q.why)}"
                "</p></details>"
            )
        return html
