"""Statuses and flags in words, with what to do about them."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

_DEEDS = {
    "left_of_surge_line": "the engine swallows less than the compressor's surge flow at this "
    "speed; lower the drive ratio, bleed air with a bypass, or fit a smaller compressor",
    "left_of_estimated_surge_line": "the engine swallows less than where the predicted map puts "
    "surge at this speed, which is an estimate; measure the compressor, lower the drive ratio, "
    "bleed air with a bypass, or fit a smaller compressor",
    "left_of_map": "the engine swallows less than the map's last measured flow at this speed, and "
    "the map does not say whether that is surge; measure the map further left, lower the drive "
    "ratio, or fit a smaller compressor",
    "beyond_choke": "the engine swallows more than the compressor passes at this speed; fit a "
    "larger compressor, or raise the drive ratio within its speed limit",
    "outside_map": "the corrected speed lies above the map's highest line; lower the drive ratio "
    "or use a map that reaches further",
    "not_converged": "no balance of flow was found; look for a duct, cooler or throttle far too "
    "small for the engine",
}
_CAUTIONS = {
    "over_speed_limit": "impeller above its maker's speed limit",
    "over_tip_speed_limit": "impeller rim faster than its material allows",
    "over_engine_speed_limit": "engine above its own speed limit",
    "below_lowest_speed_line": "below the map's lowest speed line: extrapolated by similarity",
    "outside_breathing_table": "volumetric efficiency held at the edge of its table or surface",
    "bypass_open": "bypass open",
    "bypass_saturated": "bypass fully open and boost still above its limit",
    "condensing": "water condenses in the cooler",
    "over_belt_capacity": "belt asked for more tension than it can carry",
    "surge_not_known": "the map does not say where surge is: its margin is not known",
    "surge_estimated": "the surge line was predicted, not measured: its margin is an estimate",
    "outside_gas_data": "gas colder or hotter than its properties are known: extrapolated; fuel "
    "would hardly evaporate so far",
    "choke_not_known": "the map does not say where choke is: its margin is not known",
    "throttle_choked": "throttle choked",
    "large_duct_loss": "a duct loses more than its formula is trusted for",
}
EXTRAPOLATED = ("below_lowest_speed_line", "outside_breathing_table", "outside_gas_data")
DANGEROUS = (
    "over_speed_limit",
    "over_tip_speed_limit",
    "over_engine_speed_limit",
    "over_belt_capacity",
    "bypass_saturated",
)


@cache
def status_names() -> tuple[str, ...]:
    """Return the names of statuses in the order of their codes."""
    from .. import _core

    return tuple(_core.status_names())


@cache
def flag_bits() -> dict[str, int]:
    """Return the bit of each flag by its name."""
    from .. import _core

    return {name: 1 << bit for bit, name in enumerate(_core.flag_names()) if name}


def words(name: str) -> str:
    """Return a status or flag as a sentence reads it."""
    return name.replace("left_of_", "left_of_the_").replace("_", " ")


def advice(name: str) -> str:
    """Return a status in words with what to do about it."""
    return f"{words(name)}: {_DEEDS[name]}" if name in _DEEDS else words(name)


def caution(name: str) -> str:
    """Return a flag in words."""
    return _CAUTIONS.get(name, words(name))


def has(flags: Any, *names: str) -> Any:
    """Return where any of the named flags stands in an array of flags."""
    mask = sum(flag_bits().get(name, 0) for name in names)
    return (np.nan_to_num(np.asarray(flags)).astype(np.int64) & mask) != 0


def standing(flags: Any, name: str) -> int:
    """Return at how many points a flag stands."""
    return int(np.count_nonzero(has(flags, name)))


def estimate(name: str, flags: Any) -> str:
    """Return what stands before a margin whose limit was predicted rather than measured."""
    predicted = name.endswith("_margin") and name.replace("_margin", "_estimated") in flag_bits()
    return "est. " if predicted and standing(flags, name.replace("_margin", "_estimated")) else ""


def count(status: Any) -> str:
    """Return how many points have each status, matched first."""
    status = np.asarray(status).ravel()
    total = status.size
    parts = []
    for code, name in enumerate(status_names()):
        number = int(np.count_nonzero(status == code))
        if number or code == 0:
            parts.append(f"{number:,} {words(name)}")
    return f"{total:,} point{'' if total == 1 else 's'}: {', '.join(parts)}"


def notes(status: Any, flags: Any) -> list[str]:
    """Return what to do about the unsolved points, then the cautions, each with its count."""
    status = np.asarray(status).ravel()
    solved = np.asarray(flags).ravel()[status == 0]
    found = []
    for code, name in enumerate(status_names()):
        number = int(np.count_nonzero(status == code))
        if code and number:
            found.append(f"{number:,} {advice(name)}")
    for name in flag_bits():
        number = standing(solved, name)
        if number:
            found.append(f"{number:,} of {solved.size:,} matched: {caution(name)}")
    return found
