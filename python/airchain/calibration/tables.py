"""The tables of a calibration, and their form as files."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["CalibrationTable", "CalibrationTables", "CylinderTrims"]

Array = NDArray[np.float64]
_CORNER = "plenum pressure [kPa] down, engine speed [rpm] across"
#: Decimals that axes are written with.
RPM_DECIMALS, PRESSURE_DECIMALS = 0, 1


class _Form:
    """Unit, decimals and meaning of each table; the unit is that of the numbers in it.

    `ending` is that of the table's CSV file, where the unit does not say all.
    """

    def __init__(self, unit: str, decimals: int, words: str, ending: str = "") -> None:
        self.unit, self.decimals, self.words, self.ending = unit, decimals, words, ending


FORMS = {
    "volumetric_efficiency": _Form(
        "%", 2, "dry air over displacement filled with dry air at plenum pressure and temperature"
    ),
    "lambda_target": _Form("1", 3, "air-fuel ratio over the stoichiometric one"),
    "burn_phasing": _Form(
        "deg", 2, "crank angle after top centre at which half has burned", "_deg_after_top"
    ),
    "ignition": _Form(
        "deg",
        1,
        "computed start of the burn before top centre for that phasing, delay left out",
        "_deg_before_top",
    ),
    "knock_margin": _Form(
        "deg", 1, "est., what half burned may come earlier in the worst cylinder; negative: knocks"
    ),
    "fuel_mass": _Form("mg", 2, "fuel of all cylinders in a cycle"),
    "injector_time": _Form("ms", 4, "open time of a pulse, dead time with it"),
    "injector_duty": _Form("%", 2, "open share of the cycle"),
}


@dataclass(frozen=True, eq=False)
class CalibrationTable:
    """One table over engine speed and absolute plenum pressure.

    Attributes
    ----------
    name : str
        A key of the forms, such as ``"volumetric_efficiency"``.
    rpm : ndarray
        Engine speeds [rpm], rising.
    pressure : ndarray
        Absolute plenum pressures [Pa], rising.
    values : ndarray
        Rows over pressure, columns over speed [`unit`]; NaN where there is none.
    """

    name: str
    rpm: Array
    pressure: Array
    values: Array

    def __post_init__(self) -> None:
        for name in ("rpm", "pressure", "values"):
            object.__setattr__(self, name, np.array(getattr(self, name), dtype=float))
        if self.name not in FORMS:
            rule = "be one of " + ", ".join(FORMS)
            raise refusal("CalibrationTable", "name", quoted(self.name), rule)
        for name in ("rpm", "pressure"):
            check_axis("CalibrationTable", name, getattr(self, name))
        if np.isinf(self.values).any():
            raise refusal(
                self.name, "values", "infinite", "be finite, or empty where there is none"
            )
        shape = (self.pressure.size, self.rpm.size)
        if self.values.shape != shape:
            rule = f"have {shape[0]} rows of {shape[1]}"
            raise refusal(self.name, "values", str(self.values.shape), rule)

    @property
    def unit(self) -> str:
        """Unit of `values`."""
        return FORMS[self.name].unit

    @property
    def words(self) -> str:
        """What it holds."""
        return FORMS[self.name].words

    @property
    def texts(self) -> list[list[str]]:
        """The values as they are written, row by row; empty where there is none."""
        places = FORMS[self.name].decimals
        return [["" if np.isnan(v) else f"{v:.{places}f}" for v in row] for row in self.values]

    def at(self, rpm: ArrayLike, pressure: ArrayLike) -> Array:
        """Return the table between its nodes, straight in both directions.

        Parameters
        ----------
        rpm : array_like
            Engine speeds [rpm].
        pressure : array_like
            Absolute plenum pressures [Pa].

        Returns
        -------
        ndarray
            Values [`unit`]; NaN outside the table.
        """
        return between(self.pressure, self.rpm, self.values, pressure, rpm)

    def csv(self) -> str:
        """Return the table as comma-separated text: speeds across, pressures in kPa down.

        Returns
        -------
        str
            Lines; the first holds the speeds, the first column the pressures.
        """
        return grid_csv(self.rpm, self.pressure, self.texts)


def check_axis(where: str, name: str, axis: Array) -> None:
    """Refuse an axis that has not two rising finite values."""
    if axis.ndim != 1 or axis.size < 2 or not np.all(np.isfinite(axis)):
        raise refusal(where, name, quoted(axis.tolist()), "hold two finite values or more in a row")
    if not np.all(np.diff(axis) > 0.0) or axis[0] <= 0.0:
        raise refusal(where, name, quoted(axis.tolist()), "be above 0 and rise from value to value")


def axis_texts(rpm: Array, pressure: Array) -> tuple[list[str], list[str]]:
    """Return the axes as they are written: rpm, and kPa."""
    return (
        [f"{v:.{RPM_DECIMALS}f}" for v in rpm],
        [f"{v / 1e3:.{PRESSURE_DECIMALS}f}" for v in pressure],
    )


def grid_csv(rpm: Array, pressure: Array, texts: list[list[str]]) -> str:
    """Return cells of text with their axes as comma-separated text."""
    across, down = axis_texts(rpm, pressure)
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow([_CORNER, *across])
    writer.writerows([p, *row] for p, row in zip(down, texts, strict=True))
    return target.getvalue()


def between(down: Array, across: Array, values: Array, y: ArrayLike, x: ArrayLike) -> Array:
    """Return a grid between its nodes, straight in both directions; NaN outside."""
    at_y, at_x = np.broadcast_arrays(np.asarray(y, float), np.asarray(x, float))
    row, up = _place(down, at_y)
    column, right = _place(across, at_x)
    low = values[row, column] * (1.0 - right) + values[row, column + 1] * right
    high = values[row + 1, column] * (1.0 - right) + values[row + 1, column + 1] * right
    value: Array = low * (1.0 - up) + high * up
    return value


def _place(axis: Array, x: Array) -> tuple[NDArray[np.int64], Array]:
    """Cell and share of it; the share is NaN outside the axis."""
    cell = np.clip(np.searchsorted(axis, x, side="right") - 1, 0, axis.size - 2)
    share = (x - axis[cell]) / (axis[cell + 1] - axis[cell])
    inside = (share >= 0.0) & (share <= 1.0)
    return cell, np.where(inside, share, np.nan)


class CylinderTrims(NamedTuple):
    """Trims of fuel and spark by cylinder along a level, rows over speed, columns over cylinders.

    Attributes
    ----------
    rpm : ndarray
        Engine speeds [rpm].
    fuel : ndarray
        Fuel over the mean's amount that gives every cylinder the mean's lambda [%]; NaN where
        there is no answer.
    spark : ndarray
        By how much earlier half may burn than in the worst cylinder with equal fuel [deg].
    """

    rpm: Array
    fuel: Array
    spark: Array


@dataclass(frozen=True, eq=False)
class CalibrationTables:
    """What a calibration is when it is handed over: tables, trims and where cells come from.

    Attributes
    ----------
    name : str
        What was calibrated.
    tables : mapping
        Tables by name, all over the same axes.
    reference_temperature : float
        Plenum temperature that the tables hold at [K].
    trims : mapping
        ``temperature`` [K], and ``volumetric_efficiency`` and ``fuel`` as factors on the tables
        [dimensionless], rows over temperature, columns over the engine speeds of the tables.
    provenance : sequence of sequence of str
        Where every cell comes from, rows over pressure.
    notes : sequence of str
        What to know before it is used.
    fingerprint : str
        That of the build.
    cylinders : mapping
        Trims by cylinder of every level whose cylinders are told apart.
    """

    name: str
    tables: Mapping[str, CalibrationTable]
    reference_temperature: float
    trims: Mapping[str, Array]
    provenance: list[list[str]]
    notes: list[str]
    fingerprint: str = ""
    cylinders: Mapping[str, CylinderTrims] = field(default_factory=dict)

    def __getitem__(self, name: str) -> CalibrationTable:
        if name not in self.tables:
            rule = "be one of " + ", ".join(self.tables)
            raise refusal(self.name, "table", quoted(name), rule)
        return self.tables[name]

    @property
    def rpm(self) -> Array:
        """Engine speeds of the tables [rpm]."""
        return next(iter(self.tables.values())).rpm

    @property
    def pressure(self) -> Array:
        """Absolute plenum pressures of the tables [Pa]."""
        return next(iter(self.tables.values())).pressure
