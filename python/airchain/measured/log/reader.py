"""Reading of measured pulls from a logger's file, whatever its layout; the file is not changed."""

from __future__ import annotations

import os
from collections.abc import Mapping
from hashlib import sha256
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from ...base.errors import InputError, refusal
from .._measured_checks import checked_rounding
from ..finding import Finding
from .answering import set_it
from .blocks import weather_by_block
from .cells import MISSING
from .choose import choose, needed
from .convert import Converter, weather_of
from .coupling import geared
from .layout import Layout, find_layout
from .logtext import read_log
from .mapping import LogMapping
from .mapping_keys import MappingEntry
from .order import Order
from .power_basis import at_wheels, basis_of, one_basis
from .pull_log import PullLog
from .runs import Runs
from .table import Table, read_table
from .weather import sea_level

__all__ = ["guess_mapping", "read_pulls"]

_MOST_NAMED = 30
_TWO_BAROMETERS = 0.01
_FACTORS = {1e-3, 1e-2, 0.1, 1.0, 10.0, 100.0, 1e3}
Given: TypeAlias = LogMapping | Mapping[str, MappingEntry] | str | os.PathLike[str] | None


def read_pulls(path: str | os.PathLike[str], mapping: Given = None) -> PullLog:
    """Read the pulls out of a dyno's text file, whatever program wrote it.

    The reader finds out how the file is written: its columns and their units, where the headings
    stand, and whether a pressure is gauge or absolute. Each choice stands with its reason in
    ``log.mapping``. What the file does not tell is never assumed: the reader refuses with a
    question, and `mapping` answers it.

    Parameters
    ----------
    path : str or path
        The file; CSV or any other text of rows and columns, up to 128 MiB.
    mapping : LogMapping, dict, or path of a saved mapping, optional
        What is known better than guessed, such as ``{"power_basis": "observed"}``; what it leaves
        out is guessed.

    Returns
    -------
    PullLog
        The pulls under load in order, run-downs apart, the mapping, and what was noticed.

    Raises
    ------
    InputError
        The file is no log, a cell is no number, or the log does not tell something that the
        mapping must; the message names file, line, column and the mapping's key.
    """
    reader = _Reader(path, LogMapping.of(mapping))
    if reader.questions:
        raise InputError("\n".join(dict.fromkeys(map(str, reader.questions))))
    return reader.log()


def guess_mapping(path: str | os.PathLike[str], mapping: Given = None) -> LogMapping:
    """Return how a log would be read, with what is still to be answered.

    Parameters
    ----------
    path : str or path
        The file.
    mapping : LogMapping, dict, or path of a saved mapping, optional
        What is known already.

    Returns
    -------
    LogMapping
        Every choice with its reason; `questions` lists what the log does not tell.
    """
    return _Reader(path, LogMapping.of(mapping)).mapping


def _check_factors(table: Table) -> None:
    """Refuse a row of factors above the readings: nothing says that they were not used already."""
    first = [float(one.values[0]) for one in table.numbers.values()]
    if len(first) < 3 or not set(first) <= _FACTORS or set(first) == {1.0}:
        return
    shown = " ".join(f"{value:g}" for value in first)
    hint = "if they are factors, multiply the columns by them; then delete the row"
    raise refusal(table.where(0), "first row", shown, "hold readings", hint)


