"""A closed cylinder whose burned gas is in equilibrium by Cantera: an oracle of the cycle.

Composition from Cantera's equilibrium at temperature and pressure, frozen below 1,700 K as it is
there; energies with heats of formation; time integration by SciPy.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import cantera as ct
import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import RectBivariateSpline

from independent_cylinder import Engine, Trapped, heat_flow
from scipy_cylinder import GasClass

FROZEN_BELOW = 1700.0
KINDS = ("CO2", "CO", "H2O", "H2", "O2", "N2", "OH", "H", "O", "NO", "N", "Ar")


def burned_gas() -> ct.Solution:
    """NASA polynomials at their own standard pressure of 1 bar."""
    species = []
    for one in ct.Species.list_from_file("nasa_gas.yaml"):
        if one.name in KINDS:
            data = one.input_data
            data["thermo"]["reference-pressure"] = 1e5
            species.append(ct.Species.from_dict(data))
    return ct.Solution(thermo="ideal-gas", kinetics="gas", species=species)


class BurnedGas:
    """Internal energy and gas constant over temperature and pressure."""

    def __init__(self, moles: dict[str, float]) -> None:
        gas = burned_gas()
        t = np.arange(250.0, 3300.0, 25.0)
        p = np.exp(np.linspace(math.log(0.4e5), math.log(400e5), 28))
        energy, constant = np.empty((t.size, p.size)), np.empty((t.size, p.size))
        for j, pressure in enumerate(p):
            gas.TPX = FROZEN_BELOW, pressure, moles
            gas.equilibrate("TP")
            held = gas.Y.copy()
            for i, temperature in enumerate(t):
                gas.TPY = temperature, pressure, held
                if temperature > FROZEN_BELOW:
                    gas.equilibrate("TP")
                energy[i, j] = gas.int_energy_mass
                constant[i, j] = ct.gas_constant / gas.mean_molecular_weight
        self.energy = RectBivariateSpline(t, np.log(p), energy)
        self.constant = RectBivariateSpline(t, np.log(p), constant)


@dataclass
class Closed:
    """Pressure over crank angle, and work, from inlet closing to exhaust opening."""

    angle: np.ndarray
    pressure: np.ndarray
    work: float


def closed_cycle(
    engine: Engine,
    fresh: GasClass,
    burned: BurnedGas,
    start: dict[str, float],
    step: float = math.radians(0.5),
) -> Closed:
    """From pressure, temperature, mass and residual share at inlet closing.

    State: internal energy and work; the burned share follows the burn law.
    """
    first = engine.intake_closing - 4 * math.pi
    mass, residual = start["mass"], start["residual"]
    trapped = Trapped(
        start["pressure"], start["temperature"], engine.volume(first), mass * (1 - residual)
    )
    guess = [start["temperature"]]

    def gas_at(angle: float, energy: float) -> tuple[float, float]:
        """Pressure and temperature of an energy, by Newton's method."""
        y = residual + (1 - residual) * engine.burned_share(angle)
        volume, t = engine.volume(angle), guess[0]
        p = mass * fresh.r * t / volume
        for _ in range(30):
            for _ in range(2):
                r = (1 - y) * fresh.r + y * float(burned.constant(t, math.log(p))[0, 0])
                p = mass * r * t / volume
            u_f, c_f = fresh.energy_and_heat(t)
            u = (1 - y) * u_f + y * float(burned.energy(t, math.log(p))[0, 0])
            c = (1 - y) * c_f + y * float(burned.energy(t, math.log(p), dx=1)[0, 0])
            miss = energy / mass - u
            t += miss / c
            if abs(miss / c) < 1e-7:
                break
        guess[0] = t
        return p, t

    def slope(angle: float, state: np.ndarray) -> list[float]:
        p, t = gas_at(angle, state[0])
        work = p * engine.piston_area * engine.piston_speed(angle)
        return [
            (-work - heat_flow(engine, trapped, angle, p, t)) / engine.speed,
            work / engine.speed,
        ]

    u_f = fresh.energy_and_heat(start["temperature"])[0]
    at = math.log(start["pressure"])
    u_b = float(burned.energy(start["temperature"], at)[0, 0])
    state = [mass * ((1 - residual) * u_f + residual * u_b), 0.0]
    ends = [first, engine.burn_start, engine.exhaust_opening]
    angles, pressures = [], []
    for begin, end in pairwise(ends):
        marks = np.append(np.arange(begin, end, step), end)
        solved = solve_ivp(slope, (begin, end), state, "RK45", marks, rtol=1e-7, atol=1e-5)
        state = list(solved.y[:, -1])
        for angle, energy in zip(marks, solved.y[0], strict=True):
            angles.append(angle)
            pressures.append(gas_at(angle, energy)[0])
    return Closed(np.array(angles), np.array(pressures), state[1])
