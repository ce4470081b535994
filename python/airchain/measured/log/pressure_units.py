"""Whether a pressure's unit is the one that its heading says: boost, vacuum, footing inferred."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...base.errors import quoted
from ...units.convert import formatted
from ..finding import Finding
from ..quantities import QUANTITIES
from .pressures import BY_EXCLUSION
from .unit_factor import factor

if TYPE_CHECKING:
    from .convert import Converter

#: The least boost at the top of a pull that somebody logs: 2.5 psi. A gauge's readings between
#: nothing and that are likelier psi or bar under another name, as are those above the most that
#: engines run (common practice, no source).
_LEAST_BOOST, _NO_BOOST, _MOST_BOOST = 17e3, 2e3, 3.2e5
#: Shares of the barometer that lie between a shut throttle and none.
_THROTTLED, _SHUT_ROWS = (-0.25, -0.05), 5
#: An absolute pressure under load begins and ends so many times the barometer.
_STARTS, _ENDS = (0.85, 1.45), (1.1, 3.5)
_TYPICAL_BAROMETER = 97e3
#: Units that headings and settings mix up, and others that a reading may be in.
_COMMON = ("psi", "kPa", "bar")
_USUAL_UNITS = ("psi", "kPa", "bar", "inHg", "mbar")


def check_pressures(log: Converter) -> None:
    """Ask for the unit of a pressure whose numbers read more usual in another."""
    for name in ("plenum_pressure", "compressor_outlet_pressure"):
        if name not in log.columns or log.maps[name].reference not in ("gauge", "absolute"):
            continue
        if any(f"columns.{name}." in str(question) for question in log.questions):
            continue
        if log.maps[name].reference == "gauge":
            _check_boost(log, name)
            _check_vacuum(log, name)
        if BY_EXCLUSION in log.maps[name].reason:
            _check_exclusion(log, name)


def _check_boost(log: Converter, name: str) -> None:
    """Ask where boost tops out so low that another unit would be more usual."""
    top = _raw_level(log, name, 95)
    here = top * _scale(log.maps[name].unit)
    heading = " ".join(map(str, log.maps[name].column)).lower()
    least = -np.inf if "boost" in heading else _NO_BOOST
    if not least < here < _LEAST_BOOST:
        return
    others = [u for u in _others(log, name) if _LEAST_BOOST < top * _scale(u) < _MOST_BOOST]
    if others:
        words = f"boost of {top:.3g} {log.maps[name].unit} at the top of the pull"
        _ask(log, name, words, others)


def _check_vacuum(log: Converter, name: str) -> None:
    """List a gauge that hardly falls below the barometer while the throttle is shut."""
    given, unit = log.given.columns.get(name), log.maps[name].unit
    barometer = log.columns.get("barometer", log.barometers)
    below = (log.columns[name] - barometer)[log.load.shut]
    below = below[np.isfinite(below)]
    if below.size < _SHUT_ROWS or (given is not None and given.unit):
        return
    vacuum = float(np.median(below))
    if _THROTTLED[0] < vacuum / float(np.nanmedian(barometer)) < _THROTTLED[1]:
        shown = formatted(-vacuum, "pressure_difference", "si")
        words = f"without load it lies only {shown} below the barometer, where a shut throttle "
        words += f"leaves far less; is its unit {quoted(unit)}?"
        log.findings.append(Finding(QUANTITIES[name].words, words))


def _check_exclusion(log: Converter, name: str) -> None:
    """Ask where the footing was told by the size of the numbers, and another unit has them too."""
    start, end = _raw_level(log, name, 5), _raw_level(log, name, 95)
    known = log.barometers[np.isfinite(log.barometers)]
    barometer = float(np.median(known)) if known.size else _TYPICAL_BAROMETER
    absolute = log.maps[name].reference == "absolute"
    if absolute and _as_absolute(start, end, log.maps[name].unit, barometer):
        return
    others = []
    for unit in (u for u in _others(log, name) if u in _COMMON):
        top = end * _scale(unit)
        gauge = absolute and _LEAST_BOOST < top < _MOST_BOOST and start < 0.5 * end
        if gauge or _as_absolute(start, end, unit, barometer):
            others.append(unit)
    if others:
        _ask(log, name, f"{start:.3g} to {end:.3g} under load", others)


def _as_absolute(start: float, end: float, unit: str, barometer: float) -> bool:
    """Return whether levels begin and end as an absolute pressure under load does."""
    low, high = (level * _scale(unit) / barometer for level in (start, end))
    return _STARTS[0] < low < _STARTS[1] and _ENDS[0] < high < _ENDS[1]


def _ask(log: Converter, name: str, words: str, others: list[str]) -> None:
    words += f" would be more usual in {' or '.join(others)}"
    given = log.given.columns.get(name)
    if given is not None and given.unit:
        finding = Finding(QUANTITIES[name].words, f"{words}; read as the mapping says")
        log.findings.append(finding)
        return
    unit = log.maps[name].unit
    rule = f"be the unit that was meant, such as {quoted(others[0])}"
    hint = f"{words}; did the log mean {' or '.join(map(quoted, others))}, or {quoted(unit)}?"
    log.ask(name, "unit", quoted(unit), rule, hint)


def _raw_level(log: Converter, name: str, per_cent: float) -> float:
    """Return a robust level under load in the log's own numbers."""
    values = log.columns[name]
    if log.maps[name].reference == "gauge":
        values = values - log.columns.get("barometer", log.barometers)
    read = values[log.loaded & np.isfinite(values)]
    if not read.size:
        return float("nan")
    return float(np.percentile(read, per_cent)) / _scale(log.maps[name].unit)


def _others(log: Converter, name: str) -> list[str]:
    own = _scale(log.maps[name].unit)
    return [unit for unit in _USUAL_UNITS if abs(_scale(unit) / own - 1.0) > 1e-3]


def _scale(unit: str) -> float:
    scale = factor(unit, "pressure_difference")
    return scale[0] if scale else float("nan")
