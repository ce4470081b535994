"""The air of a supercharged engine, from the weather to the cylinder, as one chain of stations."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    # The stub of the core names the class as this package's, where its user finds it.
    class InputError(ValueError):
        """An input was refused: ``Where: field = value; must be rule; hint``."""

    from .buildfile import Build, load
    from .levels import Ladder, ladder
    from .plots import plot_pulls, plot_stations, plot_sweep
    from .plots_map import plot_map
    from .pull import Pull
    from .pulls.log import PullLog
    from .pulls.mapping import LogMapping
    from .pulls.measured import MeasuredPull
    from .pulls.reader import guess_mapping, read_pulls
    from .report import write_report
    from .stations import StationTable
    from .sweeping import sweep
else:
    from ._core import InputError

__version__ = "0.1.0"

__all__ = [
    "Build",
    "InputError",
    "Ladder",
    "LogMapping",
    "MeasuredPull",
    "Pull",
    "PullLog",
    "StationTable",
    "__version__",
    "guess_mapping",
    "ladder",
    "load",
    "plot_map",
    "plot_pulls",
    "plot_stations",
    "plot_sweep",
    "read_pulls",
    "sweep",
    "write_report",
]

# Imported at first use, so that `import airchain` stays quick.
_HOME = {
    "Build": "buildfile",
    "Ladder": "levels",
    "LogMapping": "pulls.mapping",
    "MeasuredPull": "pulls.measured",
    "Pull": "pull",
    "PullLog": "pulls.log",
    "StationTable": "stations",
    "guess_mapping": "pulls.reader",
    "ladder": "levels",
    "load": "buildfile",
    "plot_map": "plots_map",
    "plot_pulls": "plots",
    "plot_stations": "plots",
    "plot_sweep": "plots",
    "read_pulls": "pulls.reader",
    "sweep": "sweeping",
    "write_report": "report",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f".{_HOME[name]}", __name__), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})
