"""Runs one after another: the tank beside SciPy and by its energy, speeds that are held, ice."""

import itertools
from functools import cache
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from scipy.integrate import solve_ivp

import airchain
import scenario
from airchain import _core
from airchain.base.speeds import RPM
from airchain.chain.run_sequence import RunSequence
from airchain.cli.main import cli

STAGING = {"name": "staging", "kind": "light load", "time": "40 s", "heat": "3 kW"}
CLIMB = {"name": "climb", "kind": "full power", "time": "12 s", "from_speed": "5200 rpm",
         "to_speed": "7500 rpm", "gears": 2}  # fmt: skip
HELD = {"name": "at speed", "kind": "full power", "distance": "300 m", "road_speed": "50 m/s",
        "speed": "6800 rpm"}  # fmt: skip
BACK = {"name": "way back", "kind": "light load", "time": "3 min", "ice_added": "2 lb"}


def built(*phases: dict[str, Any], times: int = 2) -> airchain.Build:
    return iced().replace({"run": {"times": times, "phases": list(phases)}})


@cache
def iced() -> airchain.Build:
    return scenario.iced().with_surface()


@cache
def sequence() -> RunSequence:
    return built(STAGING, CLIMB, HELD, BACK).run_sequence()


def test_energy_of_the_tank_is_the_heat_that_came_in() -> None:
    tank = iced().ice_tank
    assert tank is not None
    for one in sequence().phases:
        assert one.before is not None
        assert one.after is not None
        put_in = one.phase.heat * one.phase.time
        for pull in one.pulls:
            # The told instants are few; within them the heat hardly bends.
            put_in += float(np.trapezoid(pull["cooler_heat"], pull["time"]))
        added = one.phase.ice_added
        gained = tank.energy(one.after) - tank.energy(one.before)
        assert gained == pytest.approx(put_in, rel=2e-3, abs=1.0)
        whole = one.after.water_mass + one.after.ice_mass
        assert whole == pytest.approx(one.before.water_mass + one.before.ice_mass)
        assert added in (0.0, pytest.approx(2 * 0.45359237))


def test_phases_follow_one_another_without_a_gap() -> None:
    phases = sequence().phases
    assert [one.run for one in phases] == [1] * 4 + [2] * 4
    for one, following in itertools.pairwise(phases):
        assert following.start == pytest.approx(one.start + one.phase.time)
        assert one.after is not None
        assert following.before is not None
        assert following.before.water_temperature == one.after.water_temperature
        iced_up = following.before.ice_mass - one.after.ice_mass
        assert iced_up == pytest.approx(following.phase.ice_added)
    climb = phases[1]
    assert len(climb.pulls) == 2
    assert climb.pulls[0]["time"][-1] == pytest.approx(6.0)
    assert phases[2].phase.time == pytest.approx(6.0)


def test_light_load_and_full_power_agree_with_scipy() -> None:
    # The balance of test_timed.py, written for a light load, then a held speed.
    tank = iced().ice_tank
    assert tank is not None
    water_heat, fusion, freezing = 4184.0, 333.55e3, 273.15
    start_ice = float(tank.ice_mass)

    def heat(time: float, temperature: float) -> float:
        if time < 40.0:
            return 3000.0
        cooler = iced().chain.cooler.replace(coolant_temperature=temperature)
        chain = iced().chain.replace(cooler=cooler)
        speed = np.array([6800.0 * RPM])
        return float(_core.solve(chain, {"engine_speed": speed}, ["cooler_heat"])["cooler_heat"][0])

    def rise(time: float, state: np.ndarray) -> list[float]:
        temperature, ice = state
        melting = (tank.ice_conductance * max(ice / start_ice, 0.0) ** (2 / 3)
                   * (temperature - freezing) / fusion)  # fmt: skip
        water = tank.water_mass + start_ice - ice
        taken = heat(time, temperature) - melting * (fusion + water_heat * (temperature - freezing))
        return [taken / (water * water_heat), -melting]

    state = [float(tank.water_temperature), start_ice]
    for span in ((0.0, 40.0), (40.0, 46.0)):
        there = solve_ivp(rise, span, state, rtol=1e-7, atol=1e-7, max_step=0.5)
        state = [float(there.y[0, -1]), float(there.y[1, -1])]
    ours = built(STAGING, HELD, times=1).run_sequence().phases[-1].after
    assert ours is not None
    assert ours.water_temperature == pytest.approx(state[0], abs=0.03)
    assert ours.ice_mass == pytest.approx(state[1], rel=3e-3)


def test_a_held_speed_is_a_pull_at_that_speed_while_the_water_warms() -> None:
    held = iced().timed_hold(6800, seconds=20.0)
    assert held.get("time", "s")[-1] == pytest.approx(20.0)
    assert np.all(np.diff(held["coolant_temperature"]) > 0.0)
    first = iced().pull([6800])
    assert held["power"][0] == pytest.approx(first["power"][0], rel=1e-5)
    assert held["acceleration_power"] == pytest.approx(np.zeros(len(held)), abs=1.0)
    assert "6,800 rpm held for 20.0 s" in held.summary
    again = iced().timed_hold(6800, seconds=40.0)
    assert again["coolant_temperature"][6] == pytest.approx(held["coolant_temperature"][-1],
                                                            abs=0.02)  # fmt: skip


