"""What fuzzing and users' slips found, each as a small case of its own."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import seeds

import airchain
from airchain import InputError, _core
from airchain.calibration.files import read_calibration, write_calibration
from airchain.chain import parse_build
from airchain.sweeps import Even, Normal, best_points, design

ROOT = Path(__file__).resolve().parents[2]
FULL = (ROOT / "tests" / "python" / "data" / "dyno_540.toml").read_text()


def changed(*changes: str) -> str:
    """The build file with old texts replaced, each once."""
    text = FULL
    for old, new in zip(changes[::2], changes[1::2], strict=True):
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


#: A slip, and how its refusal reads.
SLIPS = {
    "a flow without its unit": (
        ('at_flow = "120 lb/min"', "at_flow = 130"),
        r'inlet\.parts\.0\.at_flow = 130; must have a unit, such as "130 lb/min"',
    ),
    "a drop without its unit": (
        ('drop = "5.0 inH2O"', "drop = 1.0"),
        r'inlet\.parts\.0\.drop = 1\.0; must have a unit, such as "1 psi"',
    ),
    "per cent where a rare unit is meant": (
        ('friction_speed = "6000 Pa s/m"', 'friction_speed = "6000 %"'),
        r'engine\.friction_speed = "6000 %"; must be a number and its unit, such as "1 Pa s/m"',
    ),
    "a tower of exponents": (
        ('friction_speed = "6000 Pa s/m"', 'friction_speed = "6000 Pa s/m^9^9"'),
        r'engine\.friction_speed = "6000 Pa s/m\^9\^9"; must be a unit',
    ),
    "a bore beyond the floats": (
        ('bore = "4.56 in"', 'bore = "1e200 in"'),
        r'engine\.bore = "1e200 in"; must be 0\.4 to 3\.0 times the stroke',
    ),
    "a bore in mm for inches": (
        ('bore = "4.56 in"', 'bore = "4.56 mm"'),
        r'engine\.bore = "4\.56 mm"; must be 0\.4 to 3\.0 .*; did you mean "4\.56 in"\?',
    ),
    "an exhaust in mm for inches": (
        ('diameter = "4.0 in"\ncount = 2', 'diameter = "4.0 mm"\ncount = 2'),
        r'exhaust\.diameter = "4\.0 mm"; must give a value of area that is between 5e-05 and 1 '
        r'm\^2; it gives .* m\^2; did you mean "4\.0 in"\?',
    ),
    "a pipe of hundredths": (
        ('loss_coefficient = 0.5\ndiameter = "4.0 in"',
         'loss_coefficient = 0.5\ndiameter = "0.005 in"'),
        r'charge_duct\.diameter = "0\.005 in"; must give a value of area',
    ),
    "a throttle in mm for inches": (
        ('diameter = "4.5 in"', 'diameter = "4.5 mm"'),
        r'throttle\.diameter = "4\.5 mm"; must give .*; did you mean "4\.5 in"\?',
    ),
    "a retard for kPa that was meant for bar": (
        ("quality = 0.88", 'quality = 0.88\nphasing_retard = "0.5 deg/kPa"'),
        r'combustion\.phasing_retard = "0\.5 deg/kPa"; must be between .*did you mean '
        r'"0\.5 deg/psi"\?',
    ),
    "a heating value that contradicts the fuel": (
        ('temperature = "80 degF"\n\n[engine]',
         'temperature = "80 degF"\nlower_heating_value = "10 MJ/kg"\n\n[engine]'),
        r'fuel\.lower_heating_value = "10 MJ/kg"; must be between',
    ),
    "a scale that makes the compressor better than isentropic": (
        ("efficiency_scale = 0.96", "efficiency_scale = 1.2"),
        r"compressor\.efficiency_scale = 1\.2; must be above 0 and at most 1\.1",
    ),
    "a scale that fills the engine twice": (
        ('reference_temperature = "100 degF"', 'reference_temperature = "100 degF"\nscale = 1.8'),
        r"engine\.volumetric_efficiency\.scale = 1\.8; must be above 0 and at most 1\.3",
    ),
    "a fraction typed as per cent": (
        ("discharge_coefficient = 0.88", "discharge_coefficient = 88"),
        r"throttle\.discharge_coefficient = 88; must .*; did you mean 0\.88\?",
    ),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_slips_are_refused_by_name_and_line(slip: str) -> None:
    changes, message = SLIPS[slip]
    text = changed(*changes)
    with pytest.raises(InputError, match=rf"build:\d+: {message}"):
        parse_build(text)


@pytest.mark.parametrize("slip", SLIPS)
def test_no_slip_hides_another_error_of_the_file(slip: str) -> None:
    changes, _ = SLIPS[slip]
    second = ("compression_ratio = 10.5", "compression_ratio = 105")
    # What stands only once all stations are made is not reached beside another refusal.
    if slip.startswith("a scale"):
        pytest.skip("seen only when all stations stand")
    with pytest.raises(InputError) as told:
        parse_build(changed(*changes, *second))
    assert "engine.compression_ratio = 105" in str(told.value)
    assert len(told.value.refusals) == 2


def test_a_table_typed_as_a_number_keeps_the_other_errors() -> None:
    start = FULL.index("[fuel]")
    text = FULL[:start] + FULL[FULL.index("[engine]") :]
    text = text.replace("[build]", "fuel = 3\n\n[build]", 1).replace("10.5", "105", 1)
    with pytest.raises(InputError) as told:
        parse_build(text)
    assert "fuel = 3; must be a table" in str(told.value)
    assert "engine.compression_ratio" in str(told.value)


def test_errors_of_a_plan_are_told_when_the_file_is_loaded(tmp_path: Path) -> None:
    text = seeds.road(ROOT)
    file = tmp_path / "road.toml"
    file.write_text(text.replace('tolerance = "40 hp"', 'tolerance = "40 degF"', 1))
    with pytest.raises(
        InputError, match=r'road\.toml:\d+: plan\.levels\.tame\.tolerance = "40 deg'
    ):
        airchain.load(file)
    file.write_text(text.replace("runners_up = 3", "runners_op = 3").replace("= 8.2", "= 82"))
    with pytest.raises(InputError) as told:
        airchain.load(file)
    assert "plan.runners_op" in str(told.value)
    assert "engine.compression_ratio" in str(told.value)


EFFICIENCIES = {"0.0076": r"must be between 0\.05 and 0\.95; did you mean 0\.76\?",
                "76": "must be between 0.05 and 0.95; a fraction, not per cent",
                "0.97": r"must be between 0\.05 and 0\.95"}  # fmt: skip


@pytest.mark.parametrize("typed", EFFICIENCIES)
def test_efficiencies_that_no_machine_has_are_refused(typed: str, tmp_path: Path) -> None:
    (tmp_path / "one_point.toml").write_text((ROOT / "examples" / "one_point.toml").read_text())
    text = seeds.blower(ROOT).replace("3000, 0.62, 1.60, 0.77", f"3000, 0.62, 1.60, {typed}")
    (tmp_path / "one_point_map.csv").write_text(text)
    with pytest.raises(InputError, match=rf"one_point_map\.csv:.*{EFFICIENCIES[typed]}"):
        airchain.load(tmp_path / "one_point.toml")


@pytest.mark.parametrize("value", ["Infinity", "-Infinity", "1e999"])
@pytest.mark.parametrize("place", ["table", "trim", "temperature"])
def test_infinite_numbers_are_no_calibration(value: str, place: str, tmp_path: Path) -> None:
    write_calibration(seeds.calibration(), tmp_path / "out")
    file = tmp_path / "out" / "calibration.json"
    old = {"table": "0.55", "trim": "1.01", "temperature": "36.85"}[place]
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, value, 1))
    with pytest.raises(InputError, match=r"calibration\.json"):
        read_calibration(tmp_path / "out")


@pytest.mark.parametrize("rpm", [np.ma.masked, [np.ma.masked], [3000.0, np.ma.masked],
                                 np.ma.masked_array([3000.0, 4000.0], [False, True])])  # fmt: skip
def test_masked_engine_speeds_are_refused(rpm: object) -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    with pytest.raises(InputError, match=r"rpm = .*; must be engine speeds.* masked"):
        build.pull(rpm)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="rpm"):
        airchain.sweep(build, {"rpm": rpm})


def test_absurd_numbers_of_threads_are_refused() -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    for threads in (10**6, -1):
        rule = "must be a whole number between 0 and 1024"
        with pytest.raises(InputError, match=f"threads = {threads}; {rule}"):
            airchain.sweep(build, {"rpm": [3000, 4000]}, threads=threads)


def test_a_grid_beyond_memory_is_refused_with_its_size(monkeypatch: pytest.MonkeyPatch) -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    monkeypatch.setattr("airchain.sweeps.sweeping.free_memory", lambda: 2.0**30)
    axes = {"rpm": np.linspace(3000, 7000, 10_000), "ambient.temperature": np.full(5000, 300.0)}
    message = r"50,000,000 points of 14 columns, .* GiB; must fit in the 1\.0 GiB of memory"
    with pytest.raises(InputError, match=message):
        airchain.sweep(build, axes)


def test_a_point_keeps_its_flags_among_other_lanes() -> None:
    """The quick bound of condensation must not make one lane ask for another."""
    build = airchain.load(ROOT / "tests" / "python" / "data" / "dyno_540.toml").level("second")
    draw = np.random.default_rng(1)
    for trial in range(24):
        chain = build.chain.replace(
            bypass=_core.Bypass(opens_at=float(10 ** draw.uniform(2.5, 5.5)),
                                effective_area=float(10 ** draw.uniform(-6, -2))),
            ambient=build.chain.ambient.replace(relative_humidity=float(draw.uniform(0, 1))),
        )  # fmt: skip
        if trial % 2:
            loss = float(10 ** draw.uniform(0, 4))
            chain = chain.replace(discharge=chain.discharge.replace(loss_coefficient=loss))
        if trial % 4 > 1:
            scales = {"flow_scale": (0.5, 2.0), "head_scale": (0.5, 1.5)}
            drawn = {name: float(draw.uniform(*ends)) for name, ends in scales.items()}
            chain = chain.replace(compressor=chain.compressor.replace(**drawn))
        speeds = draw.uniform(20.0, 2500.0, 500)
        order = draw.permutation(speeds.size)
        one = _core.solve(chain, {"engine_speed": speeds})
        other = _core.solve(chain, {"engine_speed": speeds[order]})
        for name, values in one.items():
            assert np.array_equal(np.asarray(values)[order], other[name], equal_nan=True), name
        alone = [_core.solve(chain, {"engine_speed": s}) for s in speeds[:40]]
        for name, values in one.items():
            assert np.array_equal(values[:40], [a[name] for a in alone], equal_nan=True), name


def test_nothing_impossible_is_matched_in_a_sweep_past_the_door() -> None:
    """Axes move fields one by one, past what only the whole build refuses."""
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    axes = {
        "rpm": [3000, 5000, 7000],
        "breathing.scale": [0.5, 1.0, 1.6, 2.0],
        "combustion.phasing": [-0.1, 0.14, 0.5, 0.8],
        "exhaust.area": [5e-5, 1e-3, 0.012],
    }
    grid = airchain.sweep(build, axes, ["power", "volumetric_efficiency"])
    names = _core.status_names()
    matched = grid["status"].values == names.index("matched")
    refused = grid["status"].values == names.index("not_possible")
    assert matched.any()
    assert refused.any()
    assert np.all(grid["volumetric_efficiency"].values[matched] <= 1.6)
    assert np.all(np.isnan(grid["power"].values[refused]))
    assert math.isfinite(float(np.abs(grid["power"].values[matched]).max()))


def test_an_engine_speed_of_next_to_nothing_in_a_log_gives_no_warning(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    rows = [f"{3000 + 100 * n},460,16.2" for n in range(30)]
    rows[7] = "1e-320,-58,16.2"
    file.write_text("\n".join(["Engine speed (rpm),Torque (lb ft),Fuel flow (g/s)", *rows]) + "\n")
    assert len(airchain.read_pulls(file, {"power_basis": "observed"}).pulls)


def test_an_engine_state_and_a_shut_throttle_are_possible_or_tell_no_numbers() -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    matched = _core.status_names().index("matched")
    rng = np.random.default_rng(16)
    found = {"matched": 0, "refused": 0}
    for area in np.geomspace(5e-5, 0.02, 12):
        chain = build.chain.replace(exhaust=build.chain.exhaust.replace(area=area))
        speed, p = rng.uniform(50.0, 900.0, 40), np.geomspace(1.1e3, 0.9e6, 40)
        states = _core.engine_states(chain, speed, p, rng.uniform(240.0, 480.0, 40))
        answered = states["status"] == matched
        found["matched"] += int(answered.sum())
        found["refused"] += int((~answered).sum())
        for name, values in states.items():
            if name not in ("status", "flags"):
                assert np.all(np.isfinite(values) == answered), name
        exhaust, filling = states["exhaust_pressure"][answered], states["volumetric_efficiency"]
        assert np.all(exhaust >= chain.ambient.pressure * (1.0 - 1e-9))
        assert np.all(exhaust <= p[answered] * chain.engine.compression_ratio)
        assert np.all((filling[answered] > 0.0) & (filling[answered] <= 1.6))
    assert min(found.values()) > 50, found
    at = {"operation": _core.Operation(engine_speed=600.0)}
    how = _core.LiftOff(volume=0.01, plenum_volume=0.006, length=1.0, flow_area=0.005)
    valve = _core.ReliefValve(effective_area=1e-3)
    for narrow in np.geomspace(5e-5, 1e-2, 12):
        duct = build.chain.discharge.replace(area=narrow, loss_coefficient=20.0)
        lift = _core.lift_off(build.chain.replace(discharge=duct, **at), how, valve)
        numbers = [lift[n] for n in ("lowest_share", "surge_flow", "highest_pressure")]
        assert np.all(np.isfinite(numbers) == (lift["status"] == "matched")), lift
        assert lift["status"] != "matched" or min(numbers[1:]) > 0.0
    assert lift["status"] == "matched"


def test_calibration_refuses_a_pressure_at_which_the_engine_has_no_answer() -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    with pytest.raises(InputError, match=r"calibrate: pressure = 2 kPa at .* rpm; must be a plenum "
                                         r"pressure at which the engine has an answer; it is not "
                                         r"physically possible"):  # fmt: skip
        airchain.calibrate(build, pressure=[2e3, 60e3, 120e3, 200e3], knock=False)


def test_a_cycle_is_possible_or_tells_no_numbers() -> None:
    setup = airchain.load(ROOT / "demo" / "ridge_road.toml").cylinder.setup  # type: ignore[union-attr]
    coarse = [getattr(setup, side).replace(cells=6) for side in ("intake", "exhaust")]
    setup = setup.replace(intake=coarse[0], exhaust=coarse[1])
    rng = np.random.default_rng(16)
    points = {
        "speed": np.exp(rng.uniform(np.log(60.0), np.log(2000.0), 60)),
        "plenum_pressure": np.exp(rng.uniform(np.log(1e4), np.log(6e5), 60)),
        "plenum_temperature": rng.uniform(230.0, 450.0, 60),
        "exhaust_pressure": np.exp(rng.uniform(np.log(3e4), np.log(6e5), 60)),
        "half_burned": rng.uniform(-0.3, 1.0, 60),
    }
    solved = _core.run_cycles(setup, points)
    settled = solved["status"] == _core.cycle_status_names().index("converged")
    assert settled.sum() > 30
    told = {name: values[settled] for name, values in solved.items()}
    assert all(np.all(np.isfinite(values)) for values in told.values())
    for share in ("residual_fraction", "scavenging_loss"):
        assert np.all((told[share] > -0.02) & (told[share] < 1.02)), share
    assert np.all(np.abs(told["energy_error"]) < 1e-9)
    assert np.all((told["exhaust_temperature"] > 200.0) & (told["exhaust_temperature"] < 3500.0))
    refused = solved["status"] == _core.cycle_status_names().index("not_possible")
    assert np.all(np.isnan(solved["imep"][refused]))


def test_marks_of_writing_direction_in_a_logs_unit_reach_no_refusal(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    rows = [f"{3000 + 100 * n},460,65.6 \u202e" for n in range(30)]
    rows[20] = "5000,460,65.6 x"
    head = "Engine speed (rpm),Torque (lb ft),Charge temperature [°C]"
    file.write_text("\n".join([head, *rows]) + "\n")
    with pytest.raises(InputError, match="must have one unit throughout, here") as refused:
        airchain.read_pulls(file, {"power_basis": "observed"})
    assert "\u202e" not in str(refused.value)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"tie": None}, "tie = None; must be a share from 0 to below 1"),
        ({"tie": np.array([1.0, 2.0])}, "tie = array.*; must be a share"),
        ({"count": 2.5}, "count = 2.5; must be a whole number between 1 and 10,000"),
        ({"count": "3"}, 'count = "3"; must be a whole number'),
    ],
)
def test_best_points_refuse_what_is_no_number(given: dict[str, object], message: str) -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    grid = airchain.sweep(build, {"rpm": [5000.0, 6000.0]}, ["power"])
    with pytest.raises(InputError, match=message):
        best_points(grid, "power", **given)  # type: ignore[arg-type]


def test_an_air_flow_of_next_to_nothing_in_a_log_gives_no_warning(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    rows = [f"{3000 + 100 * n},460,300" for n in range(30)]
    rows[25] = "5500,460,1e-310"
    head = "Engine speed (rpm),Torque (lb ft),Air flow (g/s)"
    file.write_text("\n".join([head, *rows]) + "\n")
    assert len(airchain.read_pulls(file, {"power_basis": "observed"}).pulls) == 1


def test_a_shaft_beside_an_engine_at_rest_in_a_log_gives_no_warning(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    rows = [f"{3000 + 100 * n},460,{30000 + 1000 * n}" for n in range(30)]
    rows[25] = "1e-310,460,50000"
    head = "Engine speed (rpm),Torque (lb ft),Impeller speed (rpm)"
    file.write_text("\n".join([head, *rows]) + "\n")
    assert len(airchain.read_pulls(file, {"power_basis": "observed"}).pulls) == 1


@pytest.mark.parametrize("path", ["drive.links.0.kind", "drive.links.0.module"])
def test_an_array_where_a_drive_has_one_value_is_refused(path: str) -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    with pytest.raises(InputError, match=rf"replace: {path} = .*; must be"):
        build.replace({path: np.array([1.0, 2.0])})


@pytest.mark.parametrize("level", [[], ["even"], {}, 3.0, None])
def test_a_sweep_refuses_a_level_that_is_no_name(level: object) -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    axes = {"rpm": [5000.0], "level": [level]}
    with pytest.raises(InputError, match=r"sweep: level = .*; must be"):
        airchain.sweep(build, axes, ["power"])  # type: ignore[arg-type]


@pytest.mark.parametrize("scatter", [Normal(0.0, 1.76e308), Even(-1.7e308, 1.7e308)])
def test_a_distribution_beyond_the_floats_is_refused(scatter: Normal | Even) -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    axes = {"sample": design({"cooler.effectiveness": scatter}, 4), "rpm": [5000.0]}
    with pytest.raises(InputError, match=r"design: cooler\.effectiveness = .*; must give values"):
        airchain.sweep(build, axes, ["power"])
