"""A draft: the lines of a whole build file for the facts and some values of the guesses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..chain.build import Build
from ..chain.parsing import parse_build
from .driving import Pair, drive_lines
from .engine import engine_lines
from .facts import Facts
from .file_text import file_text
from .lines import GUESSED, TYPED, WORKED_OUT, Line, Writer
from .stage import stage_lines
from .supply import supply_lines
from .system import full_flow, way_lines

_EXACT = 12


def drafted(
    facts: Facts, values: Mapping[str, float], pairs: Mapping[str, Pair], writer: Writer,
    air: float = 0.0, scale: float | None = None,
) -> list[Line]:  # fmt: skip
    """Return every line of the build file.

    With a `scale` the engine has cams, and this is the factor on what their cycle fills.

    `air` is the flow that the fuel system is sized for [kg/s]; that of the drawing board unless
    given.
    """
    lines = [Line(("build", "name"), facts.name, TYPED)]
    note = "A sketch from what was told at the first call. Guesses say so, with their doubt."
    lines.append(Line(("build", "notes"), note, WORKED_OUT, "written with the sketch"))
    if facts.supercharged:
        lines += _compressor(facts, values, writer)
        lines += stage_lines(facts, values, writer)
        lines += drive_lines(facts, values, pairs, writer)
    lines += way_lines(facts, values, writer)
    lines += engine_lines(facts, values, writer, scale)
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


def build_of(lines: Sequence[Line], name: str = "sketch") -> Build:
    """Return the build that lines describe."""
    return parse_build(file_text(lines), name)


def exact(facts: Facts) -> Writer:
    """Return a writer that loses no digits, for what is compared and not read."""
    return Writer(facts.system, _EXACT)
