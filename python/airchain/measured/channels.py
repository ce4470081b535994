"""What each channel shows of its sensor: spikes, flat tops, stretches that stand still."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from ..units.convert import KINDS, formatted
from .finding import Finding
from .quantities import QUANTITIES
from .readings import Readings

Column = NDArray[np.float64]
Mask = NDArray[np.bool_]
_FEWEST = 12  # rows: with fewer nothing can be told of a sensor
_NOT_LOOKED_AT = ("time", "engine_speed", "barometer", "ambient_temperature", "relative_humidity")
_LEAP = 0.25  # of the median, within one row: no engine takes up load like that
_LEAP_OF_PROBE = 20.0  # K
_LEAP_OF_CHANNEL = 0.12  # of the median, and it stays there
# Share of rows that pile up at an end, and with fewer levels a coarse reading does by itself.
_PILED, _FEWEST_LEVELS = 0.2, 6
#: Rows of the three levels next to a smooth curve's end, as a share of those at the end.
_TURNING = 0.42
# Readings of slow or coarse sensors repeat by themselves.
_QUICK = (
    "torque",
    "power",
    "plenum_pressure",
    "compressor_outlet_pressure",
    "air_flow",
    "fuel_flow",
    "lambda",
    "rotor_speed",
)


def channel_findings(pull: Readings) -> Iterator[Finding]:
    """Yield what is odd about single channels of a pull under load."""
    if len(pull) < _FEWEST:
        return
    for name in pull.names:
        values = pull.columns[name]
        read = np.flatnonzero(np.isfinite(values))
        if name in _NOT_LOOKED_AT or read.size < _FEWEST:
            continue
        yield from _spikes(pull, name, read)
        yield from _dropouts(pull, name, read)
        if name in _QUICK or name == "exhaust_temperature":
            yield from _still(pull, name, read)
            yield from _clipped(pull, name, read)
        if "temperature" in name or name in _QUICK:
            yield from _leap(pull, name, read)
    name = next((name for name in ("torque", "power") if name in pull.names), "")
    if name:
        yield from _unloaded(pull, name, np.flatnonzero(np.isfinite(pull.columns[name])))


def lines_of(pull: Readings, rows: NDArray[np.int64]) -> tuple[int, ...]:
    """Return the lines of the file that rows came from, or their numbers from 1."""
    return tuple((pull.lines[rows] if pull.lines.size else rows + 1).tolist())


def _spikes(pull: Readings, name: str, read: NDArray[np.int64]) -> Iterator[Finding]:
    """Readings that jump away from both neighbours and come back."""
    values = pull.columns[name][read]
    level = abs(float(np.mean(values))) if "temperature" not in name else 0.0
    least = max(0.03 * level, _least(name), 0.1 * float(np.ptp(values)))
    bends = np.abs(values[1:-1] - 0.5 * (values[:-2] + values[2:]))
    bent = np.flatnonzero(bends >= 0.45 * least) + 1
    if not bent.size:
        return
    low, high = (float(v) for v in np.percentile(values, (5, 95)))
    usual = 1.2 * float(np.median(bends))
    limit = max(9.0 * usual, 0.2 * (high - low), 0.03 * level, _least(name))
    far, off = np.zeros(values.size, dtype=bool), np.zeros(values.size)
    for reach in (2, 5):  # single readings, and bursts of some rows
        if far.any() or values.size < 8 * reach:
            continue
        near = np.zeros(values.size + 2 * reach, dtype=bool)
        for shift in range(2 * reach + 1):
            near[bent + shift] = True
        at = np.flatnonzero(near[reach:-reach])
        padded = np.pad(values, reach, mode="reflect", reflect_type="odd")
        windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1)
        off[at] = np.abs(values[at] - np.median(windows[at], axis=1))
        far = off > limit
        far &= far.mean() <= 0.05
    if not far.any():
        return
    rows = read[far]
    worst = _shown(float(values[far][np.argmax(off[far])]), name)
    what = "reading jumps" if rows.size == 1 else "readings jump"
    words = f"{rows.size} {what} away from the neighbours, to {worst}"
    yield Finding(QUANTITIES[name].words, words, lines_of(pull, rows))


def _dropouts(pull: Readings, name: str, read: NDArray[np.int64]) -> Iterator[Finding]:
    """One number again and again, far below or above all others: what stands for no reading."""
    values = pull.columns[name][read]
    for end in (float(values.min()), float(values.max())):
        there = values == end
        others = values[~there]
        if not 2 <= there.sum() <= 0.5 * values.size or np.all(np.diff(np.flatnonzero(there)) == 1):
            continue
        low, high = (float(v) for v in np.percentile(others, (1, 99)))
        gap = max(low - end, end - high)
        level = abs(float(np.median(others))) if "temperature" not in name else 0.0
        if gap > max(0.5 * (high - low), 0.1 * level, 2.0 * _least(name)):
            shown = _shown(end, name)
            words = f"{there.sum()} rows read exactly {shown}, far from all others: no reading?"
            yield Finding(QUANTITIES[name].words, words, lines_of(pull, read[there]))


def _clipped(pull: Readings, name: str, read: NDArray[np.int64]) -> Iterator[Finding]:
    """Rows that pile up at the highest or lowest reading, though not one after another."""
    values = pull.columns[name][read]
    at_ends = [np.count_nonzero(values == end) for end in (values.min(), values.max())]
    if max(at_ends) <= _PILED * read.size:
        return
    levels, counts = np.unique(values, return_counts=True)
    if levels.size < _FEWEST_LEVELS:
        return
    for end, at, beside in (("highest", -1, counts[-4:-1]), ("lowest", 0, counts[1:4])):
        if counts[at] > max(_PILED * read.size, 4.0 * float(beside.max())):
            rows = read[values == levels[at]]
            if rows.size == np.ptp(rows) + 1:
                continue  # one after another: `_still` tells those
            shown = _shown(float(levels[at]), name)
            words = f"{rows.size} rows hold the {end} reading, {shown}: is the sensor at its end?"
            yield Finding(QUANTITIES[name].words, words, lines_of(pull, rows))


def _leap(pull: Readings, name: str, read: NDArray[np.int64]) -> Iterator[Finding]:
    """A reading that leaps within one row and stays there: a probe or a unit that changed."""
    values = pull.columns[name][read]
    steps = np.abs(np.diff(values))
    probe = "temperature" in name
    least = _LEAP_OF_PROBE if probe else _LEAP_OF_CHANNEL * abs(float(np.median(values)))
    if float(steps.max()) < least:
        return
    at = int(np.argmax(steps))
    if not probe and not 8 <= at < values.size - 9:
        return  # `_unloaded` tells of rows before the load
    before, after = values[max(0, at - 4) : at + 1], values[at + 1 : at + 6]
    stays = abs(float(np.median(after)) - float(np.median(before)))
    if min(float(steps[at]), stays) < max(least, 10.0 * float(np.percentile(steps, 90))):
        return
    one, other = _shown(float(values[at]), name), _shown(float(values[at + 1]), name)
    words = f"it leaps from {one} to {other} within one row and stays there: "
    words += "is the probe sound?" if probe else "did its unit or range change?"
    yield Finding(QUANTITIES[name].words, words, lines_of(pull, read[at : at + 2]))


def _unloaded(pull: Readings, name: str, read: NDArray[np.int64]) -> Iterator[Finding]:
    """Rows at either end that read far less than the others, and leap there: no load yet."""
    values = pull.columns[name][read]
    level = float(np.median(values)) if read.size >= _FEWEST else 0.0
    if level <= 0.0:
        return
    for end, rows, there in (("first", read, values), ("last", read[::-1], values[::-1])):
        enough = np.flatnonzero(there >= 0.5 * level)
        count = int(enough[0])
        if count and there[count] - there[count - 1] > _LEAP * level:
            words = (
                f"the {end} {count} rows read less than half of the others and leap there: was "
                "the engine under load? Leave them out of the pull if not"
            )
            yield Finding(QUANTITIES[name].words, words, lines_of(pull, np.sort(rows[:count])))


def _least(name: str) -> float:
    """Return the smallest jump that is told [SI]."""
    return {"temperature": 6.0, "pressure": 2e3}.get(QUANTITIES[name].kind, 0.0)


def _still(pull: Readings, name: str, read: NDArray[np.int64]) -> Iterator[Finding]:
    """A value that is held while the readings around it move: a clipped or a frozen sensor."""
    values = pull.columns[name][read]
    if values.min() == values.max():
        return
    edges = np.flatnonzero(np.diff(values) != 0.0) + 1
    starts, ends = np.append(0, edges), np.append(edges, values.size)
    lengths = ends - starts
    longest = int(np.argmax(lengths))
    others = np.delete(lengths, longest)
    usual = float(np.percentile(others, 90)) if others.size else 1.0
    if lengths[longest] < max(7.0, 4.0 * usual, 0.06 * values.size) or others.size < 5:
        return
    value = float(values[starts[longest]])
    if value in (values.max(), values.min()) and _turns_there(values, lengths, starts, longest):
        return
    rows = read[starts[longest] : ends[longest]]
    shown, words = _shown(value, name), QUANTITIES[name].words
    if value in (values.max(), values.min()):
        end = "highest" if value == values.max() else "lowest"
        words_said = f"{rows.size} rows hold the {end} reading, {shown}: is the sensor at its end?"
    else:
        words_said = f"it stands still at {shown} in {rows.size} rows while others move"
    yield Finding(words, words_said, lines_of(pull, rows))


def _turns_there(
    values: Column, lengths: NDArray[np.int64], starts: NDArray[np.int64], longest: int
) -> bool:
    """Return whether a reading comes to its end and leaves it as a rounded smooth curve does.

    Rounding makes a parabola stay 2 n rows at its top, and 0.73 n, 0.50 n and 0.41 n on the next
    levels on either side. A clipped sensor goes on at its usual rate up to the end.
    """
    end = values[starts[longest]]
    sides = (lengths[max(0, longest - 3) : longest][::-1], lengths[longest + 1 : longest + 4])
    steps = [
        abs(float(values[starts[i]] - end))
        for i in (longest - 1, longest + 1)
        if 0 <= i < starts.size
    ]
    different = np.abs(np.diff(np.unique(values)))
    near = all(step < 2.5 * float(different.min()) for step in steps)
    beside = np.concatenate(sides)
    ends = sum(bool(side.size) for side in sides)
    return near and float(beside.sum()) >= _TURNING * ends * lengths[longest]


def _shown(value: float, name: str) -> str:
    kind = QUANTITIES[name].kind
    return formatted(value, kind) if KINDS[kind].si_unit else f"{value:.3g}"
