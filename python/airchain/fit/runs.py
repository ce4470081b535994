"""A measured pull made ready for a fit: rows that climb, at most a hundred, on one footing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.changes import Mixture, Weather
from ..measured.measured import MeasuredPull
from ..measured.smooth import sweep_words
from .sensors import BESIDE, Sensor, noise_size

Array = NDArray[np.float64]
MOST_ROWS = 100
_WHITE = 20
#: Share of a rotor's speed by which another drive differs at least, and the same one at most.
_OTHER_DRIVE, _SAME_DRIVE = 0.03, 0.01


@dataclass(frozen=True)
class Run:
    """One pull beside the build it was run with, in its weather and with its mixture.

    `columns` hold the readings [SI] over `rpm`, NaN where one is missing; `noise` what one row is
    off by, rounding included; `rates` how fast the speed climbs [rpm/s], where time was logged.
    """

    name: str
    level: str
    build: Build
    rpm: Array
    columns: Mapping[str, Array]
    noise: Mapping[str, Array]
    rates: Array
    fingerprint: str
    notes: tuple[str, ...]

    @property
    def chain(self) -> _core.Chain:
        """The stations that it was run with."""
        return self.build.chain

    @property
    def level_place(self) -> float:
        """Logarithm of rotor speed over crank speed; far from all others without compressor."""
        if self.chain.compressor is None:
            return -9.0
        return float(np.log(self.chain.drive.speed_ratio))

    @property
    def other_level(self) -> str:
        """The level whose drive turns the rotor as it was read; empty where the pull's own does."""
        read = self.columns.get("rotor_speed")
        if read is None or self.chain.compressor is None or not np.isfinite(read).any():
            return ""
        turns = (read / self.speeds)[np.isfinite(read)]
        if abs(np.median(turns) / float(self.chain.drive.speed_ratio) - 1.0) < _OTHER_DRIVE:
            return ""
        for level in self.build.levels:
            ratio = float(self.build.level(level).chain.drive.speed_ratio)
            # A belt that slips does not stay with one ratio at all engine speeds.
            if np.max(np.abs(turns / ratio - 1.0)) < _SAME_DRIVE:
                return level
        return ""

    @property
    def speeds(self) -> Array:
        """Crank speeds [rad/s]."""
        return self.rpm * RPM


def thinned(run: Run, rows: int) -> Run:
    """Return a pull with at most so many of its rows, evenly picked."""
    if run.rpm.size <= rows:
        return run
    kept = np.unique(np.linspace(0, run.rpm.size - 1, rows).astype(int))
    columns = {name: values[kept] for name, values in run.columns.items()}
    noise = {name: values[kept] for name, values in run.noise.items()}
    return replace(run, rpm=run.rpm[kept], columns=columns, noise=noise, rates=run.rates[kept])


def checked_pull(pull: MeasuredPull, where: str, field: str) -> None:
    """Refuse what is no measured pull, such as the log that holds it."""
    if not isinstance(pull, MeasuredPull):
        rule, hint = "be a MeasuredPull", "airchain.read_pulls(FILE) reads a log; [0] is its first"
        raise refusal(where, field, type(pull).__name__, rule, hint)


def prepared(build: Build, level: str, pull: MeasuredPull, sensors: Mapping[str, Sensor],
             rounding: Mapping[str, Array]) -> Run:  # fmt: skip
    """Return a pull ready to be fitted, its weather put into the build's chain."""
    notes: list[str] = []
    swept = sweep_words(pull)
    notes += [swept] * bool(swept)
    pull = pull.observed()
    used = [n for n in sensors if n in pull and np.any(np.isfinite(pull[n]))]
    if not used:
        hint = "it needs at least one of " + ", ".join(sensors)
        raise refusal(pull.name, "columns", ", ".join(pull.names), "hold a reading to fit", hint)
    trusted = {**BESIDE, **sensors}
    used += [n for n in BESIDE if n not in sensors and n in pull and np.isfinite(pull[n]).any()]
    groups = _groups(pull, notes)
    averaged = {n: _means(pull[n], groups) for n in used}
    noise = {}
    for n in used:
        step = _means(_steps(pull, n, rounding.get(n, _own_step(pull, n))), groups)
        counts = np.maximum([np.isfinite(pull[n][g]).sum() for g in groups], 1)
        row = noise_size(trusted[n], averaged[n])
        # Slow readings round alike, so that averaging does not remove rounding.
        noise[n] = np.hypot(row / np.sqrt(counts), step / np.sqrt(12.0))
    rpm = _means(pull.rpm, groups)
    there = _weather(build, pull, notes)
    return Run(pull.name, level, there, rpm, averaged, noise,
               _rates(pull, groups, rpm), pull.fingerprint, tuple(notes))  # fmt: skip


