"""Measured pulls that a command is given as LEVEL=LOG."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from ..base.errors import quoted, refusal
from .log_options import read_log
from .options import say_notes

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from ..chain.build import Build
    from ..measured.log.pull_log import PullLog
    from ..measured.measured import MeasuredPull

#: How a level is named after ``--pull`` and by an option of its own.
BY_LOG, BY_OPTION = "such as --pull {0}=LOG", "such as --level {0}"


def pulls_by_level(
    build: Build, logs: Iterable[str], inertia: str | None
) -> dict[str, list[MeasuredPull]]:
    """Return the pulls of several logs by the level that each was run at."""
    pulls: dict[str, list[MeasuredPull]] = {}
    for text in logs:
        level, log = level_and_log(build, text)
        for run_at, pull in _on_levels(build, level, _read(log).pulls, inertia, BY_LOG):
            pulls.setdefault(run_at, []).append(pull)
    return pulls


def level_and_log(build: Build, text: str) -> tuple[str, str]:
    """Return level and file of LEVEL=LOG; the level is empty where none is typed."""
    level, equals, log = text.partition("=")
    if not equals or level in build.levels:
        return (level, log) if equals else ("", text)
    if not Path(text).exists():
        hint = f"one of {', '.join(build.levels)}" if build.levels else "the build has no levels"
        raise refusal("--pull", "level", quoted(level), "be a level of the build", hint)
    return "", text


def pull_of_log(build: Build, level: str, log: str, inertia: str | None,
                such: str) -> tuple[str, MeasuredPull]:  # fmt: skip
    """Return the level and the first pull of a log, made steady where an inertia is given."""
    return _on_levels(build, level, _read(log).pulls[:1], inertia, such)[0]


def pull_by_cylinder(
    build: Build, level: str, log: str, inertia: str | None
) -> tuple[str, MeasuredPull, dict[str, NDArray[np.float64]]]:
    """Return level and first pull of a log, and what was read behind each cylinder in it."""
    readings = _read(log)
    first = readings.pulls[0]
    run_at, pull = _on_levels(build, level, [first], inertia, BY_OPTION)[0]
    return run_at, pull, readings.by_cylinder(first)


def _read(log: str) -> PullLog:
    readings = read_log(log)
    say_notes(readings.all_findings)
    return readings


def _on_levels(build: Build, level: str, pulls: Iterable[MeasuredPull], inertia: str | None,
               such: str) -> list[tuple[str, MeasuredPull]]:  # fmt: skip
    """Return each pull with its level, its torque made steady where an inertia is given."""
    from ..measured import which_level

    found = []
    for pull in pulls:
        run_at, words = which_level.level_of_pull(build, level, pull, pull.name, such)
        say_notes([words] if words else [])
        found.append((run_at, _steady(build, run_at, pull, inertia)))
    return found


def _steady(build: Build, level: str, pull: MeasuredPull, inertia: str | None) -> MeasuredPull:
    if inertia is None:
        return pull
    drive = (build.level(level) if level else build).chain.drive
    rotor = f"{float(drive.inertia)!r} kg m^2"
    return pull.steady(inertia, rotor, float(drive.speed_ratio))
