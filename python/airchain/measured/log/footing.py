"""Units of a log's columns where the log leaves them out, and what must be asked instead."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .unit_factor import factor

Column = NDArray[np.float64]

#: Gasoline's stoichiometric ratio as loggers round it (common practice, no source).
GASOLINE_SCALE = 14.7
_BAROMETERS = (("inHg", 25.0, 32.0), ("psi", 12.0, 15.6), ("kPa", 83.0, 108.5),
               ("mmHg", 620.0, 815.0), ("hPa", 830.0, 1085.0))  # fmt: skip
_TORQUES, _POWERS = ("lb ft", "N m", "kgf m"), ("hp", "kW", "PS", "W")
# hp and PS are 1.4 % apart: readings that are off by less than 1 % do not tell which.
_SAME, _APART = 0.01, 0.02


def unit_by_size(name: str, values: Column) -> tuple[str, str]:
    """Return the only unit that the size of the numbers allows, and why; empty texts if none."""
    read = values[np.isfinite(values)]
    if not read.size:
        return "", ""
    low, high = float(read.min()), float(read.max())
    span = f"no unit given; {low:g} to {high:g}"
    if name in ("engine_speed", "rotor_speed") and np.percentile(read, 95) > 1300.0:
        return "rpm", f"{span} can only be rpm"
    if name == "relative_humidity" and np.median(read) > 1.5:
        return "%", f"{span} can only be per cent"
    if name == "barometer":
        for unit, least, most in _BAROMETERS:
            if least <= low and high <= most:
                return unit, f"{span} is a barometer only in {unit}"
    if name == "time":
        return _time_unit(values)
    return "", ""


def _time_unit(values: Column) -> tuple[str, str]:
    """Return the only unit in which steps and length of a log of times are usual ones."""
    read = values[np.isfinite(values)]
    steps = np.abs(np.diff(read))
    steps = steps[steps > 0.0]
    if not steps.size:
        return "", ""
    step, length = float(np.median(steps)), float(np.ptp(read))
    if step < 0.3 and length >= 1.0:
        return "s", f"no unit given; steps of {step:.3g} are seconds"
    # A pull takes seconds, and a logger writes some to some hundred rows a second.
    if 4.0 <= step <= 500.0 and length > 1500.0 and step == round(step):
        per_second = {unit: step * size for unit, size in (("s", 1.0), ("ms", 1e-3))}
        if read.size > 200 and per_second["s"] >= 5.0:
            return "ms", f"no unit given; {read.size} steps of {step:.3g} are milliseconds"
    return "", ""


def units_of_product(
    torque: Column, power: Column, speed: Column, torque_unit: str, power_unit: str
) -> list[tuple[str, str]]:
    """Return the pairs of units that make power torque times speed, the best first.

    Pairs that lie within 2 % of the best are among them: readings do not tell them apart. A unit
    already known is given and kept.
    """
    ratio = ratio_of(torque, power, speed)
    if not np.isfinite(ratio):
        return []
    fits = []
    for t in [torque_unit] if torque_unit else _TORQUES:
        for p in [power_unit] if power_unit else _POWERS:
            scales = factor(t, "torque"), factor(p, "power")
            if scales[0] and scales[1]:
                fits.append((abs(ratio * scales[1][0] / scales[0][0] - 1.0), t, p))
    fits.sort()
    if not fits or fits[0][0] > _SAME:
        return []
    return [(t, p) for off, t, p in fits if off <= fits[0][0] + _APART]


def ratio_of(torque: Column, power: Column, speed: Column) -> float:
    """Return the median of power over torque times speed in the log's own numbers."""
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        raw = power / (torque * speed)
        strong = np.abs(torque) > 0.3 * np.nanmax(np.abs(np.append(torque, 0.0)))
    raw = raw[np.isfinite(raw) & (raw > 0.0) & strong]
    middle = float(np.median(raw)) if raw.size else float("nan")
    # One median may agree by chance; a whole pull does not.
    steady = raw.size and float(np.percentile(np.abs(raw / middle - 1.0), 90)) < 0.08
    return middle if steady else float("nan")


def looks_swapped(torque: Column, power: Column, speed: Column) -> bool:
    """Return whether power is torque times speed only with the two columns changed over.

    `torque` and `power` are the log's own numbers, in whatever unit; `speed` [rad/s].
    """
    if units_of_product(torque, power, speed, "", ""):
        return False
    crossed = units_of_product(power, torque, speed, "", "")
    if not crossed:
        return False
    t, p = crossed[0]
    scales = factor(t, "torque"), factor(p, "power")
    if scales[0] is None or scales[1] is None:
        return False
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratio = torque * scales[1][0] / (power * scales[0][0] * speed)
    ratio = ratio[np.isfinite(ratio)]
    # One median may agree by chance; a whole pull does not.
    return bool(np.percentile(np.abs(ratio - 1.0), 90) < 0.05)
