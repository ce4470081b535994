"""Logs as dynamometers write them, made of a pull whose readings are known."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from airchain.measured.log.pull_log import PullLog
from airchain.measured.log.reader import read_pulls

RPM = np.arange(3000.0, 7001.0, 250.0)
TORQUE = 900.0 - 60.0 * ((RPM - 6000.0) / 1000.0) ** 2  # N m
MAP = 100.0 + 90.0 * (RPM / 7000.0) ** 2  # kPa, absolute
CHARGE = 35.0 + 40.0 * (RPM / 7000.0) ** 3  # degC
RAD = np.pi / 30.0

#: Heading, values and decimals of a plain log that tells everything.
PLAIN = (
    ("Engine speed [rpm]", RPM, 0),
    ("Observed torque [Nm]", TORQUE, 2),
    ("MAP [kPa abs]", MAP, 2),
    ("Charge temp [degC]", CHARGE, 2),
)


@dataclass
class Log:
    """A log to be written; every part can be changed."""

    columns: tuple = PLAIN
    delimiter: str = ","
    decimal: str = "."
    above: str = ""
    units: str = ""
    below: str = ""
    end: str = "\n"
    encoding: str = "utf-8"
    changes: dict = field(default_factory=dict)

    def text(self) -> str:
        """The text; `changes` replaces cells by (row, column)."""
        rows = [self.delimiter.join(head for head, _, _ in self.columns)]
        rows += [self.units] if self.units else []
        for i in range(len(self.columns[0][1])):
            cells = [
                self.changes.get((i, j), f"{values[i]:.{places}f}".replace(".", self.decimal))
                for j, (_, values, places) in enumerate(self.columns)
            ]
            rows.append(self.delimiter.join(cells))
        body = self.end.join(rows)
        return f"{self.above}{body}{self.end}{self.below}"

    def write(self, folder: Path, name: str = "log.csv") -> Path:
        """The path of the written file."""
        path = folder / name
        path.write_bytes(self.text().encode(self.encoding))
        return path

    def read(self, folder: Path, mapping: object = None) -> PullLog:
        """What the reader makes of it."""
        return read_pulls(self.write(folder), mapping)
