"""Reading a build file with its plan, so that what is amiss in either is told at once."""

from __future__ import annotations

import os

from ..base.errors import InputError, all_of
from ..buildfile.source import Source
from ..buildfile.toml_lines import read_toml
from ..chain.build import Build
from ..typed.section import Section
from . import keys
from .reading import read_plan

__all__ = ["load"]


def load(path: str | os.PathLike[str]) -> Build:
    """Read a build file: a text that describes the engine and what feeds it.

    Every value stands in it with its unit. All that is wrong is told at once. ``airchain keys``
    prints every key that may stand in a file, and `airchain.sketch` writes a first one.

    Parameters
    ----------
    path : str or path
        The file. A map that it names is found relative to it.

    Returns
    -------
    Build
        The build with its drive as ``[drive]`` has it; ``build.level(name)`` returns it with the
        gears or pulleys of a drive level that the file names.

    Raises
    ------
    InputError
        The file cannot be read, or something in it, its ``[plan]`` included, is missing, unknown
        or out of range; the message has file, line and key.
    """
    source = Source(read_toml(path))
    try:
        build = Build.of(source)
    except InputError as error:
        raise all_of([error, *_of_plan_alone(source)]) from None
    if "plan" in build.source.file.data:
        read_plan(build)
    return build


def _of_plan_alone(source: Source) -> list[InputError]:
    """What a plan's own table has amiss; its parts are judged with a build that stands."""
    place = Source(source.file)
    if "plan" in source.file.data:
        place.attempt(Section, place, ("plan",), keys.PLAN, source.file.data["plan"])
    return place.errors
