"""The figure that every plot returns; importing it imports matplotlib."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from ..base.extras import extra

if TYPE_CHECKING:
    from matplotlib.figure import Figure
else:
    Figure = extra("matplotlib.figure").Figure


class NotebookFigure(Figure):
    """A figure that a notebook shows as a picture without pyplot or a magic command."""

    def _repr_png_(self) -> bytes:
        buffer = BytesIO()
        self.savefig(buffer, format="png", dpi=100)
        return buffer.getvalue()
