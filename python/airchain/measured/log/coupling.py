"""Whether the speed of a log is the engine's: a dyno behind a gearbox turns at another."""

from __future__ import annotations

import re

from ...base.errors import InputError, quoted, refusal
from ..finding import Finding
from .choose import Choice
from .mapping import LogMapping
from .table import Table
from .word_list import plain

#: Speeds that are the engine's only where nothing lies between.
_OF_DYNO = re.compile(
    r"\b(?:dyno|dynamometer|brake|absorber|bremse|bremsen\w*|banc|banco|freno|frein|output shaft"
    r"|prop ?shaft|drive ?shaft|retarder)\b"
)
_GEARED = re.compile(
    r"\b(?:gearbox|ratio|gear(?:ing)?|getriebe|ubersetzung|rapport|rapporto|relacion|overdrive"
    r"|reduction|step.?up|utvaxling|overbrenging)\b"
)
_ENGINE = re.compile(r"\b(?:engine|motor|crank\w*|moteur|motore)\b")
_COMPRESSION = re.compile(
    r"compression|verdichtung|pressure ratio|air.?fuel|stoich|drive ratio|rotor"
)


def geared(
    table: Table, choice: Choice, given: LogMapping, where: str
) -> tuple[list[InputError], list[Finding]]:
    """Return a question or a finding where a dyno's own speed stands for the engine's."""
    if "engine_speed" in given.columns or "engine_speed" not in choice.columns:
        return [], []
    heading = choice.headings[choice.columns["engine_speed"][0]].text
    words = re.sub(r"[\W_]+", " ", plain(heading))
    if not _OF_DYNO.search(words) or _ENGINE.search(words):
        return [], []
    ratio = next(
        (n for n in table.notes if _GEARED.search(plain(n[1])) and not _COMPRESSION.search(n[1])),
        None,
    )
    if ratio is None:
        said = f"{quoted(heading)} is the engine's speed only where nothing is geared between"
        return [], [Finding("engine speed", said)]
    hint = (
        f"line {ratio[0]} speaks of a gear ratio, {quoted(ratio[1].strip())}; torque, power and "
        f"speed must be those of the crank; set columns.engine_speed.column = {quoted(heading)} "
        "where they are"
    )
    rule = "be the speed of the crank"
    return [refusal(where, "columns.engine_speed.column", quoted(heading), rule, hint)], []
