"""The cycle against independent cylinders: a Cantera reactor network and SciPy, without pipes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from airchain import _core

cantera_cylinder = pytest.importorskip("cantera_cylinder", reason="needs Cantera")
from bare_cylinder import bare_setup, same_engine  # noqa: E402
from independent_cylinder import converged  # noqa: E402
from scipy_cylinder import Cylinder  # noqa: E402

RPM = math.pi / 30
SETTLED = _core.CycleControls(tolerance=1e-6)


@pytest.mark.parametrize(
    ("rpm", "plenum", "exhaust", "heat"),
    [(2000, 100e3, 103e3, 1.0), (4500, 180e3, 120e3, 0.0), (7000, 100e3, 110e3, 1.0)],
)
def test_cycle_agrees_with_cantera(rpm: float, plenum: float, exhaust: float, heat: float) -> None:
    """Cylinder pressure within 1 % rms of its peak, net work and filling within 0.5 %.

    Cantera 3.2, nasa_gas.yaml; the fuel vapour's heat capacity and the fuel's heating value are
    from other sources there.
    """
    setup = bare_setup(heat)
    point = _core.CyclePoint(
        speed=rpm * RPM, plenum_pressure=plenum, plenum_temperature=305.0, exhaust_pressure=exhaust
    )
    numbers, rows = _core.trace_cycle(setup, point, SETTLED)
    assert numbers["status"] == 0
    engine = same_engine(setup, point, numbers["burn_duration"], heat)
    cycle = converged(cantera_cylinder.Network(engine))
    pressure = np.interp(cycle.angle, rows["angle"], rows["pressure"])
    rms = float(np.sqrt(np.mean((pressure - np.array(cycle.pressure)) ** 2)))
    assert rms < 0.01 * max(cycle.pressure)
    assert numbers["imep"] * setup.crank.displacement == pytest.approx(cycle.work, rel=5e-3)
    assert numbers["fresh_mass"] == pytest.approx(cycle.fresh_mass, rel=5e-3)
    assert numbers["peak_pressure"] == pytest.approx(max(cycle.pressure), rel=0.01)


def test_cycle_agrees_with_scipy() -> None:
    """The same in SciPy's LSODA; its gas has two classes as ours, of Cantera's coefficients."""
    setup = bare_setup()
    point = _core.CyclePoint(
        speed=3000 * RPM, plenum_pressure=150e3, plenum_temperature=305.0, exhaust_pressure=120e3
    )
    numbers, rows = _core.trace_cycle(setup, point, SETTLED)
    engine = same_engine(setup, point, numbers["burn_duration"], 1.0)
    cycle = converged(Cylinder(engine, cantera_cylinder.ideal_gas()))
    pressure = np.interp(cycle.angle, rows["angle"], rows["pressure"])
    rms = float(np.sqrt(np.mean((pressure - np.array(cycle.pressure)) ** 2)))
    assert rms < 0.01 * max(cycle.pressure)
    assert numbers["imep"] * setup.crank.displacement == pytest.approx(cycle.work, rel=5e-3)
    assert numbers["fresh_mass"] == pytest.approx(cycle.fresh_mass, rel=5e-3)
