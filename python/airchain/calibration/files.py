"""Calibrations as files: a folder of CSV tables, and one JSON with everything."""

from __future__ import annotations

import csv
import io
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import TypedDict

import numpy as np

from ..base.errors import InputError, quoted, refusal
from ..base.text_file import read_text, write_folder
from ..units.convert import from_si
from .cylinder_files import cylinders_csv, cylinders_json, read_cylinders
from .tables import FORMS, CalibrationTable, CalibrationTables, axis_texts, grid_csv

__all__ = ["read_calibration", "read_table", "write_calibration"]

FORMAT = "airchain calibration 2"
_FAMILY = "airchain calibration "
#: Trims for charge temperature, and what each is a factor on.
TRIMS = {"volumetric_efficiency": "factor on volumetric efficiency", "fuel": "factor on fuel"}
_JSON = "calibration.json"
#: How the names of a calibration's other files begin, those of earlier layouts too.
_OURS = (
    *FORMS,
    "provenance",
    "temperature_trims",
    "cylinder_trims",
    "coverage",
    "filling",
    "spark",
)
_UNIT_NAMES = {"%": "_percent", "1": "", "deg": "_deg", "mg": "_mg", "ms": "_ms"}


def csv_name(table: str) -> str:
    """Return the name of a table's CSV file; its unit is in it."""
    form = FORMS[table]
    return f"{table}{form.ending or _UNIT_NAMES[form.unit]}.csv"


