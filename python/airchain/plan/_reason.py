"""Why something cannot be, with its quantities kept as numbers until the reason is read."""

from __future__ import annotations

from typing import NamedTuple

from .limits import with_unit


class Reason(NamedTuple):
    """A sentence with gaps ``{}``, and what goes in each: (value [SI], quantity kind) or a text."""

    template: str
    values: tuple[str | tuple[float, str], ...] = ()

    def text(self, system: str = "trade") -> str:
        """Return the sentence in ``"trade"`` or ``"si"`` units."""
        shown = [v if isinstance(v, str) else with_unit(v[1], v[0], system) for v in self.values]
        return self.template.format(*shown)
