"""Scale and offset of a unit as a log writes it."""

from __future__ import annotations

from ...units.text import UnitRefusedError, factor_of


def factor(unit: str, kind: str) -> tuple[float, float] | None:
    """Return scale and offset of a unit of a kind; None where it is none."""
    try:
        converted = factor_of(unit, kind)
    except UnitRefusedError:
        return None
    return converted.scale, converted.offset