def write_calibration(
    data: CalibrationTables,
    folder: str | os.PathLike[str],
    pictures: Mapping[str, bytes] | None = None,
) -> list[Path]:
    """Write a calibration: a CSV file for each table, and everything in ``calibration.json``.

    Speeds stand across in rpm, absolute plenum pressures down in kPa. Trims by cylinder have a line
    for each level, speed and cylinder. The folder appears whole or
    not at all; one that holds an earlier calibration, and nothing else, is replaced.

    Parameters
    ----------
    data : CalibrationTables
        The calibration.
    folder : str or path
        Where to; made if it is not there.
    pictures : mapping, optional
        PNG files of the calibration to put beside its tables, by their names.

    Returns
    -------
    list of pathlib.Path
        The files.

    Raises
    ------
    InputError
        The folder cannot be written, or holds something else; it is left as it was.
    """
    texts = {csv_name(name): table.csv() for name, table in data.tables.items()}
    texts["provenance.csv"] = grid_csv(data.rpm, data.pressure, data.provenance)
    texts |= {f"temperature_trims_{name}.csv": _trims_csv(data, name) for name in TRIMS}
    if data.cylinders:
        texts["cylinder_trims.csv"] = cylinders_csv(data.cylinders)
    texts[_JSON] = json.dumps(as_json(data), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    return write_folder(folder, {**texts, **(pictures or {})}, _not_ours)


def _not_ours(folder: Path) -> str:
    """Say what keeps a folder from being replaced; empty where it is a calibration's own."""
    names = sorted(one.name for one in folder.iterdir())
    strange = [n for n in names if n != _JSON and not n.startswith(_OURS)]
    if strange:
        return f"it holds {quoted(strange[0])}, which is no file of a calibration"
    try:
        content = json.loads(read_text(folder / _JSON, "a calibration in JSON"))
    except (InputError, ValueError):
        return f"its files are of no calibration: there is no {_JSON} to be read"
    kind = content.get("format") if isinstance(content, Mapping) else None
    ours = isinstance(kind, str) and kind.startswith(_FAMILY)
    return "" if ours else f"its {_JSON} is of another layout"


def as_json(data: CalibrationTables) -> dict[str, object]:
    """Return a calibration as plain values, to the digits that are written.

    Parameters
    ----------
    data : CalibrationTables
        The calibration.

    Returns
    -------
    dict
        What ``calibration.json`` holds.
    """
    across, down = axis_texts(data.rpm, data.pressure)
    return {
        "format": FORMAT,
        "name": data.name,
        "build_fingerprint": data.fingerprint,
        "notes": list(data.notes),
        "engine_speed_rpm": [float(v) for v in across],
        "plenum_pressure_kpa": [float(v) for v in down],
        "plenum_temperature_degc": round(float(from_si(data.reference_temperature, "degC")), 2),
        "tables": {
            name: {
                "unit": table.unit,
                "words": table.words,
                "values": [[float(t) if t else None for t in row] for row in table.texts],
            }
            for name, table in data.tables.items()
        },
        "provenance": data.provenance,
        "trims": {
            "plenum_temperature_degc": [float(t) for t in _celsius(data)],
            **{n: [[float(t) for t in row] for row in _trim_texts(data, n)] for n in TRIMS},
        },
        "cylinder_trims": cylinders_json(data.cylinders),
    }


def _celsius(data: CalibrationTables) -> list[str]:
    return [f"{v:.1f}" for v in from_si(np.asarray(data.trims["temperature"]), "degC")]


def _trim_texts(data: CalibrationTables, name: str) -> list[list[str]]:
    return [[f"{v:.5f}" for v in row] for row in data.trims[name]]


def _trims_csv(data: CalibrationTables, name: str) -> str:
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    across, _ = axis_texts(data.rpm, data.pressure)
    writer.writerow([f"{TRIMS[name]}: plenum temperature [degC] down, engine speed [rpm] across",
                     *across])  # fmt: skip
    rows = zip(_celsius(data), _trim_texts(data, name), strict=True)
    writer.writerows([t, *row] for t, row in rows)
    return target.getvalue()


def read_calibration(path: str | os.PathLike[str]) -> CalibrationTables:
    """Read the tables of a calibration that was written to a folder.

    Parameters
    ----------
    path : str or path
        ``calibration.json``, or the folder it lies in.

    Returns
    -------
    CalibrationTables
        The tables to the printed digits.

    Raises
    ------
    InputError
        The file cannot be read, is no calibration, or a table does not fit its axes.
    """
    file = Path(path)
    file = file / _JSON if file.is_dir() else file
    text = read_text(file, "a calibration in JSON")
    try:
        content: _Written = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise refusal(file.name, "text", quoted(text, limit=30), f"be JSON; {error}") from None
    if not isinstance(content, Mapping) or content.get("format") != FORMAT:
        got = content.get("format") if isinstance(content, Mapping) else content
        raise refusal(file.name, "format", quoted(got), f'be "{FORMAT}"')
    try:
        return _read(content)
    except InputError as error:
        raise InputError(f"{file.name}: {error}") from None
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as error:
        why = f"be complete, its tables numbers; {type(error).__name__}: {error}"
        raise refusal(file.name, "calibration", "...", why) from None


class _WrittenTable(TypedDict):
    """One table of the file."""

    values: list[list[float]]


class _Written(TypedDict):
    """What the file holds; pressures are in kPa and temperatures in degrees Celsius."""

    format: str
    name: str
    build_fingerprint: str
    engine_speed_rpm: list[float]
    plenum_pressure_kpa: list[float]
    plenum_temperature_degc: float
    tables: dict[str, _WrittenTable]
    trims: dict[str, list[float]]
    cylinder_trims: dict[str, dict[str, list[list[float]]]]
    provenance: list[list[str]]
    notes: list[str]


def _read(content: _Written) -> CalibrationTables:
    rpm = np.array(content["engine_speed_rpm"], dtype=float)
    pressure = 1e3 * np.array(content["plenum_pressure_kpa"], dtype=float)
    tables = {
        name: CalibrationTable(name, rpm, pressure, np.array(one["values"], dtype=float))
        for name, one in content["tables"].items()
    }
    if not tables:
        raise refusal("calibration", "tables", "{}", "hold at least one table")
    trims = {n: np.array(v, dtype=float) for n, v in content["trims"].items()}
    temperature = trims.pop("plenum_temperature_degc") + 273.15
    reference = np.array([float(content["plenum_temperature_degc"]) + 273.15])
    for name, kelvin in (("plenum_temperature_degc", reference), ("trims", temperature)):
        if not np.all((kelvin > 0.0) & (kelvin < np.inf)) or kelvin.ndim != 1:
            rule = "be finite temperatures above absolute zero"
            raise refusal("calibration", name, quoted(kelvin.tolist()), rule)
    for name in TRIMS:
        shape = (temperature.size, rpm.size)
        if trims[name].shape != shape or not np.all((trims[name] > 0.0) & (trims[name] < np.inf)):
            rule = f"hold {shape[0]} rows of {shape[1]} factors above 0"
            raise refusal("trims", name, str(trims[name].shape), rule)
    provenance = [[str(cell) for cell in row] for row in content["provenance"]]
    if [len(row) for row in provenance] != [rpm.size] * pressure.size:
        rule = f"hold {pressure.size} rows of {rpm.size}"
        raise refusal("calibration", "provenance", f"{len(provenance)} rows", rule)
    return CalibrationTables(
        str(content["name"]),
        tables,
        float(reference[0]),
        {"temperature": temperature, **trims},
        provenance,
        [str(note) for note in content["notes"]],
        str(content["build_fingerprint"]),
        read_cylinders(content.get("cylinder_trims", {})),
    )


def read_table(path: str | os.PathLike[str], name: str) -> CalibrationTable:
    """Read one table from its CSV file.

    Parameters
    ----------
    path : str or path
        The file.
    name : str
        Which table it is, such as ``"volumetric_efficiency"``.

    Returns
    -------
    CalibrationTable
        The table to the printed digits; NaN where a cell is empty.

    Raises
    ------
    InputError
        The file cannot be read, a cell is no number, or an axis does not rise.
    """
    file = Path(path)
    rows = list(csv.reader(io.StringIO(read_text(file, "a calibration table in CSV"))))
    if len(rows) < 3 or len(rows[0]) < 3:
        rule = "hold a row of speeds, and a row for each of two pressures or more"
        raise refusal(file.name, "table", f"{len(rows)} rows", rule)
    numbers = [[_number(file.name, i, cell, i > 1 and j > 1) for j, cell in enumerate(row, 1)
                if not i == j == 1] for i, row in enumerate(rows, 1)]  # fmt: skip
    for i, row in enumerate(numbers[1:], 2):
        if len(row) != len(numbers[0]) + 1:
            rule = f"have {len(numbers[0]) + 1} cells"
            raise refusal(f"{file.name}:{i}", "row", f"{len(row)} cells", rule)
    pressure = 1e3 * np.array([row[0] for row in numbers[1:]])
    values = np.array([row[1:] for row in numbers[1:]])
    try:
        return CalibrationTable(name, np.array(numbers[0]), pressure, values)
    except InputError as error:
        raise InputError(f"{file.name}: {error}") from None


def _number(file: str, line: int, text: str, may_be_empty: bool) -> float:
    if not text.strip() and may_be_empty:
        return float("nan")
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not np.isfinite(value):
        raise refusal(f"{file}:{line}", "cell", quoted(text), "be a number")
    return value
