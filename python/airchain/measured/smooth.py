"""Smoothing and resampling over engine speed, and sweep tests taken back to steady running."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.speeds import RPM
from ..units.convert import formatted, to_si
from .finding import Finding

if TYPE_CHECKING:
    from .measured import MeasuredPull

Column = NDArray[np.float64]
_WINDOW = 100.0  # rpm


def smoothed(pull: MeasuredPull, window: str | float = "200 rpm") -> MeasuredPull:
    """Return the pull smoothed over engine speed, see `MeasuredPull.smoothed`."""
    width = _speed(window, "window", pull.name)
    ordered = pull.rows(np.argsort(pull["engine_speed"], kind="stable"))
    speed = ordered["engine_speed"]
    columns = {
        name: np.where(np.isnan(values), np.nan, local_lines(speed, values, speed, width))
        for name, values in ordered.columns.items()
        if name not in ("engine_speed", "time")
    }
    words = f"each reading lies on a line drawn through a window of {width / RPM:.0f} rpm around it"
    lined = ordered.with_columns(**columns)
    return lined.replace(findings=(*pull.findings, Finding("smoothing", words)))


def resampled(
    pull: MeasuredPull, rpm: ArrayLike | None = None, window: str | float | None = None
) -> MeasuredPull:
    """Return the pull at chosen engine speeds, see `MeasuredPull.resampled`."""
    low, high = float(np.min(pull.rpm)), float(np.max(pull.rpm))
    if rpm is None:
        rpm = np.arange(100.0 * np.ceil(low / 100.0 - 1e-9), high + 1e-6, 100.0)
    wanted = np.unique(np.atleast_1d(np.asarray(rpm, dtype=float)))
    inside = (wanted >= low * (1.0 - 1e-9)) & (wanted <= high * (1.0 + 1e-9))
    if not wanted.size or not inside.all():
        rule = f"be engine speeds within the pull, {low:.0f} to {high:.0f} rpm"
        raise refusal(pull.name, "rpm", quoted(wanted[~inside].tolist()), rule)
    step = min(float(np.min(np.diff(wanted))), _WINDOW) if wanted.size > 1 else _WINDOW
    width = _speed(step if window is None else window, "window", pull.name)
    at = wanted * RPM
    columns = {
        name: local_lines(pull["engine_speed"], values, at, width)
        for name, values in pull.columns.items()
        if name not in ("engine_speed", "time")
    }
    words = f"each of the {wanted.size} speeds is drawn from a window of {width / RPM:.0f} rpm"
    return pull.replace(
        columns={"engine_speed": at, **columns}, lines=pull.lines[:0],
        findings=(*pull.findings, Finding("resampling", words)),
    )  # fmt: skip


#: Topic of the finding of a sweep that was brought to held speeds; the rate from which a speed
#: counts as swept [rpm/s], and the inertia that a sentence tells the loss for [kg m^2].
_MASSES, SWEEP, _MASS = "acceleration of the masses", 50.0, 0.1


def steady(
    pull: MeasuredPull,
    engine_inertia: str,
    rotor_inertia: str = "0 kg m^2",
    speed_ratio: float = 0.0,
    dyno_inertia: str = "0 kg m^2",
    rate: str | None = None,
) -> MeasuredPull:
    """Return a sweep as if every speed had been held, see `MeasuredPull.steady`."""
    kinds = {
        "engine_inertia": engine_inertia,
        "rotor_inertia": rotor_inertia,
        "dyno_inertia": dyno_inertia,
    }
    of = {n: to_si(v, "moment_of_inertia", where=pull.name, field=n) for n, v in kinds.items()}
    inertia = of["engine_inertia"] + of["dyno_inertia"]
    inertia += float(_core.reflected_inertia(of["rotor_inertia"], speed_ratio))
    if rate is not None:
        acceleration = np.full(
            len(pull), to_si(rate, "angular_acceleration", where=pull.name, field="rate")
        )
    else:
        acceleration = _acceleration(pull)
    torque = pull["torque"] + inertia * acceleration
    added = float(np.nanmedian(inertia * acceleration))
    words = (
        f"torque was {'raised' if added >= 0.0 else 'lowered'} by {abs(added):.1f} N m, "
        f"because masses of {inertia:.4g} kg m^2 changed speed by "
        f"{np.nanmedian(acceleration) / RPM:.0f} rpm/s"
    )
    held = pull.with_columns(torque=torque, power=torque * pull["engine_speed"])
    return held.replace(findings=(*pull.findings, Finding(_MASSES, words)))


def sweep_words(pull: MeasuredPull) -> str:
    """Return what is to be said of a sweep whose torque is taken as that of held speeds.

    Parameters
    ----------
    pull : MeasuredPull
        The pull.

    Returns
    -------
    str
        A sentence or two; empty where speeds were held, no torque was read, or `steady` was used.
    """
    steadied = any(one.topic == _MASSES for one in pull.findings)
    if steadied or "time" not in pull.columns or "torque" not in pull or len(pull) < 3:
        return ""
    time, rpm = pull["time"], pull.rpm
    good = np.isfinite(time) & np.isfinite(rpm)
    if good.sum() < 3 or not np.ptp(time[good]) > 0.0:
        return ""
    rate = float(np.polyfit(time[good], rpm[good], 1)[0])
    if abs(rate) < SWEEP:
        return ""
    lost = abs(_MASS * rate * RPM)
    return (
        f"{pull.name}: engine speed {'climbs' if rate > 0.0 else 'falls'} by {abs(rate):.0f} rpm "
        "a second, and torque is taken as that of held speeds. Unless the dyno's program has "
        f"allowed for it, every {_MASS} kg m^2 of engine, rotor and dyno takes "
        f"{formatted(lost, 'torque')} of it: give the inertia (--inertia, or steady in Python)."
    )


def local_lines(x: Column, y: Column, at: Column, width: float) -> Column:
    """Return values of straight lines fitted within `width` around each place of `at`.

    Where the window holds fewer than three readings the neighbours on either side are joined. NaN
    outside the readings, and in gaps of missing ones wider than two windows and three rows.
    """
    rows = np.sort(x[np.isfinite(x)])
    known = np.isfinite(x) & np.isfinite(y)
    order = np.argsort(x[known], kind="stable")
    x, y = x[known][order], y[known][order]
    if not x.size:
        return np.full(at.size, np.nan)
    # Half a window and a little more, so that neighbours on its edge have a weight.
    reach = 0.5 * width * (1.0 + 1e-9)
    starts = np.searchsorted(x, at - reach)
    ends = np.searchsorted(x, at + reach, side="right")
    values = np.interp(at, x, y, left=np.nan, right=np.nan)
    # The ends of the readings may be missed by a rounding.
    values = np.where(np.abs(at - x[0]) <= 1e-9 * abs(x[0]), y[0], values)
    values = np.where(np.abs(at - x[-1]) <= 1e-9 * abs(x[-1]), y[-1], values)
    widest = max(2.0 * width, 3.0 * float(np.median(np.diff(rows))) if rows.size > 1 else 0.0)
    after = np.clip(np.searchsorted(x, at), 1, max(x.size - 1, 1))
    if x.size > 1:
        values[(x[after] - x[after - 1] > widest) & ~np.isin(at, x)] = np.nan
    for i in range(at.size):
        a, b = int(starts[i]), int(ends[i])
        if b - a < 3 or x[b - 1] == x[a] or np.isnan(values[i]):
            continue
        values[i] = _line(x[a:b] - at[i], y[a:b], 1.2 * reach)
    return values


def _line(d: Column, y: Column, reach: float) -> float:
    """Return the value at zero of the weighted straight line through `y` over `d`."""
    w = (1.0 - np.abs(d / reach) ** 3) ** 3
    s0, s1, s2 = w.sum(), (w * d).sum(), (w * d * d).sum()
    determinant = s0 * s2 - s1 * s1
    if determinant <= 1e-12 * s0 * s2:
        return float((w * y).sum() / s0)
    return float(((s2 - s1 * d) * w * y).sum() / determinant)


def _acceleration(pull: MeasuredPull) -> Column:
    """Return the crank's acceleration [rad/s^2], smoothed over a twentieth of the pull's time."""
    if "time" not in pull.names or len(pull) < 3:
        rule, hint = "be given", "the pull has no times to tell it"
        raise refusal(pull.name, "rate", "missing", rule, hint)
    time, speed = pull["time"], pull["engine_speed"]
    step = (np.nanmax(time) - np.nanmin(time)) / 20.0
    ahead = np.minimum(time + 0.5 * step, np.nanmax(time))
    behind = np.maximum(time - 0.5 * step, np.nanmin(time))
    rise = local_lines(time, speed, ahead, step) - local_lines(time, speed, behind, step)
    return np.asarray(rise / (ahead - behind))


def _speed(value: str | float, field: str, where: str) -> float:
    width = to_si(value, "speed", where=where, field=field, unit="rpm")
    if not width > 0.0:
        raise refusal(where, field, quoted(value), "be above 0 rpm")
    return width
