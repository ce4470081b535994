"""Numbers that mean no reading: full scales of converters and the like, taken as missing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Column = NDArray[np.float64]
#: What loggers write where a sensor is missing (common practice, no source).
_SENTINELS = np.array(
    [
        65535.0, 65534.0, 65536.0, 6553.5, 655.35, 65.535, 32767.0, 32768.0, 3276.7, 327.67,
        327.68, -32768.0, -3276.8, -327.68, 2147483647.0, -2147483648.0, 4294967295.0, 999.0,
        999.9, 999.99, 9999.0, 9999.9, 99999.0, 99.99, -999.0, -999.9, -9999.0, -99.0, -99.9,
        -99.99, -1.0, 255.0, 1e30, 9.99e30, -1e30,
    ]
)  # fmt: skip
_APART = 1.5


def sentinels(values: Column) -> dict[float, NDArray[np.bool_]]:
    """Return by number the rows that hold a sentinel: a known one, far from all other readings."""
    read = values[np.isfinite(values)]
    if not read.size:
        return {}
    by_number: dict[float, NDArray[np.bool_]] = {}
    known = set(_SENTINELS.tolist())
    rest = read
    for _ in range(4):
        ends = [number for number in (float(rest.max()), float(rest.min())) if number in known]
        if not ends:
            break
        number = ends[0]
        rest = rest[rest != number]
        if rest.size < 2:
            break
        low, high = (float(v) for v in np.percentile(rest, (1, 99)))
        reach = max(high - low, 0.02 * max(abs(low), abs(high)))
        if number > high + _APART * reach or number < low - _APART * reach:
            by_number[number] = values == number
    return by_number
