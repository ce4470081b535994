"""The dataset of a sweep, which shows itself in trade units with statuses and flags in words.

To be imported only where xarray is there.
"""

from __future__ import annotations

import numpy as np
from xarray import Dataset

from .sweep_pictures import add_tools
from .sweep_table import SweepTable

__all__ = ["Swept", "swept"]

#: Rows of what a notebook shows.
_ROWS = 10
#: Points beyond which statuses are not counted only to show a sweep: they may have to be read.
_MOST_COUNTED = 1_000_000
_CODES = ("status", "flags")
_HINT = "grid.airchain.table(most=...) has more rows."


class Swept(Dataset):
    """A dataset like any other; as a sweep's, or a part of one, its table comes first.

    What is computed from it, such as a mean or a sum, is shown as any dataset is: statuses and
    flags mean nothing there.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        plain = super().__repr__()
        table = self._table()
        return plain if table is None else f"{table!r}\n\n{_HINT} In SI:\n\n{plain}"

    def _repr_html_(self) -> str:
        plain = super()._repr_html_()
        table = self._table()
        if table is None:
            return plain
        folded = f"<details><summary>All of it, in SI. {_HINT}</summary>{plain}</details>"
        return f"{table._repr_html_()}{folded}"

    def _table(self) -> SweepTable | None:
        """The first points in words; None for what is no sweep, no part of one, or very large."""
        # How codes are to be written goes along with a part that is selected, not with what is
        # computed from them.
        codes = [self[name] for name in _CODES if name in self]
        if len(codes) < len(_CODES) or self.sizes != codes[0].sizes:
            return None
        kept = all(c.dtype.kind == "i" and c.encoding.get("dtype") == c.dtype for c in codes)
        plain_axes = all(index.nlevels == 1 for index in self.indexes.values())
        few = 0 < codes[0].size <= _MOST_COUNTED
        return SweepTable(self, _ROWS) if kept and plain_axes and few else None


def swept(dataset: Dataset) -> Swept:
    """Return a sweep's dataset as one that shows itself in words.

    Parameters
    ----------
    dataset : xarray.Dataset
        The sweep.

    Returns
    -------
    Swept
        The same numbers and words.
    """
    add_tools()
    shown = Swept(dataset.data_vars, dataset.coords, dataset.attrs)
    for name in _CODES:
        shown[name].encoding["dtype"] = np.dtype(shown[name].dtype)
    return shown
