"""The columns of a pull as a pandas frame."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.extras import extra
from ..shown.columns import in_display, label

if TYPE_CHECKING:
    from pandas import DataFrame

    from .pull import Pull

__all__ = ["frame_of"]


def frame_of(pull: Pull, system: str | None) -> DataFrame:
    """Return the columns of a pull as a frame along engine speed; see `Pull.to_frame`.

    Parameters
    ----------
    pull : Pull
        The pull.
    system : str or None
        ``"trade"`` or ``"si"`` for display units; None for SI.

    Returns
    -------
    pandas.DataFrame
        One row a point, status in words.
    """
    frame: dict[str, NDArray[np.float64] | list[str]] = {"rpm": pull.rpm, "status": pull.status}
    for name, values in pull.columns.items():
        if name in ("status", "engine_speed"):
            continue
        if system is None or name == "flags":
            frame[name] = values
        else:
            unit = label(name, system)
            frame[f"{name} [{unit}]" if unit else name] = in_display(name, values, system)
    pull_frame: DataFrame = extra("pandas").DataFrame(frame)
    return pull_frame
