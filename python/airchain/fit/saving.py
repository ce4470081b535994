"""A fit read back from its file."""

from __future__ import annotations

import os

from ..chain.build import Build
from .fit_file import read_parts
from .reconciliation import Reconciliation

__all__ = ["read_fit"]


def read_fit(path: str | os.PathLike[str], build: Build) -> Reconciliation:
    """Read a fit that was saved, so that it need not be made again.

    Parameters
    ----------
    path : str or path
        The file that `Reconciliation.save` wrote.
    build : Build
        The build that was fitted, on any level.

    Returns
    -------
    Reconciliation
        The fit, equal to the one that was saved.

    Raises
    ------
    InputError
        The file is none of this kind, or belongs to another build or an older state of it.
    """
    return Reconciliation.of(*read_parts(path, build))
