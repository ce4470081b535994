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

# Flow over power [kg/J] from lean gasoline to rich alcohols; common practice, no source.
_PER_POWER = {"fuel_flow": (0.16 / 3.6e6, 1.05 / 3.6e6), "air_flow": (1.6 / 3.6e6, 14.0 / 3.6e6)}
#: Turns of a compressor's rotor for one of the engine, at least (common practice, no source).
_LEAST_STEP_UP = 1.2
FLOW_UNITS = ("kg/h", "g/s", "lb/h", "lb/min", "kg/s", "kg/min")


def check_levels(log: Converter) -> None:
    """Hold every channel against what engines have; ask for units, list impossible readings."""
    for name in list(log.columns):
        level = middle(name, log.columns[name], log.loaded)
        if usual(name, level):
            _impossible(log, name)
            continue
        kind = QUANTITIES[name].kind
        level_text, low, high = (
            _shown(value, kind, log.maps[name].unit)
            for value in (level, LIMITS[name].usual_low, LIMITS[name].usual_high)
        )
        words = f"{level_text} under load is more or less than an engine has, {low} to {high}"
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
        heading = quoted(" + ".join(map(str, one.column)))
        hint += f"; to leave it out, set ignore = [{heading}]"
        key = "scale" if name == "lambda" else "unit"
        shown = quoted(one.unit) if one.unit else "not told"
        rule = f"be the unit that makes {QUANTITIES[name].words} what an engine has"
        log.ask(name, key, shown, rule, hint)


def check_flows(log: Converter) -> None:
    """Hold flows of fuel and air against the power that they made; ask where no engine does so."""
    power = log.columns.get("power")
    if power is None and {"torque", "engine_speed"} <= log.columns.keys():
        power = log.columns["torque"] * log.columns["engine_speed"]
    for name, (low, high) in _PER_POWER.items():
        flow, given = log.columns.get(name), log.given.columns.get(name)
        if flow is None or power is None or (given is not None and given.unit):
            continue
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            ratio = np.where(power > 0.0, flow / power, np.nan)
        level = middle("per power", ratio, log.loaded)
        if not np.isfinite(level) or low <= level <= high:
            continue
        one, kind = log.maps[name], QUANTITIES[name].kind
        scale = factor(one.unit, kind)
        usual_units = [
            unit
            for unit in FLOW_UNITS
            if scale and low <= level / scale[0] * (factor(unit, kind) or scale)[0] <= high
        ]
        words = f"{level * 3.6e6:.3g} kg per kWh is none that an engine has, "
        words += f"{low * 3.6e6:.2g} to {high * 3.6e6:.2g}"
        if usual_units:
            words += f"; did the log mean {' or '.join(map(quoted, usual_units))}?"
        heading = quoted(" + ".join(map(str, one.column)))
        words += f"; to leave it out, set ignore = [{heading}]"
        rule = f"be the unit that makes {QUANTITIES[name].words} go with the power"
        log.ask(name, "unit", quoted(one.unit), rule, words)


def check_rotor(log: Converter) -> None:
    """Ask where a shaft that was taken for the compressor's turns no faster than the engine."""
    names, given = {"rotor_speed", "engine_speed"}, log.given.columns.get("rotor_speed")
    if not names <= log.columns.keys() or (given is not None and (given.column or given.unit)):
        return
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        turns = middle(
            "turns", log.columns["rotor_speed"] / log.columns["engine_speed"], log.loaded
        )
    if not turns < _LEAST_STEP_UP:
        return
    heading = quoted(" + ".join(map(str, log.maps["rotor_speed"].column)))
    words = f"it turns {turns:.2f} times as fast as the engine, slower than a compressor's shaft; "
    words += f"to leave it out, set ignore = [{heading}]"
    rule = "be the column of the compressor's shaft"
    log.ask("rotor_speed", "column", heading, rule, words)


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
    such = _shown(worst, kind, log.maps[name].unit)
    words = f"{rows.sum()} readings such as {such} cannot be; taken as missing"
    lines = tuple(log.table.lines[rows].tolist())
    log.findings.append(Finding(QUANTITIES[name].words, words, lines))
    log.columns[name] = np.where(rows, np.nan, values)


def _shown(value: float, kind: str, unit: str) -> str:
    """A reading in trade units where the log's own unit is the trade's, else in SI units."""
    if not KINDS[kind].si_unit:
        return f"{value:.3g}"
    trade = factor(unit, kind) == factor(KINDS[kind].trade, kind)
    return formatted(value, kind, "trade" if trade else "si")
