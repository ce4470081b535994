"""Packages that only some uses need, and what to install when one is missing."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

#: The extra of this package that brings each of them.
EXTRAS = {
    "IPython": "live",
    "anywidget": "live",
    "click": "cli",
    "dask": "cluster",
    "distributed": "cluster",
    "jinja2": "report",
    "jupytext": "notebooks",
    "markupsafe": "report",
    "matplotlib": "plots",
    "pandas": "sweeps",
    "scipy": "sweeps",
    "traitlets": "live",
    "weasyprint": "pdf",
    "xarray": "sweeps",
    "zarr": "stores",
}


def extra(module: str) -> ModuleType:
    """Import a module of an extra.

    Parameters
    ----------
    module : str
        Dotted name of the module.

    Returns
    -------
    module
        The module.

    Raises
    ------
    ModuleNotFoundError
        Its package is not installed; the message has the command that installs it.
    """
    package = module.partition(".")[0]
    try:
        return import_module(module)
    except ModuleNotFoundError as error:
        if error.name is None or error.name.partition(".")[0] != package:
            raise
        text = f'{package} is not installed; pip install "airchain[{EXTRAS[package]}]" brings it'
        raise ModuleNotFoundError(text, name=package) from None
