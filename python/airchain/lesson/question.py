"""A question with its answer, kept apart until somebody has guessed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..units.convert import KINDS, from_si, unit_label
from .point import Point

if TYPE_CHECKING:
    from matplotlib.figure import Figure

#: Draws what is asked: takes the guess, and whether the answer may be seen.
Draw = Callable[[float | None, bool], "Figure"]


@dataclass(frozen=True, eq=False)
class Question:
    """What is asked, and what is told once it was answered.

    Attributes
    ----------
    name : str
        What it is called.
    words : str
        The question, with all numbers that it takes.
    answer : float
        From the chain [SI]; of a choice the number of the right one.
    kind : str
        Quantity kind of the answer.
    tolerance : float
        How far off still counts as right [SI].
    why : str
        The physics, in a sentence or two.
    worked : tuple of str
        The sum by hand, step by step.
    draw : callable
        Draws it.
    slips : tuple
        Wrong answers that one comes to easily [SI], each with the slip behind it.
    unit : str
        Unit of guess and answer; that of the kind without it.
    options : tuple of str
        What may be chosen, where the answer is no number.
    at_least : bool
        Whether the answer is a lower bound only [dimensionless].
    system : str
        ``"trade"`` or ``"si"``.
    """

    name: str
    words: str
    answer: float
    kind: str
    tolerance: float
    why: str
    worked: tuple[str, ...]
    draw: Draw
    slips: tuple[tuple[float, str], ...] = ()
    unit: str = ""
    options: tuple[str, ...] = ()
    at_least: bool = False
    system: str = "trade"

    @property
    def asked_in(self) -> str:
        """Unit of guess and answer; empty for a plain number."""
        return self.unit or unit_label(self.kind, self.system)

    def shown(self, value: float) -> str:
        """A value as text with its unit."""
        if self.options:
            return self.options[int(value)]
        row = KINDS[self.kind]
        decimals = row.trade_decimals if self.system == "trade" else row.metric_decimals
        decimals = 1 if self.unit == "%" else 0 if self.kind == "angle" else decimals
        number = float(from_si(value, self.asked_in, self.kind))
        return f"{number:,.{decimals}f} {self.asked_in}".rstrip()


#: Makes the question of a point; None where the build has nothing of the kind.
Maker = Callable[[Point], Question | None]
