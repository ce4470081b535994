"""How far a chain may be wrong: by the fit's band, or else by what a build is trusted for.

A chain's answer f has the spread

    s^2 = J P J' + drift^2 + own^2

of its unknowns (J: change of f with each, P: their covariance, the fit's or that of the build's own
figures), of what each part errs away from the loads that were measured, and of its own error there.
Shown and used as half a 90 % band. Sizes are common practice without a source, except where they
are named.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..chain.build import Build
from ..chain.factors import SHAPE
from ..fit.band import Site, drifts, forecast
from ..fit.fitted_chain import NINETY
from ..fit.fitting import DEFAULT
from ..fit.load_drift import PARTS
from ..fit.parameters import applied, chosen, trusted
from ..fit.problem import ambient_of
from ..fit.reconciliation import Reconciliation
from ..fit.sensors import SENSORS, own_size

Array = NDArray[np.float64]

#: What a build is not taken at its word for: before it was measured, and what no fit has measured.
TRUSTED = (*DEFAULT, "compressor_efficiency", SHAPE)
_UNFITTED = tuple(name for name in TRUSTED if name != SHAPE)
#: Own error of the mean peak pressure's estimate (15 % as half a 90 % band, as where it is coded)
#: and of the power into the gas, standard deviations over the value.
_PEAK, _POWER = 0.15 / NINETY, 0.03
#: The same of the flow at either end of a speed line: measured, and predicted from dimensions.
_END, _ESTIMATED_END = 0.02, 0.05
_SLIP = "belt_slip"
#: Of an unknown's prior width; small enough for the slope, large enough against round-off.
_STEP = 0.02
_CHANNELS = {"torque": "torque", "boost": "plenum_pressure"}


class At(NamedTuple):
    """Where a column is judged: the chain before a fit's factors; whether surge is estimated."""

    chain: _core.Chain
    rpm: Array
    estimated: bool


