"""Whether what was read is what an engine can have, and what is asked where it is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...base.errors import quoted
from ...units.convert import KINDS, formatted
from ..finding import Finding
from ..quantities import QUANTITIES
from .limits import LIMITS, better_units, impossible, middle, usual
from .unit_factor import factor

if TYPE_CHECKING:
    from .convert import Converter


def check_levels(log: Converter) -> None:
    """Hold every channel against what engines have; ask for units, list impossible readings."""
    for name in list(log.columns):
        level = middle(name, log.columns[name], log.loaded)
        if usual(name, level):
            _impossible(log, name)
            continue
        kind = QUANTITIES[name].kind
        words = (
            f"{_shown(level, kind)} under load is more or less than an engine has, "
            f"{_shown(LIMITS[name].usual_low, kind)} to {_shown(LIMITS[name].usual_high, kind)}"
        )
        given = log.given.columns.get(name)
        if given is not None and (given.unit or given.scale):
            log.findings.append(
                Finding(QUANTITIES[name].words, f"{words}; read as the mapping says")
            )
            continue
        one = log.maps[name]
        other = "pressure_difference" if kind in ("pressure", "barometer") else kind
        gauge = one.reference in ("gauge", "vacuum") and np.isfinite(log.barometers).any()
        offset = float(np.nanmedian(log.barometers)) if gauge else 0.0
        raw_level = _raw(level - offset, one.unit, other)
        units = better_units(name, raw_level, one.unit, other, offset)
        hint = words
        if units:
            hint += f"; did the log mean {' or '.join(map(quoted, units))}?"
        key = "scale" if name == "lambda" else "unit"
        shown = quoted(one.unit) if one.unit else "not told"
        rule = f"be the unit that makes {QUANTITIES[name].words} what an engine has"
        log.ask(name, key, shown, rule, hint)


def _raw(level: float, unit: str, kind: str) -> float:
    """Return a level in the log's own numbers."""
    scale = factor(unit, kind)
    return level / scale[0] - scale[1] if scale else level


def _impossible(log: Converter, name: str) -> None:
    """Take single readings that no sensor can mean as missing, and list them."""
    values = log.columns[name]
    rows = impossible(name, values)
    if not rows.any():
        return
    kind = QUANTITIES[name].kind
    worst = float(values[rows][np.argmax(np.abs(values[rows]))])
    words = f"{rows.sum()} readings such as {_shown(worst, kind)} cannot be; taken as missing"
    lines = tuple(log.table.lines[rows].tolist())
    log.findings.append(Finding(QUANTITIES[name].words, words, lines))
    log.columns[name] = np.where(rows, np.nan, values)


def _shown(value: float, kind: str) -> str:
    return formatted(value, kind, "si") if KINDS[kind].si_unit else f"{value:.3g}"
