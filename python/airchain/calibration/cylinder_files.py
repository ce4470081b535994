"""Trims by cylinder as files, beside the tables of a calibration."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import TypeAlias

import numpy as np

from ..base.errors import quoted, refusal
from .tables import RPM_DECIMALS, CylinderTrims

__all__ = ["cylinders_csv", "cylinders_json", "read_cylinders"]

#: A level's trims as plain values: speeds, or rows over speed; None where there is no answer.
Written: TypeAlias = dict[str, list[float] | list[list[float | None]]]
#: Columns of the trims, and the decimals that they are written with.
_COLUMNS = {"fuel_percent": 2, "spark_deg": 2}
_SPEED = "engine_speed_rpm"


def _texts(trims: CylinderTrims) -> dict[str, list[list[str]]]:
    """Both trims as they are written, rows over speed; empty where there is none."""
    return {
        name: [["" if np.isnan(v) else f"{v:.{places}f}" for v in row] for row in values]
        for (name, places), values in zip(_COLUMNS.items(), trims[1:], strict=True)
    }


def cylinders_csv(by_level: Mapping[str, CylinderTrims]) -> str:
    """Return trims as comma-separated text, a line for each level, speed and cylinder.

    Parameters
    ----------
    by_level : mapping
        Trims of every level.

    Returns
    -------
    str
        Lines; the first names the columns with their units.
    """
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(["level", _SPEED, "cylinder", *_COLUMNS])
    for level, trims in by_level.items():
        texts = _texts(trims)
        for i, rpm in enumerate(trims.rpm):
            for c in range(trims.fuel.shape[1]):
                own = [texts[name][i][c] for name in _COLUMNS]
                writer.writerow([level, f"{rpm:.{RPM_DECIMALS}f}", c + 1, *own])
    return target.getvalue()


def cylinders_json(by_level: Mapping[str, CylinderTrims]) -> dict[str, Written]:
    """Return trims as plain values, to the digits that are written.

    Parameters
    ----------
    by_level : mapping
        Trims of every level.

    Returns
    -------
    dict
        By level: engine speeds [rpm], and fuel [%] and spark [deg] over speeds and cylinders.
    """
    return {
        level: {_SPEED: [float(f"{v:.{RPM_DECIMALS}f}") for v in trims.rpm]}
        | {
            name: [[float(t) if t else None for t in row] for row in rows]
            for name, rows in _texts(trims).items()
        }
        for level, trims in by_level.items()
    }


def read_cylinders(
    content: Mapping[str, Mapping[str, list[list[float]]]],
) -> dict[str, CylinderTrims]:
    """Return trims of what `cylinders_json` wrote.

    Parameters
    ----------
    content : mapping
        By level what `cylinders_json` wrote: engine speeds [rpm], and a row each of fuel trims
        [%] and of spark trims [deg].

    Returns
    -------
    dict
        Trims of every level.

    Raises
    ------
    InputError
        Speeds and trims do not fit each other, or are no numbers.
    """
    found = {}
    for level, one in content.items():
        rpm, fuel, spark = (np.array(one[name], dtype=float) for name in (_SPEED, *_COLUMNS))
        if rpm.ndim != 1 or not np.all((rpm > 0.0) & (rpm < np.inf)):
            rule = "be finite engine speeds above 0"
            raise refusal("cylinder_trims", f"{level}.{_SPEED}", quoted(rpm.tolist()), rule)
        for name, values in zip(_COLUMNS, (fuel, spark), strict=True):
            if values.ndim != 2 or values.shape != (rpm.size, fuel.shape[-1]):
                rule = f"hold {rpm.size} rows, one number for each cylinder"
                raise refusal("cylinder_trims", f"{level}.{name}", str(values.shape), rule)
            if np.isinf(values).any():
                raise refusal("cylinder_trims", f"{level}.{name}", "infinite", "be finite")
        found[str(level)] = CylinderTrims(rpm, fuel, spark)
    return found
