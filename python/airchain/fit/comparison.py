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
from .fitted_chain import NINETY
from .lag import change_a_second
from .plots import plot_comparisons
from .runs import Run

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .prediction import Prediction

__all__ = ["Comparison"]

Array = NDArray[np.float64]
_SURPRISE = 0.01
_STRETCHES = 3
UNTOLD = "Slip, a leak and a choking filter cannot be told apart without shaft speed."


@dataclass(frozen=True, eq=False, repr=False)
class Comparison(Shown):
    """How a prediction fared. Made by `Prediction.compare`.

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
    chance : mapping
        By channel, the probability of a deviation as large as this if prediction and sensors
        are as stated [dimensionless].
    """

    prediction: Prediction
    rpm: Array
    differences: Mapping[str, Array]
    spread: Mapping[str, Array]
    chance: Mapping[str, float]

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
        d, s = self.differences[name], self.spread[name]
        good = np.isfinite(d)
        return float(np.mean(np.abs(d[good]) <= NINETY * s[good])) if good.any() else float("nan")

    @property
    def surprising(self) -> bool:
        """Whether a channel deviates more than one pull in a hundred would by chance."""
        level = _SURPRISE / max(len(self.chance), 1)
        return any(p < level for p in self.chance.values())

    @property
    def verdict(self) -> str:
        """What was compared."""
        return f"{self.prediction.title}, against the pull"

    @property
    def notes(self) -> list[str]:
        """What the comparison says."""
        level = _SURPRISE / max(len(self.chance), 1)
        odd = [name for name, chance in self.chance.items() if chance < level]
        if odd:
            said = [
                f"{', '.join(QUANTITIES[name].words for name in odd)}: not as predicted, beyond "
                "what sensors and chain allow; find "
                "the cause before the next step, do not average this pull in"
            ]
            if "plenum_pressure" in odd and "rotor_speed" not in self.chance:
                said.append(UNTOLD)
            return said
        return ["the pull agrees with the prediction within its stated errors"]

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
        for name, d in self.differences.items():
            kind = {"pressure": "pressure_difference", "temperature": "temperature_difference"}.get(
                QUANTITIES[name].kind, QUANTITIES[name].kind
            )
            good = np.isfinite(d)
            mean = formatted(float(np.mean(d[good])), kind, system)
            half = formatted(NINETY * float(np.mean(self.spread[name][good])), kind, system)
            inside = f"{100 * self.share_inside(name):.0f} %"
            rows.append([QUANTITIES[name].words, mean, f"± {half}", inside])
        headings = ["channel", "read less predicted", "band", "rows inside"]
        return [Table(headings, [""] * 4, rows)]


def compared(there: Prediction, run: Run) -> Comparison:
    """Compare a prediction with a prepared pull at the same speeds.

    Parameters
    ----------
    there : Prediction
        The prediction at the pull's own speeds.
    run : Run
        The prepared pull.

    Returns
    -------
    Comparison
        The two side by side.
    """
    sensors = there.reconciliation.problem.sensors
    differences, spread, chance = {}, {}, {}
    for name in (n for n in run.columns if n in there.middle):
        slope = change_a_second(run, np.asarray(there.middle[name]))
        d = run.columns[name] + sensors[name].lag * slope - there.middle[name]
        lag = sensors[name].lag_width * slope
        covariance = there.covariance[name] + np.outer(lag, lag) + np.diag(run.noise[name] ** 2)
        differences[name], spread[name] = d, np.sqrt(np.diag(covariance))
        chance[name] = _chance(run.rpm, d, covariance)
    return Comparison(there, run.rpm, differences, spread, chance)


def _chance(rpm: Array, d: Array, covariance: Array) -> float:
    """Chance of deviations as large as these, judged by means over a few stretches of speed.

    Row by row the judgement would hang on how alike neighbouring errors are taken to be.
    """
    from scipy.stats import chi2

    good = np.flatnonzero(np.isfinite(d))
    if not good.size:
        return float("nan")
    order = good[np.argsort(rpm[good])]
    stretches = np.array_split(order, min(_STRETCHES, order.size))
    means = np.zeros((len(stretches), d.size))
    for row, some in enumerate(stretches):
        means[row, some] = 1.0 / some.size
    whole = np.where(np.isfinite(covariance), covariance, 0.0)
    e = means @ np.where(np.isfinite(d), d, 0.0)
    block = means @ whole @ means.T
    return float(chi2.sf(float(e @ np.linalg.solve(block, e)), e.size))