def _groups(pull: MeasuredPull, notes: list[str]) -> list[Array]:
    """Return indices of rows, one group a point of the fit."""
    good = np.flatnonzero(np.isfinite(pull.rpm))
    if good.size < len(pull):
        notes.append(f"{pull.name}: {len(pull) - good.size} rows without engine speed left out")
    if not good.size:
        raise refusal(pull.name, "engine_speed", "nan", "be read in at least one row")
    if good.size <= MOST_ROWS:
        return [np.array([i]) for i in good[np.argsort(pull.rpm[good], kind="stable")]]
    rpm = pull.rpm[good]
    edges = np.linspace(rpm.min(), rpm.max(), MOST_ROWS + 1)
    place = np.clip(np.searchsorted(edges, rpm, side="right") - 1, 0, MOST_ROWS - 1)
    notes.append(f"{pull.name}: {good.size:,} rows averaged into at most {MOST_ROWS} by rpm")
    return [good[place == k] for k in range(MOST_ROWS) if np.any(place == k)]


def _means(values: Array, groups: list[Array]) -> Array:
    """Return the mean over the readings of each group, NaN where it has none."""
    rows = np.concatenate(groups)
    starts = np.cumsum([0, *(g.size for g in groups[:-1])])
    there = np.isfinite(values[rows])
    counts = np.add.reduceat(there.astype(float), starts)
    sums = np.add.reduceat(np.where(there, values[rows], 0.0), starts)
    return np.where(counts > 0.0, sums / np.maximum(counts, 1.0), np.nan)


def _steps(pull: MeasuredPull, name: str, given: Array | None) -> Array:
    """Return the last digit of every row: as given, one for all or one a row, else as it shows."""
    if given is None:
        given = np.array([_step(pull[name])])
    if given.size not in (1, len(pull)):
        rule = f"hold one last digit, or one for each of {len(pull)} rows"
        raise refusal(pull.name, f"rounding.{name}", f"{given.size} texts", rule)
    last_digits: Array = np.broadcast_to(given, len(pull))
    return last_digits


def _own_step(pull: MeasuredPull, name: str) -> Array | None:
    """Return the last digit that the pull itself knows, None where it does not."""
    return np.array([pull.rounding[name]]) if name in pull.rounding else None


def _step(values: Array) -> float:
    """Return the rounding that shows in readings, 0 where none does."""
    levels = np.unique(values[np.isfinite(values)])
    if levels.size < _WHITE or levels.size > 0.7 * values.size:
        return 0.0
    gaps = np.diff(levels)
    step = float(gaps[gaps > 1e-9 * abs(levels[-1])].min())
    multiples = gaps / step
    return step if np.all(np.abs(multiples - np.round(multiples)) < 0.05) else 0.0


def _rates(pull: MeasuredPull, groups: list[Array], rpm: Array) -> Array:
    """Return how fast engine speed climbs at each point [rpm/s]; 0 where no time was logged."""
    rates = np.zeros(len(groups))
    if "time" not in pull or len(groups) < 8:
        return rates
    time = _means(pull["time"], groups)
    for i in range(len(groups)):
        near = (np.abs(time - time[i]) <= 0.75) & np.isfinite(time)
        if near.sum() > 2 and np.ptp(time[near]) > 0.2:
            rates[i] = np.polyfit(time[near] - time[i], rpm[near], 1)[0]
    return rates


def _weather(build: Build, pull: MeasuredPull, notes: list[str]) -> Build:
    """Return the build in the weather of the pull, as far as it was written down."""
    known = dict(pull.ambient)
    for key, column in (("barometer", "barometer"), ("ambient_temperature", "ambient_temperature")):
        if key not in known and column in pull:
            known[key] = float(np.nanmean(pull[column]))
    changes: dict[str, float] = {}
    if "barometer" in known:
        changes["pressure"] = known["barometer"]
    if "ambient_temperature" in known:
        changes["temperature"] = known["ambient_temperature"]
    ambient = build.chain.ambient.replace(**changes)
    if "vapour_pressure" in known:
        full = _core.air_report(ambient.replace(relative_humidity=1.0)).vapour_pressure
        ambient = ambient.replace(relative_humidity=min(known["vapour_pressure"] / full, 1.0))
    lacking = [w for w, k in (("barometer", "barometer"), ("air temperature",
               "ambient_temperature")) if k not in known]  # fmt: skip
    if lacking:
        notes.append(f"{pull.name}: no {' or '.join(lacking)}; the build's weather stands in")
    there = build.changed(Weather.of(ambient))
    if "lambda" in pull and np.any(np.isfinite(pull["lambda"])):
        there = there.changed(Mixture(float(np.nanmedian(pull["lambda"]))))
    return there
