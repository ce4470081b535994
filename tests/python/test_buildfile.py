"""Build files: what they mean, and what a build made of one can do."""

import copy
from math import pi
from pathlib import Path

import pytest

import airchain
from airchain import _core
from airchain.buildfile import fuel_system as fuel_schema
from airchain.buildfile import keys as schema
from airchain.chain import Build, parse_build
from airchain.cylinder import keys as cylinder_keys

RPM = pi / 30.0


@pytest.fixture(scope="module")
def ridge_road() -> Build:
    return airchain.load(Path(__file__).resolve().parents[2] / "demo" / "ridge_road.toml")


PLAIN = """
[build]
name = "Plain"
[ambient]
pressure = "101.325 kPa"
temperature = "15 degC"
[fuel]
name = "gasoline_premium"
[engine]
displacement = "2.0 L"
stroke = "86 mm"
compression_ratio = 10.5
redline = "7000 rpm"
[engine.volumetric_efficiency]
rpm = [1000, 4000, 7000]
values = [0.80, 0.95, 0.90]
"""
BLOWN = (
    PLAIN
    + """
[compressor]
map = "map.csv"
inertia = "2 kg cm^2"
[[drive.links]]
kind = "pulleys"
driving_diameter = "6 in"
driven_diameter = "3 in"
slip = "2 %"
[[drive.links]]
kind = "step_up"
speed_ratio = 4
"""
)
MAP = """# name = invented
# origin = invented
# reference_temperature = 288.15 K
# reference_pressure = 101.325 kPa
# left_end = surge
# right_end = choke
# tip_diameter = 100 mm
speed [rpm], flow [kg/s], pressure_ratio, efficiency
20000, 0.06, 1.20, 0.70
20000, 0.10, 1.17, 0.75
20000, 0.14, 1.08, 0.60
40000, 0.12, 1.95, 0.70
40000, 0.20, 1.80, 0.76
40000, 0.28, 1.40, 0.62
60000, 0.20, 3.60, 0.68
60000, 0.30, 3.20, 0.74
60000, 0.40, 2.20, 0.60
"""


@pytest.fixture
def blown(tmp_path: Path) -> Path:
    (tmp_path / "map.csv").write_text(MAP)
    path = tmp_path / "blown.toml"
    path.write_text(BLOWN)
    return path


def test_units_arrive_in_si(ridge_road: Build) -> None:
    engine = ridge_road.chain.engine
    # Swept volume of a cylinder: bore area times stroke.
    swept = pi / 4 * (4.125 * 0.0254) ** 2 * (4.0 * 0.0254) * 8
    assert engine.displacement == pytest.approx(swept, rel=1e-12)
    assert ridge_road.redline == pytest.approx(7600 * RPM, rel=1e-12)
    assert ridge_road.reference_speed == pytest.approx(7000 * RPM, rel=1e-12)
    assert ridge_road.chain.ambient.temperature == pytest.approx(298.15, abs=1e-9)
    assert ridge_road.chain.scoop.temperature_rise == pytest.approx(10.0, abs=1e-9)


def test_a_pair_fitted_the_other_way_round_gives_the_reciprocal(ridge_road: Build) -> None:
    tame, full = (ridge_road.level(name).chain.drive.drive_ratio for name in ("tame", "full"))
    assert tame * full == pytest.approx(1.0, rel=1e-12)
    assert tame < ridge_road.level("middle").chain.drive.drive_ratio < full


def test_swap_pairs_keep_the_sum_of_teeth(ridge_road: Build) -> None:
    sums = {
        level.links[0].driving_teeth + level.links[0].driven_teeth
        for level in ridge_road.levels.values()
    }
    assert len(sums) == 1


def test_the_demo_says_that_it_is_invented(ridge_road: Build) -> None:
    assert ridge_road.invented
    assert "(invented)" in repr(ridge_road)
    assert "(invented)" in ridge_road._repr_html_()


@pytest.mark.parametrize(("level", "low", "high"), [("tame", 5, 8), ("full", 17, 20)])
def test_the_demo_is_a_tame_and_a_full_step(
    ridge_road: Build, level: str, low: float, high: float
) -> None:
    pull = ridge_road.level(level).pull([7000.0])
    # What the scenario sets out to be; no figure of the outside.
    assert low < pull.get("boost", "psi")[0] < high


