"""Engines that no fit was tuned on, and the readings that a dyno takes of them.

What the fit takes for smooth and normal is neither here: fillings dip within 60 to 300 rpm, torque
steps where a table of the ignition does, sensors are off by anything within a range and lag by
times of their own, and a sweep starts held or rolling. Nothing here shares code with the fit's
covariance. In a tuned engine the filling ripples with engine speed over the root of charge
temperature, and the build has the ripples a little wrong.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from scipy.interpolate import CubicSpline

import airchain
from airchain import _core
from airchain.buildfile.assemble import Parts
from airchain.chain.changes import Change
from independent_chain import STROKE, Truth, point, pumped, warmed
from synthetic_pulls import DRIVES, GROWTH, READ, UNKNOWNS, WIDTHS, build

PRESSURE, TEMPERATURE = 98e3, 298.15
GRID = np.arange(3000.0, 7401.0, 40.0)
RATE_OF_ROWS = 20.0  # Hz
# Half the range that a sensor's offset lies in, and the standard deviation of one row.
OFFSETS = {"torque": 0.0173, "air_flow": 0.026, "plenum_pressure": 1212.0,
           "plenum_temperature": 2.6}  # fmt: skip
NOISE = {"torque": 0.005, "air_flow": 0.006, "plenum_pressure": 300.0, "plenum_temperature": 0.5}
DIGIT = {"torque": 1.0, "air_flow": 0.001, "plenum_pressure": 500.0, "plenum_temperature": 0.5}
WAVES = {"torque": 0.01, "air_flow": 0.01, "plenum_pressure": 0.02, "plenum_temperature": 0.04}
RIPPLE, CYCLES = 0.02, 20000.0

Curve = Callable[[np.ndarray], np.ndarray]


def rippled(amplitude: float, cycles: float) -> Callable[[float, float], float]:
    """Filling that ripples with the speed of sound in the runner, over rpm and temperature [K]."""

    def filling(rpm: float, t: float) -> float:
        wave = np.cos(2.0 * np.pi * cycles / (rpm * np.sqrt(310.0 / t)))
        return float(warmed(rpm, t) * (1.0 + amplitude * wave))

    return filling


@cache
def rippling() -> _core.BreathingSurface:
    """The filling that ripples, as a surface over speed, pressure and temperature."""
    u = np.arange(2400.0, 8301.0, 100.0) * np.pi / 30.0
    ratio, heat = np.array([0.8, 1.2, 1.7, 2.3, 3.0]), np.linspace(290.0, 410.0, 7)
    axes = np.meshgrid(u, ratio, heat, indexing="ij")
    speed = axes[0] * _core.BreathingSurface.stretch(axes[1], axes[2])
    filling = np.vectorize(rippled(RIPPLE, CYCLES))(speed * 30.0 / np.pi, axes[2])
    piston = STROKE * speed / np.pi
    pumping = pumped(piston, axes[2], axes[1])
    exhaust = np.array([80e3, PRESSURE, 160e3])
    nothing = np.zeros_like(filling)
    return _core.BreathingSurface(u, ratio, heat, exhaust, filling, nothing + 1.0, pumping,
                                  nothing)  # fmt: skip


@dataclass(frozen=True)
class Rippling(Change):
    """A build that breathes by the surface that ripples."""

    kind = "rippling"
    rank = 0

    def _on(self, parts: Parts) -> Parts:
        breathing = parts.chain.breathing.replace(
            table=None, surface=rippling(), temperature_exponent=0.0
        )
        return replace(parts, chain=parts.chain.replace(breathing=breathing))


@cache
def tuned_build() -> airchain.Build:
    """The nominal engine whose filling ripples."""
    return build().changed(Rippling())


def waves(rng: np.random.Generator, size: float, shortest: float = 700.0) -> Curve:
    """A curve over engine speed of this standard deviation: an offset and three sines [rpm]."""
    offset = rng.normal(0.0, size / np.sqrt(2.0))
    length = np.exp(rng.uniform(np.log(shortest), np.log(6000.0), 3))
    height = rng.normal(0.0, size / np.sqrt(3.0), 3)
    phase = rng.uniform(0.0, 2.0 * np.pi, 3)

    def curve(rpm: np.ndarray) -> np.ndarray:
        angle = 2.0 * np.pi * np.asarray(rpm)[..., None] / length + phase
        return np.asarray(offset + np.sum(height * np.sin(angle), axis=-1))

    return curve


def dips(rng: np.random.Generator) -> Curve:
    """Resonances of air box and runners that no build has: each deep by up to 3 %."""
    some = rng.poisson(1.5)
    place, wide = rng.uniform(2800.0, 7600.0, some), np.exp(rng.uniform(4.1, 5.7, some))
    depth = rng.uniform(0.003, 0.03, some) * np.where(rng.uniform(size=some) < 0.75, -1.0, 1.0)

    def curve(rpm: np.ndarray) -> np.ndarray:
        off = (np.asarray(rpm)[..., None] - place) / wide
        return np.asarray(np.sum(depth / (1.0 + off**2), axis=-1))

    return curve


def step(rng: np.random.Generator) -> Curve:
    """Torque that steps where a table of the ignition or the brake's control does."""
    place, height = rng.uniform(3400.0, 7000.0), rng.normal(0.0, 0.006)
    return lambda rpm: height * np.tanh((np.asarray(rpm) - place) / 30.0)


