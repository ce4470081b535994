"""The throttle that shuts, in time: against SciPy, in words, in a picture, and bad input."""

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import airchain
from airchain import _core
from airchain.base.speeds import RPM
from core_stations import refusal_of

ROOT = Path(__file__).resolve().parents[2]
VALVES = {"diameter": "38 mm", "count": 2, "delay": "10 ms", "opening_time": "30 ms"}
LIFT = {
    "volume": "12 L", "length": "1.4 m", "diameter": "80 mm", "closing_time": "60 ms",
    "shut_opening": 0.02, "duration": "300 ms", "step": None,
}  # fmt: skip


@cache
def build() -> Any:
    """The invented engine of the examples, in dry air, its fuel all liquid."""
    typed = {name: value for name, value in LIFT.items() if value is not None}
    return airchain.load(ROOT / "examples" / "one_point.toml").replace(
        {"ambient.humidity": "0 %", "fuel.evaporated_fraction": 0.0, "lift_off": typed}
    )


def nozzle(ratio: float) -> float:
    """W sqrt(R T)/(A p) of an isentropic nozzle [St Venant and Wantzel], gamma of 1.4."""
    r = max(ratio, 0.5282818)
    return float(np.sqrt(7.0 * max(r ** (2.0 / 1.4) - r ** (2.4 / 1.4), 0.0)))


def by_scipy(lift: Any, area: float, until: float) -> Any:
    """The same equations written apart from the core, with SciPy's steps of its own."""
    gas, gamma, cp = 287.05, 1.4, 1007.0
    chain, how = lift.chain, lift.how
    t01, ambient = float(chain.ambient.temperature), float(chain.ambient.pressure)
    rotor = lift.rpm * RPM * chain.drive.speed_ratio
    reference = chain.compressor.map.reference
    speed = rotor * np.sqrt(reference.temperature / t01)
    points = [chain.compressor.map.at(speed, c) for c in np.linspace(0.0, 1.0, 400)]
    flows = np.array([p.flow for p in points])
    logs = np.log([p.pressure_ratio for p in points])
    works = np.array([p.work for p in points]) * t01 / reference.temperature
    lag = how.lag * 2.0 * np.pi / rotor
    resistance = float(chain.inlet.loss_coefficient) / (2.0 * float(chain.inlet.area) ** 2)
    throttle = float(chain.throttle.area * chain.throttle.discharge_coefficient)
    ve = np.interp(lift.rpm, [3000.0, 5000.0, 7500.0], [0.90, 1.0, 0.93])
    swept = float(chain.engine.displacement) * lift.rpm / 120.0
    first = lift.bare.moments

    def rates(t: float, y: Any) -> list[float]:
        w, psi, m1, p1, m2, p2 = y
        t1, t2 = p1 * how.volume / (m1 * gas), p2 * how.plenum_volume / (m2 * gas)
        p01 = ambient * (1.0 - np.sign(w) * resistance * w * w * gas * t01 / ambient**2)
        x = w * (reference.pressure / p01) * np.sqrt(t01 / reference.temperature)
        if x >= flows[0]:
            steady = np.interp(x, flows, logs) - 300.0 * max(x / flows[-1] - 1.0, 0.0)
            work = np.interp(x, flows, works)
        else:  # the cubic of Moore and Greitzer
            low, z, work = how.shut_off_head * logs[0], 2.0 * x / flows[0] - 1.0, works[0]
            steady = low + 0.5 * (logs[0] - low) * (1.0 + 1.5 * z - 0.5 * z**3)
        hot = t01 + work / cp
        cool = hot - 0.75 * (hot - 303.0)
        plates = throttle * (1.0 - (1.0 - how.shut_opening) * min(t / how.closing_time, 1.0))
        if p1 >= p2:
            through, warm = plates * p1 * nozzle(p2 / p1) / np.sqrt(gas * t1), t1
        else:
            through, warm = -plates * p2 * nozzle(p1 / p2) / np.sqrt(gas * t2), t2
        open_share = min(max((t - 0.010) / 0.030, 0.0), 1.0)
        vented = area * open_share * p1 * nozzle(ambient / p1) / np.sqrt(gas * t1)
        drawn = ve * (t2 / 298.15) ** 0.4 * swept * p2 / (gas * t2)
        return [
            how.flow_area / how.length * (p01 * np.exp(psi) - p1),
            (steady - psi) / lag,
            w - through - vented,
            gamma * gas / how.volume * (w * (cool if w > 0 else t1) - through * warm - vented * t1),
            through - drawn,
            gamma * gas / how.plenum_volume * (through * warm - drawn * t2),
        ]

    p1, p2, t1 = (float(first[n][0]) for n in ("pressure", "plenum_pressure", "temperature"))
    start = [float(first["compressor_flow"][0]), float(np.log(first["pressure_ratio"][0])),
             p1 * how.volume / (gas * t1), p1, p2 * how.plenum_volume / (gas * t1), p2]  # fmt: skip
    return solve_ivp(rates, (0.0, until), start, rtol=1e-6, atol=1e-7, max_step=2e-3,
                     dense_output=True)  # fmt: skip