def test_the_demo_is_matched_from_3000_rpm_to_redline(ridge_road: Build) -> None:
    builds = [ridge_road.naturally_aspirated(), *map(ridge_road.level, ridge_road.levels)]
    for build in builds:
        pull = build.pull()
        assert pull.rpm[0] == pytest.approx(3000.0)
        assert pull.rpm[-1] == pytest.approx(7600.0)
        assert (pull["status"] == 0).all(), build.title


def test_a_level_is_named_and_keeps_the_rest(ridge_road: Build) -> None:
    tame = ridge_road.level("tame")
    assert (tame.level_name, tame.title) == ("tame", f"{ridge_road.name}, tame")
    assert tame.chain.engine == ridge_road.chain.engine
    assert tame != ridge_road
    assert tame == ridge_road.level("tame")
    with pytest.raises(airchain.InputError, match=r'level = "tam".*did you mean "tame"'):
        ridge_road.level("tam")


def test_naturally_aspirated_keeps_the_engine_and_drops_the_rest(ridge_road: Build) -> None:
    plain = ridge_road.naturally_aspirated()
    assert not plain.supercharged
    assert plain.chain.compressor is None
    assert plain.chain.engine == ridge_road.chain.engine
    assert (plain.levels, plain.links) == ({}, ())


def test_typed_text_is_kept(ridge_road: Build) -> None:
    assert ridge_road.text("engine.bore") == "4.125 in"
    assert ridge_road.text("drive.links.0.driving_teeth") == "40"
    with pytest.raises(airchain.InputError, match=r'did you mean "engine.bore"'):
        ridge_road.text("engine.boar")


def test_replace_types_new_values_and_checks_them(ridge_road: Build) -> None:
    before = copy.deepcopy(ridge_road.source.file.data)
    hot = ridge_road.level("tame").replace({"ambient.temperature": "95 degF"})
    assert hot.chain.ambient.temperature == pytest.approx(308.15, abs=1e-9)
    assert hot.level_name == "tame"
    assert hot.fingerprint != ridge_road.fingerprint
    assert ridge_road.source.file.data == before
    assert hot.replace({"ambient.temperature": "77 degF"}) == ridge_road.level("tame")


def test_replace_takes_quantities_and_takes_keys_out(ridge_road: Build) -> None:
    from airchain.units.convert import registry

    drop = registry().Quantity(2.0, "psi")
    free = ridge_road.replace({"cooler.drop": drop, "charge_duct": None})
    assert free.chain.charge_duct.loss_coefficient == 0.0
    lost = free.chain.cooler.loss_coefficient / free.chain.cooler.area**2
    # The file says 0.6 psi at the same flow.
    was = ridge_road.chain.cooler.loss_coefficient / ridge_road.chain.cooler.area**2
    assert lost / was == pytest.approx(2.0 / 0.6, rel=1e-9)


@pytest.mark.parametrize("path", ["", "engine..bore", "drive.links.9.kind", "drive.links.x", 3])
def test_replace_refuses_a_path_that_leads_nowhere(ridge_road: Build, path: str) -> None:
    with pytest.raises(airchain.InputError):
        ridge_road.replace({path: "1 in"})


def test_what_was_replaced_is_refused_as_such(ridge_road: Build) -> None:
    with pytest.raises(airchain.InputError, match=r'^replace: ambient.temperature = "25 K"; must'):
        ridge_road.replace({"ambient.temperature": "25 K"})


def test_a_plain_engine_needs_little() -> None:
    build = parse_build(PLAIN)
    assert not build.supercharged
    assert build.chain.engine.displacement == pytest.approx(2e-3, rel=1e-12)
    assert build.reference_speed == build.redline
    assert "redline 7,000 rpm" in repr(build)


def test_a_map_is_found_beside_the_build_file(blown: Path) -> None:
    build = airchain.load(blown)
    drive = build.chain.drive
    assert drive.drive_ratio == pytest.approx(2.0 * 0.98, rel=1e-12)
    assert drive.step_up == pytest.approx(4.0, rel=1e-12)
    assert drive.inertia == pytest.approx(2e-4, rel=1e-12)
    assert build.chain.compressor.map.data.tip_diameter == pytest.approx(0.1, rel=1e-12)
    changed = MAP.replace("60000, 0.40, 2.20", "60000, 0.41, 2.20")
    (blown.parent / "map.csv").write_text(changed)
    assert airchain.load(blown).fingerprint != build.fingerprint


def test_comments_and_layout_do_not_change_the_fingerprint(blown: Path) -> None:
    before = airchain.load(blown).fingerprint
    blown.write_text("# a remark\n" + BLOWN)
    assert airchain.load(blown).fingerprint == before


