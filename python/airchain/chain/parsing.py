"""Reading a build from text: one TOML document that describes an engine and its supercharger.

Every value is typed with its unit (``"427 in^3"``, ``"95 degF"``); nothing is guessed. Anything
missing, unknown or out of range is refused with file, line and key before a station is built.
`airchain.load` reads a file, and its plan with it.
"""

from __future__ import annotations

from ..buildfile.source import Source
from ..buildfile.toml_lines import parse_toml
from .build import Build

__all__ = ["parse_build"]


def parse_build(text: str, name: str = "build") -> Build:
    """Read a build from text. A ``[plan]`` in it is not looked at before a plan is made.

    Parameters
    ----------
    text : str
        The document, as it would stand in a build file.
    name : str
        What stands for the file in refusals. A map is found relative to its folder.

    Returns
    -------
    Build
        The build.

    Raises
    ------
    InputError
        Something in the text is missing, unknown or out of range; the message has line and key.
    """
    return Build.of(Source(parse_toml(text, name)))
