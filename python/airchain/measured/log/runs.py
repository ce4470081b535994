"""The pulls of a table: its blocks and runs, each named, with the weather it was taken in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ... import _core
from ...base.errors import refusal
from ...units.convert import formatted
from ..finding import Finding
from ..measured import MeasuredPull
from ..plausibility import plausibility
from .blocks import Weather, text_of, titles_below
from .footing import Column
from .segments import Segment, segments
from .table import Table
from .weather import is_weather

_LOADED = 0.3  # of the highest torque: a run down above it was measured under load
_LOADED_PRESSURE = 0.5  # of the highest plenum pressure
_GEAR = 0.15  # of the span of speeds
_REST = 5.0  # rad/s
_AT_REST = 3e3  # Pa
_ZERO = 0.02  # of the highest torque


@dataclass
class Runs:
    """Cuts columns [SI] into pulls."""

    table: Table
    columns: dict[str, Column]
    basis: str
    weather: dict[int, Weather]
    run_labels: Sequence[str]
    fingerprint: str
    barometers: Column
    rounding: dict[str, float] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    pulls: list[MeasuredPull] = field(default_factory=list)
    run_downs: list[MeasuredPull] = field(default_factory=list)
    highest: dict[str, float] = field(default_factory=dict)

    def cut(self) -> None:
        """Find the pulls; rows that belong to none are listed in a finding."""
        speed = self.columns["engine_speed"]
        gone = np.isnan(speed)
        if gone.any():
            several = gone.sum() > 1
            what = "rows have no engine speed and were" if several else "row has none and was"
            words = f"{gone.sum()} {what} left out"
            self.findings.append(Finding("engine speed", words, self._lines(gone)))
        self._rest_pressure()
        self._rest_torque()
        used = gone.copy()
        with np.errstate(invalid="ignore"):
            gone |= speed < _REST
        keys = self.table.blocks if not len(self.run_labels) else _numbered(self.run_labels)
        edges = np.flatnonzero(np.diff(keys, prepend=keys[:1] - 1, append=keys[-1:] + 1))
        for first, last in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True):
            rows = np.arange(first, last)[~gone[first:last]]
            if rows.size:
                used[self._of_block(rows, first, several=len(edges) > 2)] = True
        if not used.all():
            words = f"{(~used).sum()} rows at rest, idle or a steady speed are in no pull"
            self.findings.append(Finding("rows outside the pulls", words, self._lines(~used)))

    def _of_block(self, rows: NDArray[np.int64], first: int, several: bool) -> NDArray[np.int64]:
        """Make the pulls of one block and return the rows that they took."""
        speed = self.columns["engine_speed"][rows]
        time = self.columns["time"][rows] if "time" in self.columns else None
        name = self._name(first, several)
        pieces = segments(speed, time)
        if _in_any_order(speed, pieces):
            return self._points(rows, name, first)
        self._gear_changes(rows, time)
        taken = [np.zeros(0, dtype=np.int64)]
        ups = [s for s in pieces if s.up or self._loaded(rows, s)]
        for segment in pieces:
            chosen = rows[segment.first : segment.last]
            loaded = segment in ups
            number = f", run {ups.index(segment) + 1}" if loaded and len(ups) > 1 else ""
            words = (
                name
                + number
                + ("" if segment.up else ", falling speed" if loaded else ", run-down")
            )
            words, chosen = self._upwards(words, chosen, time is None and not segment.up)
            pull = self._pull(words, chosen, first)
            pull = pull.replace(findings=plausibility(pull, loaded))
            (self.pulls if loaded else self.run_downs).append(pull)
            taken.append(chosen)
        return np.concatenate(taken)

    def _gear_changes(self, rows: NDArray[np.int64], time: Column | None) -> None:
        """List where the speed falls within one row while clock and load go on."""
        speed, output = self.columns["engine_speed"][rows], None
        output = next(
            (self.columns[n][rows] for n in ("torque", "power") if n in self.columns), None
        )
        if time is None or output is None or rows.size < 10:
            return
        steps = np.diff(time)
        with np.errstate(invalid="ignore"):
            usual = float(np.nanmedian(steps))
            loaded = output > _LOADED * np.nanmax(output)
            fell = np.diff(speed) < -_GEAR * np.ptp(speed)
            fell &= loaded[:-1] & loaded[1:] & (steps > 0.0) & (steps < 5.0 * usual)
        if fell.any():
            words = "it falls within one row while the load goes on: was a gear changed?"
            lines = tuple(self.table.lines[rows[:-1][fell]].tolist())
            self.findings.append(Finding("engine speed", words, lines))

    def _points(self, rows: NDArray[np.int64], name: str, first: int) -> NDArray[np.int64]:
        """Make one pull of points that were taken in any order of speed."""
        chosen = rows[np.argsort(self.columns["engine_speed"][rows], kind="stable")]
        words = f"{name}: its points stand in no order of speed; sorted, their times left out"
        self.findings.append(Finding("order of rows", words))
        pull = self._pull(name, chosen, first).with_columns(time=None)
        self.pulls.append(pull.replace(findings=plausibility(pull)))
        return chosen

    def _upwards(
        self, name: str, rows: NDArray[np.int64], turn: bool
    ) -> tuple[str, NDArray[np.int64]]:
        """Turn round a table that was written from the highest speed down."""
        if not turn:
            return name, rows
        name = name.removesuffix(", falling speed").removesuffix(", run-down")
        words = f"{name}: written from the highest speed down; turned round"
        self.findings.append(Finding("order of rows", words))
        return name, rows[::-1]

    def _loaded(self, rows: NDArray[np.int64], segment: Segment) -> bool:
        """Return whether a run down was measured under load."""
        names = ("torque", "power", "air_flow", "fuel_flow", "plenum_pressure")
        for name in names:
            read = self.columns.get(name)
            here = read[rows[segment.first : segment.last]] if read is not None else np.zeros(0)
            if read is None or not np.isfinite(here).any():
                continue
            least = _LOADED if name != "plenum_pressure" else _LOADED_PRESSURE
            if name not in self.highest:
                self.highest[name] = float(np.nanpercentile(read, 98))
            if not np.nanmedian(here) > least * self.highest[name]:
                return False
            if name in names[:2]:
                return True
        return "time" not in self.columns

    def _pull(self, name: str, rows: NDArray[np.int64], first: int) -> MeasuredPull:
        weather = self.weather[int(self.table.blocks[first])]
        whole = np.array_equal(rows, np.arange(self.table.lines.size))
        columns = {n: v if whole else v[rows] for n, v in self.columns.items()}
        for values in columns.values():
            values.flags.writeable = False  # so the pull need not copy them
        ambient = {n: value for n, (value, _) in weather.items() if n != "relative_humidity"}
        humidity = weather.get("relative_humidity", (np.nan, ""))[0]
        for key in ("barometer", "ambient_temperature", "relative_humidity"):
            if key in columns and np.isfinite(columns[key]).any():
                mean = float(np.nanmean(columns[key]))
                if key == "relative_humidity":
                    humidity = mean
                else:
                    ambient[key] = mean
        if np.isfinite(humidity) and "ambient_temperature" in ambient:
            saturation = float(_core.saturation_pressure(ambient["ambient_temperature"]))
            ambient["vapour_pressure"] = humidity * saturation
        return MeasuredPull(
            self._free(name), columns, self.basis, ambient, self.table.name, self.fingerprint,
            self.table.lines[rows], (), self.rounding,
        )  # fmt: skip

    def _name(self, first: int, several: bool) -> str:
        """Return what a block is called: its run's label, its title, or the file."""
        stem = Path(self.table.name).stem
        if len(self.run_labels):
            return f"{stem}, run {self.run_labels[first].strip()}"
        texts = text_of(self.table, int(self.table.blocks[first])) if several else []
        for _, text in texts if titles_below(self.table) else reversed(texts):
            title = text.strip("#%/;, \t\"'")
            if title and len(title) <= 60 and not is_weather(title):
                return title
        return stem

    def _free(self, name: str) -> str:
        """Return a name that no pull has yet."""
        taken = {pull.name for pull in (*self.pulls, *self.run_downs)}
        number = 2
        free = name
        while free in taken:
            free, number = f"{name} ({number})", number + 1
        return free

    def _rest_pressure(self) -> None:
        """Hold the manifold with the engine at rest against the barometer."""
        pressure = self.columns.get("plenum_pressure")
        if pressure is None:
            return
        rest = self.columns["engine_speed"] < _REST
        barometer = self.columns.get("barometer", self.barometers)
        off = pressure[rest] - barometer[rest]
        if not np.isfinite(off).any():
            return
        middle = float(np.nanmedian(off))
        if abs(middle) > _AT_REST:
            words = f"it reads {formatted(abs(middle), 'pressure_difference', 'si')} "
            words += f"{'above' if middle > 0.0 else 'below'} the barometer"
            self.findings.append(Finding("plenum pressure at rest", words, self._lines(rest)))

    def _rest_torque(self) -> None:
        """Hold the torque with the engine at rest against none at all."""
        torque = self.columns.get("torque")
        if torque is None:
            return
        rest = (self.columns["engine_speed"] < _REST) & np.isfinite(torque)
        most = float(np.nanmax(np.abs(torque))) if np.isfinite(torque).any() else 0.0
        if rest.sum() < 3 or not abs(float(np.median(torque[rest]))) > _ZERO * most:
            return
        words = f"it reads {formatted(float(np.median(torque[rest])), 'torque', 'si')}: was the "
        words += "load cell set to zero?"
        self.findings.append(Finding("torque at rest", words, self._lines(rest)))

    def _lines(self, mask: NDArray[np.bool_]) -> tuple[int, ...]:
        return tuple(self.table.lines[mask].tolist())

    def need_pulls(self) -> None:
        """Refuse a log without a pull."""
        if self.pulls or self.run_downs:
            return
        rows = len(self.table.lines)
        rule = "hold a pull: two rows or more over rising engine speed"
        where = f"{self.table.name}:{self.table.lines[0]}"
        raise refusal(where, "rows", str(rows), rule)


def _in_any_order(speed: NDArray[np.float64], pieces: Sequence[Segment]) -> bool:
    """Return whether rows are single points taken in any order, not sweeps."""
    if not 3 <= speed.size <= 200:
        return False
    span = float(np.ptp(speed))
    steps = np.abs(np.diff(speed))
    taken = sum(piece.last - piece.first for piece in pieces)
    turns = np.sum(np.diff(np.sign(np.diff(speed))) != 0)
    wide = span > 0.0 and float(np.median(steps)) > 0.08 * span
    return bool(wide and turns >= 2 and (len(pieces) > 2 or taken < 0.8 * speed.size or turns > 2))


def _numbered(labels: Sequence[str]) -> NDArray[np.int64]:
    numbers: dict[str, int] = {}
    return np.array([numbers.setdefault(one.strip(), len(numbers)) for one in labels])