def test_a_scaled_map_is_larger(blown: Path) -> None:
    build = airchain.load(blown).replace({"compressor.diameter_ratio": 1.1})
    assert build.chain.compressor.map.data.tip_diameter == pytest.approx(0.11, rel=1e-12)


def test_ice_tank_feeds_the_cooler_at_its_first_temperature(blown: Path) -> None:
    blown.write_text(
        BLOWN + '[cooler]\nkind = "ice_tank"\neffectiveness = 0.8\nwater_mass = "20 kg"\n'
        'ice_mass = "10 kg"\nwater_temperature = "34 degF"\n'
    )
    build = airchain.load(blown)
    assert build.ice_tank.ice_mass == 10.0
    assert build.chain.cooler.coolant_temperature == build.ice_tank.water_temperature


@pytest.mark.parametrize("typed", ["0.06 deg/kPa", "0.4137 deg/psi", "60 deg/MPa", "6e-5 deg/Pa"])
def test_rare_units_are_taken_too(typed: str) -> None:
    build = parse_build(PLAIN + f'[combustion]\nphasing_retard = "{typed}"\n')
    # One psi is 6.894757 kPa [NIST SP 811].
    assert build.chain.combustion.phasing_retard == pytest.approx(6e-5 * pi / 180, rel=1e-4)


def test_units_that_only_pint_knows_are_taken_too() -> None:
    friction = "\nfriction_speed = {}\nstroke ="
    text = PLAIN.replace("\nstroke =", friction.format('"9 kPa s/m"'))
    assert parse_build(text).chain.engine.friction_speed == pytest.approx(9e3, rel=1e-12)
    with pytest.raises(airchain.InputError, match=r'friction_speed = "9 kPa"; must be a number'):
        parse_build(PLAIN.replace("\nstroke =", friction.format('"9 kPa"')))


def test_altimeter_and_altitude_give_the_station_pressure() -> None:
    text = PLAIN.replace('pressure = "101.325 kPa"', 'altimeter = "29.92 inHg"\naltitude = "0 ft"')
    # At sea level the altimeter setting is the station pressure, by its definition.
    pressure = parse_build(text).chain.ambient.pressure
    assert pressure == pytest.approx(29.92 * 3386.389, rel=1e-5)


STATIONS = [
    (schema.SCOOP, _core.Scoop, ()),
    (schema.AMBIENT, _core.Ambient, ()),
    (schema.DUCT, _core.Duct, ()),
    (schema.COMPRESSOR, _core.Compressor, ()),
    # The rest of the drive follows from its links.
    (schema.COMPRESSOR, _core.Drive, ("drive_ratio", "step_up", "efficiency")),
    (schema.IMPELLER, _core.Impeller, ()),
    (schema.DIFFUSER, _core.Diffuser, ()),
    (schema.VANES, _core.Vanes, ()),
    (schema.VOLUTE, _core.Volute, ()),
    (schema.LINKS["gears"], _core.GearPair, ()),
    (schema.LINKS["step_up"], _core.StepUp, ("reversing",)),  # typed as true or false
    (schema.LINKS["pulleys"], _core.PulleyPair, ()),
    (schema.COOLER, _core.Cooler, ()),
    (schema.COOLER, _core.IceTank, ()),
    (schema.THROTTLE, _core.Throttle, ()),
    (cylinder_keys.FUEL, _core.Fuel, ()),
    (cylinder_keys.FUEL, _core.Injection, ()),
    (schema.ENGINE, _core.Engine, ()),
    (schema.BREATHING, _core.Breathing, ()),
    (schema.COMBUSTION, _core.Combustion, ()),
    (schema.EXHAUST, _core.Exhaust, ()),
    (schema.BYPASS, _core.Bypass, ("effective_area",)),  # area times discharge coefficient
    (schema.BYPASS, _core.ReliefValve, ("effective_area",)),
    # The plenum's volume stands in [engine.plenum]; steps are the program's own.
    (schema.LIFT_OFF, _core.LiftOff, ("plenum_volume", "step")),
    (fuel_schema.INJECTORS, _core.Injector, ()),
    (fuel_schema.LINE, _core.Line, ()),
]


@pytest.mark.parametrize(("keys", "station", "without"), STATIONS)
def test_every_field_of_the_core_can_be_typed(
    keys: schema.Keys, station: type, without: tuple[str, ...]
) -> None:
    fields = {name for name, *_ in station.fields()} - set(without)
    assert fields <= {key.field for key in keys.values()}
