"""The look of a level: the same in every picture, whatever else stands in it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from ..shown.plot_style import ASPIRATED, LEVELS, shared_out

if TYPE_CHECKING:
    from .build import Build

__all__ = ["looks_by_name", "looks_of"]

_NO_COMPRESSOR = "naturally aspirated"


def looks_of(builds: Iterable[Build]) -> list[int]:
    """Return the look of each build, that of its level where it stands on one.

    Parameters
    ----------
    builds : iterable of Build
        Builds in the order in which a picture shows them.

    Returns
    -------
    list of int
        For each the number that `airchain.shown.plot_style.look` takes, dimensionless; no two
        alike.
    """
    return shared_out(
        [_wanted(one.level_name if one.supercharged else _NO_COMPRESSOR, one) for one in builds]
    )


def looks_by_name(names: Iterable[str], build: Build) -> list[int]:
    """Return the look of each level by its name.

    Parameters
    ----------
    names : iterable of str
        Names of levels in the order in which a picture shows them.
    build : Build
        The build that has them.

    Returns
    -------
    list of int
        As of `looks_of`, dimensionless.
    """
    return shared_out([_wanted(name, build) for name in names])


def _wanted(name: str, build: Build) -> int | None:
    """The higher the level's drive ratio, the stronger its look; None for what is no level."""
    if name == _NO_COMPRESSOR:
        return ASPIRATED
    ratios = {n: level.drive.drive_ratio * level.drive.step_up for n, level in build.levels.items()}
    place = sorted(ratios, key=lambda n: -ratios[n]).index(name) if name in ratios else len(LEVELS)
    return LEVELS[place] if place < len(LEVELS) else None
