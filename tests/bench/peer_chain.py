"""The airflow chain once more, in plain Python over arrays or single numbers: the benchmark's peer.

Same stations and equations as the core, written apart from it. Left out: condensation, bypass,
belts, part throttle beyond choking, margins, and every status but a NaN. Heat capacity of dry air
by a textbook fit, so that air flow agrees within 1e-3, not to the last digits.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator, RectBivariateSpline
from scipy.optimize import brentq

R_AIR, R_WATER = 287.05, 461.5
DATUM = 298.15


def _enthalpy(t: Any, vapour: float) -> Any:
    # cp = 1002.5 + 275e-6 (T - 200)^2 J/(kg K), a textbook fit for dry air; vapour 1870 J/(kg K).
    return 1002.5 * t + 275e-6 / 3.0 * (t - 200.0) ** 3 + vapour * 1870.0 * t


def _heat_capacity(t: Any, vapour: float) -> Any:
    return 1002.5 + 275e-6 * (t - 200.0) ** 2 + vapour * 1870.0


def _temperature_after(t: Any, rise: Any, vapour: float) -> Any:
    x = t + rise / _heat_capacity(t, vapour)
    for _ in range(2):
        missing = _enthalpy(t, vapour) + rise - _enthalpy(x, vapour)
        x = x + missing / _heat_capacity(x, vapour)
    return x


class PeerChain:
    """The chain of a build, ready to be asked for points.

    Parameters
    ----------
    chain : Chain
        Stations of the core; only their numbers are read.
    """

    def __init__(self, chain: Any) -> None:
        self.c = c = chain
        air = c.ambient
        saturation = 610.94 * np.exp(
            17.625 * (air.temperature - 273.15) / (air.temperature - 30.11)
        )  # Magnus
        partial = air.relative_humidity * saturation
        self.vapour = 0.62198 * partial / (air.pressure - partial)
        self.gas = (R_AIR + self.vapour * R_WATER) / (1.0 + self.vapour)
        self.entry = air.temperature + c.scoop.temperature_rise
        ram = 0.5 * air.pressure / (self.gas * air.temperature) * c.scoop.air_speed**2
        self.inlet_pressure = air.pressure + c.scoop.recovery * ram
        cp = _heat_capacity(self.entry, self.vapour) / (1.0 + self.vapour)
        self.gamma = cp / (cp - self.gas)
        self._lay_map(c.compressor.map)
        self._lay_breathing(c.breathing.table)
        self._lay_fuel()

    def _lay_map(self, compressor_map: Any) -> None:
        reference = compressor_map.reference
        self.design = compressor_map.design_speed
        self.reference_sound = reference.gamma * reference.gas_constant * reference.temperature
        self.flow_unit = np.sqrt(
            reference.gas_constant * reference.temperature / reference.gamma
        ) / (reference.pressure * np.sqrt(self.gas * self.entry / self.gamma))
        n = np.linspace(compressor_map.lowest_speed, self.design, 90) / self.design
        place = np.linspace(0.0, 1.0, 61)
        points = [[compressor_map.at(x * self.design, y) for y in place] for x in n]
        flow, ratio, work = (
            np.array([[getattr(p, name) for p in row] for row in points])
            for name in ("flow", "pressure_ratio", "work")
        )
        speed = n[:, None]
        self.phi = RectBivariateSpline(n, place, flow / speed)
        self.log_ratio = RectBivariateSpline(n, place, np.log(ratio) / speed**2)
        self.work = RectBivariateSpline(n, place, work / (self.reference_sound * speed**2))

    def _lay_breathing(self, table: Any) -> None:
        speeds = np.asarray(table.engine_speed)
        ratios = np.asarray(table.pressure_ratio)
        fine_speeds = np.linspace(speeds[0], speeds[-1], 121)
        fine_ratios = np.linspace(ratios[0], ratios[-1], 61)
        rows = PchipInterpolator(ratios, np.asarray(table.values), axis=1)(fine_ratios)
        values = PchipInterpolator(speeds, rows, axis=0)(fine_speeds)
        self.breathing = RectBivariateSpline(fine_speeds, fine_ratios, values)

    def _lay_fuel(self) -> None:
        c, fuel = self.c, self.c.fuel
        carbon, hydrogen, oxygen = 12.011, fuel.hydrogen_ratio * 1.008, fuel.oxygen_ratio * 15.999
        mass = carbon + hydrogen + oxygen
        demand = 1.0 + fuel.hydrogen_ratio / 4.0 - fuel.oxygen_ratio / 2.0
        stoichiometric = demand / 0.209476 * 28.965 / mass
        self.far = 1.0 / (c.injection.lambda_ * stoichiometric)
        self.evaporated = self.far * c.injection.evaporated_fraction
        self.liquid = self.far - self.evaporated
        self.fuel_gas = 8.314462618 / fuel.vapour_molar_mass
        lean_off = c.injection.lambda_ - 1.0
        rich = 0.5 * (lean_off - np.hypot(lean_off, 0.032) + 0.032)
        tight = np.log(c.engine.compression_ratio / 10.0)
        o = fuel.oxygen_ratio
        self.indicated = (
            c.combustion.quality
            * (1.0 - c.engine.compression_ratio**-0.26)
            * np.exp(rich * (0.9832 - 1.4831 * rich - 0.0862 * o**2) + 0.0455 * o - 0.0609 * tight)
        )
        self.walls = np.exp(-2.2629 + rich * (1.1297 - 2.6657 * rich) - 0.054 * o + 0.2084 * tight)
        # Products at the water-gas constant 3.5; carbon monoxide and hydrogen leave unburned.
        half = 0.5 * fuel.hydrogen_ratio
        lean = min(c.injection.lambda_, 1.0)
        sum_ = fuel.oxygen_ratio + 2.0 * lean * demand - 1.0
        b = sum_ + 1.0 + 3.5 * (half - sum_)
        dioxide = 2.0 * sum_ / (b + np.sqrt(b * b + 10.0 * sum_))
        lost = (1.0 - dioxide) * 282.98e3 + (half - sum_ + dioxide) * 241.83e3
        self.burned = 1.0 - lost / (fuel.lower_heating_value * mass * 1e-3)

    def path(self, place: Any, engine_speed: Any, drive_ratio: Any) -> dict[str, Any]:
        """Solve every station at a place along the speed line [dimensionless].

        Speeds [rad/s]; the result is SI and holds what comes in and what the engine takes.
        """
        c = self.c
        rotor = engine_speed * drive_ratio * c.drive.step_up
        n = (
            rotor
            / self.design
            * np.sqrt(self.reference_sound / (self.gamma * self.gas * self.entry))
        )
        corrected = self.phi(n, place, grid=False) * n
        gas_per_pressure = corrected * self.flow_unit
        load = gas_per_pressure**2 * self.gas * self.entry
        k = c.inlet.loss_coefficient / (2.0 * c.inlet.area**2)
        p1 = self.inlet_pressure * 2.0 / (1.0 + np.sqrt(1.0 + 4.0 * k * load))
        gas_flow = gas_per_pressure * p1
        flow = gas_flow / (1.0 + self.vapour)
        p2 = p1 * np.exp(self.log_ratio(n, place, grid=False) * n**2)
        work = self.work(n, place, grid=False) * n**2 * self.gamma * self.gas * self.entry
        t2 = _temperature_after(self.entry, work * (1.0 + self.vapour), self.vapour)

        def lose(part: Any, pressure: Any, temperature: Any) -> Any:
            resistance = part.loss_coefficient / (2.0 * part.area**2)
            return pressure * (
                1.0 - resistance * gas_flow**2 * self.gas * temperature / pressure**2
            )

        p3 = lose(c.cooler, lose(c.discharge, p2, t2), t2)
        effectiveness = c.cooler.effectiveness * self.shape(gas_flow)
        t3 = t2 - effectiveness * (t2 - c.cooler.coolant_temperature)
        p4 = lose(c.charge_duct, p3, t3)
        body = c.throttle.area * c.throttle.discharge_coefficient * c.throttle.opening
        part = gas_flow * np.sqrt(self.gas * t3) / (p4 * body * 0.68473)
        plenum = p4 * (0.52828 + 0.47172 * np.sqrt(np.maximum(1.0 - part**2, 0.0)))
        return self._engine(engine_speed, flow, plenum, t3, work * gas_flow)

    def shape(self, gas_flow: Any) -> Any:
        """Cooler effectiveness over its factor [dimensionless] at a gas flow [kg/s]."""
        curve = self.c.cooler.shape
        if not hasattr(self, "_shape"):
            x = np.asarray(curve.x)
            self._shape = PchipInterpolator(x, curve.y) if x.size > 1 else None
            self._ends = x[0], x[-1]
        if self._shape is None:
            return 1.0
        return self._shape(np.clip(gas_flow, *self._ends))

    def _engine(
        self, speed: Any, flow: Any, plenum: Any, t3: Any, compression: Any
    ) -> dict[str, Any]:
        c, fuel, engine = self.c, self.c.fuel, self.c.engine
        brought = self.far * (
            fuel.liquid_heat_capacity * (c.injection.fuel_temperature - DATUM) - fuel.latent_heat
        )
        linear = (
            self.evaporated * fuel.vapour_heat_capacity + self.liquid * fuel.liquid_heat_capacity
        )
        target = _enthalpy(t3, self.vapour) + brought + self.liquid * fuel.latent_heat
        charge = t3
        for _ in range(3):
            miss = _enthalpy(charge, self.vapour) + linear * (charge - DATUM) - target
            charge = charge - miss / (_heat_capacity(charge, self.vapour) + linear)
        later = c.combustion.phasing_retard * np.maximum(plenum - 1e5, 0.0)
        late = np.degrees(c.combustion.phasing + later - c.combustion.best_phasing) / 10.0
        piston = engine.stroke * speed / np.pi
        rho = plenum / (R_AIR * charge)
        u, dense = 2.0 * (piston - 15.0) / (piston + 15.0), 2.0 * (rho - 1.2) / (rho + 1.2)
        indicated = (
            self.indicated
            * (1.0 - 0.0244 * late - 0.0178 * late**2)
            * (1.0 + 0.0198 * u + 0.0157 * dense)
        )
        walls = (
            self.walls
            * (1.0 + u * (-0.2204 + 0.3209 * u))
            * (1.0 + dense * (-0.3253 + 0.0914 * dense))
            * (1.0 + late * (-0.1412 + 0.0253 * late + 0.0594 * u))
        )
        mass = 1.0 + self.vapour + self.far
        heat = self.far * fuel.lower_heating_value
        left = heat * (self.burned - indicated - walls) / mass
        kept = 0.7907 + 0.0709 * u + 0.0185 * dense - 0.2007 * (left / 1.4e6 - 1.0)
        kept = kept - 0.2016 * (charge / 320.0 - 1.0)
        hot = charge + left * kept / 1208.0
        ambient = c.ambient.pressure
        k = 2.0 * c.exhaust.loss_coefficient / c.exhaust.area**2
        back = 0.5 * (ambient + np.sqrt(ambient**2 + k * 295.0 * hot * (flow * mass) ** 2))
        filling = self.breathing(speed, plenum / back, grid=False) * c.breathing.scale
        filling = filling * (charge / c.breathing.reference_temperature) ** (
            c.breathing.temperature_exponent
        )
        rate = engine.displacement * speed / (4.0 * np.pi)
        constant = R_AIR + self.vapour * R_WATER + self.evaporated * self.fuel_gas
        taken = filling * rate * plenum / (constant * charge)
        z = engine.valve_loss * piston**2 / (R_AIR * charge)
        d = np.sqrt(z) - 0.5
        shut = 0.5 * (d + np.hypot(d, 0.05)) - 0.5 * (-0.5 + np.hypot(0.5, 0.05))
        lost = z * filling * (1.0 + 0.44 * (filling - 1.0)) + 2.06 * (plenum / back - 0.533) * shut
        pumping = back - plenum + plenum * lost
        friction = engine.friction_constant + piston * (
            engine.friction_speed + engine.friction_speed_squared * piston
        )
        drive = compression / c.drive.efficiency
        power = taken * heat * indicated - (pumping + friction) * rate - drive
        return {"flow": flow, "taken": taken, "boost": plenum - ambient, "power": power,
                "charge_temperature": charge, "drive_power": drive}  # fmt: skip

    def imbalance(self, place: Any, engine_speed: Any, drive_ratio: Any) -> Any:
        """Difference over sum of what comes in and what the engine takes [dimensionless]."""
        p = self.path(place, engine_speed, drive_ratio)
        return (p["flow"] - p["taken"]) / (p["flow"] + p["taken"])

    def by_points(self, engine_speed: Any, drive_ratio: Any) -> dict[str, Any]:
        """Match point by point with SciPy's brentq; arrays of equal length [rad/s, 1]."""
        rows = []
        for speed, ratio in zip(engine_speed, drive_ratio, strict=True):
            place = brentq(self.imbalance, 0.0, 1.0, args=(speed, ratio), xtol=1e-13, rtol=1e-12)
            rows.append(self.path(place, speed, ratio))
        return {name: np.array([row[name] for row in rows]) for name in rows[0]}

    def by_arrays(self, engine_speed: Any, drive_ratio: Any) -> dict[str, Any]:
        """Match all points at once by secant steps over whole arrays [rad/s, 1]."""
        old = np.full(engine_speed.shape, 0.5)
        f_old = self.imbalance(old, engine_speed, drive_ratio)
        x = np.clip(old - f_old / 0.8, 0.0, 1.0)
        for _ in range(12):
            f = self.imbalance(x, engine_speed, drive_ratio)
            done = np.abs(f) < 1e-12
            if np.all(done):
                break
            step = np.where(done, 0.0, f * (x - old) / np.where(done, 1.0, f - f_old))
            old, f_old = x, f
            x = np.clip(x - step, 0.0, 1.0)
        return self.path(x, engine_speed, drive_ratio)
