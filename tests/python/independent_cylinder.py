"""One cylinder without pipes: geometry, nozzle, burn, heat loss, anew from their sources.

The two oracles of test_cycle_cantera.py, a Cantera reactor network and SciPy, stand on it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np


@dataclass
class Engine:
    """SI units; angles in rad, 0 at firing top centre."""

    bore: float
    stroke: float
    rod: float
    compression_ratio: float
    speed: float
    intake_area: Callable[[float], float]
    exhaust_area: Callable[[float], float]
    intake_opening: float
    intake_closing: float
    exhaust_opening: float
    exhaust_closing: float
    burn_start: float
    burn_duration: float
    plenum: tuple[float, float]  # pressure, temperature
    collector: tuple[float, float]
    fresh: dict[str, float]  # mass fractions
    burned: dict[str, float]
    wiebe: tuple[float, float] = (5.0, 2.0)  # factor, exponent
    heat_multiplier: float = 0.0
    walls: tuple[float, float, float] = (480.0, 520.0, 420.0)  # head, piston, liner
    area_ratios: tuple[float, float] = (1.25, 1.05)  # head, piston

    @property
    def piston_area(self) -> float:
        return math.pi / 4 * self.bore**2

    @property
    def displacement(self) -> float:
        return self.piston_area * self.stroke

    def travel(self, angle: float) -> float:
        """[Heywood 1988, eq. 2.5]."""
        a = self.stroke / 2
        s = a * math.cos(angle) + math.sqrt(self.rod**2 - (a * math.sin(angle)) ** 2)
        return self.rod + a - s

    def volume(self, angle: float) -> float:
        clearance = self.displacement / (self.compression_ratio - 1)
        return clearance + self.piston_area * self.travel(angle)

    def piston_speed(self, angle: float) -> float:
        a, s = self.stroke / 2, math.sin(angle)
        root = math.sqrt(self.rod**2 - (a * s) ** 2)
        return self.speed * (a * s + a**2 * s * math.cos(angle) / root)

    def burn_rate(self, angle: float) -> float:
        """Wiebe's share per crank angle, scaled to end at 1."""
        factor, m = self.wiebe
        y = (angle - self.burn_start) / self.burn_duration
        if not 0.0 < y < 1.0:
            return 0.0
        rate = factor * (m + 1) * y**m * math.exp(-factor * y ** (m + 1)) / self.burn_duration
        return rate / (1 - math.exp(-factor))

    def burned_share(self, angle: float) -> float:
        """Share burned by Wiebe's law."""
        factor, m = self.wiebe
        y = min(max((angle - self.burn_start) / self.burn_duration, 0.0), 1.0)
        return (1 - math.exp(-factor * y ** (m + 1))) / (1 - math.exp(-factor))

    def burning(self, angle: float, fresh: float) -> float:
        """Mass that burns per crank angle of the fresh charge that is still there."""
        return self.burn_rate(angle) * fresh / max(1 - self.burned_share(angle), 1e-9)

    def stops(self, step: float) -> list[tuple[float, bool]]:
        """Angles from inlet closing to inlet closing, and whether a slope jumps there."""
        first = self.intake_closing - 4 * math.pi
        corners = {
            self.exhaust_opening,
            self.intake_opening,
            self.exhaust_closing,
            self.burn_start,
            self.burn_start + self.burn_duration,
        }
        every = np.arange(first + step, self.intake_closing - 1e-9, step)
        angles = sorted({*map(float, every), *corners, self.intake_closing})
        return [(a, a in corners) for a in angles if a > first + 1e-9]


def nozzle_flow(p: float, t: float, r: float, gamma: float, behind: float) -> float:
    """Mass flow per area [Heywood 1988, eqs C.8 and C.9]."""
    ratio = max(behind / p, (2 / (gamma + 1)) ** (gamma / (gamma - 1)))
    inner = ratio ** (2 / gamma) - ratio ** ((gamma + 1) / gamma)
    return p / math.sqrt(r * t) * math.sqrt(2 * gamma / (gamma - 1) * max(inner, 0.0))


@dataclass
class Trapped:
    pressure: float
    temperature: float
    volume: float
    fresh: float


def heat_flow(e: Engine, start: Trapped, angle: float, p: float, t: float) -> float:
    """To the walls [W] [Woschni 1967, as in Heywood 1988, 12.17 to 12.19, from memory]."""
    if e.heat_multiplier == 0.0:
        return 0.0
    closed = angle < e.exhaust_opening
    speed = (2.28 if closed else 6.18) * e.stroke * e.speed / math.pi
    if closed and angle > e.burn_start:
        motored = start.pressure * (start.volume / e.volume(angle)) ** 1.3
        stir = 3.24e-3 * e.displacement * start.temperature / (start.pressure * start.volume)
        speed += stir * max(p - motored, 0.0)
    h = 3.26 * e.bore**-0.2 * (p / 1000) ** 0.8 * t**-0.55 * speed**0.8
    liner = math.pi * e.bore * e.travel(angle)
    head, piston = (k * e.piston_area for k in e.area_ratios)
    walls = zip((head, piston, liner), e.walls, strict=True)
    return e.heat_multiplier * h * sum(area * (t - wall) for area, wall in walls)


@dataclass
class Cycle:
    """One cycle from inlet closing to inlet closing."""

    angle: list[float] = field(default_factory=list)
    pressure: list[float] = field(default_factory=list)
    volume: list[float] = field(default_factory=list)
    temperature: list[float] = field(default_factory=list)
    trapped_mass: float = 0.0
    fresh_mass: float = 0.0

    @property
    def work(self) -> float:
        """Over the whole cycle, by the trapezoidal rule."""
        p, v = (
            np.array([*self.pressure, self.pressure[0]]),
            np.array([*self.volume, self.volume[0]]),
        )
        return float(np.sum((p[1:] + p[:-1]) / 2 * np.diff(v)))


class Runs(Protocol):
    """What runs one cycle after the other."""

    def run_cycle(self, step: float = ...) -> Cycle: ...


def converged(runs: Runs, tolerance: float = 1e-4, most: int = 8) -> Cycle:
    """Cycles until the trapped charge repeats."""
    before = runs.run_cycle()
    for _ in range(most):
        now = runs.run_cycle()
        if abs(now.fresh_mass / before.fresh_mass - 1) < tolerance:
            return now
        before = now
    raise RuntimeError("the cylinder did not settle")
