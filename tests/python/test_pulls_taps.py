"""Total pressures of taps in the walls of pipes."""

import numpy as np
import pytest

from airchain import InputError
from airchain.measured.measured import MeasuredPull
from logs import RAD, RPM, TORQUE

#: Mach number, static over total pressure and temperature [NACA Report 1135, air, table II].
TABLE = ((0.10, 0.9930, 0.9980), (0.25, 0.9575, 0.9877), (0.50, 0.8430, 0.9524))
DIAMETER = 0.0889


def pull(mach: float, share: float, cooling: float) -> MeasuredPull:
    total, hot = 230e3, 420.0
    static, temperature = total * share, hot * cooling
    sound = np.sqrt(1.4 * 287.05 * temperature)
    flow = static / (287.05 * temperature) * mach * sound * np.pi / 4 * DIAMETER**2
    rows = np.ones_like(RPM)
    return MeasuredPull.of(
        "x",
        {
            "engine_speed": RPM * RAD,
            "torque": TORQUE,
            "air_flow": flow * rows,
            "compressor_outlet_pressure": static * rows,
            "compressor_outlet_temperature": hot * rows,
        },
    )


@pytest.mark.parametrize(("mach", "share", "cooling"), TABLE)
def test_agrees_with_the_published_table(mach: float, share: float, cooling: float) -> None:
    made = pull(mach, share, cooling)
    found = made.from_wall_taps({"compressor_outlet_pressure": f"{1e3 * DIAMETER} mm"})
    assert found["compressor_outlet_pressure"] == pytest.approx(230e3, rel=1e-3)
    assert found["torque"] == pytest.approx(made["torque"])
    assert f"{100 * (1 / share - 1):.1f} % higher" in str(found.findings[-1])


def test_says_what_is_wrong() -> None:
    made = pull(*TABLE[1])
    tap = {"compressor_outlet_pressure": "3.5 in"}
    with pytest.raises(InputError, match="no air_flow"):
        made.with_columns(air_flow=None).from_wall_taps(tap)
    with pytest.raises(InputError, match=r"less than Mach 0\.8"):
        made.from_wall_taps({"compressor_outlet_pressure": "1.5 in"})
    with pytest.raises(InputError, match=r"between 10 mm and 0\.5 m"):
        made.from_wall_taps({"compressor_outlet_pressure": "3 mm"})
    with pytest.raises(InputError, match="a pressure of a pipe"):
        made.from_wall_taps({"torque": "3.5 in"})
