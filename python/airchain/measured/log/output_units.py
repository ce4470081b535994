"""Torque, power and speed held against each other: their units follow, or must be asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...base.errors import quoted, refusal
from .footing import looks_swapped, ratio_of, units_of_product
from .unit_factor import factor

if TYPE_CHECKING:
    from .convert import Converter

_CONTRADICTS = 0.01


def check_output(log: Converter) -> None:
    """Tell units of torque and power by each other; ask where headings contradict readings."""
    if not {"torque", "power", "engine_speed"} <= log.raw.keys():
        return
    turn = factor(log.maps["engine_speed"].unit, "speed")
    if turn is None:
        return
    speed = log.raw["engine_speed"] * turn[0]
    units = log.maps["torque"].unit, log.maps["power"].unit
    if _swapped(log, speed):
        return
    if all(units):
        _check_product(log, speed)
        return
    pairs = units_of_product(log.raw["torque"], log.raw["power"], speed, *units)
    if len(pairs) == 1:
        why = "no unit given; with it power is torque times speed"
        for name, unit in zip(("torque", "power"), pairs[0], strict=True):
            if not log.maps[name].unit:
                log.change(name, unit=unit, reason=why)
    elif pairs:
        for place, name in enumerate(("torque", "power")):
            choices = list(dict.fromkeys(pair[place] for pair in pairs))
            if not log.maps[name].unit and len(choices) > 1:
                rule = "be " + " or ".join(map(quoted, choices))
                hint = "they are so close that the readings do not tell which"
                log.ask(name, "unit", "not told", rule, hint)
            elif not log.maps[name].unit:
                log.change(name, unit=choices[0], reason="power is torque times speed")


def _swapped(log: Converter, speed: np.ndarray[tuple[int], np.dtype[np.float64]]) -> bool:
    given = (log.given.columns.get(name) for name in ("torque", "power"))
    if any(one is not None and one.column for one in given):
        return False  # the mapping has answered
    if not looks_swapped(log.raw["torque"], log.raw["power"], speed):
        return False
    t, p = log.maps["torque"].column[0], log.maps["power"].column[0]
    hint = (
        f"power is torque times speed only with {quoted(t)} as power and {quoted(p)} as torque; "
        f"set columns.torque.column = {quoted(p)} and columns.power.column = {quoted(t)}"
    )
    rule = "be the column of torque"
    log.questions.append(refusal(log.where, "columns.torque.column", quoted(t), rule, hint))
    return True


def _check_product(
    log: Converter, speed: np.ndarray[tuple[int], np.dtype[np.float64]]
) -> None:  # fmt: skip
    """Ask where power is not torque times speed, and the mapping has not said so already."""
    given = [log.given.columns.get(name) for name in ("torque", "power")]
    if any(one is not None and one.unit for one in given):
        return
    t, p = log.maps["torque"].unit, log.maps["power"].unit
    scales = factor(t, "torque"), factor(p, "power")
    ratio = ratio_of(log.raw["torque"], log.raw["power"], speed)
    if scales[0] is None or scales[1] is None or not np.isfinite(ratio):
        return
    off = ratio * scales[1][0] / scales[0][0]
    if abs(off - 1.0) < _CONTRADICTS:
        return
    turned = units_of_product(log.raw["torque"], log.raw["power"], speed, t, "")
    other = units_of_product(log.raw["torque"], log.raw["power"], speed, "", p)
    words = [f'columns.power.unit = "{pair[1]}"' for pair in turned[:1] if pair[1] != p]
    words += [f'columns.torque.unit = "{pair[0]}"' for pair in other[:1] if pair[0] != t]
    power = " + ".join(map(str, log.maps["power"].column))
    words += [f"ignore = [{quoted(power)}]", f'columns.power.unit = "{p}" to keep both']
    rule = "go with torque times speed"
    shown = f"{off:.3f} times torque times speed"
    hint = "set " + ", or ".join(words)
    log.questions.append(refusal(log.where, "columns.power.unit", shown, rule, hint))
