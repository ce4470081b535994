"""What the next step will do, before it is run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..base.speeds import RPM
from ..chain.pull import Pull
from ..shown import statuses
from ..shown.tables import Shown, Table
from ..units.convert import display, unit_label
from ._limits import cautions, extrapolation, width_words
from .band import Site, drifts, forecast, sensitivities
from .comparison import Comparison
from .reconciliation import NINETY, Reconciliation

__all__ = ["Prediction", "predict"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False, repr=False)
class Prediction(Shown):
    """A pull that was not yet run, with the band that its readings should fall into.

    Attributes
    ----------
    reconciliation : Reconciliation
        What it rests on.
    build : Build
        The build as it will be pulled, before the fit's factors.
    pull : Pull
        Every column of the fitted chain there.
    middle, spread : mapping
        By channel, what is expected to be read and its standard deviation [SI] over `rpm`; the
        spread holds the unknowns, the chain's own error, and the bias of a pull.
    parts : mapping
        By channel, the variances that make up the spread [SI, squared]: ``unknowns``; ``chain``,
        the chain's own error at the loads measured; what its parts may err by at other loads,
        under ``volumetric_efficiency``, ``indicated_efficiency``, ``compressor_head``,
        ``compressor_efficiency`` and ``cooler_effectiveness``; ``sensor``. They add up; one may be
        below zero, where readings tell of a sum of causes better than of each.
    covariance : mapping
        By channel, the covariance [SI, squared] of the readings over `rpm`.
    """

    reconciliation: Reconciliation
    build: Any
    pull: Pull
    middle: Mapping[str, Array]
    spread: Mapping[str, Array]
    parts: Mapping[str, Mapping[str, Array]]
    covariance: Mapping[str, Array]

    @property
    def rpm(self) -> Array:
        """Engine speeds [rpm]."""
        found: Array = self.pull.rpm
        return found

    @property
    def title(self) -> str:
        """What is predicted."""
        return f"{self.build.title}, predicted"

    def band(self, name: str) -> tuple[Array, Array]:
        """Return the 90 % band of a channel.

        Parameters
        ----------
        name : str
            A channel such as ``"torque"`` or ``"plenum_pressure"``, or ``"power"`` or
            ``"boost"``.

        Returns
        -------
        tuple of ndarray
            Its lower and upper edge [SI] over `rpm`.
        """
        middle, spread = self.expected(name)
        return middle - NINETY * spread, middle + NINETY * spread

    def expected(self, name: str) -> tuple[Array, Array]:
        """Return what is expected of a channel and its standard deviation.

        Parameters
        ----------
        name : str
            As of `band`.

        Returns
        -------
        tuple of ndarray
            Mean and standard deviation [SI] over `rpm`.

        Raises
        ------
        InputError
            There is no such channel.
        """
        if name == "power":
            speed = self.rpm * RPM
            return self.middle["torque"] * speed, self.spread["torque"] * speed
        if name == "boost":
            ambient = float(self.build.chain.ambient.pressure)
            return self.middle["plenum_pressure"] - ambient, self.spread["plenum_pressure"]
        if name not in self.middle:
            rule = f"be one of power, boost, {', '.join(self.middle)}"
            raise refusal("Prediction", "channel", f'"{name}"', rule)
        return self.middle[name], self.spread[name]

    def at(self, name: str, rpm: float) -> tuple[float, float, float]:
        """Return mean and 90 % band of a channel at one engine speed.

        Parameters
        ----------
        name : str
            As of `band`.
        rpm : float
            Engine speed within the prediction [rpm].

        Returns
        -------
        tuple of float
            Expected, lower and upper value [SI].

        Raises
        ------
        InputError
            The speed was not predicted.
        """
        middle, spread = self.expected(name)
        if not self.rpm.min() <= rpm <= self.rpm.max():
            rule = f"be {self.rpm.min():.0f} to {self.rpm.max():.0f} rpm"
            raise refusal("Prediction", "rpm", f"{rpm} rpm", rule)
        m = float(np.interp(rpm, self.rpm, middle))
        s = NINETY * float(np.interp(rpm, self.rpm, spread))
        return m, m - s, m + s

    @property
    def extrapolation(self) -> str:
        """One sentence on how far this lies beyond what was measured."""
        return extrapolation(self)

    @property
    def verdict(self) -> str:
        """What is predicted, and what its band means."""
        return f"{self.title}: 90 % band for the readings of one pull, each speed by itself"

    @property
    def notes(self) -> list[str]:
        """Limits it would hit, the width of the band and its cause, and cautions."""
        return [
            self.extrapolation,
            *width_words(self),
            *statuses.notes(self.pull.columns["status"], self.pull.columns["flags"]),
            *cautions(self),
        ]

    def compare(self, pull: Any) -> Comparison:
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
        return Comparison.of(self, pull)

    def _tables(self, system: str) -> list[Table]:
        kinds = {
            "power": "power", "torque": "torque", "boost": "pressure_difference",
            "plenum_temperature": "temperature", "air_flow": "mass_flow",
        }  # fmt: skip
        shown = {}
        for name, kind in kinds.items():
            middle, spread = self.expected(name)
            value = np.asarray(display(middle, kind, system)[0])
            upper = np.asarray(display(middle + NINETY * spread, kind, system)[0])
            shown[name] = (value, upper - value)
        rows = [
            [f"{n:.0f}", *(f"{shown[k][0][i]:,.1f} ± {shown[k][1][i]:,.1f}" for k in kinds)]
            for i, n in enumerate(self.rpm)
        ]
        headings = ["engine speed", *(k.replace("_", " ") for k in kinds)]
        return [Table(headings, ["rpm", *(unit_label(k, system) for k in kinds.values())], rows)]


def predict(
    reconciliation: Reconciliation,
    changes: str | Mapping[str, Any] | None = None,
    rpm: Any = None,
) -> Prediction:
    """Predict a pull of the fitted build with something changed.

    Parameters
    ----------
    reconciliation : Reconciliation
        The fit.
    changes : str or mapping, optional
        Name of a drive level; or new values by dotted path in the build file, with ``"level"``
        among them where a level is meant. The weather is that of the last measured pull unless
        a path under ``ambient`` is given.
    rpm : array_like, optional
        Engine speeds [rpm]; those of `Build.pull` without it.

    Returns
    -------
    Prediction
        Curves with a 90 % band.

    Raises
    ------
    InputError
        A change is refused, or no point has an answer.
    """
    changes = {"level": changes} if isinstance(changes, str) else dict(changes or {})
    level = changes.pop("level", None)
    build = reconciliation.build
    build = build.replace(changes) if changes else build
    build = build.level(level) if level else build
    if not any(path.startswith("ambient") for path in changes):
        build = _same_weather(build, reconciliation)
    return predicted(reconciliation, build, rpm)


def predicted(found: Reconciliation, build: Any, rpm: Any = None) -> Prediction:
    """Predict a pull of a build with the fitted unknowns.

    Parameters
    ----------
    found : Reconciliation
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
    from dataclasses import replace

    pull = Pull.run(replace(build, chain=found.chain_of(build)), rpm)
    if not pull.matched.any():
        raise refusal(build.title, "prediction", "no point solved", "have an answer somewhere")
    sensors = found.problem.sensors
    columns = [s.column for s in sensors.values()]
    base, slopes = sensitivities(found, build.chain, pull.rpm * RPM, columns)
    by_name = dict(zip(found.channels, zip(found.problem.channels, found.slopes, strict=True),
                       strict=True))  # fmt: skip
    moved = drifts(found, build.chain, pull.rpm, columns)
    place = float(np.log(build.chain.drive.speed_ratio)) if build.supercharged else -9.0
    middle, spread, parts, whole = {}, {}, {}, {}
    for name, sensor in sensors.items():
        if not np.isfinite(base[sensor.column]).any():
            continue
        column = sensor.column
        site = Site(sensor, base[column], slopes[column], moved[column], pull.rpm, place,
                    build.chain)  # fmt: skip
        shift, made = forecast(found, site, *by_name.get(name, (None, None)))
        middle[name], whole[name] = base[column] + shift, np.sum([*made.values()], axis=0)
        spread[name] = np.sqrt(np.diag(whole[name]))
        parts[name] = {cause: np.diag(v) for cause, v in made.items()}
    return Prediction(found, build, pull, middle, spread, parts, whole)


def _same_weather(build: Any, found: Reconciliation) -> Any:
    from dataclasses import replace

    ambient = found.problem.runs[-1].chain.ambient
    return replace(build, chain=build.chain.replace(ambient=ambient))
