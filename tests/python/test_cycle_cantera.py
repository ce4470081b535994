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


CASES = [
    (2000, 100e3, 103e3, 1.0, None),
    (4500, 180e3, 120e3, 0.0, None),
    (7000, 100e3, 110e3, 1.0, None),
    # Burns that run 30 and 50 degrees past the exhaust's opening.
    (3000, 150e3, 120e3, 1.0, (2.2, 50.0)),
    (5500, 150e3, 120e3, 1.0, (2.6, 57.0)),
]


@pytest.mark.parametrize(("rpm", "plenum", "exhaust", "heat", "late"), CASES)
def test_cycle_agrees_with_cantera(
    rpm: float, plenum: float, exhaust: float, heat: float, late: tuple[float, float] | None
) -> None:
    """Cylinder pressure within 0.1 % rms of its peak, net work and filling within 0.15 %.

    Cantera 3.2, nasa_gas.yaml; burned gas of one composition here and there. The fuel's heating
    value is from another source there.
    """
    burn = late and _core.Burn(completeness=1.0, speed_exponent=0.0, duration=late[0])
    setup = bare_setup(heat, burn=burn or None)
    point = _core.CyclePoint(
        speed=rpm * RPM, plenum_pressure=plenum, plenum_temperature=305.0, exhaust_pressure=exhaust
    )
    if late:
        point = point.replace(half_burned=math.radians(late[1]))
    numbers, rows = _core.trace_cycle(setup, point, SETTLED)
    assert numbers["status"] == 0
    engine = same_engine(setup, point, numbers["burn_duration"], heat)
    if late:
        assert engine.burn_start + engine.burn_duration > engine.exhaust_opening + 0.5
    cycle = converged(cantera_cylinder.Network(engine))
    pressure = np.interp(cycle.angle, rows["angle"], rows["pressure"])
    rms = float(np.sqrt(np.mean((pressure - np.array(cycle.pressure)) ** 2)))
    work = numbers["imep"] * setup.crank.displacement
    print(
        f"{rpm} rpm {late}: rms {rms / max(cycle.pressure):.3%}, "
        f"work {work / cycle.work - 1:+.3%}, "
        f"fresh {numbers['fresh_mass'] / cycle.fresh_mass - 1:+.3%}, "
        f"peak {numbers['peak_pressure'] / max(cycle.pressure) - 1:+.3%}"
    )
    assert rms < 1e-3 * max(cycle.pressure)
    assert work == pytest.approx(cycle.work, rel=1.5e-3)
    assert numbers["fresh_mass"] == pytest.approx(cycle.fresh_mass, rel=1.5e-3)
    assert numbers["peak_pressure"] == pytest.approx(max(cycle.pressure), rel=3e-3)


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
