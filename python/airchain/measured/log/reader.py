"""Reading of measured pulls from a logger's file, whatever its layout; the file is not changed."""

from __future__ import annotations

import os
from hashlib import sha256
from typing import Any

import numpy as np

from ...base.errors import InputError, refusal
from ..finding import Finding
from .choose import choose, needed
from .convert import Converter, weather_of
from .layout import Layout, find_layout
from .logtext import LogText, read_log
from .mapping import LogMapping
from .power_basis import basis_of, one_basis
from .pull_log import PullLog
from .runs import Runs
from .table import Table, read_table
from .weather import weather_in

__all__ = ["guess_mapping", "read_pulls"]


def read_pulls(path: str | os.PathLike[str], mapping: Any = None) -> PullLog:
    """Read the pulls of a log.

    Encoding, delimiter, decimal mark, heading and unit rows, columns, units and whether pressures
    are gauge or absolute are found out, each with a reason (``log.mapping``). What the log does
    not tell is asked for, never assumed.

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


def guess_mapping(path: str | os.PathLike[str], mapping: Any = None) -> LogMapping:
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


class _Reader:
    """Reads one file up to its columns in SI."""

    def __init__(self, path: str | os.PathLike[str], given: LogMapping) -> None:
        self.text: LogText = read_log(path, given.encoding)
        self.layout: Layout = find_layout(
            self.text.lines, self.text.name, given.delimiter, given.decimal, given.header_line
        )
        self.table: Table = read_table(self.text, self.layout, needed(given))
        self.header = self.layout.header + 1
        choice = choose(self.table, given, self.header)
        self.questions: list[InputError] = list(choice.questions)
        self.findings: list[Finding] = [*self.table.findings, *choice.findings]
        if self.layout.question:
            hint = f"{self.layout.question}; set it in the mapping"
            self._ask("decimal", 'be "," or "."', hint)
        self.basis, reason, question = basis_of(
            self.table, choice, given, self.header, self.layout.decimal
        )
        self.questions += [question] if question else []
        left = "" if given.power_basis else one_basis(choice)
        self.findings += [Finding("power basis", left)] if left else []
        self.weather = self._weather(given)
        self._check_speed(choice.columns)
        barometer = self.weather.get("barometer", (np.nan, ""))[0]
        self.converter = Converter(
            self.table, choice, given, self.layout.decimal, self.header, barometer
        )
        self.converter.run()
        self.questions += self.converter.questions
        self.findings += self.converter.findings
        self.run = choice.run
        self.mapping = self._mapping(given, choice.unused, reason)

    def _weather(self, given: LogMapping) -> dict[str, tuple[float, str]]:
        """Return what the text above the headings says of the weather, and the mapping over it."""
        above = [(line, text) for line, text in self.table.notes if line < self.header]
        found, findings = weather_in(above)
        self.findings += findings
        return found | weather_of(given.ambient)

    def _check_speed(self, columns: dict[str, tuple[int, ...]]) -> None:
        if "engine_speed" in columns:
            return
        if any("engine_speed" in str(question) for question in self.questions):
            raise InputError("\n".join(map(str, self.questions)))
        headings = ", ".join(h for h in self.table.headings if h)
        hint = f"set columns.engine_speed.column in the mapping to one of: {headings}"
        where = f"{self.table.name}:{self.header}"
        raise refusal(where, "column of engine speed", "missing", "be in the log", hint)

    def _ask(self, key: str, rule: str, hint: str) -> None:
        where = f"{self.table.name}:{self.header}"
        self.questions.append(refusal(where, key, "not told", rule, hint))

    def _mapping(self, given: LogMapping, unused: list[str], basis_reason: str) -> LogMapping:
        found = [f"{n} {text}" for n, (_, text) in self.weather.items() if n not in given.ambient]
        run = self.table.headings[self.run] if self.run >= 0 else ""
        reasons = {
            "encoding": self.text.reason,
            "delimiter": self.layout.reason,
            "power_basis": basis_reason,
            "weather": "; ".join(found),
        }
        return LogMapping(
            self.text.encoding, self.layout.delimiter, self.layout.decimal, given.header_line,
            self.basis, run, self.converter.maps, given.ambient, tuple(unused), reasons,
            tuple(dict.fromkeys(map(str, self.questions))),
        )  # fmt: skip

    def log(self) -> PullLog:
        """Return the pulls."""
        how = self.mapping.toml(reasons=False)
        fingerprint = sha256(f"{self.text.digest}\n{how}".encode()).hexdigest()
        labels = self.table.columns[self.run] if self.run >= 0 else ()
        runs = Runs(
            self.table, self.converter.columns, self.basis, self.weather, labels, fingerprint
        )
        runs.cut()
        runs.need_pulls()
        return PullLog(
            self.text.name,
            tuple(runs.pulls),
            tuple(runs.run_downs),
            self.mapping,
            (*self.findings, *runs.findings),
        )
