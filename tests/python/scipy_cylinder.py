"""A cylinder without pipes in SciPy: two classes of gas, three equations, solve_ivp.

The independent cylinder of test_cycle_cantera.py, and the peer of tests/bench/run_cycle.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cantera as ct
import numpy as np
from scipy.integrate import solve_ivp

from independent_cylinder import Cycle, Engine, Trapped, heat_flow, nozzle_flow


@dataclass(frozen=True)
class GasClass:
    """Frozen mixture of NASA polynomials per kilogram, formation included."""

    r: float
    low: tuple[float, ...]  # enthalpy over temperature: constant term first
    high: tuple[float, ...]

    @classmethod
    def of(cls, gas: ct.Solution, fractions: dict[str, float]) -> GasClass:
        low, high, total = np.zeros(6), np.zeros(6), 0.0
        for name, share in fractions.items():
            species = gas.species(name)
            r = share * ct.gas_constant / species.molecular_weight
            total += r
            c = species.thermo.coeffs  # boundary, seven of the high range, seven of the low
            for sums, start in ((high, 1), (low, 8)):
                powers = [c[start + k] / (k + 1) for k in range(5)]
                sums += r * np.array([c[start + 5], *powers])
        return cls(total, tuple(low), tuple(high))

    def energy_and_heat(self, t: float) -> tuple[float, float]:
        """Internal energy [J/kg] and heat capacity at constant volume [J/(kg K)]."""
        a = self.low if t < 1000.0 else self.high
        h = a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * (a[4] + t * a[5]))))
        cp = a[1] + t * (2 * a[2] + t * (3 * a[3] + t * (4 * a[4] + t * 5 * a[5])))
        return h - self.r * t, cp - self.r


class Cylinder:
    """State: total mass, burned mass, temperature."""

    def __init__(self, engine: Engine, gas: ct.Solution, rtol: float = 1e-8, method: str = "LSODA"):
        self.engine, self.rtol, self.method = engine, rtol, method
        self.fresh = GasClass.of(gas, engine.fresh)
        self.burned = GasClass.of(gas, engine.burned)
        volume = engine.volume(engine.intake_closing)
        residual, t = 0.06, 1.15 * engine.plenum[1]
        r = (1 - residual) * self.fresh.r + residual * self.burned.r
        mass = engine.plenum[0] * volume / (r * t)
        self.state = np.array([mass, residual * mass, t])

    def slope(self, angle: float, state: np.ndarray, start: Trapped) -> tuple[float, float, float]:
        """Per crank angle."""
        e = self.engine
        mass, burned_mass, t = state
        share = burned_mass / mass
        (u_f, c_f), (u_b, c_b) = self.fresh.energy_and_heat(t), self.burned.energy_and_heat(t)
        r = self.fresh.r + share * (self.burned.r - self.fresh.r)
        heat = c_f + share * (c_b - c_f)
        p = mass * r * t / e.volume(angle)
        energy = -p * e.piston_area * e.piston_speed(angle) - heat_flow(e, start, angle, p, t)
        flows = [0.0, 0.0]  # fresh, burned
        for k, (area, outside, (p_out, t_out)) in enumerate(
            ((e.intake_area, self.fresh, e.plenum), (e.exhaust_area, self.burned, e.collector))
        ):
            open_area = area(angle)
            if open_area <= 0.0:
                continue
            if p_out > p:
                u, c = outside.energy_and_heat(t_out)
                flow = open_area * nozzle_flow(p_out, t_out, outside.r, 1 + outside.r / c, p)
                flows[k] += flow
                energy += flow * (u + outside.r * t_out)
            else:
                flow = open_area * nozzle_flow(p, t, r, 1 + r / heat, p_out)
                flows[0] -= flow * (1 - share)
                flows[1] -= flow * share
                energy -= flow * (u_f + share * (u_b - u_f) + r * t)
        burning = e.burning(angle, mass - burned_mass) * e.speed
        fresh_rate, burned_rate = flows[0] - burning, flows[1] + burning
        rise = (energy - fresh_rate * u_f - burned_rate * u_b) / (mass * heat)
        return (
            (fresh_rate + burned_rate) / e.speed,
            burned_rate / e.speed,
            rise / e.speed,
        )

    def pressure(self, angle: float) -> float:
        mass, burned, t = self.state
        r = self.fresh.r + burned / mass * (self.burned.r - self.fresh.r)
        return float(mass * r * t / self.engine.volume(angle))

    def run_cycle(self, step: float = math.radians(0.5)) -> Cycle:
        e = self.engine
        angle = e.intake_closing - 4 * math.pi
        mass, burned, t = self.state
        cycle = Cycle(trapped_mass=float(mass), fresh_mass=float(mass - burned))
        volume = e.volume(angle)
        start = Trapped(self.pressure(angle), float(t), volume, cycle.fresh_mass)
        stops = e.stops(step)
        corners = [k for k, (_, corner) in enumerate(stops) if corner] + [len(stops) - 1]
        begin = 0
        for end in corners:
            marks = [a for a, _ in stops[begin : end + 1]]
            solved = solve_ivp(
                self.slope, (angle, marks[-1]), self.state, self.method, marks, args=(start,),
                rtol=self.rtol, atol=[1e-12, 1e-12, 1e-5],
            )  # fmt: skip
            for k, a in enumerate(marks):
                self.state = solved.y[:, k]
                cycle.angle.append(a)
                cycle.pressure.append(self.pressure(a))
                cycle.volume.append(e.volume(a))
                cycle.temperature.append(float(self.state[2]))
            angle, begin = marks[-1], end + 1
        return cycle
