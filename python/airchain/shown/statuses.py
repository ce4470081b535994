"""Statuses and flags in words, with what to do about them."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray


class _Status(NamedTuple):
    """A status in words: the verb that one point takes before them, and what to do."""

    verb: str
    words: str
    deed: str = ""


_STATUSES = {
    "matched": _Status("is", "solved"),
    "left_of_surge_line": _Status(
        "lies",
        "left of the surge line",
        "The engine swallows less than the compressor's surge flow at this speed. Lower the drive "
        "ratio, bleed air with a bypass, or fit a smaller compressor.",
    ),
    "left_of_estimated_surge_line": _Status(
        "lies",
        "left of the estimated surge line",
        "The engine swallows less than the flow at which the predicted map puts surge, which is "
        "an estimate. Measure the compressor, lower the drive ratio, bleed air with a bypass, or "
        "fit a smaller compressor.",
    ),
    "left_of_map": _Status(
        "lies",
        "left of the map",
        "The engine swallows less than the map's last measured flow at this speed, and the map "
        "does not say whether that is surge. Measure the map further left, lower the drive ratio, "
        "or fit a smaller compressor.",
    ),
    "beyond_choke": _Status(
        "lies",
        "beyond choke",
        "The engine swallows more than the map's last flow at this speed, and the map does not say "
        "that its right ends are choke, or no choked compressor passes so much. Measure the map "
        "further right, fit a larger compressor, or raise the drive ratio within its speed limit.",
    ),
    "outside_map": _Status(
        "lies",
        "outside the map",
        "The corrected speed lies more than 10 % above the map's highest line. Lower the drive "
        "ratio, or use a map that reaches further.",
    ),
    "not_converged": _Status(
        "is",
        "without a balance of flow",
        "Look for a duct, cooler or throttle that is far too small for the engine.",
    ),
    "not_possible": _Status(
        "is",
        "not physically possible",
        "The flows agree only at figures that no engine can have. Look for a value typed in a "
        "wrong unit or ten or a hundred times off.",
    ),
}
_CAUTIONS = {
    "over_speed_limit": "The impeller turns faster than its maker allows.",
    "over_tip_speed_limit": "The impeller's rim moves faster than its material allows.",
    "over_engine_speed_limit": "The engine turns faster than its own speed limit.",
    "below_lowest_speed_line": "The compressor turns slower than the map's lowest speed line: its "
    "values are extrapolated by similarity.",
    "outside_breathing_table": "Volumetric efficiency is held at the edge of its table or surface.",
    "bypass_open": "The bypass is open.",
    "bypass_saturated": "The bypass is fully open, and boost still lies above its limit.",
    "condensing": "Water condenses in the cooler.",
    "over_belt_capacity": "The belt is asked for more pull than it can carry.",
    "surge_not_known": "Surge margins are not known: the map does not say where surge is.",
    "surge_estimated": "Surge margins are estimates: no surge line was measured.",
    "outside_gas_data": "The gas is colder or hotter than its properties are known for: they are "
    "extrapolated.",
    "choke_not_known": "Choke margins are not known: the map does not say where choke is.",
    "cycle_not_settled": "The cylinder's cycle did not come to repeat itself: its last was taken.",
    "throttle_choked": "The throttle is choked.",
    "on_choke_line": "The compressor is choked: it passes no more, and its pressure has fallen "
    "until the engine swallows that. Fit a larger compressor, or lower the engine's speed.",
    "above_highest_speed_line": "The compressor turns up to 10 % faster than the map's highest "
    "speed line: its values are extrapolated by similarity.",
    "fuel_saturated": "The air is full of fuel vapour: less evaporates before the inlet valves "
    "than was typed, and the rest enters the cylinders as liquid.",
    "large_duct_loss": "A duct loses more pressure than its formula is trusted for.",
    "odd_compressor": "The compressor's efficiency or outlet temperature is one that no machine "
    "was seen with: check its map and scales.",
    "odd_filling": "Volumetric efficiency lies below 30 % or above 140 %: check its table, its "
    "scale, and the areas of ducts and throttle.",
    "odd_combustion": "The burn lies more than 20 degrees off its best phasing, or lambda outside "
    "0.6 to 1.2, beyond what the combustion's formula is trusted for: check phasing, "
    "phasing_retard and the fuel's heating value.",
    "odd_exhaust": "Exhaust pressure lies more than 22 psi above ambient, or exhaust temperature "
    "where no engine was seen: check the exhaust's area and the fuel's heating value.",
    "no_power": "Friction and drive take all of the work: no power is left at the crank.",
}
#: What is told at points that are not possible too: it names the part that is meant.
_ODD = ("odd_compressor", "odd_filling", "odd_combustion", "odd_exhaust")
EXTRAPOLATED = (
    "below_lowest_speed_line",
    "above_highest_speed_line",
    "outside_breathing_table",
    "outside_gas_data",
    "odd_combustion",
)
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
    """Return a status as a table shows it: 'solved', 'left of the surge line'."""
    return _STATUSES[name].words


def advice(name: str) -> str:
    """Return a status in words, and in whole sentences what to do about it."""
    status = _STATUSES[name]
    return " ".join(text for text in (f"{status.words}.", status.deed) if text)


def caution(name: str) -> str:
    """Return a flag as a sentence."""
    return _CAUTIONS[name]


def has(flags: ArrayLike, *names: str) -> NDArray[np.bool_]:
    """Return where any of the named flags stands in an array of flags."""
    mask = sum(flag_bits().get(name, 0) for name in names)
    return np.asarray((np.nan_to_num(np.asarray(flags)).astype(np.int64) & mask) != 0)


def standing(flags: ArrayLike, name: str) -> int:
    """Return at how many points a flag stands."""
    return int(np.count_nonzero(has(flags, name)))


def estimate(name: str, flags: ArrayLike) -> str:
    """Return what stands before a margin whose limit was predicted rather than measured."""
    predicted = name.endswith("_margin") and name.replace("_margin", "_estimated") in flag_bits()
    return "est. " if predicted and standing(flags, name.replace("_margin", "_estimated")) else ""


def count(status: ArrayLike) -> str:
    """Return in a sentence how many points were solved, and what became of the others."""
    codes = np.asarray(status).ravel()
    return count_of(counts(codes), int(np.count_nonzero(codes < 0)))


def counts(status: ArrayLike) -> NDArray[np.int64]:
    """Return the number of points by status; those below 0 have none yet and are left out."""
    codes = np.asarray(status).ravel()
    return np.array([np.count_nonzero(codes == code) for code in range(len(status_names()))])


def count_of(by_status: NDArray[np.int64], waiting: int = 0) -> str:
    """Return the sentence of `count` from numbers of points by status, and of those to come."""
    text = _solved(int(by_status[0]), int(by_status.sum()) + waiting) + _others(
        _unsolved(by_status)
    )
    if waiting:
        text += f"; {waiting:,} {'is' if waiting == 1 else 'are'} not reached yet"
    return f"{text}."


def _solved(solved: int, total: int) -> str:
    points = f"{total:,} point{'' if total == 1 else 's'}"
    if solved == total == 2:
        return "Both points solved"
    if solved == total:
        return f"All {points} solved" if total > 1 else "The point is solved"
    if not solved:
        return f"None of {points} solved" if total > 1 else "The point is not solved"
    return f"{solved:,} of {points} solved"


def _unsolved(by_status: NDArray[np.int64]) -> list[tuple[_Status, int]]:
    """Every status but 'matched' that stands, with its number of points."""
    numbers = zip(status_names(), by_status.tolist(), strict=True)
    return [(_STATUSES[name], number) for name, number in list(numbers)[1:] if number]


def _others(unsolved: list[tuple[_Status, int]]) -> str:
    """What became of the unsolved points: '; 96 lie left of the surge line, 29 beyond choke'."""
    parts = []
    last = ""
    for status, number in unsolved:
        verb = _verb(status, number)
        parts.append(f"{number:,} {status.words if verb == last else f'{verb} {status.words}'}")
        last = verb
    return f"; {', '.join(parts)}" if parts else ""


def _verb(status: _Status, number: int) -> str:
    if number == 1:
        return status.verb
    return {"is": "are", "lies": "lie"}[status.verb]


def notes(status: ArrayLike, flags: ArrayLike) -> list[str]:
    """Return what to do about the unsolved points, then the cautions, each with its count."""
    codes = np.asarray(status).ravel()
    every = np.asarray(flags).ravel()
    solved, refused = every[codes == 0], every[codes == status_names().index("not_possible")]
    sentences = [
        f"{number:,} point{'' if number == 1 else 's'} {_verb(kind, number)} {kind.words}. "
        f"{kind.deed}"
        for kind, number in _unsolved(counts(codes))
    ]
    sentences += [
        at_points(caution(name), number, refused.size).replace(" points ", " such points ", 1)
        for name in _ODD
        if (number := standing(refused, name))
    ]
    for name in flag_bits():
        number = standing(solved, name)
        if number:
            sentences.append(at_points(caution(name), number, solved.size))
    return sentences


def at_points(sentence: str, number: int, total: int) -> str:
    """Return a sentence that holds at some of all solved points; at all of them as it stands."""
    if number == total:
        return sentence
    return f"At {number:,} of {total:,} points {sentence[0].lower()}{sentence[1:]}"
