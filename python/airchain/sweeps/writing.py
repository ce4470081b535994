"""A sweep as a file."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import numpy as np

from ..base.extras import extra
from ..base.text_file import checked_target, write_text, write_with
from ..shown import statuses

if TYPE_CHECKING:
    from xarray import Dataset

__all__ = ["write_dataset"]


def write_dataset(dataset: Dataset, path: str | os.PathLike[str]) -> None:
    """Write a sweep to a file in one step, as comma-separated text or netCDF by its name.

    Parameters
    ----------
    dataset : xarray.Dataset
        The sweep.
    path : str or path
        The file, ending in ``.csv`` (SI, statuses by name) or ``.nc``.

    Raises
    ------
    InputError
        The name ends otherwise, or the file cannot be written; what was there is untouched.
    """
    target = checked_target(path, ".csv", ".nc")
    if target.suffix.lower() == ".csv":
        frame = dataset.to_dataframe().reset_index()
        names = np.array(statuses.status_names())
        frame["status"] = names[frame["status"].to_numpy()]
        write_text(target, frame.to_csv(index=False, lineterminator="\n"))
        return
    extra("scipy.io")
    write_with(target, lambda beside: dataset.to_netcdf(beside, engine="scipy"))
