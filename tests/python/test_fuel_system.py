"""The fuel system: what it must deliver, checked with handbook formulas outside the package."""

import math
from functools import cache
from pathlib import Path

import fluids
import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis.strategies import floats, sampled_from

import airchain
import scenario
from airchain import _core
from airchain.cli.main import cli
from airchain.fuel import FuelDemand
from airchain.fuel.fuels import FuelComparison, own_fuel
from airchain.shown.fuel_names import fuel_words
from glossary_words import quantities, strange_words

INCH, PSI, POUND = 0.0254, 6894.757293168, 0.45359237


@cache
def demand() -> FuelDemand:
    """The demo's fuel side at all levels."""
    return airchain.fuel_demand(scenario.steps())


@cache
def compared() -> FuelComparison:
    """The demo's full level on three fuels."""
    return airchain.compare_fuels(scenario.steps().build, rpm=[5000, 7000, 7600])


def test_duty_by_hand() -> None:
    # Rated 125 lb/h at 43.5 psi with 760 kg/m^3; 50 psi over plenum, fuel of 730 kg/m^3.
    step = demand()["full"]
    fuel, rpm = step["fuel_flow"], step.rpm
    flow = 125 * POUND / 3600 * math.sqrt(50 / 43.5 * 730 / 760)
    assert step["injector_flow"] == pytest.approx(flow, rel=1e-9)
    pulse = fuel / 8 * (120 / rpm) / flow + step["dead_time"]
    assert step["duty"] == pytest.approx(pulse / (120 / rpm), rel=1e-12)
    assert np.all((step["dead_time"] > 0.86e-3) & (step["dead_time"] < 1.22e-3))


# Darcy and Weisbach with Colebrook's friction factor by the library fluids: within Churchill's 3 %.
def test_line_loss_agrees_with_fluids() -> None:
    step = demand()["full"]
    line = demand().supply.supply_line
    bore, length = 0.444 * INCH, 14 * 12 * INCH
    flow, rho, mu = float(step["pump_flow"][-1]), 730.0, 0.54e-3
    v = flow / (math.pi / 4 * bore**2)
    factor = fluids.friction.Colebrook(rho * v * bore / mu, 5e-6 / bore)
    expected = (factor * length / bore + 9.0) * 0.5 * rho * v**2
    assert step["supply_drop"][-1] == pytest.approx(expected, rel=0.02)
    assert step["supply_velocity"][-1] == pytest.approx(v, rel=1e-9)
    assert line.velocity(flow) == pytest.approx(v, rel=1e-9)
    assert fluids.Reynolds(V=v, D=bore, rho=rho, mu=mu) == pytest.approx(
        step["supply_reynolds"][-1], rel=1e-9
    )


def test_pressures_and_flows_close_at_the_pump() -> None:
    step = demand()["full"]
    ambient = scenario.full().chain.ambient.pressure
    assert step["rail_pressure"] - step.pull["plenum_pressure"] == pytest.approx(50 * PSI)
    gauge = step["rail_pressure"] - ambient + step["supply_drop"]
    assert step["pump_pressure"] == pytest.approx(gauge, rel=1e-6)
    assert step["pump_flow"] * 730.0 / step["fuel_flow"] - 1 == pytest.approx(step["pump_margin"])


def test_what_it_asks_for_stands_at_its_limits() -> None:
    flow = demand().smallest_injector
    build = scenario.steps().build.replace(
        {"fuel_system.injectors.flow": f"{flow / POUND * 3600!r} lb/h"}
    )
    again = airchain.fuel_demand(build)
    assert max(s.extreme("duty")[0] for s in again.steps) == pytest.approx(0.85, rel=1e-9)


@given(
    flow=floats(1e-3, 0.2),
    rated=floats(2e-3, 0.05),
    rail=floats(1e5, 1e6),
    plenum=floats(3e4, 3e5),
    rpm=floats(800, 9000),
    pulses=sampled_from([1.0, 2.0]),
)
def test_duty_and_flow_give_each_other_back(
    flow: float, rated: float, rail: float, plenum: float, rpm: float, pulses: float
) -> None:
    supply = demand().supply
    injector = supply.injector.replace(rated_flow=rated)
    supply = supply.replace(injector=injector, rail_pressure=rail, pulses=pulses)
    speed = rpm * math.pi / 30
    p = {k: float(v[0]) for k, v in _core.supply_points(
        supply, [speed], [flow], [plenum], [plenum], 1e5).items()}  # fmt: skip
    pulses_a_second = pulses * rpm / 120
    open_share = p["duty"] - p["dead_time"] * pulses_a_second
    assert open_share * p["injector_flow"] * 8 == pytest.approx(flow, rel=1e-9)
    held_open = rated * math.sqrt(rail / supply.injector.rated_pressure * 730 / 760)
    assert p["injector_flow"] == pytest.approx(held_open, rel=1e-9)


