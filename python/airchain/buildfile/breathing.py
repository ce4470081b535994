"""Volumetric efficiency as a build file types it."""

from __future__ import annotations

from .. import _core
from ..typed.section import Section
from .keys import BREATHING


def typed_breathing(parent: Section) -> _core.Breathing:
    """Volumetric efficiency as it was typed."""
    typed = parent.sub("volumetric_efficiency", BREATHING)
    return typed.make(_core.Breathing, table=table_of(typed), **typed.fields(_core.Breathing))


def table_of(typed: Section) -> _core.BreathingTable:
    """A table over ``rpm`` and ``pressure_ratio``, one row of ``values`` for each ratio."""
    typed.need("rpm", "values")
    speeds = typed.numbers("rpm")
    if typed.has("pressure_ratio"):
        ratios, rows = typed.numbers("pressure_ratio"), typed.rows("values")
    else:
        ratios, rows = [1.0], [typed.numbers("values")]
    if len(rows) != len(ratios) or len(rows[0]) != len(speeds):
        wanted = f"({len(ratios)}), with one value for each rpm ({len(speeds)})"
        hint = f"it has {len(rows)}, with {len(rows[0])}"
        typed.refuse("values", f"have one row for each pressure_ratio {wanted}", hint)
    by_speed = [list(row) for row in zip(*rows, strict=True)]
    return typed.make(_core.breathing_table, speeds, ratios, by_speed)
