"""Units as print has them: °F and in³, where a terminal and a build file have degF and in^3."""

from __future__ import annotations

import re

__all__ = ["printed_units"]

_DEGREES = re.compile(r"\bdeg([FC])\b")
_POWER = re.compile(r"(?<=[a-z])\^([23])(?![0-9])")
_RAISED = {"2": "²", "3": "³"}


def printed_units(text: str) -> str:
    """Return a text with its units as print has them.

    Parameters
    ----------
    text : str
        Any text, HTML too.

    Returns
    -------
    str
        The same, with ``°F`` for ``degF`` and ``in³`` for ``in^3``.
    """
    degrees = _DEGREES.sub(r"°\1", text)
    return _POWER.sub(lambda found: _RAISED[found[1]], degrees)
