"""The rows of a log in the order they were taken: clocks that step, newest first, lost speeds."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ...base.errors import quoted
from ..finding import Finding
from .table import Table
from .weather import is_weather

Column = NDArray[np.float64]
_DAY = 86400.0
_NEWEST_FIRST = 0.9  # share of steps that go back in time
_SPIKE = 0.12  # of the span of speeds
_MOST_LOST = 0.12  # share of the speeds that may jump away
_FEWEST_TWICE = 3  # rows one after another that are no chance
_PAGE = re.compile(
    r"(?i)(?:^|[\W_\d])(?:page|seite|blatt|sheet|pagina|página|side|sida|strona|pag)\.?\s*(?:no\.?\s*)?\d"
)
_RUN_TITLE = re.compile(r"(?i)\b(?:run|pull|test|lauf|messung|essai|prova|prueba|sweep)\b")


@dataclass
class Order:
    """Puts rows and clock in order; `columns` [SI] and the table's lines are changed."""

    table: Table
    columns: dict[str, Column]
    findings: list[Finding] = field(default_factory=list)

    def mend(self) -> None:
        """Mend what can be told from times and speeds, and list it."""
        self._newest_first()
        self._written_twice()
        self._midnight()
        self._lost_speeds()
        self._join_pages()
        self._clock_steps()

    def _lines(self, rows: NDArray[np.int64] | NDArray[np.bool_]) -> tuple[int, ...]:
        return tuple(self.table.lines[rows].tolist())

    def _newest_first(self) -> None:
        time = self.columns.get("time")
        if time is None:
            return
        steps = np.diff(time[np.isfinite(time)])
        if steps.size < 3 or np.mean(steps < 0.0) < _NEWEST_FIRST:
            return
        for name in self.columns:
            self.columns[name] = self.columns[name][::-1]
        self.table.lines = self.table.lines[::-1]
        # Blocks count on from the first in the file; only where they change matters.
        self.table.blocks = self.table.blocks[::-1]
        self.table.texts = {column: texts[::-1] for column, texts in self.table.texts.items()}
        words = "the newest row stands first; turned round"
        self.findings.append(Finding("order of rows", words))

    def _written_twice(self) -> None:
        """Leave out rows that stand in the file a second time, one after another."""
        names = [n for n in self.columns if n in ("time", "engine_speed")]
        names += [n for n in self.columns if n not in names]
        if len(names) < 3 or self.table.lines.size < 2 * _FEWEST_TWICE:
            return
        first = self.columns[names[0]]
        with np.errstate(invalid="ignore"):
            if names[0] == "time" and not np.any(np.diff(first) < 0.0):
                return
        rows = np.stack([np.nan_to_num(self.columns[n], nan=-1.0) for n in names], axis=1)
        _, place, counts = np.unique(rows, axis=0, return_inverse=True, return_counts=True)
        place = place.reshape(-1)
        if counts.max() < 2:
            return
        earliest = np.full(counts.size, place.size)
        np.minimum.at(earliest, place, np.arange(place.size))
        again = earliest[place] < np.arange(place.size)
        # Copies go on as their originals do; single rows that agree by chance do not.
        goes_on = np.diff(earliest[place], prepend=-2) == 1
        alike = again & (goes_on | np.append(goes_on[1:] & again[1:], False))
        speed = self.columns["engine_speed"]
        slow = np.nanmin(speed) + 0.05 * (np.nanmax(speed) - np.nanmin(speed))
        for stretch in np.split(np.arange(place.size), np.flatnonzero(np.diff(alike)) + 1):
            one, last = stretch[0], stretch[-1]
            follows = earliest[place[last]] == one - 1 and speed[one] > slow
            if stretch.size < _FEWEST_TWICE or not follows:  # a second pull is never left out
                alike[stretch] = False
        if not alike.any():
            return
        words = f"{alike.sum()} rows stand in the file a second time; the copies were left out"
        self.findings.append(Finding("rows written twice", words, self._lines(alike)))
        kept = np.flatnonzero(~alike)
        for name in self.columns:
            self.columns[name] = self.columns[name][kept]
        self.table.lines, self.table.blocks = self.table.lines[kept], self.table.blocks[kept]
        self.table.texts = {c: [texts[i] for i in kept] for c, texts in self.table.texts.items()}

    def _midnight(self) -> None:
        time = self.columns.get("time")
        if time is None:
            return
        with np.errstate(invalid="ignore"):
            steps = np.diff(time)
            over = np.flatnonzero((steps < -0.9 * _DAY) & (steps > -1.001 * _DAY)) + 1
        if not over.size:
            return
        moved = time.copy()
        for row in over.tolist():
            moved[row:] += _DAY
        self.columns["time"] = moved
        words = "the clock goes over midnight; a day was added from there on"
        self.findings.append(Finding("time", words, self._lines(over)))

    def _clock_steps(self) -> None:
        """Move on the times after a clock was set back while the speed went on."""
        time, speed = self.columns.get("time"), self.columns["engine_speed"]
        if time is None or time.size < 4:
            return
        with np.errstate(invalid="ignore"):
            steps = np.diff(time)
            forward = steps[steps > 0.0]
            back = np.flatnonzero(steps < 0.0)
        if not forward.size or not back.size or back.size > max(3, 0.02 * time.size):
            return
        usual = float(np.median(forward))
        moved, mended = time.copy(), []
        for row in back.tolist():
            same = self.table.blocks[row] == self.table.blocks[row + 1]
            if same and _goes_on(speed, row):
                moved[row + 1 :] += usual - steps[row]
                mended.append(row + 1)
        if mended:
            self.columns["time"] = moved
            words = "the clock steps back while the speed goes on; later times were moved on"
            rows = np.array(mended, dtype=np.int64)
            self.findings.append(Finding("time", words, self._lines(rows)))

    def _lost_speeds(self) -> None:
        """Take speeds that jump away for a row or two and come back as not read."""
        speed = self.columns["engine_speed"]
        known = np.flatnonzero(np.isfinite(speed))
        if known.size < 20:
            return
        read = speed[known]
        span = float(np.ptp(read))
        bends = np.abs(read[1:-1] - 0.5 * (read[:-2] + read[2:]))
        if float(bends.max()) < 0.4 * _SPIKE * span:
            return
        around = np.median(
            np.lib.stride_tricks.sliding_window_view(np.pad(read, 2, mode="edge"), 5), axis=1
        )
        low, high = (float(v) for v in np.percentile(read, (2, 98)))
        off = np.abs(read - around) > _SPIKE * max(high - low, 20.0)
        off &= _comes_back(read, off, _SPIKE * max(high - low, 20.0))
        if not off.any() or off.mean() > _MOST_LOST:
            return
        rows = known[off]
        self.columns["engine_speed"] = speed.copy()
        self.columns["engine_speed"][rows] = np.nan
        words = f"{rows.size} readings jump away and come straight back; taken as missing"
        self.findings.append(Finding("engine speed", words, self._lines(rows)))

    def _join_pages(self) -> None:
        """Join blocks that only a page's end or a remark parts."""
        blocks, lines = self.table.blocks.copy(), self.table.lines
        speed, time = self.columns["engine_speed"], self.columns.get("time")
        with np.errstate(invalid="ignore"):
            steps = np.diff(time) if time is not None else np.zeros(0)
            forward = steps[steps > 0.0]
        usual = float(np.median(forward)) if forward.size else 0.0
        for row in np.flatnonzero(np.diff(blocks) != 0).tolist():
            between = sorted((int(lines[row]), int(lines[row + 1])))
            said = [text for line, text in self.table.notes if between[0] < line < between[1]]
            ticks = time is not None and 0.0 < steps[row] <= 5.0 * usual
            again = any(map(is_weather, said))
            titled = any(map(_RUN_TITLE.search, said)) and not self._same_title(row, said)
            if not ticks and (again or titled):
                continue
            if time is not None and not ticks and steps[row] >= 0.0:
                continue
            if _goes_on(speed, row):
                blocks[blocks == blocks[row + 1]] = blocks[row]
                if said and not again and not any(map(_PAGE.search, said)):
                    words = f"text stands between readings of one pull: {quoted(said[0].strip())}"
                    self.findings.append(Finding("remarks", words, (between[0] + 1,)))
                if again:
                    words = "the log gives it again within a pull; the earlier value holds"
                    self.findings.append(Finding("weather", words, (between[0] + 1,)))
        self.table.blocks = blocks

    def _same_title(self, row: int, said: list[str]) -> bool:
        """Return whether a title is a page's, or that of the rows before it once more."""
        if any(map(_PAGE.search, said)):
            return True
        before = [text for line, text in self.table.notes if line < self.table.lines[row]]
        return bool(said) and {t.strip() for t in said} <= {t.strip() for t in before}


def _comes_back(read: Column, off: NDArray[np.bool_], near: float) -> NDArray[np.bool_]:
    """Return the rows whose readings on either side go on from each other."""
    kept = off.copy()
    for stretch in np.split(np.arange(off.size), np.flatnonzero(np.diff(off)) + 1):
        before, after = stretch[0] - 1, stretch[-1] + 1
        if off[stretch[0]] and before >= 0 and after < off.size:
            kept[stretch] = abs(float(read[after] - read[before])) < near
    return kept


def _goes_on(speed: Column, row: int) -> bool:
    """Return whether the speed goes on from a row to the next, without a jump."""
    near = speed[max(0, row - 20) : row + 22]
    near = near[np.isfinite(near)]
    if near.size < 3 or not np.isfinite(speed[row : row + 2]).all():
        return False
    span = float(np.nanmax(speed) - np.nanmin(speed))
    usual = float(np.percentile(np.abs(np.diff(near)), 60))
    return bool(abs(speed[row + 1] - speed[row]) <= max(3.0 * usual, 0.01 * span))
