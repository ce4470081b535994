"""Pulls against the clock: the ice tank beside SciPy, the rotor's inertia, the text."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import airchain
import scenario
from airchain import _core
from airchain.base.speeds import RPM
from airchain.chain.timed_pull import TimedPull


@pytest.fixture(scope="module")
def iced() -> airchain.Build:
    return scenario.iced().with_surface()


@pytest.fixture(scope="module")
def pull(iced: airchain.Build) -> TimedPull:
    return iced.timed_pull(rpm_per_second=300)


def test_tank_agrees_with_scipy(iced: airchain.Build) -> None:
    # The balance written anew: liquid water 4184 J/(kg K) and ice 333.55 kJ/kg (from memory); ice
    # melts by its conductance, which falls with the two-thirds power of the ice left.
    tank, rate = iced.ice_tank, 400.0
    water_heat, fusion, freezing = 4184.0, 333.55e3, 273.15

    def heat(time: float, temperature: float) -> float:
        cooler = iced.chain.cooler.replace(coolant_temperature=temperature)
        chain = iced.chain.replace(cooler=cooler)
        speed = np.array([(3000.0 + rate * time) * RPM])
        return float(_core.solve(chain, {"engine_speed": speed}, ["cooler_heat"])["cooler_heat"][0])

    def rise(time: float, state: np.ndarray) -> list[float]:
        temperature, ice = state
        conductance = tank.ice_conductance * max(ice / tank.ice_mass, 0.0) ** (2 / 3)
        melting = conductance * (temperature - freezing) / fusion
        water = tank.water_mass + tank.ice_mass - ice
        warmed = melting * water_heat * (temperature - freezing)
        taken = heat(time, temperature) - melting * fusion - warmed
        return [taken / (water * water_heat), -melting]

    start = [tank.water_temperature, tank.ice_mass]
    there = solve_ivp(rise, (0.0, 10.0), start, rtol=1e-7, atol=1e-7, max_step=0.5)
    ours = iced.timed_pull([3000, 7000], rpm_per_second=rate)
    assert ours["time"][-1] == pytest.approx(10.0)
    # Ours steps by 0.05 s, and first order in the melting.
    assert ours["coolant_temperature"][-1] == pytest.approx(there.y[0, -1], abs=0.02)
    assert ours["ice_mass"][-1] == pytest.approx(there.y[1, -1], rel=2e-3)
    # The water has warmed far more than both differ.
    assert ours["coolant_temperature"][-1] - tank.water_temperature > 2.0


def test_water_warms_and_ice_melts_through_the_pull(pull: TimedPull) -> None:
    assert np.all(np.diff(pull["time"]) > 0.0)
    assert np.all(np.diff(pull["ice_mass"]) < 0.0)
    whole = pull["ice_mass"] + pull["water_mass"]
    assert whole == pytest.approx(np.full(len(pull), 35 * 0.45359237), rel=1e-12)
    assert pull.get("time", "s")[-1] == pytest.approx((pull.rpm[-1] - pull.rpm[0]) / 300)


def test_a_slow_pull_ends_on_warmer_charge_and_less_power(iced: airchain.Build) -> None:
    fast, slow = iced.timed_pull(rpm_per_second=1000), iced.timed_pull(rpm_per_second=60)
    assert slow["charge_temperature"][-1] > fast["charge_temperature"][-1] + 1.0
    net = [p["power"][-1] + p["acceleration_power"][-1] for p in (slow, fast)]
    assert net[0] < net[1]
    # A pull at held speeds takes the tank as it starts.
    assert iced.pull([7600])["charge_temperature"][0] < fast["charge_temperature"][-1]


def test_rotor_inertia_takes_its_power(iced: airchain.Build) -> None:
    timed = iced.timed_pull([5000, 6000], rpm_per_second=600)
    drive = iced.chain.drive
    # Kinetic energy of the rotor, its rise over time: J w dw/dt at the impeller, and the losses
    # of the drive on the way there.
    rotor = timed["rotor_speed"]
    expected = drive.inertia * rotor * (600 * RPM * drive.speed_ratio) / drive.efficiency
    assert timed["acceleration_power"] == pytest.approx(expected, rel=1e-12)
    assert drive.inertia > 0.0


def test_one_instant_has_its_water_and_its_acceleration(pull: TimedPull) -> None:
    last = float(pull.rpm[-1])
    table = pull.stations(last)
    assert table["coolant_temperature"] == pytest.approx(pull["coolant_temperature"][-1])
    assert table["power"] == pytest.approx(pull["power"][-1], rel=1e-9)
    assert table.states["charge"]["temperature"] == pytest.approx(pull["charge_temperature"][-1])
    taken = pull.drive_loads(last)[0].power_in
    crank = pull["drive_power"][-1] + pull["acceleration_power"][-1]
    assert taken == pytest.approx(crank, rel=1e-9)
    with pytest.raises(airchain.InputError, match="rpm = 9000; must lie within the pull"):
        pull.at(9000, "power")


def test_text_tells_rate_time_and_ice(pull: TimedPull) -> None:
    first = repr(pull).splitlines()[0]
    assert first.startswith(
        f"{pull.build.title}: 300 rpm/s for 15.3 s. All 24 points solved. Ice left: "
    )
    headings = pull.tables()[0].headings
    assert {"time", "coolant temperature", "ice left", "acceleration power"} <= set(headings)
    assert "ice left" in pull._repr_html_()


def test_without_a_tank_the_clock_still_runs() -> None:
    pull = scenario.full().timed_pull([3000, 5000], rpm_per_second=500)
    assert pull["time"] == pytest.approx([0.0, 4.0])
    assert np.isnan(pull["ice_mass"]).all()
    assert "ice left" not in pull.tables()[0].headings
    plain = scenario.full().naturally_aspirated().timed_pull([3000, 5000], rpm_per_second=500)
    assert not {"coolant temperature", "acceleration power"} & set(plain.tables()[0].headings)


def test_boiling_and_lost_instants_are_noted() -> None:
    tiny = scenario.iced().replace({"cooler.water_mass": "7 lb", "cooler.ice_mass": "0 lb"})
    assert any("100 degC" in note for note in tiny.timed_pull(rpm_per_second=100).notes)
    fast = scenario.iced().replace({"drive.links.1.speed_ratio": 14})
    lost = fast.timed_pull([1500, 2000], rpm_per_second=500)
    assert not lost.matched.all()
    assert any("put no heat in the tank" in note for note in lost.notes)
    assert np.isfinite(lost["coolant_temperature"]).all()


def test_held_pulls_have_no_clock() -> None:
    with pytest.raises(airchain.InputError, match=r"column = \"time\"; must be .*timed_pull"):
        scenario.full().pull([5000])["time"]


@pytest.mark.parametrize(
    ("rate", "rpm", "message"),
    [
        (0, None, "rpm_per_second = 0; must be a number above 0"),
        (float("nan"), None, "rpm_per_second = nan; must be"),
        ("500", None, 'rpm_per_second = "500"; must be'),
        (500, [5000, 4000], "must be rising"),
        (0.001, None, "duration = .*must be between 0 and 3600 s"),
    ],
)
def test_names_the_bad_input(iced: airchain.Build, rate: object, rpm: object, message: str) -> None:
    with pytest.raises(airchain.InputError, match=message):
        iced.timed_pull(rpm, rpm_per_second=rate)  # type: ignore[arg-type]
