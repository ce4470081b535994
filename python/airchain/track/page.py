"""The track page: every level on one surface, at full torque and with torque taken back."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from ..base.text_file import checked_target, write_bytes
from ..buildfile.vehicle import Surface, Vehicle
from ..chain.build import Build
from ..chain.pull import Pull
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table, by_note
from ..units.convert import formatted, unit_label
from .managing import Management
from .plots import draw_management, draw_runs, draw_wheel_torque
from .run import Run
from .traction import Traction, spins_to, taken
from .words import CAUTIONS, LEFT_OUT
from .written import as_csv

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["LevelOnTrack", "TrackPage"]

_SIXTY_FEET = 18.288  # m


@dataclass(frozen=True, eq=False)
class LevelOnTrack:
    """One level on the surface.

    Attributes
    ----------
    name : str
        The level.
    pull : Pull
        The engine over the speeds that are needed.
    traction : Traction
        Torque at the wheels in each gear.
    low, high : Run
        At full torque, with the lowest and the highest friction of the surface.
    management : Management
        Torque held at what the tyres take at the lowest friction, and that run.
    """

    name: str
    pull: Pull
    traction: Traction
    low: Run
    high: Run
    management: Management

    @property
    def managed(self) -> Run:
        """The run with torque held at what the tyres take, at the lowest friction."""
        return self.management.run


@dataclass(frozen=True, eq=False, repr=False)
class TrackPage(Shown):
    """Every level of a build on one surface. Made by `airchain.track.track_runs`.

    Attributes
    ----------
    build : Build
        The build; its file has a table ``[vehicle]``.
    surface : Surface
        Where it is run.
    distance : float
        Length of the run [m].
    levels : mapping
        Each level by its name, the naturally aspirated engine first.
    """

    build: Build
    surface: Surface
    distance: float
    levels: Mapping[str, LevelOnTrack]

    def __getitem__(self, name: str) -> LevelOnTrack:
        return self.levels[name]

    @property
    def vehicle(self) -> Vehicle:
        """What is driven."""
        vehicle = self.build.vehicle
        assert vehicle is not None  # no page is made without one
        return vehicle

    @property
    def weakest(self) -> LevelOnTrack:
        """The tame level: of those with a compressor the one with the least power."""
        forced = [one for one in self.levels.values() if one.pull.supercharged]
        return min(forced or list(self.levels.values()), key=_power)

    @property
    def strongest(self) -> LevelOnTrack:
        """The level with the most power."""
        return max(self.levels.values(), key=_power)

    @property
    def verdict(self) -> str:
        """What was run where, and what the strongest level gains over the tame one."""
        friction = f"{self.surface.low:.2f} to {self.surface.high:.2f}"
        text = (f"{self.build.name}: {len(self.levels)} levels over "
                f"{formatted(self.distance, 'distance')} on {self.surface.name}, friction "
                f"{friction}.")  # fmt: skip
        tame, full = self.weakest, self.strongest
        lost = [one.name for one in self.levels.values() if not _all_finished(one)]
        if lost:
            text += f" Not every run of {', '.join(lost)} comes to its end."
        if tame is full or not (tame.managed.finished and full.managed.finished):
            return text
        gain = tame.managed.time - full.managed.time
        return (
            f"{text} With torque held at what the tyres take, {tame.name} needs "
            f"{tame.managed.time:.2f} s and {full.name} {full.managed.time:.2f} s: "
            f"{_gain_words(gain)}."
        )

    @property
    def notes(self) -> list[str]:
        """Why to begin with the tame level, what each run passes, and what is left out."""
        notes = [*self._begin()]
        for one in self.levels.values():
            notes += [run.verdict for run in (one.low,) if not run.finished]
        runs = ((one.name, note) for one in self.levels.values() for note in one.low.notes)
        notes += by_note(runs, len(self.levels))
        notes += [one.management.verdict for one in self.levels.values() if one.managed.finished]
        told = ((one.name, n) for one in self.levels.values() for n in one.management.notes)
        notes += by_note(told, len(self.levels))
        if not self.surface.typed:
            notes.append(f"The friction of {self.surface.name} is common practice, no source.")
        return [*notes, *LEFT_OUT, *CAUTIONS]

    def _begin(self) -> list[str]:
        """What the tame level makes of the surface beside the strongest."""
        tame, full = self.weakest, self.strongest
        if tame is full or not (tame.low.finished and full.low.finished):
            return []
        text = f"At full torque and the lowest friction {tame.name} spins its tyres for "
        text += f"{tame.low.spinning:.1f} s and {full.name} for {full.low.spinning:.1f} s."
        if tame.low.time <= full.low.time + 0.005:
            return [f"{text} There {tame.name} is no slower: begin with it."]
        if full.low.spinning > tame.low.spinning + 0.05:
            return [f"{text} Begin with {tame.name}: it leaves less to be taken back."]
        return [text]

    def plot(self, axes: Axes | None = None, *, system: str = "trade",
             title: str | None = None) -> Figure:  # fmt: skip
        """Draw torque at the wheels over road speed, gear by gear, against what the tyres take.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. The band is what the tyres take from the lowest to the highest friction.
        """
        return draw_wheel_torque(self, axes, system, title)

    def plot_runs(self, *, system: str = "trade", title: str | None = None) -> Figure:
        """Draw road speed over time: at full torque, and with torque taken back.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The figure, two panels, both at the lowest friction.
        """
        return draw_runs(self, system, title)

    def plot_management(self, *, system: str = "trade", title: str | None = None) -> Figure:
        """Draw how much torque is let through over time, and what later spark costs.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The figure, three panels; gaps in the lower two are where the throttle does it.
        """
        return draw_management(self, system, title)

    def csv(self) -> str:
        """Return the torque of every level over time and gear, comma-separated, in SI.

        Returns
        -------
        str
            One row every 0.05 s of every level, units in the headings.
        """
        return as_csv([one.management for one in self.levels.values()])

    def write(self, path: str | os.PathLike[str]) -> Path:
        """Write `csv` to a file, in one step.

        Parameters
        ----------
        path : str or path
            The file; its name ends in ``.csv``.

        Returns
        -------
        pathlib.Path
            The file.

        Raises
        ------
        InputError
            The name ends otherwise, or the file cannot be written.
        """
        target = checked_target(path, ".csv")
        write_bytes(target, self.csv())
        return target

    def _tables(self, system: str) -> list[Table]:
        managed = [t for one in self.levels.values() for t in one.management.tables(system)]
        return [self.run_table(system), self.traction_table(system), *managed]

    def run_table(self, system: str = "trade") -> Table:
        """Return the runs of every level side by side.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        Table
            One row a level.
        """
        rows = []
        for one in self.levels.values():
            power, _ = one.pull.peak("power")
            rows.append([
                one.name, shown_as("power", power, system), _between(one, "time"),
                f"{one.low.spinning:.1f}", shown_as("distance", one.low.spins_until, system),
                *_managed(one.managed, system), _status(one),
            ])  # fmt: skip
        headings = ["level", "peak power", "time at full torque", "spins for", "spins up to",
                    "time held back", "to 60 ft", "road speed at the end",
                    "status"]  # fmt: skip
        units = ["", unit_label("power", system), "s", "s", unit_label("distance", system), "s",
                 "s", unit_label("road_speed", system), ""]  # fmt: skip
        key = (
            "Time at full torque is from the highest to the lowest friction, all else at the "
            "lowest. Held back: torque is held at what the tyres take, and the columns to its "
            "right belong to that run. Peak power is that between launch speed and redline."
        )
        caption = f"{formatted(self.distance, 'distance', system)} on {self.surface.name}"
        return Table(headings, units, rows, caption, key, flush=(0, 8))

    def traction_table(self, system: str = "trade") -> Table:
        """Return torque at the wheels against what the tyres take, level by level and gear by gear.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        Table
            One row a level and gear.
        """
        rows = []
        for one in self.levels.values():
            for gear in one.traction.gears:
                at = int(np.argmax(gear.wheel_torque))
                most = [taken(one.low.motion, mu, gear.road_speed)
                        for mu in (self.surface.low, self.surface.high)]  # fmt: skip
                limits = " to ".join(shown_as("torque", float(m[at]), system) for m in most)
                rows.append([
                    one.name, str(gear.gear),
                    shown_as("torque", float(gear.wheel_torque[at]), system),
                    shown_as("road_speed", float(gear.road_speed[at]), system), limits,
                    *(shown_as("road_speed", spins_to(gear, m), system) for m in most),
                ])  # fmt: skip
        headings = ["level", "gear", "highest wheel torque", "at", "tyres take there",
                    "spins up to, lowest friction", "spins up to, highest"]  # fmt: skip
        torque, speed = unit_label("torque", system), unit_label("road_speed", system)
        units = ["", "", torque, speed, torque, speed, speed]
        key = (
            "Wheel torque is that of all driven wheels on the road, with what speeds up engine, "
            "rotor, driveline and wheels taken off. What the tyres take has the load on it that "
            "speeding up moves. A dash: the tyres take all of it."
        )
        return Table(headings, units, rows, "What the tyres take", key, flush=(0,))


def _power(one: LevelOnTrack) -> float:
    power = one.pull.peak("power")[0]
    return power if np.isfinite(power) else 0.0


def _all_finished(one: LevelOnTrack) -> bool:
    return one.low.finished and one.high.finished and one.managed.finished


def _gain_words(gain: float) -> str:
    if abs(gain) < 0.005:
        return "more power gains nothing there"
    return f"more power {'gains' if gain > 0.0 else 'loses'} {abs(gain):.2f} s"


def _between(one: LevelOnTrack, name: str) -> str:
    values = [getattr(run, name) for run in (one.high, one.low)]
    texts = [f"{value:.2f}" if np.isfinite(value) else "–" for value in values]
    return texts[0] if texts[0] == texts[1] else " to ".join(texts)


def _managed(run: Run, system: str) -> list[str]:
    times = [run.time, run.time_to(_SIXTY_FEET)]
    texts = [f"{value:.2f}" if np.isfinite(value) else "–" for value in times]
    return [*texts, shown_as("road_speed", run.speed, system)]


def _status(one: LevelOnTrack) -> str:
    """How the runs ended, each way once."""
    ends = {"lowest friction": one.low, "highest": one.high, "held back": one.managed}
    if len({run.status for run in ends.values()}) == 1:
        return one.low.status
    return "; ".join(f"{name}: {run.status}" for name, run in ends.items())
