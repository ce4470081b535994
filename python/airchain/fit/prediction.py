"""What the next step will do, before it is run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..base.errors import refusal
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.changes import Weather
from ..chain.pull import Pull
from ..measured.measured import MeasuredPull
from ..measured.which_level import contradiction, level_of_pull
from ..shown import statuses
from ..shown.tables import Shown, Table
from ..typed.place import TypedByName
from ..units.convert import display, unit_label
from .band import Site, drifts, forecast, sensitivities
from .comparison import Comparison, compared
from .expected import Expected
from .fitted_chain import NINETY, FittedChain
from .limits import (
    best_words,
    cautions,
    extrapolation,
    over_limit,
    prior_words,
    unanswered,
    weather_words,
    width_words,
)
from .plots import plot_predictions
from .runs import checked_pull, prepared

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


__all__ = ["Prediction", "predict"]

Array = NDArray[np.float64]
#: How a level is named.
_NAMED = 'such as predict(fit, "{0}"), or --level {0}'


@dataclass(frozen=True, eq=False, repr=False)
class Prediction(Expected, Shown):
    """A pull that was not yet run, with the band that its readings should fall into.

    What is expected and its band are those of `Expected`; the spread holds the unknowns, the
    chain's own error, and the bias of a pull.

    Attributes
    ----------
    reconciliation : Reconciliation
        What it rests on.
    parts : mapping
        By channel, the variances that make up the spread [SI, squared]: ``unknowns``; ``chain``,
        the chain's own error at the loads measured; what its parts may err by at other loads,
        under ``volumetric_efficiency``, ``indicated_efficiency``, ``compressor_head``,
        ``compressor_efficiency`` and ``cooler_effectiveness``; ``sensor``. They add up; one may be
        below zero, where readings tell of a sum of causes better than of each.
    before : mapping
        By channel, the variance [SI, squared] that the unknowns would give it without a fit, by
        what the build's own figures are trusted for.
    covariance : mapping
        By channel, the covariance [SI, squared] of the readings over `rpm`.
    """

    parts: Mapping[str, Mapping[str, Array]]
    before: Mapping[str, Array]
    covariance: Mapping[str, Array]
    reconciliation: FittedChain

    @property
    def title(self) -> str:
        """What is predicted."""
        return f"{self.build.title}, predicted"

    @property
    def status(self) -> list[str]:
        """Status of each speed: ``matched``, or why the chain has no answer there."""
        return self.pull.status

    @property
    def extrapolation(self) -> str:
        """One sentence on how far this lies beyond what was measured."""
        return extrapolation(self)

    @property
    def verdict(self) -> str:
        """What is predicted at best power, what is not to be run, and what knocks."""
        words = f"{self.title}: {best_words(self)}"
        return " ".join([words, *over_limit(self), self.pull.knock.verdict]).rstrip()

    @property
    def notes(self) -> list[str]:
        """Limits it would hit, the width of the band and its cause, and cautions."""
        return [
            *unanswered(self.rpm, self.status),
            "At each speed by itself nine readings of ten fall between the edges of its band (±).",
            weather_words(self),
            self.extrapolation,
            *width_words(self),
            *prior_words(self),
            *statuses.notes(self.pull.columns["status"], self.pull.columns["flags"]),
            *self.pull.knock.notes(self.pull.matched),
            *cautions(self),
        ]

    def compare(self, pull: MeasuredPull) -> Comparison:
        """Return the prediction beside the pull, now that it was run.

        Parameters
        ----------
        pull : MeasuredPull
            The pull, its torque steady.

        Returns
        -------
        Comparison
            Differences, and whether the band held.
        """
        fit = self.reconciliation
        checked_pull(pull, "compare", "pull")
        run = prepared(self.build, self.build.level_name, pull, fit.problem.sensors, {})
        words = contradiction(self.build, self.build.level_name, pull)
        run = replace(run, notes=(*([words] if words else []), *run.notes))
        return compared(predicted(fit, run.build, run.rpm), run, pull)

    def plot(self, axes: Sequence[Axes] | None = None, *, system: str = "trade",
             title: str | None = None, beside: Sequence[Prediction] = ()) -> Figure:  # fmt: skip
        """Draw power, torque and boost with their 90 % bands.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Three axes to draw in; a new figure without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture; that of the prediction without it.
        beside : sequence of Prediction
            Further predictions to lay over this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return plot_predictions([self, *beside], axes, system, title)

    def _tables(self, system: str) -> list[Table]:
        kinds = {
            "power": "power", "torque": "torque", "boost": "pressure_difference",
            "plenum_temperature": "temperature", "air_flow": "mass_flow",
        }  # fmt: skip
        cells = {}
        for name, kind in kinds.items():
            middle, spread = self.expected(name)
            value = np.asarray(display(middle, kind, system)[0])
            upper = np.asarray(display(middle + NINETY * spread, kind, system)[0])
            cells[name] = [f"{v:,.1f} ± {u - v:,.1f}" if np.isfinite(v) else "–"
                           for v, u in zip(value, upper, strict=True)]  # fmt: skip
        whole = all(status == "matched" for status in self.status)
        rows = [
            [f"{n:.0f}", *(cells[k][i] for k in kinds),
             *([] if whole else [statuses.words(self.status[i])])]
            for i, n in enumerate(self.rpm)
        ]  # fmt: skip
        more = [] if whole else ["status"]
        headings = ["engine speed", *(k.replace("_", " ") for k in kinds), *more]
        units = ["rpm", *(unit_label(k, system) for k in kinds.values()), *("" for _ in more)]
        return [Table(headings, units, rows)]


