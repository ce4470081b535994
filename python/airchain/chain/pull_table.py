"""A pull as a table: a row an engine speed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..shown import statuses
from ..shown.columns import heading, label
from ..shown.tables import Table

if TYPE_CHECKING:
    from .pull import Pull

__all__ = ["table_of"]

_OF_COMPRESSOR = ("drive_power", "isentropic_efficiency", "surge_margin", "speed_margin")


def table_of(pull: Pull, columns: Sequence[str], system: str) -> Table:
    """Return columns of a pull as a table; those that it does not know are left out.

    Parameters
    ----------
    pull : Pull
        The pull.
    columns : sequence of str
        Names of columns in their order.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Table
        A row a point, its status in words.
    """
    left_out = set() if pull.supercharged else set(_OF_COMPRESSOR)
    if not pull.knock.known:
        left_out.add("knock_margin")
    names = [name for name in columns if name not in left_out]
    rows = [
        [f"{rpm:.0f}", *(pull.shown(n, i, system) for n in names), statuses.words(status)]
        for i, (rpm, status) in enumerate(zip(pull.rpm, pull.status, strict=True))
    ]
    headings = [heading("engine_speed"), *(heading(n) for n in names), "status"]
    return Table(headings, ["rpm", *(label(n, system) for n in names), ""], rows)