@dataclass
class Engine:
    """An engine with what its build has wrong, and the errors that the chain makes of it."""

    truth: Truth
    shared: dict[str, Curve]
    alike: float
    rng: np.random.Generator

    @classmethod
    def of(cls, seed: int, tuned: bool) -> "Engine":
        """The engine of a seed."""
        rng = np.random.default_rng([20251129, seed])
        factors = {n: 1.0 + w * float(np.clip(rng.normal(), -2.5, 2.5)) for n, w in WIDTHS.items()}
        # Nothing asks for the compressor's efficiency: it is off by what the build is trusted for.
        unasked = np.random.default_rng([20251129, seed, 1])
        factors["compressor_efficiency"] = 1.0 + 0.04 * float(np.clip(unasked.normal(), -2.5, 2.5))
        truth = Truth(**factors, held=DRIVES["tame"], growth=parts(rng))
        if tuned:
            ripple = rippled(RIPPLE * rng.normal(1.0, 0.2), CYCLES * rng.normal(1.0, 0.008))
            truth = replace(truth, filling=ripple)
        shared = {name: waves(rng, size) for name, size in WAVES.items()}
        return cls(truth, shared, float(rng.uniform(0.5, 0.95)), rng)

    def pull(self, level: str) -> tuple[airchain.MeasuredPull, dict[str, float]]:
        """A pull on a drive level, and what its unknowns were over its speeds, on average."""
        rng = self.rng
        solved = [point(self.truth, float(n), DRIVES[level], PRESSURE, TEMPERATURE) for n in GRID]
        columns = {name: np.array([one[name] for one in solved]) for name in READ}
        factors = {name: float(np.mean([one.get(name, getattr(self.truth, name))
                                        for one in solved])) for name in UNKNOWNS}  # fmt: skip
        rest = np.sqrt(1.0 - self.alike**2)
        error = {name: self.alike * self.shared[name](GRID) + rest * waves(rng, size)(GRID)
                 for name, size in WAVES.items()}  # fmt: skip
        columns["torque"] *= 1.0 + error["torque"]
        columns["air_flow"] *= 1.0 + error["air_flow"]
        for name, base in (("plenum_pressure", PRESSURE), ("plenum_temperature", TEMPERATURE)):
            columns[name] += (columns[name] - base) * error[name]
        return self._read(level, columns), factors

    def _read(self, level: str, columns: dict[str, np.ndarray]) -> airchain.MeasuredPull:
        """What the dyno writes down of what there was."""
        rng = self.rng
        rate = rng.uniform(200.0, 450.0)
        time = np.arange(0.0, (GRID[-1] - GRID[0]) / rate, 1.0 / RATE_OF_ROWS)
        rpm = GRID[0] + rate * time
        lags = {"torque": rng.uniform(0.0, 0.25), "air_flow": rng.uniform(0.0, 0.25),
                "plenum_pressure": rng.uniform(0.0, 0.12),
                "plenum_temperature": np.exp(rng.uniform(np.log(0.9), np.log(2.6)))}  # fmt: skip
        held = rng.uniform() < 0.5
        read = {}
        for name, values in columns.items():
            there = late(CubicSpline(GRID, values)(rpm), lags[name], held)
            offset = rng.uniform(-OFFSETS[name], OFFSETS[name])
            share = name in ("torque", "air_flow")
            there = there * (1.0 + offset) if share else there + offset
            size = NOISE[name] * (np.abs(there) if share else 1.0)
            there = there + size * rng.standard_t(5, rpm.size) / np.sqrt(5.0 / 3.0)
            read[name] = np.round(there / DIGIT[name]) * DIGIT[name]
        read |= {"engine_speed": rpm * np.pi / 30.0, "time": time}
        weather = {"barometer": PRESSURE, "ambient_temperature": TEMPERATURE,
                   "vapour_pressure": 0.0}  # fmt: skip
        return airchain.MeasuredPull.of(level, read, weather)


def parts(rng: np.random.Generator) -> dict[str, Callable[[float, float], float]]:
    """Errors of the parts over engine speed and over load against the tame step's, by part."""

    def part(size: float, *curves: Curve) -> Callable[[float, float], float]:
        # Heat, friction and residual gas change with load alike over thousands of rpm.
        grown, power = waves(rng, size, 2500.0), rng.uniform(0.7, 1.4)

        def error(rpm: float, ratio: float) -> float:
            far = np.clip(np.log(max(ratio, 1e-3)) / np.log(1.5), -2.0, 2.0)
            own = sum(float(curve(rpm)) for curve in curves)
            return float(grown(rpm)) * float(np.sign(far) * abs(far) ** power) + own

        return error

    extra = {"volumetric_efficiency": (dips(rng),), "indicated_efficiency": (step(rng),)}
    return {name: part(size, *extra.get(name, ())) for name, size in GROWTH.items()}


def late(values: np.ndarray, lag: float, held: bool) -> np.ndarray:
    """A first-order sensor's readings, which starts settled, to the speed or to the slope."""
    if lag < 1e-3:
        return values
    share = 1.0 - np.exp(-1.0 / (RATE_OF_ROWS * lag))
    read = np.empty_like(values)
    read[0] = values[0] - (0.0 if held else lag * RATE_OF_ROWS * (values[1] - values[0]))
    for i in range(1, values.size):
        read[i] = read[i - 1] + share * (0.5 * (values[i] + values[i - 1]) - read[i - 1])
    return read