class _Reader:
    """Reads one file up to its columns in SI."""

    def __init__(self, path: str | os.PathLike[str], given: LogMapping) -> None:
        text = read_log(path, given.encoding)
        self.encoding, self.digest = (text.encoding, text.reason), text.digest
        self.layout: Layout = find_layout(
            text.lines, text.name, given.delimiter, given.decimal, given.header_line
        )
        missing = MISSING | {mark.strip().lower() for mark in given.missing}
        self.table: Table = read_table(text, self.layout, needed(given), missing)
        del text  # a large log should not stand in memory twice
        self.header = max(self.layout.header, 0) + 1
        _check_factors(self.table)
        self.questions: list[InputError] = []
        choice = choose(self.table, given, self.header)
        self.questions += choice.questions
        self.findings: list[Finding] = [*self.table.findings, *choice.findings]
        if self.layout.question:
            rule = 'be "," or "."'
            self._ask("decimal", rule, f"{self.layout.question}; {set_it('decimal', rule)}")
        self.basis, reason, question = basis_of(self.table, choice, given, self.header)
        self.questions += [question] if question else []
        left = "" if given.power_basis else one_basis(choice)
        self.findings += [Finding("power basis", left)] if left else []
        wheels = at_wheels(self.table, choice)
        self.findings += [Finding("torque and power", wheels)] if wheels else []
        by_block, problems = weather_by_block(self.table)
        self.findings += problems
        typed = weather_of(given.ambient)
        self.weather = {block: known | typed for block, known in by_block.items()}
        self._check_speed(choice.columns)
        asked, found = geared(self.table, choice, given, f"{self.table.name}:{self.header}")
        self.questions += asked
        self.findings += found
        self.converter = Converter(self.table, choice, given, self.header, self._barometers())
        self.converter.run()
        self.questions += self.converter.questions
        self.findings += self.converter.findings
        self._two_barometers()
        self.run = choice.run
        self.mapping = self._mapping(given, choice.unused, reason)

    def _barometers(self) -> NDArray[np.float64]:
        """Return the barometer of every row [Pa] as text and mapping tell it, NaN where unknown."""
        by_block = {
            block: known.get("barometer", (np.nan, ""))[0] for block, known in self.weather.items()
        }
        blocks, places = np.unique(self.table.blocks, return_inverse=True)
        told = np.array([by_block[block] for block in blocks.tolist()])
        return np.broadcast_to(told, places.shape) if told.size == 1 else told[places]

    def _two_barometers(self) -> None:
        """List where a column of the barometer reads another pressure than the text tells."""
        read, told = self.converter.columns.get("barometer"), self._barometers()
        known = told if read is None else read
        if np.isfinite(known).any():
            self.findings += sea_level(self.table.notes, float(np.nanmedian(known)))
        if read is None or not np.isfinite(read).any() or not np.isfinite(told).any():
            return
        one, other = float(np.nanmedian(read)), float(np.nanmedian(told))
        if abs(one / other - 1.0) > _TWO_BAROMETERS:
            words = (
                f"its column reads {one / 1e3:.2f} kPa and the text tells {other / 1e3:.2f} kPa; "
            )
            self.findings.append(Finding("barometer", words + "the column was taken"))

    def _check_speed(self, columns: dict[str, tuple[int, ...]]) -> None:
        if "engine_speed" in columns:
            return
        if any("engine_speed" in str(question) for question in self.questions):
            raise InputError("\n".join(map(str, self.questions)))
        where = f"{self.table.name}:{self.header}"
        if self.layout.heading_question:
            hint = (
                f"{self.layout.heading_question}; give columns by number in the mapping, such as "
            )
            hint += "columns.engine_speed.column = 2 and columns.torque.column = 3"
            raise refusal(where, "header row", "missing", "name the columns", hint)
        names = [heading for heading in self.table.headings if heading]
        headings = ", ".join(names[:_MOST_NAMED]) + (", ..." if len(names) > _MOST_NAMED else "")
        hint = f"set columns.engine_speed.column in the mapping to one of: {headings}"
        raise refusal(where, "column of engine speed", "missing", "be in the log", hint)

    def _ask(self, key: str, rule: str, hint: str) -> None:
        where = f"{self.table.name}:{self.header}"
        self.questions.append(refusal(where, key, "not told", rule, hint))

    def _mapping(self, given: LogMapping, unused: list[str], basis_reason: str) -> LogMapping:
        several = [known.items() for known in self.weather.values()]
        read = [
            f"{n} {text}" for known in several for n, (_, text) in known if n not in given.ambient
        ]
        run: str = self.table.headings[self.run] if self.run >= 0 else ""
        if (self.run >= 0 and self.table.headings.count(run) > 1) or (self.run >= 0 and not run):
            run = str(self.run + 1)
        reasons = {
            "encoding": self.encoding[1],
            "delimiter": self.layout.reason,
            "power_basis": basis_reason,
            "weather": "; ".join(dict.fromkeys(read)),
        }
        return LogMapping(
            self.encoding[0], self.layout.delimiter, self.layout.decimal, given.header_line,
            self.basis, run, self.converter.maps, given.ambient, tuple(unused), given.missing,
            given.aliases, reasons, tuple(dict.fromkeys(map(str, self.questions))),
        )  # fmt: skip

    def log(self) -> PullLog:
        """Return the pulls."""
        how = self.mapping.toml(reasons=False)
        fingerprint = sha256(f"{self.digest}\n{how}".encode()).hexdigest()
        by_cylinder, lines = self.converter.by_cylinder(), self.table.lines.copy()
        self.table.numbers.clear()  # they stand in SI in the converter, and are large
        order = Order(self.table, self.converter.columns)
        order.mend()
        steps = {n: one.rounding for n, one in self.mapping.columns.items() if one.rounding}
        labels = self.table.texts.get(self.run, [])
        runs = Runs(
            self.table, order.columns, self.basis, self.weather, labels, fingerprint,
            self._barometers(), checked_rounding("mapping", steps),
        )  # fmt: skip
        runs.cut()
        runs.need_pulls()
        return PullLog(
            self.table.name,
            tuple(runs.pulls),
            tuple(runs.run_downs),
            self.mapping,
            (*self.findings, *order.findings, *runs.findings),
            by_cylinder,
            lines,
        )