@pytest.mark.parametrize("fitted", [False, True])
def test_agrees_with_scipy(fitted: bool) -> None:
    lift = build().replace({"bypass": VALVES}).lift_off(6500)
    course = lift.course if fitted else lift.bare
    moments, area = course.moments, lift.valve.effective_area if fitted else 0.0
    other = by_scipy(lift, area, float(moments["time"][-1]))
    flow, pressure = (other.sol(moments["time"])[i] for i in (0, 3))
    scale = course.surge_flow
    # Constant heat capacities, another throttle formula and no exhaust: some per cent apart, and a
    # limit cycle drifts in phase, so that only the first surge is compared moment by moment.
    early = moments["time"] < 0.13
    assert np.abs(moments["compressor_flow"] - flow)[early].max() < 0.06 * scale
    assert np.abs(moments["pressure"] / pressure - 1.0)[early].max() < 0.02
    late = moments["time"] > moments["time"][-1] - 0.15
    assert np.ptp(pressure[late]) == pytest.approx(course.pressure_swing, rel=0.08, abs=200.0)
    if not fitted:
        rises = np.flatnonzero((flow[:-1] < 0.0) & (flow[1:] >= 0.0) & late[:-1])
        times = moments["time"][rises]
        often = (times.size - 1) / (times[-1] - times[0])
        assert often == pytest.approx(course.frequency, rel=0.04)


def test_says_what_happens() -> None:
    bare = build().lift_off(6500)
    assert bare.bare.kind == "deep"
    assert "deep surge, the flow runs backwards" in bare.verdict
    assert "There is no bypass." in bare.verdict
    lift = build().replace({"bypass": VALVES}).lift_off(6500)
    assert lift.course.kind == "none"
    assert "with two 38 mm valves no surge" in lift.verdict
    assert lift.valve is not None
    assert (lift.needed_area <= lift.valve.effective_area) == (lift.course.room(1.1) >= 1.0)
    assert lift.longest_opening > 0.03
    assert [row[0] for row in lift.tables()[0].rows][:2] == ["surge", "lowest flow"]
    assert any("plenum volume" in note for note in lift.notes)


def test_is_drawn() -> None:
    figure = build().replace({"bypass": VALVES}).lift_off(6500).plot(system="si")
    assert len(figure.axes) == 4
    assert figure.axes[3].get_xlabel().endswith("[s]")


def test_moments_balance() -> None:
    course = build().lift_off(6500).bare
    m = course.moments
    assert abs(course.mass_error) < 1e-12
    names = {name for name, *_ in _core.lift_off_columns()}
    assert names == set(m)
    # What the volume holds changes by what flows: the trapezoid over moments of a millisecond.
    held = m["pressure"] * build().lift_off(6500).how.volume / (287.05 * m["temperature"])
    came = m["compressor_flow"] - m["throttle_flow"] - m["bypass_flow"]
    steps = 0.5 * (came[1:] + came[:-1]) * np.diff(m["time"])
    assert held[-1] - held[0] == pytest.approx(float(steps.sum()), abs=2e-4)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"lift_off": {"volume": "0 L"}}, "lift_off.volume"),
        ({"lift_off": {"shut_opening": 2.0}}, "be between"),
        ({"lift_off": {"diameter": "80 mm", "flow_area": "50 cm^2"}}, "not stand beside"),
        ({"lift_off": {"closing_tim": "60 ms"}}, "closing_time"),
        ({"bypass": {**VALVES, "opening_time": "0 s"}}, "opening_time"),
    ],
)
def test_names_the_bad_input(changes: Any, words: str) -> None:
    with pytest.raises(airchain.InputError, match=words.replace("[", r"\[")):
        build().replace(changes)


def test_refuses_an_engine_without_compressor() -> None:
    refusal = refusal_of(build().naturally_aspirated().lift_off, 6500)
    assert refusal.rule == "have a compressor"
