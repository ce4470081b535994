"""A prediction beside the pull that was then run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..measured.quantities import QUANTITIES
from ..shown.tables import Shown, Table
from ..units.convert import formatted
from .fault_words import (
    UNTOLD,
    cells,
    difference_kind,
    fault_sentences,
    level_of,
    unclear,
    unseen_sentence,
)
from .fitted_chain import NINETY
from .lag import lag_of
from .plots import plot_comparisons
from .questions import Answers, asked
from .runs import Run

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ..measured.measured import MeasuredPull
    from .prediction import Prediction

__all__ = ["Comparison"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False, repr=False)
class Comparison(Shown):
    """A prediction beside the pull that was then run. Made by `Prediction.compare`.

    Attributes
    ----------
    prediction : Prediction
        The prediction at the pull's own speeds and weather.
    rpm : ndarray
        Engine speeds that were measured and had been predicted [rpm].
    differences : mapping
        Readings less expectation by channel [SI] over `rpm`, lag taken out.
    spread : mapping
        Standard deviation that had been stated, a row's noise included [SI].
    expected : mapping
        What was expected by channel [SI] over `rpm`.
    answers : mapping of str to Answers
        By channel, whether it is offset, has another shape or scatters. Each comes with the chance
        that it looks so although prediction and sensors are as good as stated.
    measured : MeasuredPull or None
        The pull as it was given; None where a fit's own pull was left out of it.
    remarks : tuple of str
        What was assumed when the pull was made ready.
    """

    prediction: Prediction
    rpm: Array
    differences: Mapping[str, Array]
    spread: Mapping[str, Array]
    expected: Mapping[str, Array]
    answers: Mapping[str, Answers]
    measured: MeasuredPull | None = None
    remarks: tuple[str, ...] = ()

    def share_inside(self, name: str) -> float:
        """Return the share of rows within the 90 % band.

        Parameters
        ----------
        name : str
            The channel.

        Returns
        -------
        float
            From 0 to 1 [dimensionless].
        """
        return self.answers[name].inside

    @property
    def level(self) -> float:
        """Chance below which a question is answered with a fault [dimensionless]."""
        return level_of(len(self.answers))

    @property
    def faulty(self) -> tuple[str, ...]:
        """Channels that show a fault, as healthy ones seldom would by chance."""
        return tuple(n for n, a in self.answers.items() if a.faults(self.level))

    @property
    def unclear(self) -> tuple[str, ...]:
        """Channels that show no fault, and yet have fewer than half of their rows in the band."""
        return tuple(n for n, a in self.answers.items() if unclear(a, self.level))

    @property
    def surprising(self) -> bool:
        """Whether a channel shows a fault, as one healthy pull in twenty would not by chance."""
        return bool(self.faulty)

    @property
    def verdict(self) -> str:
        """What was compared, and whether it agrees."""
        title = self.prediction.build.title
        if not (self.faulty or self.unclear):
            return f"{title}: the pull agrees with what was predicted."
        words = ", ".join(QUANTITIES[name].words for name in self.faulty or self.unclear)
        several = len(self.faulty or self.unclear) > 1
        if self.faulty:
            verb = "do" if several else "does"
            return f"{title}: {words} {verb} not agree with what was predicted."
        return f"{title}: {words} {'are' if several else 'is'} not clear, neither sound nor faulty."

    @property
    def notes(self) -> list[str]:
        """What was found of each channel, and what could not have been."""
        if not (self.faulty or self.unclear):
            return [f"The pull agrees with the prediction in offset, shape and scatter. "
                    f"{unseen_sentence(self.answers, self.level)}".rstrip(),
                    *self.remarks]  # fmt: skip
        sentences = [
            sentence
            for name in (*self.faulty, *self.unclear)
            for sentence in fault_sentences(name, self.answers[name], self.level, "was predicted")
        ]
        sentences.append(
            "Find the cause before the next step; do not average this pull in." if self.faulty else
            "One healthy pull in ten reads like this. Run it again before the next step."
        )  # fmt: skip
        if "plenum_pressure" in self.faulty and "rotor_speed" not in self.answers:
            sentences.append(UNTOLD)
        return [*sentences, *self.remarks]

    def plot(self, axes: Sequence[Axes] | None = None, *, system: str = "trade",
             title: str | None = None, beside: Sequence[Comparison] = ()) -> Figure:  # fmt: skip
        """Draw power, torque and boost with their 90 % bands, and what was read.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Three axes to draw in; a new figure without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture; that of the prediction without it.
        beside : sequence of Comparison
            Further comparisons to lay over this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return plot_comparisons([self, *beside], axes, system, title)

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for name, answers in self.answers.items():
            kind = difference_kind(name)
            good = np.isfinite(self.differences[name]) & np.isfinite(self.spread[name])
            if not good.any():
                rows.append([QUANTITIES[name].words, *["–"] * 6])
                continue
            mean = formatted(float(np.mean(self.differences[name][good])), kind, system)
            half = formatted(NINETY * float(np.mean(self.spread[name][good])), kind, system)
            inside = f"{100 * answers.inside:.0f} %"
            rows.append([QUANTITIES[name].words, mean, f"± {half}", inside,
                         *cells(name, answers, self.level, system)])  # fmt: skip
        headings = ["channel", "read less predicted", "band", "rows inside", "offset", "shape",
                    "scatter"]  # fmt: skip
        return [Table(headings, [""] * len(headings), rows)]


def compared(there: Prediction, run: Run, measured: MeasuredPull | None = None) -> Comparison:
    """Compare a prediction with a prepared pull at the same speeds.

    Parameters
    ----------
    there : Prediction
        The prediction at the pull's own speeds.
    run : Run
        The prepared pull.
    measured : MeasuredPull, optional
        The pull as it was given.

    Returns
    -------
    Comparison
        The two side by side.
    """
    sensors = there.reconciliation.problem.sensors
    differences, spread, expected, answers = {}, {}, {}, {}
    for name in (n for n in run.columns if n in there.middle):
        computed = np.asarray(there.pull.columns[sensors[name].column])
        late, left_open = lag_of(run, computed, sensors[name])
        expected[name] = there.middle[name]
        differences[name] = run.columns[name] + late - expected[name]
        loose = left_open @ left_open.T + np.diag(run.noise[name] ** 2)
        covariance = there.covariance[name] + loose
        spread[name] = np.sqrt(np.diag(covariance))
        answers[name] = asked(name, run.rpm, differences[name], covariance, expected[name])
    return Comparison(there, run.rpm, differences, spread, expected, answers, measured, run.notes)