def test_an_injector_too_small_and_a_pump_too_weak_are_named() -> None:
    build = scenario.steps().build.replace(
        {"fuel_system.injectors.flow": "60 lb/h", "fuel_system.pumps.count": 1}
    )
    made = airchain.fuel_demand(build)
    assert not made.enough
    assert "over duty limit" in made["full"].verdict
    assert "pump short" in made["full"].verdict
    assert made["tame"]["duty"].max() < made["full"]["duty"].max()
    assert any("lean out under load" in note for note in made.notes)
    assert "safe" not in made.text()


def test_a_fixed_rail_needs_more_duty_under_boost() -> None:
    build = scenario.steps().build.replace({"fuel_system.regulator.reference": "ambient"})
    fixed = airchain.fuel_demand(build)["full"]
    assert np.all(fixed["duty"] > demand()["full"]["duty"])
    low = build.replace({"fuel_system.regulator.pressure": "15 psi"})
    assert "rail below plenum" in airchain.fuel_demand(low)["full"].verdict


def test_a_thin_return_line_is_noticed() -> None:
    assert not any("return line" in note for note in demand().notes)
    build = scenario.steps().build.replace({"fuel_system.return_line.diameter": "0.25 in"})
    assert any("return line loses" in note for note in airchain.fuel_demand(build).notes)
    none = scenario.steps().build.replace({"fuel_system.return_line": None})
    assert any("No return line was typed" in n for n in airchain.fuel_demand(none).notes)


def test_run_fuel_is_flow_over_time() -> None:
    step = demand()["full"]
    seconds = (step.rpm[-1] - step.rpm[0]) / 500.0
    mean = float(np.trapezoid(step["fuel_flow"], step.rpm)) / (step.rpm[-1] - step.rpm[0])
    assert step.run_fuel == pytest.approx(mean * seconds, rel=0.01)


# Mole fractions of vapour, all evaporated, at the rich mixtures of full throttle: about 2 %
# gasoline, 7 % E85, 15 % methanol (common practice, no source).
def test_vapour_displaces_air_as_practice_has_it() -> None:
    practice = {"gasoline_regular": 0.02, "e85": 0.07, "methanol": 0.15}
    for name, share in practice.items():
        assert compared().vapour_share(name, 1.0) == pytest.approx(share, rel=0.15)


def test_vapour_share_by_hand() -> None:
    pull = compared().pulls["methanol"]
    chain = pull.build.chain
    evaporated = pull["fuel_evaporated"][compared().at_peak("methanol")]
    fuel = 1 / (0.86 * chain.fuel.stoichiometric_ratio) * evaporated / 32.042e-3
    humid = pull["humidity_ratio"][0] / 18.015e-3
    expected = fuel / (1 / 28.9665e-3 + humid + fuel)
    assert compared().vapour_share("methanol") == pytest.approx(expected, rel=1e-3)


# Ambrose and Sprake's Antoine constants of methanol (webbook form, 288 to 357 K, extrapolated some
# kelvin here; from memory): ln p falls to the charge's temperature where no more vapour is held.
def test_methanol_evaporates_only_as_far_as_the_air_holds_it() -> None:
    build = scenario.full().replace({"fuel.name": "methanol", "fuel.lambda": 0.72})
    pull = build.pull([3000])
    share, t = float(pull["fuel_evaporated"][0]), float(pull["charge_temperature"][0])
    assert 0.16 < share < 0.22
    assert 270.0 < t < 287.0
    ratio = share / (0.72 * build.chain.fuel.stoichiometric_ratio)
    fuel, air = ratio / 32.042e-3, 1 / 28.9665e-3 + float(pull["humidity_ratio"][0]) / 18.015e-3
    partial = float(pull["plenum_pressure"][0]) * fuel / (fuel + air)
    assert partial == pytest.approx(1e5 * 10 ** (5.20409 - 1581.341 / (t - 33.50)), rel=0.05)
    assert any("The air is full of fuel vapour" in note for note in pull.notes)
    assert not any("fuel vapour" in note for note in scenario.full().pull([3000]).notes)