def predict(
    reconciliation: FittedChain,
    changes: str | TypedByName | None = None,
    rpm: ArrayLike | None = None,
) -> Prediction:
    """Predict a pull of the fitted build with something changed.

    Parameters
    ----------
    reconciliation : Reconciliation
        The fit.
    changes : str or mapping, optional
        Name of a drive level; or new values by dotted path in the build file, with ``"level"``
        among them: it is needed where the build has several. The weather is that of the last
        measured pull unless a path under ``ambient`` is given.
    rpm : array_like, optional
        Engine speeds [rpm]; those of `Build.pull` without it.

    Returns
    -------
    Prediction
        Curves with a 90 % band.

    Raises
    ------
    InputError
        A change is refused, no level is named of several, or no point has an answer.
    """
    changes = {"level": changes} if isinstance(changes, str) else dict(changes or {})
    level = str(changes.pop("level", ""))
    build = reconciliation.build
    if not any(path.startswith("drive") for path in changes):  # whoever types a drive means that
        level, _ = level_of_pull(build, level, None, "predict", _NAMED)
    build = build.replace(changes) if changes else build
    build = build.level(level) if level else build
    if not any(path.startswith("ambient") for path in changes):
        build = _same_weather(build, reconciliation)
    return predicted(reconciliation, build, rpm)


def predicted(fit: FittedChain, build: Build, rpm: ArrayLike | None = None) -> Prediction:
    """Predict a pull of a build with the fitted unknowns.

    Parameters
    ----------
    fit : Reconciliation
        The fit.
    build : Build
        The build, its weather included.
    rpm : array_like, optional
        Engine speeds [rpm]; those of `Build.pull` without it.

    Returns
    -------
    Prediction
        Curves with a 90 % band.

    Raises
    ------
    InputError
        No point has an answer.
    """
    pull = Pull.run(build.changed(fit.factors), rpm)
    if not pull.matched.any():
        raise refusal(build.title, "prediction", "no point solved", "have an answer somewhere")
    sensors = fit.problem.sensors
    columns = [s.column for s in sensors.values()]
    base, slopes = sensitivities(fit, build.chain, pull.rpm * RPM, columns)
    by_name = dict(zip(fit.channels, zip(fit.problem.channels, fit.slopes, strict=True),
                       strict=True))  # fmt: skip
    moved = drifts(fit, build.chain, pull.rpm, columns)
    place = float(np.log(build.chain.drive.speed_ratio)) if build.supercharged else -9.0
    middle, spread, parts, before, whole = {}, {}, {}, {}, {}
    for name, sensor in sensors.items():
        if not np.isfinite(base[sensor.column]).any():
            continue
        column = sensor.column
        site = Site(sensor, base[column], slopes[column], moved[column], pull.rpm, place,
                    build.chain)  # fmt: skip
        shift, causes = forecast(fit, site, *by_name.get(name, (None, None)))
        middle[name], whole[name] = base[column] + shift, np.sum([*causes.values()], axis=0)
        spread[name] = np.sqrt(np.diag(whole[name]))
        before[name] = np.sum(slopes[column] ** 2, axis=1)
        parts[name] = {cause: np.diag(v) for cause, v in causes.items()}
    return Prediction(build, pull, middle, spread, parts, before, whole, fit)


def _same_weather(build: Build, fit: FittedChain) -> Build:
    return build.changed(Weather.of(fit.problem.runs[-1].chain.ambient))
