"""Power management: how much torque is taken back after the launch, and by what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import degrees, isfinite, nan

import numpy as np
from numpy.typing import NDArray

from ..chain.build import Build
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..shown.words import listed
from ..units.convert import formatted, unit_label
from .phasing import MADE_FOR, Later, TorqueBack
from .run import Run

__all__ = ["COLUMNS", "Management"]

Array = NDArray[np.float64]
#: Less than this share is no reduction.
_NOTHING = 1e-3
#: Between two rows of the table that is written [s]; of that shown, and its longest.
_STEP, _SHOWN_STEPS, _MOST_ROWS = 0.05, (0.25, 0.5, 1.0, 2.0, 4.0, 10.0), 14
#: What takes the torque back.
FULL, CHANGE, PHASING, ROUGH, HOT, LATE, BOTH, SURGE = (
    "full torque", "gear is changed", "later spark", "later spark, rough", "throttle: too hot",
    "throttle: too late", "later spark and throttle", "nothing known",
)  # fmt: skip
#: Columns, their SI units, in the order of the written table.
COLUMNS: Mapping[str, str] = {
    "time": "s", "gear": "1", "engine_speed": "rad/s", "road_speed": "m/s", "full_torque": "N m",
    "torque": "N m", "share": "1", "later": "rad", "off_best": "rad", "exhaust_temperature": "K",
    "valve_heat": "1", "opening": "1",
}  # fmt: skip


@dataclass(frozen=True, eq=False, repr=False)
class Management(Shown):
    """Torque of one level over time and gear that keeps the driven tyres at their limit.

    ``management["share"]`` is an array over ``management["time"]``; the columns are those of
    `COLUMNS`, in SI. `later` is how much later than the level's own half of the charge burns;
    it, `exhaust_temperature` and `valve_heat` are NaN where spark is not later, and `opening` of
    the throttle where that is not shut. While a gear is changed `share` is NaN.

    Attributes
    ----------
    level : str
        The level.
    friction : float
        Of the tyres, that it is made for [dimensionless].
    limit : float
        Exhaust temperature that later spark must not pass [K].
    run : Run
        The run with it.
    columns : mapping
        Arrays by name [SI].
    ways : tuple of str
        By what torque is taken back, row by row.
    supercharged : bool
        Whether the level has a compressor.
    """

    level: str
    friction: float
    limit: float
    run: Run
    columns: Mapping[str, Array]
    ways: tuple[str, ...]
    supercharged: bool

    @classmethod
    def of(cls, build: Build, run: Run) -> Management:
        """Make the table of a run whose torque was held at what the tyres take.

        Parameters
        ----------
        build : Build
            The build on the run's level.
        run : Run
            The run.

        Returns
        -------
        Management
            Torque over time and gear.
        """
        limit = run.motion.body.vehicle.exhaust_temperature_limit
        friction = run.motion.friction
        columns = _sampled(run)
        reduced = columns["share"] < 1.0 - _NOTHING
        extra = {name: np.full(reduced.size, nan) for name in list(COLUMNS)[7:]}
        ways = [CHANGE if np.isnan(one) else FULL for one in columns["share"]]
        if reduced.any():
            speeds = columns["engine_speed"][reduced]
            back = TorqueBack.of(build, float(speeds.min()), float(speeds.max()) * (1.0 + 1e-6),
                                 limit)  # fmt: skip
            for row in np.flatnonzero(reduced).tolist():
                speed, share = float(columns["engine_speed"][row]), float(columns["share"][row])
                ways[row] = _taken_back(back, speed, share, extra, row)
        told = {**columns, **extra}
        return cls(run.level, friction, limit, run, told, tuple(ways), build.supercharged)

    def __getitem__(self, name: str) -> Array:
        return self.columns[name]

    @property
    def reduced(self) -> NDArray[np.bool_]:
        """Rows at which torque is taken back [dimensionless]."""
        return np.array([way not in (FULL, CHANGE) for way in self.ways], dtype=bool)

    @property
    def lasts(self) -> float:
        """Time of the last reduction [s]; 0 without any."""
        return float(self["time"][self.reduced][-1]) if self.reduced.any() else 0.0

    @property
    def least(self) -> float:
        """Smallest share of the torque that is let through [dimensionless]."""
        return float(np.nanmin(np.append(self["share"], 1.0)))

    @property
    def verdict(self) -> str:
        """How much is taken back and for how long."""
        if not self.run.finished:
            return self.run.verdict
        if not self.reduced.any():
            return f"{self.level}: the tyres take all of its torque."
        text = (f"{self.level}: torque is held down to {100.0 * self.least:.0f} % at the least, "
                f"until {self.lasts:.1f} s.")  # fmt: skip
        return f"{text} {self._by_what()}"

    def _by_what(self) -> str:
        """For what share of the time each way is used."""
        groups = {
            "later spark": (PHASING, ROUGH),
            "the throttle": (HOT, LATE),
            "both together": (BOTH,),
            "nothing that is known": (SURGE,),
        }
        every = int(self.reduced.sum())
        shares = {words: sum(way in ways for way in self.ways) / every
                  for words, ways in groups.items()}  # fmt: skip
        used = [(words, share) for words, share in shares.items() if share]
        first, share = used[0]
        if share == 1.0:
            return f"{first.capitalize()} does it throughout."
        told = [f"{words} for {100.0 * share:.0f} %" for words, share in used]
        return f"Of that time it is done by {listed(told)}."

    @property
    def notes(self) -> list[str]:
        """What later spark costs, and what is not known."""
        notes = []
        if np.isfinite(self["later"]).any():
            hottest = float(np.nanmax(self["exhaust_temperature"]))
            heat = float(np.nanmax(self["valve_heat"]))
            notes.append(
                f"Later spark heats the exhaust to {formatted(hottest, 'temperature')} at most, "
                f"below the limit of {formatted(self.limit, 'temperature')}. The heat into the "
                f"exhaust valves is up to {heat:.1f} times that at the level's own spark."
            )
        if np.nanmax(np.append(self["off_best"], 0.0)) > MADE_FOR:
            notes.append("Rough: half of the charge burns more than 20 degrees later than best. "
                         "The law was made for less.")  # fmt: skip
        if HOT in self.ways:
            notes.append("Too hot: later spark alone would pass the limit of the exhaust. There "
                         "the throttle takes the torque back.")  # fmt: skip
        if LATE in self.ways:
            notes.append("Too late: later spark does not reach so far, or the engine would not "
                         "run on it. There the throttle takes the torque back.")  # fmt: skip
        if self.supercharged and np.isfinite(self["opening"]).any():
            notes.append("A throttle far shut brings the compressor close to surge. A bypass that "
                         "opens as it shuts keeps away from it.")  # fmt: skip
        if SURGE in self.ways:
            notes.append("Nothing known: with the throttle so far shut the compressor would surge "
                         "unless a bypass opens, and later spark is not enough.")  # fmt: skip
        return notes

    def _tables(self, system: str) -> list[Table]:
        kinds = (("road_speed", "road_speed"), ("speed", "engine_speed"), ("torque", "torque"))
        rows = []
        for at in self._told():
            values = [shown_as(kind, float(self[name][at]), system) for kind, name in kinds]
            later, hot = float(self["later"][at]), float(self["exhaust_temperature"][at])
            heat, opening = float(self["valve_heat"][at]), float(self["opening"][at])
            rows.append([
                f"{self['time'][at]:.2f}", f"{self['gear'][at]:.0f}", *values,
                _plain(100.0 * float(self["share"][at])), _plain(degrees(later)),
                shown_as("temperature", hot, system), _plain(heat, 1), _plain(100.0 * opening),
                self.ways[at],
            ])  # fmt: skip
        headings = ["time", "gear", "road speed", "engine speed", "torque", "of its torque",
                    "spark later by", "exhaust temperature", "valve heat", "throttle open",
                    "by"]  # fmt: skip
        units = ["s", "", *(unit_label(kind, system) for kind, _ in kinds), "%", "deg",
                 unit_label("temperature", system), "", "%", ""]  # fmt: skip
        caption = f"{self.level}: torque over time for a friction of {self.friction:.2f}"
        return [Table(headings, units, rows, caption, flush=(10,))] if rows else []

    def _told(self) -> list[int]:
        """Rows of the table that is shown: those up to the last reduction, evenly in time."""
        if not self.reduced.any():
            return []
        step = next((s for s in _SHOWN_STEPS if self.lasts / s < _MOST_ROWS), _SHOWN_STEPS[-1])
        every = max(1, round(step / _STEP))
        last = int(np.flatnonzero(self.reduced)[-1])
        return [*range(0, last, every), min(last + 1, len(self.ways) - 1)]


def _plain(value: float, decimals: int = 0) -> str:
    return f"{value:.{decimals}f}" if isfinite(value) else "–"


def _taken_back(back: TorqueBack, speed: float, share: float,
                columns: Mapping[str, Array], row: int) -> str:  # fmt: skip
    """Fill in by what torque is taken back, and say it.

    Later spark where it is enough, else the throttle, else both, else nothing that is known.
    """
    alone = back.by_phasing(speed, share)
    if isfinite(alone.later) and alone.exhaust_temperature <= back.limit:
        _fill(columns, row, alone, nan)
        return ROUGH if alone.off_best > MADE_FOR else PHASING
    opening = back.by_throttle(speed, share)
    if isfinite(opening):
        columns["opening"][row] = opening
        return HOT if isfinite(alone.later) else LATE
    with_throttle, opening = back.by_both(speed, share)
    if not isfinite(opening):
        return SURGE
    _fill(columns, row, with_throttle, opening)
    return BOTH


def _fill(columns: Mapping[str, Array], row: int, later: Later, opening: float) -> None:
    for name, value in zip((*Later._fields, "opening"), (*later, opening), strict=True):
        columns[name][row] = value


def _sampled(run: Run) -> dict[str, Array]:
    """The run at even times; without drive in a change of gear nothing is taken back."""
    if not run["time"].size:
        return {name: np.zeros(0) for name in list(COLUMNS)[:7]}
    times = np.arange(0.0, run["time"][-1], _STEP)
    at = np.searchsorted(run["time"], times, side="right") - 1
    columns = {n: run[n][at] for n in ("gear", "engine_speed", "road_speed", "full_torque",
                                       "torque")}  # fmt: skip
    driving = columns["full_torque"] > 0.0
    share = np.divide(columns["torque"], columns["full_torque"], out=np.full(at.size, nan),
                      where=driving)  # fmt: skip
    return {"time": times, **columns, "share": share}
