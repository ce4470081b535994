"""Whether the readings of a pull agree with each other; findings, never changes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..units.convert import formatted
from .channels import channel_findings, lines_of
from .engine_checks import engine_findings
from .finding import Finding
from .measured import MeasuredPull
from .quantities import QUANTITIES

__all__ = ["plausibility"]

Mask = NDArray[np.bool_]
Check = Callable[[MeasuredPull], Iterator[Finding]]
_POWER = 0.01
_POWER_ROW = 0.03
_ALIKE = 0.01
_STOICHIOMETRIC = 0.08
_GAP = 3.5
#: No cooler and throttle leave less than this share of the compressor's outlet pressure.
_LOST_ON_THE_WAY = 0.75
_BACKWARDS = 0.02
#: Longest pull [s] and longest time a row of one that stays at each speed, and the fastest rise of
#: engine speed [rpm/s] that a loaded engine has (common practice, no source).
_LONGEST, _LONGEST_ROW, _FASTEST = 600.0, 30.0, 5000.0
_MOVING = (
    "plenum_temperature",
    "compressor_outlet_temperature",
    "exhaust_temperature",
    "torque",
    "power",
    "plenum_pressure",
    "compressor_outlet_pressure",
    "air_flow",
    "fuel_flow",
    "lambda",
)


def plausibility(pull: MeasuredPull, loaded: bool = True) -> tuple[Finding, ...]:
    """Return what does not fit together in a pull.

    Power is held against torque times speed, air flow against fuel flow times lambda, manifold
    against compressor outlet pressure, power against air, charge temperature against pressure;
    temperatures that never move, gaps between samples, equal
    times, speed that falls and missing readings are listed.

    Parameters
    ----------
    pull : MeasuredPull
        The pull.
    loaded : bool
        Whether it ran under load; without it only times, speeds and missing readings are looked
        at.

    Returns
    -------
    tuple of Finding
        The findings, with the lines of the file where the pull came from one.
    """
    checks: tuple[Check, ...] = (_pace, _gaps, _same_time, _backwards, _missing)
    under_load = (_power, _air, _pressures, _still, channel_findings, engine_findings)
    checks = (*under_load, *checks) if loaded else checks
    return tuple(finding for check in checks for finding in check(pull))


def _lines(pull: MeasuredPull, mask: Mask) -> tuple[int, ...]:
    return lines_of(pull, np.flatnonzero(mask))


def _power(pull: MeasuredPull) -> Iterator[Finding]:
    if not {"torque", "power"} <= set(pull.names):
        return
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratio = pull["power"] / (pull["torque"] * pull["engine_speed"])
    read = ratio[np.isfinite(ratio)]
    if not read.size:
        return
    middle = float(np.median(read))
    topic = "power against torque"
    speed = pull["engine_speed"][np.isfinite(ratio)]
    alike = read * speed / np.median(read * speed)
    if np.ptp(speed) > 0.1 * np.max(speed) and np.all(np.abs(alike - 1.0) < _ALIKE):
        words = (
            "power is in proportion to torque at every engine speed: one of the two columns holds "
            "the other's readings"
        )
        yield Finding(topic, words, _lines(pull, np.isfinite(ratio)))
        return
    with np.errstate(invalid="ignore"):
        off = np.abs(ratio / middle - 1.0) > _POWER_ROW
    if abs(middle - 1.0) > _POWER:
        metric = any(abs(middle - ratio) < 0.003 for ratio in (1.0139, 0.9863))
        hint = "; hp and metric horsepower are so far apart" if metric else ""
        rows = "in most rows" if off.any() else "throughout"
        yield Finding(topic, f"power is {middle:.3f} times torque times speed {rows}{hint}")
    if off.any():
        apart = "another multiple of it" if abs(middle - 1.0) > _POWER else "not torque times speed"
        words = f"power is {apart} in {off.sum()} of {len(pull)} rows"
        yield Finding(topic, words, _lines(pull, off))


def _air(pull: MeasuredPull) -> Iterator[Finding]:
    if not {"air_flow", "fuel_flow", "lambda"} <= set(pull.names):
        return
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratio = pull["air_flow"] / (pull["fuel_flow"] * pull["lambda"])
    read = ratio[np.isfinite(ratio)]
    if not read.size:
        return
    middle = float(np.median(read))
    known = {n: _core.generic_fuel(n).stoichiometric_ratio for n in _core.generic_fuel_names()}
    near = min(known, key=lambda name: abs(known[name] / middle - 1.0))
    topic = "air flow against fuel flow times lambda"
    if abs(14.7 / middle - 1.0) > _STOICHIOMETRIC >= abs(known[near] / middle - 1.0):
        yield Finding(topic, f"they go together for {near.replace('_', ' ')}: is that the fuel?")
    if abs(known[near] / middle - 1.0) > _STOICHIOMETRIC:
        words = (
            f"they need a stoichiometric ratio of {middle:.2f}, which no known fuel has; nearest"
        )
        yield Finding(topic, f"{words} is {near}, {known[near]:.2f}")
    with np.errstate(invalid="ignore"):
        off = np.abs(ratio / middle - 1.0) > 0.1
    if off.any():
        yield Finding(
            topic, f"{off.sum()} rows differ by over 10 % from the rest", _lines(pull, off)
        )


def _pressures(pull: MeasuredPull) -> Iterator[Finding]:
    names = set(pull.names)
    if {"plenum_pressure", "compressor_outlet_pressure"} <= names:
        with np.errstate(invalid="ignore"):
            over = pull["plenum_pressure"] > 1.01 * pull["compressor_outlet_pressure"]
        if over.any():
            words = "plenum pressure lies above the compressor outlet pressure that feeds it"
            yield Finding("plenum pressure", words, _lines(pull, over))
        with np.errstate(invalid="ignore"):
            under = pull["plenum_pressure"] < _LOST_ON_THE_WAY * pull["compressor_outlet_pressure"]
        if under.mean() > 0.3:
            words = "plenum pressure lies far below the compressor outlet pressure that feeds it"
            yield Finding("plenum pressure", words, _lines(pull, under))


def _still(pull: MeasuredPull) -> Iterator[Finding]:
    for name in _MOVING:
        if name not in pull.names or len(pull) < 10:
            continue
        read = pull[name][np.isfinite(pull[name])]
        if read.size and read.min() == read.max():
            shown = formatted(float(read[0]), QUANTITIES[name].kind)
            words = f"never moves: {shown} in every row; is the sensor connected?"
            yield Finding(QUANTITIES[name].words, words)


def _steps(pull: MeasuredPull) -> NDArray[np.float64]:
    return np.diff(pull["time"], prepend=np.nan) if "time" in pull.names else np.zeros(0)


def _pace(pull: MeasuredPull) -> Iterator[Finding]:
    """A sweep takes seconds, steps at held speeds some minutes each."""
    if "time" not in pull.names or not np.isfinite(pull["time"]).any():
        return
    seconds, rise = float(np.ptp(pull["time"][np.isfinite(pull["time"])])), np.ptp(pull.rpm)
    if not rise > 1000.0:
        return
    if seconds > max(_LONGEST, _LONGEST_ROW * len(pull)) or rise > _FASTEST * seconds > 0.0:
        words = f"it takes {seconds:,.3g} s for {rise:,.0f} rpm: is the unit of the times right?"
        yield Finding("time", words)


def _gaps(pull: MeasuredPull) -> Iterator[Finding]:
    steps = _steps(pull)
    rising = steps[np.isfinite(steps) & (steps > 0.0)]
    if rising.size < 5:
        return
    usual = float(np.median(rising))
    with np.errstate(invalid="ignore"):
        wide = steps > _GAP * usual
    if wide.any():
        most = float(np.nanmax(steps))
        words = f"up to {most:.3g} s between rows that are {usual:.3g} s apart elsewhere"
        yield Finding("gaps between samples", words, _lines(pull, wide))


def _same_time(pull: MeasuredPull) -> Iterator[Finding]:
    same = _steps(pull) == 0.0
    if same.any():
        words = f"{same.sum()} rows have the time of the row before"
        yield Finding("time", words, _lines(pull, same))


def _backwards(pull: MeasuredPull) -> Iterator[Finding]:
    speed = pull["engine_speed"]
    span = float(np.nanmax(speed) - np.nanmin(speed))
    if speed[-1] < speed[0]:
        return  # measured with falling speed; the name says so
    with np.errstate(invalid="ignore"):
        back = speed < np.fmax.accumulate(speed) - _BACKWARDS * span
    if back.any() and span > 0.0:
        words = (
            f"it falls back by more than {100 * _BACKWARDS:.0f} % of the run in {back.sum()} rows"
        )
        yield Finding("engine speed", words, _lines(pull, back))


def _missing(pull: MeasuredPull) -> Iterator[Finding]:
    for name in pull.names:
        gone = np.isnan(pull[name])
        if gone.any():
            words = f"{gone.sum()} of {len(pull)} readings are missing"
            yield Finding(QUANTITIES[name].words, words, _lines(pull, gone))