def test_more_ice_is_carried_for_more_runs_and_no_less_would_do() -> None:
    phases = (STAGING, CLIMB)
    once, thrice = (built(*phases, times=n).run_sequence() for n in (1, 3))
    limit = thrice.hottest(1) + 3.0
    text = f"{limit} K"
    assert once.ice_to_carry(text) <= thrice.ice_to_carry(text)
    ice = thrice.ice_to_carry(text)
    tank = iced().ice_tank
    assert tank is not None

    def hottest(mass: float) -> float:
        share = (mass / float(tank.ice_mass)) ** (2 / 3)
        conductance = float(tank.ice_conductance) * share
        changed = {"cooler.ice_mass": f"{mass} kg", "cooler.ice_conductance": f"{conductance} W/K"}
        other = built(*phases, times=3).replace(changed).run_sequence()
        return max(other.hottest(n) for n in (1, 2, 3))

    assert hottest(ice) <= limit + 1e-6
    assert hottest(ice - 0.1) > limit
    with pytest.raises(airchain.InputError, match="of ice still gives"):
        thrice.ice_to_carry("10 degC")


def test_runs_without_a_tank_are_alike() -> None:
    build = scenario.full().with_surface().replace({"run": {"times": 2, "phases": [CLIMB]}})
    runs = build.run_sequence()
    assert runs.hottest(1) == runs.hottest(2)
    assert "Water" not in runs.text()
    with pytest.raises(airchain.InputError, match="have a tank with ice"):
        runs.ice_to_carry("60 degC")


# The demo's gears: 1/2.64 and 1/1.75 at 3.42, tyres of 13.2 in; engine 6,350 rpm in the middle.
def test_road_speed_of_a_distance_comes_from_the_vehicle() -> None:
    climb = {k: v for k, v in CLIMB.items() if k != "time"} | {"distance": "200 m"}
    mean = 6350.0 * RPM * 13.2 * 0.0254 / 3.42 * 0.5 * (1.0 / 2.64 + 1.0 / 1.75)
    held = {k: v for k, v in HELD.items() if k != "road_speed"}
    top = 6800.0 * RPM * 13.2 * 0.0254 / 3.42
    phases = built(climb, held, times=1).run_sequence().phases
    assert phases[0].phase.time == pytest.approx(200.0 / mean)
    assert phases[1].phase.time == pytest.approx(300.0 / top)
    typed = built({**climb, "road_speed": "50 m/s"}, times=1).run_sequence().phases[0]
    assert typed.phase.time == pytest.approx(4.0)


def test_names_the_road_speed_that_nothing_tells() -> None:
    climb = {k: v for k, v in CLIMB.items() if k != "time"} | {"distance": "200 m"}
    back = {"name": "back", "kind": "light load", "distance": "200 m"}
    for phase, vehicle, words in (
        (climb, {"vehicle": None}, r"or describe the \[vehicle\]"),
        (back, {}, "at light load nothing else tells it"),
        ({**climb, "gears": 5}, {}, r"be at most the 4 that \[vehicle\] has"),
    ):
        with pytest.raises(airchain.InputError, match=words):
            iced().replace({**vehicle, "run": {"phases": [phase]}})


def test_text_and_picture() -> None:
    text = sequence().text()
    assert "2 runs" in text
    assert "The tank ends with" in text
    figure = sequence().plot()
    charge = figure.axes[0].get_lines()[0].get_ydata()
    hottest = max(sequence().hottest(n) for n in (1, 2))
    assert np.nanmax(np.asarray(charge, dtype=float)) == pytest.approx(hottest * 1.8 - 459.67)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"kind": "flat out"}, "be one of full power, light load"),
        ({"time": "2 h"}, "last at most an hour"),
        ({"distance": "300 m"}, "not stand beside time"),
        ({"heat": "2 kW"}, "stand only with light load"),
        ({"to_speed": "4000 rpm"}, "be above from_speed"),
        ({"to_speed": "9000 rpm"}, "be at most the redline"),
        ({"speed": "6000 rpm"}, "not stand beside speed"),
        ({"time": "-3 s"}, "be above 0"),
        ({"wings": 2}, "be a key of"),
    ],
)
def test_names_the_bad_phase(change: dict[str, Any], words: str) -> None:
    with pytest.raises(airchain.InputError, match=r"run\.phases") as refused:
        built({**CLIMB, **change})
    assert words in str(refused.value)


def test_needs_a_run() -> None:
    with pytest.raises(airchain.InputError, match=r"write .*run\.phases"):
        iced().run_sequence()
    with pytest.raises(airchain.InputError, match="from 1 to 200"):
        built(CLIMB).run_sequence(0)


def test_command_follows_runs_and_holds_a_speed(tmp_path: Any) -> None:
    text = scenario.quick().read_text()
    (tmp_path / "b.toml").write_text(
        f'{text}\n[run]\n[[run.phases]]\nname = "up"\nkind = "full power"\ntime = "8 s"\n'
        'speed = "6500 rpm"\n'
    )
    file = str(tmp_path / "b.toml")
    done = CliRunner().invoke(cli, ["timed", file, "--runs", "2"])
    assert done.exit_code == 0, done.output
    assert "2 runs" in done.output
    held = CliRunner().invoke(cli, ["timed", file, "--hold", "6500", "--seconds", "5"])
    assert "6,500 rpm held for 5.0 s" in held.output
    wrong = CliRunner().invoke(cli, ["timed", file])
    assert wrong.exit_code == 2
