"""Reading and writing of compressor map files.

A map file is comma-separated text: a preamble of ``# key = value`` lines, a header row naming four
columns with their units, then one row a point, the speed lines in order. Flow and speed are
corrected to the reference state the preamble must give. Whether lines cross, fall or repeat is
judged when the map is built, not here.
"""

from __future__ import annotations

import os

from ..base.errors import quoted, refusal
from ..base.text_file import read_text, write_text
from ..units.convert import from_si
from .map_format import KEYS, QUANTITIES, MapFile, SpeedLine
from .map_reader import MapReader

__all__ = ["MapFile", "SpeedLine", "parse_map", "read_map", "write_map"]


def read_map(path: str | os.PathLike[str]) -> MapFile:
    """Read a compressor map file.

    Parameters
    ----------
    path : str or path
        The file.

    Returns
    -------
    MapFile
        The map, in SI.

    Raises
    ------
    InputError
        The file cannot be read, a key or column is missing, unknown or doubled, or a cell is no
        finite number; the message has file, line and column.
    """
    return parse_map(read_text(path, "a compressor map in CSV"), os.fspath(path))


def parse_map(text: str, name: str = "map") -> MapFile:
    """Parse the text of a map file.

    Parameters
    ----------
    text : str
        The text.
    name : str
        What stands for the file in refusals.

    Returns
    -------
    MapFile
        The map, in SI.
    """
    return MapReader(name).read(text)


def write_map(path: str | os.PathLike[str], compressor_map: MapFile) -> None:
    """Write a map file in one step, so that no half-written file is ever seen.

    Numbers are written to twelve figures in the map's own units.

    Parameters
    ----------
    path : str or path
        The file; one that is there is replaced.
    compressor_map : MapFile
        The map.

    Raises
    ------
    InputError
        The map holds something its file could not give back, or the file cannot be written.
    """
    name = compressor_map.name
    for line in compressor_map.lines:
        if not len(line.flow) == len(line.pressure_ratio) == len(line.efficiency):
            counts = f"{len(line.flow)}, {len(line.pressure_ratio)} and {len(line.efficiency)}"
            rule = "have as many flows as pressure ratios and efficiencies"
            raise refusal(f"map {quoted(name)}", "speed line points", counts, rule)
    text = _text(compressor_map)
    # What is written must be readable: the reader is the one judge of the format.
    back = parse_map(text, f"map {quoted(name)}")
    if _plain(back) != _plain(compressor_map):
        rule = "come back the same from its file"
        hint = "name, origin and notes are one line each, notes without '='; speeds differ"
        raise refusal("write_map", "map", quoted(name), rule, hint)
    write_text(path, text)


def _text(compressor_map: MapFile) -> str:
    """Return the text of a map file."""
    rows = []
    for key in KEYS:
        value = getattr(compressor_map, key)
        if value is None:
            continue
        if key in QUANTITIES:
            kind, unit = QUANTITIES[key]
            value = f"{from_si(value, unit, kind):.12g} {unit}"
        rows.append(f"# {key} = {value}")
    rows += [f"# {note}" for note in compressor_map.notes]
    speed_unit, flow_unit = compressor_map.speed_unit, compressor_map.flow_unit
    rows.append(f"speed [{speed_unit}], flow [{flow_unit}], pressure_ratio, efficiency")
    for line in compressor_map.lines:
        speed = from_si(line.speed, speed_unit, "speed")
        points = zip(line.flow, line.pressure_ratio, line.efficiency, strict=True)
        for flow, pressure_ratio, efficiency in points:
            cells = (speed, from_si(flow, flow_unit, "mass_flow"), pressure_ratio, efficiency)
            rows.append(", ".join(f"{cell:.12g}" for cell in cells))
    return "\n".join(rows) + "\n"


def _plain(compressor_map: MapFile) -> tuple[str, str, tuple[str, ...], tuple[int, ...]]:
    """Return what a file must give back to the letter; figures may lose their last digits."""
    counts = tuple(len(line.flow) for line in compressor_map.lines)
    return compressor_map.name, compressor_map.origin, compressor_map.notes, counts
