"""A cylinder without pipes as a Cantera reactor network: the oracle of test_cycle_cantera.py.

Thermodynamics, the reactor's equations and time integration are Cantera's; flows through the
valves, burn and heat loss are added to them. The heat of the burn comes out of the species'
enthalpies of formation.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import cantera as ct
import numpy as np

from independent_cylinder import Cycle, Engine, Trapped, heat_flow, nozzle_flow

SPECIES = ("O2", "N2", "Ar", "CO2", "H2O", "C2H5OH")


def ideal_gas() -> ct.Solution:
    """Frozen mixture of NASA polynomials."""
    wanted = [s for s in ct.Species.list_from_file("nasa_gas.yaml") if s.name in SPECIES]
    return ct.Solution(thermo="ideal-gas", kinetics="gas", species=wanted)


class Cylinder(ct.ExtensibleIdealGasReactor):
    """The engine's cylinder: flows, burn and heat loss are added to Cantera's equations of it."""

    def prepare(self, engine: Engine, y_fresh: np.ndarray, y_burned: np.ndarray) -> None:
        self.engine, self.y_fresh, self.y_burned = engine, y_fresh, y_burned
        self.offset = 0.0  # angle at time 0 of the network
        self.trapped = Trapped(1e5, 300.0, engine.displacement, 0.0)
        self.ports: list[tuple[ct.Solution, Callable[[float], float]]] = []

    def after_eval(self, t: float, LHS: np.ndarray, RHS: np.ndarray) -> None:
        """[Cantera's IdealGasReactor]: mass, m cv dT/dt and m dY/dt are RHS[0], RHS[2], RHS[3:]."""
        angle = self.offset + self.engine.speed * t
        own = self.phase
        energies = own.partial_molar_int_energies / own.molecular_weights
        for outside, area in self.ports:
            flow = self.flow_from(outside, area(angle))
            RHS[0] += flow
            if flow > 0.0:
                RHS[2] += flow * (outside.enthalpy_mass - float(np.dot(outside.Y, energies)))
                RHS[3:] += flow * (outside.Y - own.Y)
            else:
                RHS[2] += flow * own.P / own.density
        rate = self.engine.burning(angle, self.fresh_share() * self.mass) * self.engine.speed
        if rate > 0.0:
            change = rate * (self.y_burned - self.y_fresh)
            RHS[3:] += change
            RHS[2] -= float(np.dot(change, energies))
        RHS[2] -= heat_flow(self.engine, self.trapped, angle, own.P, own.T)

    def fresh_share(self) -> float:
        """Mass fraction that is not burned gas, by its fuel, which every burn uses up."""
        k = self.phase.species_index("C2H5OH")
        return float(self.phase.Y[k] / self.y_fresh[k])

    def flow_from(self, outside: ct.Solution, area: float) -> float:
        """Mass flow into the cylinder through an effective area."""
        if area <= 0.0:
            return 0.0
        p_out, p_in = outside.P, self.phase.P
        gas = outside if p_out > p_in else self.phase
        r = ct.gas_constant / gas.mean_molecular_weight
        gamma = gas.cp_mass / gas.cv_mass
        flow = area * nozzle_flow(max(p_in, p_out), gas.T, r, gamma, min(p_in, p_out))
        return flow if p_out > p_in else -flow


class Network:
    """Cylinder between a plenum of fresh and a collector of burned gas, all at rest."""

    def __init__(self, engine: Engine, rtol: float = 1e-8, atol: float = 1e-12) -> None:
        self.engine = engine
        plenum, collector, inside = (ideal_gas() for _ in range(3))
        plenum.TPY = engine.plenum[1], engine.plenum[0], engine.fresh
        collector.TPY = engine.collector[1], engine.collector[0], engine.burned
        y_fresh, y_burned = plenum.Y.copy(), collector.Y.copy()
        residual = 0.06  # a guess, as the temperature; the cycles forget it
        mixed = (1 - residual) * y_fresh + residual * y_burned
        inside.TPY = 1.15 * engine.plenum[1], engine.plenum[0], mixed
        self.cylinder = Cylinder(inside, clone=False)
        self.cylinder.prepare(engine, y_fresh, y_burned)
        self.cylinder.ports = [(plenum, engine.intake_area), (collector, engine.exhaust_area)]
        self.cylinder.volume = engine.volume(engine.intake_closing)
        self.wall = ct.Wall(ct.Reservoir(plenum, clone=False), self.cylinder, A=engine.piston_area)
        self.wall.velocity = lambda t: -engine.piston_speed(self.cylinder.offset + engine.speed * t)
        self.net = ct.ReactorNet([self.cylinder])
        self.net.rtol, self.net.atol = rtol, atol
        self.net.max_time_step = math.radians(5.0) / engine.speed
        self.cycles = 0

    def fresh_mass(self) -> float:
        """Mass that is not burned gas."""
        return self.cylinder.fresh_share() * float(self.cylinder.mass)

    def run_cycle(self, step: float = math.radians(0.5)) -> Cycle:
        engine, cylinder = self.engine, self.cylinder
        period, gas = 4 * math.pi / engine.speed, cylinder.phase
        start = self.cycles * period
        cylinder.offset = engine.intake_closing - 4 * math.pi * (1 + self.cycles)
        volume = engine.volume(engine.intake_closing)
        cycle = Cycle(trapped_mass=cylinder.mass, fresh_mass=self.fresh_mass())
        cylinder.trapped = Trapped(gas.P, gas.T, volume, cycle.fresh_mass)
        first = engine.intake_closing - 4 * math.pi
        for angle, corner in engine.stops(step):
            self.net.advance(start + (angle - first) / engine.speed)
            if corner:
                self.net.reinitialize()
            cycle.angle.append(angle)
            cycle.pressure.append(gas.P)
            cycle.volume.append(cylinder.volume)
            cycle.temperature.append(gas.T)
        self.cycles += 1
        return cycle
