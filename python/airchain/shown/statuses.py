"""Statuses and flags in words, with what to do about them."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .words import listed


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
    "outside_breathing_table": "Volumetric efficiency is held at the edge of its table, of its "
    "surface, or of the whole engines that were solved.",
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
    "odd_combustion": "The burn lies where its work is not trusted: more than 20 degrees off best "
    "phasing or lambda outside 0.6 to 1.2, with cams half burned outside -2 to 42 degrees or "
    "lambda outside 0.65 to 1.15. Check phasing, phasing_retard and the fuel's heating value.",
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
#: Limits that must not be passed, by their flag, and what they limit.
DANGEROUS = {
    "over_speed_limit": "rotor speed",
    "over_tip_speed_limit": "tip speed",
    "over_engine_speed_limit": "engine speed",
    "over_belt_capacity": "belt pull",
    "bypass_saturated": "boost",
}


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


def verb(name: str, number: int) -> str:
    """Return the verb that stands before a status in words: 'lies', of several points 'lie'."""
    return _verb(_STATUSES[name], number)


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
    whole = np.asarray(flags)
    if whole.dtype.kind == "f":  # of a dataset, where NaN says that a point was not reached
        whole = np.nan_to_num(whole)
    return np.asarray((whole.astype(np.int64, copy=False) & mask) != 0)


def standing(flags: ArrayLike, name: str) -> int:
    """Return at how many points a flag stands."""
    return standing_any(flags, name)


def standing_any(flags: ArrayLike, *names: str) -> int:
    """Return at how many points one flag or several of those named stand."""
    return int(np.count_nonzero(has(flags, *names)))


def estimate(name: str, flags: ArrayLike) -> str:
    """Return what stands before a margin whose limit was predicted rather than measured."""
    predicted = name.endswith("_margin") and name.replace("_margin", "_estimated") in flag_bits()
    return "est. " if predicted and standing(flags, name.replace("_margin", "_estimated")) else ""


def count(status: ArrayLike) -> str:
    """Return in a sentence how many points were solved, and what became of the others."""
    codes = np.asarray(status).ravel()
    return _count_of(_by_status(codes), int(np.count_nonzero(codes < 0)))


def _by_status(codes: NDArray[np.generic]) -> NDArray[np.int64]:
    """Number of points by status; those below 0 have none yet and are left out."""
    return np.array([np.count_nonzero(codes == code) for code in range(len(status_names()))])


def _count_of(by_status: NDArray[np.int64], waiting: int = 0) -> str:
    text = _solved(int(by_status[0]), int(by_status.sum()) + waiting) + _others(
        _unsolved(by_status)
    )
    if waiting:
        text += f"; {waiting:,} {'is' if waiting == 1 else 'are'} not reached yet"
    return f"{text}."


def tally(status: ArrayLike, flags: ArrayLike) -> NDArray[np.int64]:
    """Return what `outcome` counts, so that tallies of parts add up to that of the whole.

    These are the numbers of points by status, of the solved points that pass a limit, and of those
    that pass each limit of `DANGEROUS`.
    """
    codes = np.asarray(status).ravel()
    there = np.asarray(flags).ravel()[codes == 0]
    passing = [standing_any(there, *DANGEROUS), *(standing(there, name) for name in DANGEROUS)]
    return np.concatenate([_by_status(codes), np.array(passing, dtype=np.int64)])


def tally_size() -> int:
    """Return how many numbers a tally holds."""
    return len(status_names()) + 1 + len(DANGEROUS)


def points_of(tallies: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return of how many points each tally along the last axis is."""
    return np.asarray(tallies[..., : len(status_names())].sum(axis=-1))


def outcome_of(whole: NDArray[np.int64], waiting: int = 0) -> str:
    """Return what `outcome` does, from a tally; `waiting` are points still to come."""
    by_status = whole[: len(status_names())]
    return " ".join(text for text in (_count_of(by_status, waiting), _passed_of(whole)) if text)


def _passed_of(whole: NDArray[np.int64]) -> str:
    """The sentence of `passed`, from a tally."""
    first = len(status_names())
    total, number, each = int(whole[0]), int(whole[first]), whole[first + 1 :]
    if not number:
        return ""
    which = listed([words for words, n in zip(DANGEROUS.values(), each, strict=True) if n])
    if number == total:
        points = "The point passes" if total == 1 else f"All {total:,} pass"
    else:
        points = f"{number:,} of {total:,} pass{'es' if number == 1 else ''}"
    return f"{points} a limit ({which}): do not run {'it' if number == 1 else 'them'}."


def passed(status: ArrayLike, flags: ArrayLike) -> str:
    """Return in a sentence how many solved points pass a limit, and which; empty where none does.

    It stands behind `count` in every verdict, so that no point beyond a limit reads as sound.
    """
    return _passed_of(tally(status, flags))


def outcome(status: ArrayLike, flags: ArrayLike) -> str:
    """Return how many points were solved, and how many of them pass a limit."""
    waiting = int(np.count_nonzero(np.asarray(status) < 0))
    return outcome_of(tally(status, flags), waiting)


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
        for kind, number in _unsolved(_by_status(codes))
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