class Doubt:
    """The unknowns of a build with what is known of them."""

    def __init__(self, build: Build, rpm: Array, fit: Reconciliation | None = None) -> None:
        chain = build.chain
        self._slip = trusted(_SLIP, build.trust).width
        self.fit = fit
        fitted = list(fit.unknowns) if fit is not None else []
        asked = set(fit.parameters) if fit is not None else set()
        # A surface from cams and ports has no typed curve whose shape could be in doubt.
        typed = fit is None and chain.breathing.table is not None
        names = [n for n in (TRUSTED if typed else _UNFITTED) if n not in asked]
        rest = list(chosen(names, [chain], rpm, (), build.trust)) if names else []
        self.unknowns = (*fitted, *rest)
        self.fitted = len(fitted)
        values = [*(fit.values if fit is not None else []), *(u.mean for u in rest)]
        self.values = np.array(values, dtype=float)
        widths = np.array([u.width for u in rest], dtype=float)
        self.covariance = np.zeros((len(values), len(values)))
        if fit is not None:
            self.covariance[: self.fitted, : self.fitted] = fit.covariance
        self.covariance[self.fitted :, self.fitted :] = np.diag(widths**2)
        self.widths = np.array([u.width for u in self.unknowns])

    @property
    def words(self) -> str:
        """Where the band comes from."""
        if self.fit is not None:
            return (
                "The 90 % band is that of the fit to measured pulls, and the chain's own error is "
                "in it"
            )
        return "Nobody has measured this build yet, so the 90 % band is the chain's stated error"

    def places(self) -> list[Array]:
        """Values of the unknowns to solve at: as they stand, then each a little up and down."""
        places = [self.values]
        for j, width in enumerate(self.widths):
            low, high = self.unknowns[j].low, self.unknowns[j].high
            for side in (1.0, -1.0):
                moved = self.values.copy()
                moved[j] = min(max(moved[j] + side * _STEP * width, low), high)
                places.append(moved)
        return places

    def chain(self, chain: _core.Chain, values: Array) -> tuple[_core.Chain, float]:
        """Return a chain at values of the unknowns, and the factor on its drive ratio."""
        if self.fit is None and np.array_equal(values, self.values):
            return chain, 1.0  # as typed, bit for bit
        slips = [u.name == _SLIP for u in self.unknowns]
        kept = [u for u, slip in zip(self.unknowns, slips, strict=True) if not slip]
        factor = float(np.prod([1.0 - v for v, slip in zip(values, slips, strict=True) if slip]))
        moved: _core.Chain = applied(chain, kept, values[~np.array(slips)])
        return moved, factor

    def slopes(self, solved: list[Array]) -> Array:
        """Return the change with each unknown, from answers at `places` in the same order.

        One side is enough where the other has no answer or stands at a bound.
        """
        places, slopes = self.places(), []
        solved = [np.where(np.isfinite(values), values, np.nan) for values in solved]
        base = solved[0]
        for j in range(self.widths.size):
            up, down = 1 + 2 * j, 2 + 2 * j
            high, here, low = (float(places[k][j]) for k in (up, 0, down))
            slope = (solved[up] - solved[down]) / (high - low)
            for k, step in ((up, high - here), (down, low - here)):
                if step != 0.0:
                    one = (solved[k] - base) / step
                    slope = np.where(np.isfinite(slope), slope, one)
            slopes.append(slope)
        return np.stack(slopes, axis=-1)

    def drift(self, chain: _core.Chain, rpm: Array, columns: Sequence[str]) -> Mapping[str, Array]:
        """Return each column's standard deviation by each part's drift [SI]; none without a fit."""
        if self.fit is None:
            return {}
        with np.errstate(invalid="ignore"):  # of a belt that is not there the margin is infinite
            return drifts(self.fit, chain, rpm, columns)

    def band(self, name: str, f: Array, slopes: Array, drift: Array, at: At) -> tuple[Array, Array]:
        """Return what is expected of a column over engine speed, and half its 90 % band [SI]."""
        if name in _CHANNELS and self.fit is not None and np.isfinite(f).all():
            return self._measured(self.fit, _CHANNELS[name], f, slopes, drift, at)
        variance = np.einsum("ri,ij,rj->r", slopes, self.covariance, slopes)
        # What no fit has measured is among the unknowns already.
        drift = drift[:, : len(PARTS)]
        variance = variance + np.sum(drift * drift, axis=1)
        own = _own_error(name, f, at, self._slip)
        return f, NINETY * np.sqrt(variance + own * own)

    def _measured(self, fit: Reconciliation, channel_name: str, f: Array, slopes: Array,
                  drift: Array, at: At) -> tuple[Array, Array]:  # fmt: skip
        """A channel that a fit may hold: the readings shift it and narrow its own error.

        The bias of a sensor is left out: limits ask what is true, not what is read.
        """
        offset = float(at.chain.ambient.pressure) if channel_name == "plenum_pressure" else 0.0
        index = fit.channels.index(channel_name) if channel_name in fit.channels else -1
        channel = (fit.problem.channels[index], fit.slopes[index]) if index >= 0 else ()
        J = slopes[:, : self.fitted] * self.widths[: self.fitted]
        level = float(np.log(at.chain.drive.speed_ratio))
        sensor = fit.problem.sensors[channel_name]
        site = Site(sensor, f + offset, J, drift, at.rpm, level, at.chain)
        shift, parts = forecast(fit, site, *(channel or (None, None)))
        variance = np.sum([np.diag(v) for cause, v in parts.items() if cause != "sensor"], axis=0)
        return f + shift, NINETY * np.sqrt(np.maximum(variance, 0.0))


def _own_error(name: str, f: Array, at: At, slip: float) -> Array:
    """Standard deviation of the chain's own error of a column [SI]."""
    shares: Mapping[str, Array] = {
        "peak_pressure": _PEAK * f,
        "compressor_power": _POWER * f,
        "drive_power": _POWER * f,
        "belt_margin": _POWER * (1.0 + f),
        "surge_margin": (_ESTIMATED_END if at.estimated else _END) * (1.0 - f),
        "choke_margin": _END * (1.0 + f),
    }
    if name in shares:
        return np.where(np.isfinite(shares[name]), shares[name], 0.0)
    if name in ("rotor_speed", "tip_speed"):
        slips = any(belt[0] > 0.0 for belt in at.chain.drive.belts)
        return (slip if slips else 0.0) * f
    # What a sensor reads is trusted as where readings are compared with it.
    sensed = {
        "boost": "plenum_pressure",
        "power": "torque",
        "charge_temperature": "plenum_temperature",
    }
    channel = sensed.get(name, name)
    sensor = SENSORS[channel]
    if name == "boost":
        return own_size(sensor, f, 0.0)
    scale = ambient_of(sensor, at.chain) if sensor.rise else 0.0
    if name == "power":
        return float(np.hypot(sensor.structure, sensor.narrow)) * f
    return own_size(sensor, f, scale)
