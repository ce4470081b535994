"""Fuels as an owner calls them."""

from __future__ import annotations

__all__ = ["fuel_words"]

#: Every generic fuel of the core by what a legend or a heading has room for.
_WORDS = {
    "gasoline_regular": "regular gasoline",
    "gasoline_premium": "premium gasoline",
    "race_gasoline_leaded": "leaded race gasoline",
    "e85": "E85",
    "ethanol": "ethanol",
    "methanol": "methanol",
}


def fuel_words(name: str) -> str:
    """Return what an owner calls a fuel.

    Parameters
    ----------
    name : str
        The fuel as a build file names it.

    Returns
    -------
    str
        Such as ``"leaded race gasoline"``; the name itself where the fuel is one's own.
    """
    return _WORDS.get(name, name)
