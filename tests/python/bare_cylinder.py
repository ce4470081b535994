"""One cylinder without pipes: airchain's setup and the same engine for the independent ones.

Dimensions, lobes and flow benches are invented.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.interpolate import PchipInterpolator

from airchain import _core
from cantera_cylinder import ideal_gas
from independent_cylinder import Engine

DEGREE = math.pi / 180
FLOW_SHARES = ((0.05, 0.13), (0.1, 0.27), (0.15, 0.4), (0.2, 0.5), (0.25, 0.57), (0.3, 0.61))


def valve(
    duration: float, seat: float, lift: float, diameter: float, peak: float
) -> _core.ValveArea:
    """Effective area of a valve whose lobe peaks at a crank angle [deg]."""
    lobe = _core.Lobe(duration=duration * DEGREE, seat_duration=seat * DEGREE, lobe_lift=lift)
    bench_lift = np.array([share for share, _ in FLOW_SHARES]) * diameter
    area = np.array([share for _, share in FLOW_SHARES]) * math.pi / 4 * diameter**2
    spline = PchipInterpolator([0.0, *bench_lift], [0.0, *area])
    curve = _core.LiftCurve(lobe)
    angle = np.linspace(curve.opening, curve.closing, 600)
    areas = spline(np.clip(curve.at(angle), 0.0, None))
    areas[0] = areas[-1] = 0.0
    return _core.ValveArea(angle=angle + peak * DEGREE, area=areas)


def bare_setup(
    heat_multiplier: float = 1.0,
    mixture: float = 1.0,
    burned_gas: str = "frozen",
    burn: _core.Burn | None = None,
) -> _core.CycleSetup:
    """Ethanol vapour and dry air, evenly mixed; the burn is complete and as long at any speed."""
    pipe = _core.Pipe(length=0.3, diameter=0.05, far_diameter=0.05)
    runner = _core.Runner(taper=pipe, cells=0)
    return _core.CycleSetup(
        crank=_core.Crank(bore=0.1048, stroke=0.1016, rod_length=0.157, compression_ratio=9.5),
        intake_valve=valve(226, 276, 0.0085, 0.0525, 360 + 110),
        exhaust_valve=valve(232, 282, 0.0075, 0.0410, 360 - 116),
        intake=runner,
        exhaust=runner,
        burn=burn or _core.Burn(completeness=1.0, speed_exponent=0.0),
        burned_gas=burned_gas,
        heat_loss=_core.HeatLoss(multiplier=heat_multiplier),
        collector="held",  # as hot as the point has it, in the independent cylinders too
        mixture=_core.ChargeMixture(
            fuel=_core.generic_fuel("ethanol"),
            lambda_=mixture,
            evaporated_fraction=1.0,
            unevenness=0.0,
        ),
    )


def composition(mixture: float = 1.0) -> tuple[dict[str, float], dict[str, float]]:
    """Fresh charge as mass fractions, and the atoms of its products as moles, for Cantera."""
    air = {"N2": 0.780754, "O2": 0.209476, "Ar": 0.00937, "CO2": 0.0004}
    fuel = air["O2"] / 3.0 / mixture  # C2H5OH + 3 O2
    gas = ideal_gas()
    gas.TPX = 300.0, 1e5, air | {"C2H5OH": fuel}
    made = air | {"CO": 2 * fuel, "H2": 3 * fuel, "O2": air["O2"] - fuel / 2}
    return gas.mass_fraction_dict(), made


def complete() -> tuple[dict[str, float], dict[str, float]]:
    """Mass fractions of fresh charge at lambda 1 and of its complete products, for Cantera."""
    air = {"N2": 0.780754, "O2": 0.209476, "Ar": 0.00937, "CO2": 0.0004}
    fuel = air["O2"] / 3.0  # C2H5OH + 3 O2
    gas = ideal_gas()
    gas.TPX = 300.0, 1e5, air | {"C2H5OH": fuel}
    fresh = gas.mass_fraction_dict()
    made = {"N2": air["N2"], "Ar": air["Ar"], "CO2": air["CO2"] + 2 * fuel, "H2O": 3 * fuel}
    gas.TPX = 300.0, 1e5, made
    return fresh, gas.mass_fraction_dict()


def same_engine(
    setup: _core.CycleSetup, point: _core.CyclePoint, burn_duration: float, heat_multiplier: float
) -> Engine:
    """The engine of a setup and point, with the event table's own areas."""
    fresh, burned = complete()
    crank, burn = setup.crank, setup.burn
    half = 1 - 0.5 * (1 - math.exp(-burn.efficiency))
    place = (-math.log(half) / burn.efficiency) ** (1 / (burn.shape + 1))

    def area_of(valve: _core.ValveArea) -> object:
        curve = PchipInterpolator(valve.angle, valve.area)

        def area(angle: float) -> float:
            return float(curve(angle)) if valve.opening < angle < valve.closing else 0.0

        return area

    return Engine(
        bore=crank.bore,
        stroke=crank.stroke,
        rod=crank.rod_length,
        compression_ratio=crank.compression_ratio,
        speed=point.speed,
        intake_area=area_of(setup.intake_valve),
        exhaust_area=area_of(setup.exhaust_valve),
        intake_opening=setup.intake_valve.opening,
        intake_closing=setup.intake_valve.closing,
        exhaust_opening=setup.exhaust_valve.opening,
        exhaust_closing=setup.exhaust_valve.closing,
        burn_start=point.half_burned - place * burn_duration,
        burn_duration=burn_duration,
        plenum=(point.plenum_pressure, point.plenum_temperature),
        collector=(point.exhaust_pressure, point.collector_temperature),
        fresh=fresh,
        burned=burned,
        wiebe=(burn.efficiency, burn.shape),
        heat_multiplier=heat_multiplier,
    )
