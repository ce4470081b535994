"""The footing that torque and power stand on: as observed, or corrected by a standard."""

from __future__ import annotations

from .. import _core
from ..base.errors import quoted, refusal

OBSERVED = "observed"


def bases() -> list[str]:
    """Return every power basis that is known."""
    return [OBSERVED, *_core.power_standards()]


def standard_words(standard: str) -> str:
    """Return a power standard as a dyno sheet has it: ``"SAE J1349"``, ``"the older standard"``."""
    name = _core.power_standards()[standard][0].partition(":")[0].partition(",")[0]
    return name if name[0].isupper() else f"the {name}"


def basis_words(basis: str) -> str:
    """Return a power basis in words: ``"observed"``, ``"by SAE J1349"``."""
    return OBSERVED if basis == OBSERVED else f"by {standard_words(basis)}"


def checked_basis(basis: str, where: str) -> str:
    """Return a power basis, or refuse one that is none."""
    if basis not in bases():
        rule = "be one of " + ", ".join(bases())
        raise refusal(where, "power_basis", quoted(basis), rule)
    return basis
