"""Units of a log's columns where the log leaves them out, and what must be asked instead."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...units.text import UnitRefusedError, factor_of

Column = NDArray[np.float64]

#: Gasoline's stoichiometric ratio as loggers round it (common practice, no source).
GASOLINE_SCALE = 14.7
_BAROMETERS = (("inHg", 25.0, 32.0), ("psi", 12.0, 15.6), ("kPa", 83.0, 108.5),
               ("mmHg", 620.0, 815.0), ("hPa", 830.0, 1085.0))  # fmt: skip
_TORQUES, _POWERS = ("lb ft", "N m"), ("hp", "kW", "PS", "W")
_SAME = 0.012  # hp and PS are 1.4 % apart


def factor(unit: str, kind: str) -> tuple[float, float] | None:
    """Return scale and offset of a unit of a kind; None where it is none."""
    try:
        found = factor_of(unit, kind)
    except UnitRefusedError:
        return None
    return found.scale, found.offset


def unit_by_size(name: str, values: Column) -> tuple[str, str]:
    """Return the only unit that the size of the numbers allows, and why; empty texts if none."""
    read = values[np.isfinite(values)]
    if not read.size:
        return "", ""
    low, high = float(read.min()), float(read.max())
    span = f"no unit given; {low:g} to {high:g}"
    if name in ("engine_speed", "rotor_speed") and high > 1300.0:
        return "rpm", f"{span} can only be rpm"
    if name == "relative_humidity" and high > 1.5:
        return "%", f"{span} can only be per cent"
    if name == "barometer":
        for unit, least, most in _BAROMETERS:
            if least <= low and high <= most:
                return unit, f"{span} is a barometer only in {unit}"
    if name == "time" and read.size > 1:
        step = float(np.median(np.abs(np.diff(read))))
        if 1e-4 <= step <= 2.0 and step != round(step):
            return "s", f"no unit given; steps of {step:.3g} are seconds"
    return "", ""


def units_of_product(
    torque: Column, power: Column, speed: Column, torque_unit: str, power_unit: str
) -> tuple[str, str, str]:
    """Return the units that make power torque times speed, and why; empty texts if none do.

    A unit already known is given and kept.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        raw = power / (torque * speed)
    raw = raw[np.isfinite(raw) & (raw > 0.0)]
    if not raw.size:
        return "", "", ""
    ratio = float(np.median(raw))
    fits = []
    for t in [torque_unit] if torque_unit else _TORQUES:
        for p in [power_unit] if power_unit else _POWERS:
            scales = factor(t, "torque"), factor(p, "power")
            if scales[0] and scales[1]:
                fits.append((abs(ratio * scales[1][0] / scales[0][0] - 1.0), t, p))
    best = min(fits, default=(1.0, "", ""))
    if best[0] > 0.5 * _SAME:
        return "", "", ""
    return best[1], best[2], "no unit given; with it power is torque times speed"


def looks_swapped(torque: Column, power: Column, speed: Column) -> bool:
    """Return whether power is torque times speed only with the two columns changed over.

    `torque` and `power` are the log's own numbers, in whatever unit; `speed` [rad/s].
    """
    if units_of_product(torque, power, speed, "", "")[0]:
        return False
    t, p, _ = units_of_product(power, torque, speed, "", "")
    scales = factor(t, "torque"), factor(p, "power")
    if scales[0] is None or scales[1] is None:
        return False
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = torque * scales[1][0] / (power * scales[0][0] * speed)
    ratio = ratio[np.isfinite(ratio)]
    # One median may agree by chance; a whole pull does not.
    return bool(np.percentile(np.abs(ratio - 1.0), 90) < 0.05)
