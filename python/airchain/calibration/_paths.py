"""The way each level takes through the table: engine speed, plenum state, air and fuel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..base.errors import refusal
from ..chain.build import Build
from ..chain.pull import Pull
from ..measured.measured import MeasuredPull
from ._surface import filled

Array = NDArray[np.float64]
#: Width of the bins of engine speed that readings are brought to [rpm].
BIN = 100.0


@dataclass(frozen=True)
class Path:
    """Full throttle of one level, points in order of engine speed.

    Attributes
    ----------
    level : str
        The level.
    measured : bool
        Whether it was measured rather than computed.
    rpm, pressure, temperature : ndarray
        Engine speed [rpm], plenum pressure [Pa] and plenum temperature [K].
    volumetric_efficiency : ndarray
        On plenum density [dimensionless]; NaN where neither air nor fuel flow was measured.
    fuel_flow : ndarray
        [kg/s]; NaN where it was not measured.
    excess : ndarray
        Lambda [dimensionless].
    """

    level: str
    measured: bool
    rpm: Array
    pressure: Array
    temperature: Array
    volumetric_efficiency: Array
    fuel_flow: Array
    excess: Array

    @property
    def solved(self) -> int:
        """How many points have an answer, dimensionless."""
        return int(np.count_nonzero(np.isfinite(self.pressure)))

    @property
    def name(self) -> str:
        """Level, and whether it was measured."""
        return f"{self.level}, measured" if self.measured else self.level


def computed(level: str, pull: Pull) -> Path:
    """Return the path of a computed pull; NaN where the chain has no answer."""
    chain = pull.build.chain
    rpm = np.asarray(pull.rpm, dtype=float)
    p, t = pull["plenum_pressure"], pull["plenum_temperature"]
    excess = np.full(rpm.size, float(getattr(chain.injection, "lambda")))
    filling = pull["air_flow"] / filled(chain, rpm, p, t)
    return Path(level, False, rpm, p, t, filling, pull["fuel_flow"], excess)


def measured(level: str, pull: MeasuredPull, build: Build) -> Path:
    """Return the path of a measured pull, or refuse one without pressure and temperature."""
    names = ("plenum_pressure", "plenum_temperature")
    for name in names:
        if name not in pull:
            rule = "hold plenum pressure and plenum temperature"
            hint = "without them its place in the table is not known"
            raise refusal("calibrate", f"pull {pull.name}", f"no {name}", rule, hint)
    order = np.argsort(pull.rpm, kind="stable")
    rpm, p, t = (np.asarray(v)[order] for v in (pull.rpm, *(pull[n] for n in names)))
    nothing = np.full(rpm.size, np.nan)
    typed = float(getattr(build.chain.injection, "lambda"))
    excess = pull["lambda"][order] if "lambda" in pull else np.full(rpm.size, typed)
    fuel = pull["fuel_flow"][order] if "fuel_flow" in pull else nothing
    # Fuel is what a calibration must get right, so its own reading comes before the air's.
    by_fuel = "fuel_flow" in pull and ("lambda" in pull or "air_flow" not in pull)
    if by_fuel:
        air = fuel * excess * build.chain.fuel.stoichiometric_ratio
    else:
        air = pull["air_flow"][order] if "air_flow" in pull else nothing
    kept = np.isfinite(rpm) & np.isfinite(p) & np.isfinite(t)
    full = filled(build.chain, rpm, p, t)
    columns = (rpm, p, t, air / full, fuel, excess)
    return Path(level, True, *_medians([values[kept] for values in columns]))


def _medians(columns: list[Array]) -> list[Array]:
    """Return the median of each column in every bin of the first, engine speed, that holds any.

    A single reading carries the sensors' noise, which no table can meet.
    """
    bins = np.floor(columns[0] / BIN)
    rows = [np.flatnonzero(bins == b) for b in np.unique(bins)]
    return [np.array([_median(values[r]) for r in rows]) for values in columns]


def _median(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if known.size else float("nan")
