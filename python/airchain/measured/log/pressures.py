"""Gauge or absolute: told by the unit, the heading or the readings, with the reason; or not."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .load import Load
from .word_list import plain, word_set

# Where the barometer is not known it lies between these [Pa].
_LOWEST_BAROMETER, _HIGHEST_BAROMETER = 70e3, 106e3
# Near full torque no manifold is as far below the barometer as this share of it.
_LOWEST_MANIFOLD = 0.7
# No gauge in front of a piston engine with spark ignition reads more [Pa].
_HIGHEST_GAUGE = 5.5e5
#: How the reason begins where only one footing is possible.
BY_EXCLUSION = "it can be no"
_REST_ROWS, _SHUT_ROWS = 3, 5
#: Share of the barometer below which an absolute pressure hardly lies near full torque.
_HARDLY_BELOW = 0.88
_ABSOLUTE = word_set(
    "absolute abs absolut ass assoluta assoluto absoluta absolue absolu absoluto absoluut"
    " absoluutti absolutdruck абс абсолютное bezwzgledne 絶対 绝对"
)
_GAUGE = word_set(
    "gauge gage relativ relative rel relativa relativo relatif relatief"
    " relativdruck uberdruck изб избыточное wzgledne"
    " nadcisnienie manometrico manometrica ゲージ"
)
_MARKED = re.compile(r"(?:map|p|pman|boost|psaug|manifold|saug)abs$")


@dataclass(frozen=True)
class Readings:
    """A pressure as the log has it [Pa], gauge or absolute, and what is known beside it.

    `near` is an absolute pressure of the same place or next to it, NaN where none is known.
    """

    name: str
    heading: str
    said: str
    values: NDArray[np.float64]
    load: Load
    resting: NDArray[np.bool_]
    barometer: float
    near: NDArray[np.float64]

    @property
    def loaded(self) -> NDArray[np.bool_]:
        """Rows under load."""
        return self.load.loaded

    @property
    def barometers(self) -> tuple[float, float]:
        """Lowest and highest barometer that there can have been [Pa]."""
        if np.isfinite(self.barometer):
            return 0.97 * self.barometer, 1.03 * self.barometer
        return _LOWEST_BAROMETER, _HIGHEST_BAROMETER

    def of(self, rows: NDArray[np.bool_]) -> NDArray[np.float64]:
        """Return what was read in some rows."""
        return self.values[rows & np.isfinite(self.values)]


def reference_of(r: Readings) -> tuple[str, str, str]:
    """Return absolute, gauge or vacuum and why, and what speaks against it.

    The first two are empty where nothing tells; then it must be asked.
    """
    word, why = _said(r)
    against = _objections(r)
    if word:
        return word, why, against.get(word, "")
    rest = _at_rest(r)
    if rest[0] and not against.get(rest[0]):
        return (*rest, "")
    shut = _with_shut_throttle(r)
    if shut[0] and not against.get(shut[0]):
        return (*shut, "")
    beside = _beside(r)
    if beside[0] and not against.get(beside[0]):
        return (*beside, "")
    left = [word for word in ("absolute", "gauge") if word not in against]
    if len(left) == 1:
        other = "gauge" if left[0] == "absolute" else "absolute"
        if left[0] == "gauge" and "map" in _words(r.heading):
            hint = "MAP is short for an absolute pressure: is that another unit, or a gauge?"
            return "absolute", "MAP is short for it", f"{against[other]}; {hint}"
        return left[0], f"{BY_EXCLUSION} {other} pressure: {against[other]}", ""
    return "", "", ""


def _said(r: Readings) -> tuple[str, str]:
    """Return what the unit or the heading says in full words."""
    if r.said:
        return r.said, "its unit says so"
    words = _words(r.heading)
    for word in words:
        if word in _ABSOLUTE or _MARKED.match(word):
            return "absolute", "its heading says so"
        if word in _GAUGE:
            return "gauge", "its heading says so"
        if word in ("vacuum", "vac", "depression"):
            level = float(np.nanmedian(r.values)) if np.isfinite(r.values).any() else 0.0
            word = "gauge" if level < 0.0 and r.name == "compressor_inlet_pressure" else "vacuum"
            return word, "its heading speaks of a vacuum"
    if words and words[0].startswith("boost"):
        return "gauge", "boost is a difference by name"
    if any(
        word.startswith(("ladedruck", "suraliment", "sovraliment", "soplado")) for word in words
    ):
        return "gauge", "boost is a difference by name"
    return "", ""


def _words(heading: str) -> list[str]:
    parts = re.split(r"[\W_]+|(?<=[a-z])(?=[A-Z])|(?<=MAP)(?=[A-Z])", heading)
    return [plain(word) for word in parts if word]


def _with_shut_throttle(r: Readings) -> tuple[str, str]:
    """Return what the readings without load tell, where they lie far below those under load."""
    shut, loaded, begun = r.of(r.load.shut), r.of(r.load.loaded), r.of(r.load.begun)
    if shut.size < _SHUT_ROWS or not loaded.size or not begun.size:
        return "", ""
    level, low = float(np.median(shut)), float(np.percentile(loaded, 20))
    if level > 0.8 * float(np.median(begun)):
        return "", ""
    if 8e3 < level < 1.08 * r.barometers[1] and low > _LOWEST_MANIFOLD * r.barometers[0]:
        return "absolute", f"without load it reads {level / 1e3:.1f} kPa, as no gauge does"
    if abs(level) < 8e3 < low and np.any(shut != 0.0) and "map" not in _words(r.heading):
        return "gauge", f"without load it reads {level / 1e3:.1f} kPa, about zero"
    return "", ""


def _objections(r: Readings) -> dict[str, str]:
    """Return what speaks against either footing, judged by robust levels under load."""
    against: dict[str, str] = {}
    every, loaded = r.of(np.ones(r.values.size, dtype=bool)), r.of(r.loaded)
    if not every.size:
        return against
    loaded = loaded if loaded.size else every
    low, high = (float(v) for v in np.percentile(loaded, (20, 95)))
    if low < -2e3:
        against["vacuum"] = "it goes below zero: is that a vacuum or boost?"
    lowest, highest = r.barometers
    if np.mean(every < -500.0) > 0.02:
        against["absolute"] = "it goes below zero"
    elif r.name == "compressor_inlet_pressure":
        if high < 0.5 * lowest:
            against["absolute"] = f"{high / 1e3:.1f} kPa is too low before a compressor"
        if low > 0.4 * lowest:
            against["gauge"] = f"{low / 1e3:.1f} kPa before a compressor is no difference"
    elif low < _LOWEST_MANIFOLD * lowest:
        words = f"under load no absolute pressure is as low as {low / 1e3:.1f} kPa"
        against["absolute"] = words
    if high > _HIGHEST_GAUGE:
        against["gauge"] = f"no gauge reads {high / 1e3:.0f} kPa there"
    rest = r.of(r.resting)
    if rest.size >= _REST_ROWS and lowest < float(np.median(rest)) < highest:
        words = f"with the engine at rest it reads {float(np.median(rest)) / 1e3:.1f} kPa"
        against.setdefault("gauge", words)
    typical = r.barometer if np.isfinite(r.barometer) else 97e3
    tight = float(np.percentile(every, 2))
    boost = "gauge" not in against and _said(r)[1].startswith("boost")
    if boost and r.name == "plenum_pressure" and tight > _HARDLY_BELOW * typical:
        words = f"it never reads less than {tight / 1e3:.0f} kPa, as an absolute pressure would"
        against["gauge"] = words
    return against


def _at_rest(r: Readings) -> tuple[str, str]:
    """Return what the readings with the engine standing tell.

    Rows that all read exactly nothing are no evidence: a sensor without power reads so, too.
    """
    rest = r.of(r.resting)
    if rest.size < _REST_ROWS:
        return "", ""
    level = float(np.median(rest))
    lowest, highest = r.barometers
    if lowest < level < highest:
        return "absolute", f"with the engine at rest it reads {level / 1e3:.1f} kPa, as a barometer"
    if abs(level) < 5e3 and np.any(rest != 0.0):
        return "gauge", f"with the engine at rest it reads {level / 1e3:.1f} kPa, about zero"
    return "", ""


def _beside(r: Readings) -> tuple[str, str]:
    """Return on which footing the readings go with an absolute pressure next to them."""
    both = r.loaded & np.isfinite(r.values) & np.isfinite(r.near)
    if both.sum() < 3:
        return "", ""
    barometer = r.barometer if np.isfinite(r.barometer) else np.mean(r.barometers)
    fits = {}
    for word, offset in (("absolute", 0.0), ("gauge", float(barometer))):
        ratio = (r.values[both] + offset) / r.near[both]
        fits[word] = bool(np.all(np.abs(np.percentile(ratio, (20, 80)) - 0.97) < 0.13))
    if fits["absolute"] == fits["gauge"]:
        return "", ""
    word = "absolute" if fits["absolute"] else "gauge"
    return word, "so it goes with the other pressure next to it"
