"""Measured pulls that a command is given as LEVEL=LOG."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from .log_options import read_log
from .options import say_notes

if TYPE_CHECKING:
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
    if inertia is None:
        return list(readings.pulls)
    drive = (build.level(level) if level else build).chain.drive
    rotor = f"{float(drive.inertia)!r} kg m^2"
    return [pull.steady(inertia, rotor, float(drive.speed_ratio)) for pull in readings.pulls]
