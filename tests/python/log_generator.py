"""Logs written from a known truth, each with the answer that is expected of their reader.

Whoever knows the reader wrote these logs: logs of somebody who does not know it say more about it.
What is right was decided before the reader was run: `expect` says whether a log must be read,
asked about or refused, `say` which words the question, refusal or finding must hold, and `hold`
which quantities a pull must have.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from airchain import InputError
from airchain.measured import MeasuredPull, read_pulls

RAD = np.pi / 30.0
HP, PS, LBFT, PSI, INHG = 745.69987, 735.49875, 1.35581795, 6.894757, 3.386389
ROWS = 120
BARO = 98.0  # kPa
_T = np.arange(ROWS) * 0.1
_NOISE = np.random.default_rng(20).normal(0.0, 1.0, (8, ROWS))
RPM = 2800.0 + 37.0 * np.arange(ROWS) + _NOISE[0]
TORQUE = 690.0 - 40.0 * ((RPM - 5200.0) / 1000.0) ** 2 + 0.8 * _NOISE[1]  # N m
MAP = 104.0 + 88.0 * (RPM / 7300.0) ** 2 + 0.15 * _NOISE[2]  # kPa, absolute
IAT = 31.0 + 30.0 * (RPM / 7300.0) ** 2 + 0.1 * _NOISE[3]  # degC
OUT = 1.04 * MAP + 0.1 * _NOISE[4]
OUT_T = 60.0 + 70.0 * (RPM / 7300.0) ** 2 + 0.1 * _NOISE[5]
LAMBDA = 0.86 + 0.004 * _NOISE[6]
FUEL = 0.32e-3 * TORQUE * RPM * RAD  # kg/h
EGT = 700.0 + 170.0 * (RPM / 7300.0) + 0.6 * _NOISE[7]
POWER = TORQUE * RPM * RAD / 1e3  # kW
#: SI values of every quantity, and how far a reading may be off.
TRUTH = {
    "time": (_T, 2e-3),
    "engine_speed": (RPM * RAD, 0.2),
    "torque": (TORQUE, 0.6),
    "power": (POWER * 1e3, 500.0),
    "plenum_pressure": (MAP * 1e3, 300.0),
    "plenum_temperature": (IAT + 273.15, 0.4),
    "compressor_outlet_pressure": (OUT * 1e3, 300.0),
    "compressor_outlet_temperature": (OUT_T + 273.15, 0.4),
    "lambda": (LAMBDA, 3e-3),
    "fuel_flow": (FUEL / 3600.0, 1e-5),
    "exhaust_temperature": (EGT + 273.15, 0.8),
}


def fahrenheit(celsius: np.ndarray) -> np.ndarray:
    """Degrees Fahrenheit of degrees Celsius."""
    return celsius * 1.8 + 32.0


@dataclass(frozen=True)
class Column:
    """One column: heading, numbers in the log's unit, decimals, and the row of units' cell."""

    heading: str
    values: np.ndarray
    places: int = 2
    unit: str = ""

    def cells(self, decimal: str) -> list[str]:
        """The numbers as they stand in the log."""
        return [f"{v:.{self.places}f}".replace(".", decimal) for v in self.values]


SPEED = Column("Engine speed [rpm]", RPM, 1)
TIME = Column("Time [s]", _T, 2)
OBSERVED = Column("Observed torque [Nm]", TORQUE)
ABSOLUTE = Column("MAP [kPa abs]", MAP)
CHARGE = Column("Charge temp [degC]", IAT)
FULL = (TIME, SPEED, OBSERVED, ABSOLUTE, CHARGE)


@dataclass(frozen=True)
class Case:
    """A log, and what its reader must make of it: ``right``, ``ask``, ``refuse`` or ``flag``."""

    name: str
    content: bytes
    expect: str = "right"
    say: str = ""
    pulls: int = 1
    labelled: bool = False
    answers: dict = field(default_factory=dict)
    points: bool = False
    basis: str = "observed"
    hold: tuple[str, ...] = ()


def text(
    columns: Sequence[Column] = FULL, delimiter: str = ",", decimal: str = ".", above: str = "",
    below: str = "", units: bool = False, end: str = "\n",
    change: Callable[[list[list[str]]], Iterable[Sequence[str]]] = lambda rows: rows,
) -> str:  # fmt: skip
    """The text of a log; `change` may do anything to its rows of cells."""
    rows = [list(row) for row in zip(*(c.cells(decimal) for c in columns), strict=True)]
    head = [delimiter.join(c.heading for c in columns)]
    head += [delimiter.join(c.unit for c in columns)] if units else []
    lines = [*head, *(delimiter.join(row) for row in change(rows))]
    return above + end.join(lines) + end + below


def case(name: str, body: str, expect: str = "right", say: str = "", **more: object) -> Case:
    """A case of a text in UTF-8."""
    return Case(name, body.encode(), expect, say, **more)


def put(column: int, at: Iterable[int], cell: str) -> Callable[[list[list[str]]], list[list[str]]]:
    """A change that puts a cell into some rows of a column."""

    def change(rows: list[list[str]]) -> list[list[str]]:
        for row in at:
            rows[row][column] = cell
        return rows

    return change


def fixed(
    columns: Sequence[Column], widths: Sequence[int], left: bool = False, blank: int = -1
) -> str:
    """A log in columns of fixed width, without a mark between them."""
    rows = [[c.heading for c in columns]]
    rows += [list(row) for row in zip(*(c.cells(".") for c in columns), strict=True)]
    if blank >= 0:
        rows[blank][2] = ""
    put_ = str.ljust if left else str.rjust
    return "\n".join(
        "".join(put_(cell, w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in rows
    )


def grade(one: Case, folder: Path) -> tuple[str, str]:
    """The grade of the reader at a case, and what it said."""
    path = folder / "log.csv"
    path.write_bytes(one.content)
    try:
        log = read_pulls(path)
    except InputError as error:
        said = str(error)
        asked = "set it in the mapping" in said or "columns." in said or "missing = [" in said
        asked = asked or "in the mapping" in said or "power_basis" in said
        if one.expect in ("ask", "refuse") and one.say in said:
            return ("asked rightly" if asked else "refused clearly"), said
        return ("asked needlessly" if asked else "refused needlessly"), said
    findings = "\n".join(log.all_findings)
    off = "" if len(log) == one.pulls else f"{len(log)} pulls"
    if any(pull.power_basis != one.basis for pull in log):
        off = off or "power basis"
    off = off or " and ".join(name for pull in log for name in differs(pull, one.points))
    off = off or " and ".join(name for pull in log for name in one.hold if name not in pull)
    if off:
        flagged = any(word.replace("_", " ") in findings for word in off.split(" and "))
        return ("wrong but flagged" if flagged else "wrong without a flag"), f"{off}\n{findings}"
    if one.expect == "flag" and one.say not in findings:
        return "not flagged", findings
    if one.expect in ("ask", "refuse"):
        return "read what must be asked", findings
    return "right", findings


def differs(pull: MeasuredPull, points: bool = False) -> list[str]:
    """Quantities of a pull that are not the truth at the same speeds."""
    wrong = []
    speed = pull["engine_speed"]
    for name in pull.names:
        if name not in TRUTH or name == "time":
            continue
        values, off = TRUTH[name]
        true = np.interp(speed, RPM * RAD, values)
        read = np.isfinite(pull[name])
        slack = off + 3e-3 * np.abs(true)
        if (np.abs(pull[name] - true)[read] > slack[read]).mean() > 0.01:
            wrong.append(name)
    return wrong + ([] if len(pull) > 0.7 * ROWS or points else ["engine_speed"])


__all__ = ["Case", "Column", "case", "differs", "fixed", "grade", "put", "replace", "text"]
