"""Reading a build file: one TOML document that describes an engine and its supercharger.

Every value is typed with its unit (``"427 in^3"``, ``"95 degF"``); nothing is guessed. Anything
missing, unknown or out of range is refused with file, line and key before a station is built.
"""

from __future__ import annotations

import os

from ..buildfile.source import Source
from ..buildfile.toml_lines import parse_toml, read_toml
from .build import Build

__all__ = ["Build", "load", "parse_build"]


def load(path: str | os.PathLike[str]) -> Build:
    """Read a build file.

    Parameters
    ----------
    path : str or path
        The file; a map it names is found relative to it.

    Returns
    -------
    Build
        The build, as its ``[drive]`` stands; ``build.level(name)`` fits another step.

    Raises
    ------
    InputError
        The file cannot be read, or something in it is missing, unknown or out of range; the
        message has file, line and key.
    """
    return Build.of(Source(read_toml(path)))


def parse_build(text: str, name: str = "build") -> Build:
    """Read a build from text.

    Parameters
    ----------
    text : str
        The document.
    name : str
        What stands for the file in refusals; a map is found relative to its folder.

    Returns
    -------
    Build
        The build.
    """
    return Build.of(Source(parse_toml(text, name)))
