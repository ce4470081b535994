"""The torque table of every level as comma-separated text, in SI."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from math import isfinite

from .managing import COLUMNS, Management

__all__ = ["as_csv"]


def as_csv(managements: Sequence[Management]) -> str:
    """Return torque over time and gear of every level.

    Parameters
    ----------
    managements : sequence of Management
        Level by level.

    Returns
    -------
    str
        A heading row with units, then the rows; a value that is not there is left empty.
    """
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    headings = [name if unit == "1" else f"{name} [{unit}]" for name, unit in COLUMNS.items()]
    writer.writerow(["level", *headings, "by"])
    for one in managements:
        for row, way in enumerate(one.ways):
            values = [float(one[name][row]) for name in COLUMNS]
            cells = [f"{value:.9g}" if isfinite(value) else "" for value in values]
            writer.writerow([one.level, *cells, way])
    return target.getvalue()
