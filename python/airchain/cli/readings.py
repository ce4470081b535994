"""Measured pulls that a command is given as LEVEL=LOG."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from .log_options import read_log
from .options import say_notes

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from ..chain.build import Build
    from ..measured.measured import MeasuredPull


def pulls_by_level(
    build: Build, logs: Iterable[str], inertia: str | None
) -> dict[str, list[MeasuredPull]]:
    """Return the pulls of several logs by the level that each was run at."""
    pulls: dict[str, list[MeasuredPull]] = {}
    for text in logs:
        level, log = level_and_log(build, text)
        pulls.setdefault(level, []).extend(pulls_of_log(build, level, log, inertia))
    return pulls


def level_and_log(build: Build, text: str) -> tuple[str, str]:
    """Return level and file of LEVEL=LOG; the level is empty where none is typed."""
    level, equals, log = text.partition("=")
    return (level, log) if equals and level in build.levels else ("", text)


def pulls_of_log(build: Build, level: str, log: str, inertia: str | None) -> list[MeasuredPull]:
    """Return the pulls of a log, made steady where an inertia is given."""
    readings = read_log(log)
    say_notes(readings.all_findings)
    return _steady(build, level, readings.pulls, inertia)


def pull_by_cylinder(
    build: Build, level: str, log: str, inertia: str | None
) -> tuple[MeasuredPull, dict[str, NDArray[np.float64]]]:
    """Return the first pull of a log, and what was read behind each cylinder in it."""
    readings = read_log(log)
    say_notes(readings.all_findings)
    first = readings.pulls[0]
    return _steady(build, level, [first], inertia)[0], readings.by_cylinder(first)


def _steady(
    build: Build, level: str, pulls: Iterable[MeasuredPull], inertia: str | None
) -> list[MeasuredPull]:
    """Return pulls with their torque made steady where an inertia is given."""
    if inertia is None:
        return list(pulls)
    drive = (build.level(level) if level else build).chain.drive
    rotor = f"{float(drive.inertia)!r} kg m^2"
    return [pull.steady(inertia, rotor, float(drive.speed_ratio)) for pull in pulls]
