"""The footing that torque and power stand on: as observed, or corrected by a standard."""

from __future__ import annotations

from .. import _core
from ..base.errors import quoted, refusal

OBSERVED = "observed"


def bases() -> list[str]:
    """Return every power basis that is known."""
    return [OBSERVED, *_core.power_standards()]


def checked_basis(basis: str, where: str) -> str:
    """Return a power basis, or refuse one that is none."""
    if basis not in bases():
        rule = "be one of " + ", ".join(bases())
        raise refusal(where, "power_basis", quoted(basis), rule)
    return basis
