"""On which drive level a pull was run, where nobody said so.

A level is never assumed. Rotor speed settles it where it holds one ratio to engine speed at all
speeds, and that of one level alone. Boost does not: a leak, a slipping belt or a choked filter
reads like the next smaller level.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ..base.errors import refusal
from .measured import MeasuredPull

if TYPE_CHECKING:
    from ..chain.build import Build

#: A measured ratio is a level's within the first share, and no other's within the second; rows
#: spread about it by less than the third (common practice, no source: a tooth count is exact, and
#: a belt that slips slips more at the top).
_SAME, _OTHER, _SPREAD = 0.01, 0.03, 0.005
_FEWEST = 5


def level_of_pull(build: Build, level: str, pull: MeasuredPull | None, where: str, such: str
                  ) -> tuple[str, str]:  # fmt: skip
    """Return the level that is meant, and what is to be said of how that was settled.

    Parameters
    ----------
    build : Build
        The build, on a level or with the drive as its file has it.
    level : str
        The level that was named; empty where none was.
    pull : MeasuredPull or None
        The pull, whose rotor speed may tell; None for one that was not yet run.
    where : str
        Who asks.
    such : str
        How a level is named there, with ``{}`` for its name.

    Returns
    -------
    tuple of str
        The level, empty for the build as it stands, and a sentence; empty where there is none.

    Raises
    ------
    InputError
        The build has several levels, none was named, and rotor speed does not settle it.
    """
    named = level or build.level_name
    if pull is not None and not isinstance(pull, MeasuredPull):
        return named, ""  # refused by whoever makes pulls ready
    if named:
        return named, "" if pull is None else contradiction(build, named, pull)
    if len(build.levels) < 2:
        return "", _only_one(build)
    told = "" if pull is None else _level_of_rotor(build, pull)
    if told and pull is not None:
        return told, (f"{pull.name}: nobody named the drive level. Its rotor speed over engine "
                      f"speed is that of {told}, so {told} is taken.")  # fmt: skip
    names = ", ".join(build.levels)
    rule = f"be named where a build has several levels: {names}"
    raise refusal(where, "level", "none named", rule, such.format(next(iter(build.levels))))


def ratio_read(pull: MeasuredPull) -> tuple[float, float]:
    """Return the median ratio of rotor speed to engine speed and its spread; NaN without one."""
    if "rotor_speed" not in pull.columns:
        return float("nan"), float("nan")
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratios = pull["rotor_speed"] / pull["engine_speed"]
    ratios = ratios[np.isfinite(ratios)]
    if ratios.size < _FEWEST:
        return float("nan"), float("nan")
    middle = float(np.median(ratios))
    low, high = np.percentile(ratios, [5.0, 95.0])
    return middle, float((high - low) / (2.0 * abs(middle) + 1e-12))


def _level_of_rotor(build: Build, pull: MeasuredPull) -> str:
    """Return the one level whose ratio the rotor holds; empty where none or several do."""
    ratio, spread = ratio_read(pull)
    if not spread < _SPREAD:
        return ""
    off = {name: abs(ratio / float(one.drive.speed_ratio) - 1.0)
           for name, one in build.levels.items()}  # fmt: skip
    same = [name for name, share in off.items() if share < _SAME]
    near = [name for name, share in off.items() if share < _OTHER]
    return same[0] if len(same) == 1 and len(near) == 1 else ""


def contradiction(build: Build, named: str, pull: MeasuredPull) -> str:
    """Return a sentence where the rotor turns as on another level than the one named.

    Parameters
    ----------
    build : Build
        The build; on the drive that is meant where no level is named.
    named : str
        The level; empty for the build as it stands.
    pull : MeasuredPull
        The pull.

    Returns
    -------
    str
        A sentence; empty where nothing contradicts.
    """
    told = _level_of_rotor(build, pull)
    if not told or told == named:
        return ""
    drive = build.levels[named].drive if named in build.levels else build.chain.drive
    if abs(ratio_read(pull)[0] / float(drive.speed_ratio) - 1.0) < _OTHER:
        return ""
    return (f"{pull.name}: its rotor speed over engine speed is that of {told}, not that of "
            f"{named or 'the drive as built'}. Look which step was fitted before you use "
            "this.")  # fmt: skip


def _only_one(build: Build) -> str:
    """Return a sentence where a build's one level is another drive than the file's own."""
    for name, one in build.levels.items():
        if abs(one.drive.speed_ratio / build.chain.drive.speed_ratio - 1.0) > 1e-6:
            return (f"Nobody named the drive level, so the drive as the file has it is taken, not "
                    f"{name}.")  # fmt: skip
    return ""