def test_methanol_cools_most_and_asks_for_most() -> None:
    made = compared()
    names = ["gasoline_regular", "e85", "methanol"]
    cooling = [made.cooling(n) for n in names]
    assert cooling == sorted(cooling)
    fuel = [made.steps[n].extreme("duty")[0] for n in names]
    assert fuel == sorted(fuel)
    assert any("nearly invisible" in note for note in made.notes)
    assert any("Leaded fuel" in note for note in demand().notes)


def test_every_generic_fuel_has_an_owners_words() -> None:
    words = {name: fuel_words(name) for name in _core.generic_fuel_names()}
    assert not any("_" in text for text in words.values())
    assert words["race_gasoline_leaded"] == "leaded race gasoline"
    assert len(set(words.values())) == len(words)
    told = compared()
    headings = told.tables("trade")[0].headings
    assert headings[1:-1] == ["regular gasoline", "E85", "methanol"]
    assert "gasoline_regular" not in told.text("trade")


def test_fuels_are_compared_with_the_builds_own() -> None:
    build = scenario.steps().build
    assert own_fuel(build) == ("race_gasoline_leaded",)
    assert own_fuel(build.replace({"fuel.density": "740 kg/m^3"})) == ()


def test_pump_voltage_off_its_curves_is_refused() -> None:
    with pytest.raises(airchain.InputError, match=r"voltage = .*; must lie within the pump's curv"):
        scenario.steps().build.replace({"fuel_system.voltage": "15 V"})


BAD = {
    'flow = "125 lb/h"': ('flow = "110 psi"', r"\d+: fuel_system.injectors.flow = "),
    'reference = "plenum"': ('reference = "boost"', r"\d+: fuel_system.regulator.reference = "),
    '"62 gal/h"]': ('"80 gal/h"]', r"flow grows with pressure"),
    'diameter = "0.444 in"\nroughness = "0.005 mm"\nloss_coefficient = 9.0': (
        "",
        r"\d+: fuel_system.supply_line.diameter = missing",
    ),
    'at_pressure = "43.5 psi"': ("at_pressure = 43.5", r"fuel_system.injectors.at_pressure = .*un"),
    '"1.70 ms"': ('"17.0 ms"', r"must be between 0 and 0.01 s"),
    '["1.52 ms", "1.70 ms"],\n': ('["1.52 ms"],\n', r"dead_time.values = .*rows of one length"),
    'volume = "5 gal"': ('volume = "0 gal"', r"fuel_system.tank.volume = .*above 0"),
    "duty_limit = 0.85": ("duty_limit = 1.5", r"duty_limit = 1.5; must be between 0.1 and 1"),
    "[fuel_system.tank]": ("[fuel_system.tanks]", r"fuel_system.tanks = .*did you mean"),
}


@pytest.mark.parametrize("old", BAD)
def test_names_the_bad_input(old: str, tmp_path: Path) -> None:
    new, refusal = BAD[old]
    text = scenario.FILE.read_text()
    assert text.count(old) == 1, old
    file = tmp_path / "build.toml"
    file.write_text(text.replace(old, new))
    with pytest.raises(airchain.InputError, match=refusal):
        airchain.load(file)


def test_a_build_without_fuel_system_says_what_to_write() -> None:
    build = scenario.steps().build.replace({"fuel_system": None})
    assert build.fuel_system is None
    with pytest.raises(airchain.InputError, match=r"write a table \[fuel_system\]"):
        airchain.fuel_demand(build)


def test_an_unknown_fuel_is_refused() -> None:
    with pytest.raises(airchain.InputError, match="must be one of gasoline_regular"):
        airchain.compare_fuels(scenario.steps().build, ["kerosene"])


def test_picture_has_every_level(tmp_path: Path) -> None:
    figure = demand().plot()
    names = [t.get_text() for t in figure.axes[0].get_legend().get_texts()]
    assert names == [s.name for s in demand().steps]


def test_command_tells_demand_and_fuels(tmp_path: Path) -> None:
    picture = tmp_path / "fuel.png"
    told = CliRunner().invoke(cli, ["fuel", str(scenario.FILE), "--figure", str(picture)])
    assert told.exit_code == 0, told.output
    assert "The smallest that would do" in told.stderr
    assert "methanol" in told.stdout
    assert picture.stat().st_size > 1000


def test_headings_are_words_of_the_glossary() -> None:
    for shown in (demand(), compared()):
        assert strange_words(shown) == []
        assert len(quantities(shown)) > 5
