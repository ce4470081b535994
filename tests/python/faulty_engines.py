"""Engines with one fault each, and the readings that a dyno takes of them.

Faults are of the independent chain, and grow otherwise than the diagnosis has it: a slipping belt
by the torque it carries, floating valves by a smooth step, a choking filter not quite with the
square of the flow, a fouled cooler more at high flow. Probes are lagging by a filter in time and
off in the units of their kind. Nothing here shares code with the covariance or with the diagnosis.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace

import numpy as np
from scipy.interpolate import CubicSpline

import airchain
from held_out_engines import (
    DIGIT,
    GRID,
    NOISE,
    OFFSETS,
    PRESSURE,
    RATE_OF_ROWS,
    TEMPERATURE,
    WAVES,
    Engine,
    late,
    waves,
)
from independent_chain import SOUND, Wrong, point
from synthetic_pulls import DRIVES, READ

#: What a well equipped cell logs beside the usual four.
MORE = ("rotor_speed", "compressor_inlet_pressure", "compressor_outlet_pressure",
        "compressor_outlet_temperature", "fuel_flow", "lambda", "exhaust_temperature")  # fmt: skip
_OFFSETS = OFFSETS | {
    "rotor_speed": 0.0017, "compressor_inlet_pressure": 500.0, "compressor_outlet_pressure": 1500.0,
    "compressor_outlet_temperature": 3.4, "fuel_flow": 0.035, "lambda": 0.017,
    "exhaust_temperature": 43.0,
}  # fmt: skip
_NOISE = NOISE | {
    "rotor_speed": 0.001, "compressor_inlet_pressure": 100.0, "compressor_outlet_pressure": 400.0,
    "compressor_outlet_temperature": 0.5, "fuel_flow": 0.008, "lambda": 0.008,
    "exhaust_temperature": 4.0,
}  # fmt: skip
_DIGIT = DIGIT | {
    "rotor_speed": 1.0, "compressor_inlet_pressure": 50.0, "compressor_outlet_pressure": 500.0,
    "compressor_outlet_temperature": 0.5, "fuel_flow": 1e-4, "lambda": 0.005,
    "exhaust_temperature": 1.0,
}  # fmt: skip
_WAVES = WAVES | {
    "compressor_outlet_pressure": 0.02, "compressor_outlet_temperature": 0.03, "fuel_flow": 0.01,
    "lambda": 0.008, "exhaust_temperature": 0.03,
}  # fmt: skip
#: What changes from pull to pull on one level, over what the chain errs by.
_DAILY = 0.3
_IN_PROPORTION = ("torque", "air_flow", "fuel_flow", "rotor_speed", "lambda")
LAGS = {"plenum_temperature": (0.9, 2.6), "compressor_outlet_temperature": (0.9, 2.6),
         "exhaust_temperature": (0.5, 2.0), "torque": (0.0, 0.25), "air_flow": (0.0, 0.25),
         "fuel_flow": (0.0, 0.25), "lambda": (0.1, 0.3), "plenum_pressure": (0.0, 0.12),
         "compressor_outlet_pressure": (0.0, 0.12)}  # fmt: skip
CYLINDERS = 8


def _sound(_rpm: float, _drive: float) -> Wrong:
    """Nothing is wrong with the engine."""
    return SOUND


@dataclass(frozen=True)
class Case:
    """One fault of one size: what is wrong with the engine by speed, and with what is read.

    `slower` is by how much a probe's lag is longer [s]; `read` changes the columns that are read.
    """

    fault: str
    size: str
    wrong: Callable[[float, float], Wrong] = _sound
    read: Callable[[dict[str, np.ndarray]], dict[str, np.ndarray]] = lambda columns: columns
    slower: tuple[str, float] = ("", 0.0)
    barometer: float = 0.0
    belted: bool = False
    basis: str = "observed"

    def shows(self, more: bool) -> bool:
        """Whether it is in the channels that are logged at all."""
        return more or (self.fault, self.size) != ("gauge_for_absolute", "large")


def _times(channel: str, factor: float) -> Callable[[dict], dict]:
    return lambda c: c | ({channel: c[channel] * factor} if channel in c else {})


def _plus(channel: str, size: float) -> Callable[[dict], dict]:
    return lambda c: c | ({channel: c[channel] + size} if channel in c else {})


def _floating(onset: float, lost: float) -> Callable[[float, float], Wrong]:
    def wrong(rpm: float, _drive: float) -> Wrong:
        share = 0.5 * (1.0 + np.tanh((rpm - onset - 500.0) / 400.0))
        return Wrong(filling=lost * share, work=0.2 * lost * share)

    return wrong


def _slipping(most: float) -> Callable[[float, float], Wrong]:
    # Torque on the belt goes with rotor speed squared.
    return lambda rpm, drive: Wrong(slip=most * min((rpm * drive / 9000.0) ** 2.5, 1.2))


def _dead(share: float) -> Callable[[dict], dict]:
    def read(c: dict) -> dict:
        lost = share / CYLINDERS
        new = dict(c)
        if "lambda" in c:
            new["lambda"] = c["lambda"] * (1.0 + 0.8 * lost)
        if "exhaust_temperature" in c:
            hot = c["exhaust_temperature"]
            new["exhaust_temperature"] = hot - lost * (hot - 600.0)
        return new

    return read


def _gauges(off: float) -> Callable[[dict], dict]:
    """Gauges to which a barometer was added that was off by this [Pa]."""
    return lambda c: c | {n: c[n] + off for n in c if n.endswith("pressure")}


def cases() -> list[Case]:
    """Every fault at three sizes, small to large."""

    def always(**wrong: float) -> Callable[[float, float], Wrong]:
        return lambda _rpm, _drive: Wrong(**wrong)

    sizes = ("small", "middle", "large")
    listed: list[Case] = []
    for i, size in enumerate(sizes):
        listed += [
            Case("valves_floating", size, _floating((6200, 6000, 5600)[i], (0.08, 0.16, 0.28)[i]),
                 belted=True),
            Case("boost_leak", size, always(hole=(6e-5, 1.5e-4, 4e-4)[i]), belted=True),
            Case("belt_slip", size, _slipping((0.03, 0.06, 0.12)[i]), belted=True),
            Case("inlet_choking", size, always(choked=(2500.0, 6000.0, 14000.0)[i]), belted=True),
            Case("cooler_weak", size, lambda rpm, _d, i=i: Wrong(
                cooling=(0.15, 0.3, 0.6)[i] * (0.7 + 0.3 * rpm / 7000.0))),
            Case("barometer_wrong", size, read=_gauges((1500.0, -3000.0, 6000.0)[i]),
                 barometer=(1500.0, -3000.0, 6000.0)[i]),
            Case("gauge_for_absolute", size, read=_plus(
                ("plenum_pressure", "plenum_pressure", "compressor_outlet_pressure")[i],
                (-PRESSURE, PRESSURE, -PRESSURE)[i])),
            Case("power_standard", size, read=_times("torque", (1.0123, 1.0508, 1.0)[i]),
                 basis=("observed", "observed", "std_29_92")[i]),
            Case("plenum_temperature_lag", size,
                 slower=("plenum_temperature", (2.5, 5.0, 10.0)[i])),
            Case("torque_lag", size, slower=("torque", (0.4, 0.8, 1.6)[i])),
            Case("torque_offset", size, read=_times("torque", (0.93, 1.09, 0.85)[i])),
            Case("plenum_temperature_offset", size, read=_plus(
                "plenum_temperature", (-8.0, 14.0, -28.0)[i])),
            Case("plenum_pressure_offset", size, read=_plus(
                "plenum_pressure", (4e3, -8e3, 16e3)[i])),
            Case("air_flow_offset", size, read=_times("air_flow", (0.93, 1.12, 0.8)[i])),
            Case("ignition_late", size, always(spark=(7.0, 11.0, 16.0)[i])),
            Case("mixture_off", size, always(rich=(0.93, 1.1, 1.18)[i])),
            Case("cylinder_down", size, always(work=(0.5, 0.75, 1.0)[i] / CYLINDERS),
                 read=_dead((0.5, 0.75, 1.0)[i])),
        ]  # fmt: skip
    return listed


HEALTHY = Case("healthy", "none")


def both(one: Case, other: Case) -> Case:
    """Two faults at once: each changes what the other leaves as it is."""

    def wrong(rpm: float, drive: float) -> Wrong:
        a, b = one.wrong(rpm, drive), other.wrong(rpm, drive)
        changed = {f.name: getattr(b, f.name) for f in fields(Wrong)
                   if getattr(b, f.name) != getattr(SOUND, f.name)}  # fmt: skip
        return replace(a, **changed)

    slower = one.slower if one.slower[0] else other.slower
    return Case(f"{one.fault} and {other.fault}", one.size, wrong,
                lambda c: other.read(one.read(c)), slower, one.barometer or other.barometer,
                belted=True)  # fmt: skip


@dataclass
class DynoDay(Engine):
    """An engine of a seed, pulled with what is wrong with it; nothing new is drawn for a fault."""

    more: bool = False
    solved: dict = field(default_factory=dict)
    lags: dict[str, float] = field(default_factory=dict)

    @classmethod
    def on(cls, seed: int, more: bool) -> "DynoDay":
        """The engine of a seed, on a dyno that logs the usual four or more."""
        engine = Engine.of(seed, tuned=False)
        return cls(engine.truth, engine.shared, engine.alike, engine.rng, more)

    def true(self, level: str, case: Case = HEALTHY) -> dict[str, np.ndarray]:
        """What there is to be read on a level [SI] over `GRID`, before any sensor."""
        drive, key = DRIVES[level], (level, case.wrong)
        if key not in self.solved:
            self.solved[key] = [point(self.truth, float(n), drive, PRESSURE, TEMPERATURE,
                                      case.wrong(float(n), drive)) for n in GRID]  # fmt: skip
        names = (*READ, *MORE) if self.more else READ
        return {name: np.array([one[name] for one in self.solved[key]]) for name in names}

    def read(self, level: str, case: Case = HEALTHY) -> airchain.MeasuredPull:
        """What the dyno writes down of a pull."""
        columns = self.true(level, case)
        rng, rest = self.rng, np.sqrt(1.0 - self.alike**2)
        for name in (n for n in columns if n in _WAVES):
            size = _WAVES[name]
            # What a level shows again, and what of it is another each day.
            own = self.shared.setdefault(f"{name} {level}", waves(rng, size))
            day = waves(rng, _DAILY * size)
            common = self.shared.setdefault(name, waves(rng, size))
            error = self.alike * common(GRID) + rest * own(GRID) + day(GRID)
            base = {"pressure": PRESSURE, "temperature": TEMPERATURE}.get(name.split("_")[-1], 0.0)
            columns[name] = columns[name] + (columns[name] - base) * error
        rate = rng.uniform(200.0, 450.0)
        time = np.arange(0.0, (GRID[-1] - GRID[0]) / rate, 1.0 / RATE_OF_ROWS)
        rpm, held = GRID[0] + rate * time, bool(rng.uniform() < 0.5)
        there = {name: self._sensed(name, values, rpm, held, case)
                 for name, values in columns.items()}  # fmt: skip
        there = case.read(there)
        for name, values in there.items():
            there[name] = np.round(values / _DIGIT[name]) * _DIGIT[name]
        there |= {"engine_speed": rpm * np.pi / 30.0, "time": time}
        weather = {"barometer": PRESSURE + case.barometer, "ambient_temperature": TEMPERATURE,
                   "vapour_pressure": 0.0}  # fmt: skip
        return airchain.MeasuredPull.of(level, there, weather, case.basis)

    def _sensed(self, name: str, values: np.ndarray, rpm: np.ndarray, held: bool,
                case: Case) -> np.ndarray:  # fmt: skip
        rng = self.rng
        # A sensor's lag is its own, whatever is pulled.
        drawn = rng.uniform(*LAGS[name]) if name in LAGS else 0.0
        lag = self.lags.setdefault(name, drawn)
        lag += case.slower[1] if case.slower[0] == name else 0.0
        there = late(CubicSpline(GRID, values)(rpm), lag, held)
        off = rng.uniform(-_OFFSETS[name], _OFFSETS[name])
        share = name in _IN_PROPORTION
        there = there * (1.0 + off) if share else there + off
        size = _NOISE[name] * (np.abs(there) if share else 1.0)
        return there + size * rng.standard_t(5, rpm.size) / np.sqrt(5.0 / 3.0)
