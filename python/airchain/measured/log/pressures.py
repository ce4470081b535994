"""Gauge or absolute: told by the unit, the heading or the readings, with the reason; or not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

#: Rest: the engine stands; a manifold then holds ambient pressure.
_NEAR_BAROMETER = 0.05
# At full throttle no manifold is as low as this [Pa]: it would be a reading on a gauge.
_LOWEST_MANIFOLD = 40e3
# An inlet before the compressor lies a little below the barometer [Pa].
_INLET = (55e3, 110e3)
_LOWEST_BAROMETER, _HIGHEST_BAROMETER = 55e3, 109e3


@dataclass(frozen=True)
class Readings:
    """A pressure as the log has it [Pa], gauge or absolute, and what is known beside it."""

    name: str
    heading: str
    said: str
    values: NDArray[np.float64]
    resting: NDArray[np.bool_]
    barometer: float


def reference_of(r: Readings) -> tuple[str, str]:
    """Return absolute, gauge or vacuum and why; empty texts where nothing tells."""
    if r.said:
        return r.said, "its unit says so"
    words = r.heading.lower().replace("_", " ")
    for word in ("absolute", "abs", "gauge", "gage"):
        if word in words.split():
            return ("absolute" if word.startswith("abs") else "gauge"), "its heading says so"
    read = r.values[np.isfinite(r.values)]
    if not read.size:
        return "absolute", "it holds no reading"
    if read.min() < -100.0:
        return "gauge", "it goes below zero"
    if "boost" in words or "depression" in words:
        return "gauge", "boost and depression are differences by name"
    told = _at_rest(r)
    if told[0]:
        return told
    if "map" in words.split():
        return "absolute", "MAP names manifold absolute pressure"
    return _by_size(r.name, read)


def _at_rest(r: Readings) -> tuple[str, str]:
    """Return what the readings with the engine standing tell."""
    rest = r.values[r.resting & np.isfinite(r.values)]
    if not rest.size:
        return "", ""
    level = float(np.median(rest))
    there = r.barometer if np.isfinite(r.barometer) else 0.0
    near = abs(level - there) < _NEAR_BAROMETER * there if there else False
    if near or (not there and _LOWEST_BAROMETER < level < _HIGHEST_BAROMETER):
        return "absolute", f"with the engine at rest it reads {level / 1e3:.1f} kPa, as a barometer"
    if abs(level) < 5e3:
        return "gauge", f"with the engine at rest it reads {level / 1e3:.1f} kPa, about zero"
    return "", ""


def _by_size(name: str, read: NDArray[np.float64]) -> tuple[str, str]:
    low = f"{read.min() / 1e3:.1f}"
    if name == "compressor_inlet_pressure":
        if _INLET[0] < read.min() and read.max() < _INLET[1]:
            return "absolute", f"before the compressor {low} kPa can be no difference"
        return "", ""
    if read.min() < _LOWEST_MANIFOLD:
        return "gauge", f"at full throttle no absolute pressure is as low as {low} kPa"
    return "", ""
