"""A change for what tries many engines: whole engines are not solved for each of them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from .. import _core
from ..buildfile.assemble import Parts
from .changes import Change

__all__ = ["CylindersHeld"]

_CAUTION = (
    "How much more all cylinders fill than one is held as it was before cam, pipe, compression or "
    "fuel were changed, so a change counts by what it does to the one. Knock is told for the mean "
    "cycle of one cylinder."
)


@dataclass(frozen=True)
class CylindersHeld(Change):
    """All cylinders fill more than the one that stands for them as another build's do.

    Attributes
    ----------
    table : BreathingTable
        Mean charge of all cylinders over that of the one, as a `Breathing` takes it.
    """

    table: _core.BreathingTable

    kind = "cylinders_held"
    rank = 0
    replaces = ("cylinders_held",)

    def _on(self, parts: Parts) -> Parts:
        if parts.cylinder is None:  # what is typed is of all cylinders
            return parts
        chain = parts.chain.replace(breathing=parts.chain.breathing.replace(together=self.table))
        return replace(parts, chain=chain, cautions=(*parts.cautions, _CAUTION))
