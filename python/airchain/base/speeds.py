"""Engine speeds as the trade types them: in revolutions per minute."""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from .errors import quoted, refusal

#: One revolution per minute in rad/s.
RPM: float = pi / 30.0
_HINT = "engine speeds are in rpm, such as [3000, 4000, 5000]"


def checked_speeds(rpm: ArrayLike, where: str = "Pull") -> NDArray[np.float64]:
    """Return engine speeds [rpm] as an array, or refuse what are none."""
    if _masked(rpm):
        raise refusal(where, "rpm", quoted(rpm), "be engine speeds in a row, none of them masked")
    try:
        speeds = np.atleast_1d(np.asarray(rpm, dtype=float))
    except (TypeError, ValueError):
        rule = "be numbers without a unit"
        raise refusal(where, "rpm", quoted(rpm), rule, _HINT) from None
    if speeds.ndim != 1 or not speeds.size or not np.all(np.isfinite(speeds) & (speeds > 0)):
        rule = "be positive finite engine speeds in a row"
        raise refusal(where, "rpm", quoted(rpm), rule, _HINT)
    low, high = _speed_range()
    beyond = speeds[(speeds < low) | (speeds > high)]
    if beyond.size:
        rule = f"be between {low:,.0f} and {high:,.0f} rpm"
        raise refusal(where, "rpm", f"{beyond[0]:g}", rule, "engine speeds are typed in rpm")
    return speeds


def _masked(rpm: ArrayLike) -> bool:
    """Whether there is a masked value, which NumPy would take for what lies under its mask."""
    entries = rpm if isinstance(rpm, list | tuple) else ()
    return bool(np.ma.is_masked(rpm)) or any(map(np.ma.is_masked, entries))


def _speed_range() -> tuple[float, float]:
    """Lowest and highest engine speed [rpm] that a chain takes."""
    low, high = next(f[2:4] for f in _core.Operation.fields() if f[0] == "engine_speed")
    return low / RPM, high / RPM
