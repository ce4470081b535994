"""A draft: the lines of a whole build file for the facts and some values of the guesses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..buildfile.keys import OF_COMPRESSOR
from ..buildfile.source import Source
from ..buildfile.toml_lines import TomlFile
from ..chain.build import Build
from ..chain.parsing import parse_build
from ..typed.place import KeyPath, Typed
from .driving import Pair, drive_lines
from .engine import engine_lines
from .facts import Facts
from .file_text import file_text
from .lines import GUESSED, TYPED, WORKED_OUT, Line, Value, Writer
from .stage import stage_lines
from .supply import supply_lines
from .system import full_flow, way_lines

_EXACT = 12
Row = tuple[KeyPath, Value]


def drafted(
    facts: Facts, values: Mapping[str, float], pairs: Mapping[str, Pair], writer: Writer,
    air: float | None = None, scale: float | None = None, blower: bool = True,
) -> list[Line]:  # fmt: skip
    """Return every line of the build file.

    With a `scale` the engine has cams, and this is the factor on what their cycle fills.

    `air` is the flow that the fuel system is sized for [kg/s], 0 for that of the drawing board.
    Without it there is none; it moves neither boost nor power. Without `blower` there is neither
    compressor nor drive nor cooler.
    """
    lines = [Line(("build", "name"), facts.name, TYPED)]
    note = "A sketch from what was told at the first call. Guesses say so, with their doubt."
    lines.append(Line(("build", "notes"), note, WORKED_OUT, "written with the sketch"))
    if facts.supercharged and blower:
        lines += _compressor(facts, values, writer)
        lines += stage_lines(facts, values, writer)
        lines += drive_lines(facts, values, pairs, writer)
    lines += way_lines(facts, values, writer)
    lines += engine_lines(facts, values, writer, scale)
    if not blower:
        lines = [line for line in lines if line.path[0] not in OF_COMPRESSOR]
    if air is not None:
        lines += supply_lines(facts, air or full_flow(facts), writer)
    return lines


def _compressor(facts: Facts, values: Mapping[str, float], writer: Writer) -> list[Line]:
    table = ("compressor",)
    scales = [
        Line((*table, name), writer.plain(values[name]), GUESSED, "", name)
        for name in ("head_scale", "flow_scale", "efficiency_scale")
    ]
    drag = writer.text(max(values["drag"], 0.0), "torque")
    return [
        Line((*table, "rotor_speed_limit"), facts.typed["rotor_speed_limit"], TYPED),
        *scales,
        Line((*table, "drag_torque"), drag, GUESSED, "", "drag"),
    ]


def build_of(lines: Sequence[Line], name: str) -> Build:
    """Return the build that the text of these lines describes."""
    return parse_build(file_text(lines), name)


def draft_of(lines: Sequence[Line]) -> Build:
    """Return the same without its text, in a third of the time."""
    tables = {head: _grouped(rows) for head, rows in _by_head([(x.path, x.value) for x in lines])}
    return Build.of(Source(TomlFile("sketch", tables, {})))


def _by_head(rows: Sequence[Row]) -> list[tuple[str, list[Row]]]:
    """Rows by the first part of their paths, which is taken off."""
    groups: dict[str, list[Row]] = {}
    for (head, *rest), value in rows:
        groups.setdefault(str(head), []).append((tuple(rest), value))
    return [*groups.items()]


def _grouped(rows: Sequence[Row]) -> Typed:
    """The value of one path, a table, or a list of tables."""
    path, value = rows[0]
    if not path:
        return list(value) if isinstance(value, tuple) else value
    groups = {head: _grouped(within) for head, within in _by_head(rows)}
    return [*groups.values()] if isinstance(path[0], int) else groups


def exact(facts: Facts) -> Writer:
    """Return a writer that loses no digits, for what is compared and not read."""
    return Writer(facts.system, _EXACT)
