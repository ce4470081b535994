"""The crank-resolved engine from Python: typed inputs, events, points, grids, traces."""

import copy
import math
import os
import pickle
import signal
import threading
import time
from pathlib import Path

import numpy as np
import pytest

import scenario
from airchain import InputError, _core
from airchain.cylinder.camshaft import Cam
from airchain.cylinder.crank_engine import CrankEngine
from airchain.cylinder.measured_lift import MeasuredLift
from crank_engines import EXHAUST, engine, port

DEGREE = math.pi / 180.0
RPM = math.pi / 30.0


@pytest.fixture(scope="module")
def v8() -> CrankEngine:
    return engine()


# A cam card's arithmetic (common practice, no source): half the duration about the centreline.
def test_events_agree_with_the_numbers_given(v8: CrankEngine) -> None:
    events = v8.events()
    at = {name: value / DEGREE for name, value in events["0.050"].items()}
    assert at["intake_opens"] == pytest.approx(236 / 2 - 108)
    assert at["intake_closes"] == pytest.approx(236 / 2 + 108 - 180)
    assert at["exhaust_opens"] == pytest.approx(244 / 2 + 116 - 180)
    assert at["exhaust_closes"] == pytest.approx(244 / 2 - 116)
    assert at["overlap"] == pytest.approx(16.0)
    assert events["seat"]["intake_duration"] == pytest.approx(288 * DEGREE)
    shaft = _core.Camshaft(
        lobe_separation=112 * DEGREE, intake_centreline=108 * DEGREE,
        intake=v8.camshaft.intake, exhaust=v8.camshaft.exhaust,
    )  # fmt: skip
    for name, value in _core.events_at_seat_lift(shaft).items():
        assert events["seat"][name] == pytest.approx(value)
    text = events.text()
    assert "intake closes           46.0 deg after BC   72.0 deg after BC" in text
    assert "not checked: no piston_gap was given" in text


def test_lift_curve_meets_both_durations_and_the_lift(v8: CrankEngine) -> None:
    curve = v8.camshaft.curve("intake")
    opening, closing = curve.span_at(1.6 * _core.CHECKING_LIFT)
    assert closing - opening == pytest.approx(236 * DEGREE, abs=1e-9)
    opening, closing = curve.span_at(1.6 * _core.SEAT_LIFT)
    assert closing - opening == pytest.approx(288 * DEGREE, abs=1e-9)
    assert curve.highest == pytest.approx(1.6 * 0.362 * 0.0254)


def test_measured_lift_reads_back_the_lobe_it_was_sampled_from(tmp_path: Path) -> None:
    lobe = engine().camshaft.curve("intake")
    degrees = np.arange(-180.0, 181.0, 2.0)
    lift = lobe.at(degrees * DEGREE)
    rows = [f"{a + 230.0:g}, {y / 0.0254:.5f}" for a, y in zip(degrees, lift, strict=True)]
    path = tmp_path / "intake.csv"
    path.write_text("\n".join(["# invented", "angle [deg], lift [in]", *rows]))
    measured = MeasuredLift.read(path)
    opening, closing = measured.spans()["0.050"]
    # Readings to 1e-5 in where the lobe rises some 3e-4 in a degree.
    assert closing - opening == pytest.approx(236 * DEGREE, abs=0.05 * DEGREE)
    angle = np.arange(-100.0, 101.0, 7.0) * DEGREE
    assert measured.curve().at(angle) == pytest.approx(lobe.at(angle), abs=2e-6)
    cam = {"intake": measured, "exhaust": EXHAUST}
    made = engine(camshaft=Cam(**cam, lobe_separation="112 deg", intake_centreline="108 deg"))
    typed, read = (e.points(4000, "100 kPa", "103 kPa") for e in (engine(), made))
    assert read["torque"][0] == pytest.approx(typed["torque"][0], rel=2e-3)
    path.write_text("angle [deg], lift [in]\n0, 0\n1, x\n")
    with pytest.raises(InputError, match=r'intake.csv:3: row = "1, x"; must be two numbers'):
        MeasuredLift.read(path)


def test_tappet_lifts_become_valve_lifts() -> None:
    degrees = np.arange(-180.0, 181.0, 2.0)
    lobe = _core.LiftCurve(engine().camshaft.intake)
    tappet = lobe.at(degrees * DEGREE) / 1.6
    at_tappet = MeasuredLift(degrees * DEGREE, tappet, at="tappet", lash="0.4 mm")
    assert at_tappet.curve().highest == pytest.approx(1.6 * 0.362 * 0.0254 - 0.4e-3, abs=2e-6)
    opening, closing = at_tappet.spans()["0.050"]
    assert closing - opening == pytest.approx(236 * DEGREE, abs=0.1 * DEGREE)


def test_curve_tells_its_verdict_and_friction_is_taken_off_once(v8: CrankEngine) -> None:
    curve = v8.curve(plenum_pressure="100 kPa", exhaust_pressure="103 kPa")
    assert curve.verdict == "invented V8: 13 points: 13 converged"
    assert set(curve.status) == {"converged"}
    friction = v8.engine.friction_at(curve["peak_pressure"], curve.rpm * RPM)
    work = (curve["imep"] - friction) * v8.engine.displacement
    assert curve["torque"] == pytest.approx(work / (4 * math.pi))
    assert curve["power"] == pytest.approx(curve["torque"] * curve.rpm * RPM)
    assert curve.get("torque", "lb ft") == pytest.approx(curve["torque"] / 1.3558179483)
    # Chen and Flynn's form with the numbers of the class [SAE 650733].
    size, speed = v8.engine, 2.0 * 0.1016 * curve.rpm / 60.0
    assert friction == pytest.approx(
        size.friction_constant + size.friction_pressure * curve["peak_pressure"]
        + size.friction_speed * speed + size.friction_speed_squared * speed**2
    )  # fmt: skip
    value, rpm = curve.peak("power")
    assert value == np.max(curve["power"])
    assert rpm in curve.rpm
    assert "firing order" in curve.text()


def test_air_drawn_is_what_is_trapped_and_what_is_lost(v8: CrankEngine) -> None:
    points = v8.points([3000, 6000], ["100 kPa", "180 kPa"], "110 kPa")
    air = _core.ChargeMixture(
        fuel=_core.generic_fuel("gasoline_premium"), lambda_=0.88,
        evaporated_fraction=_core.Injection().evaporated_fraction, vapour=0.008,
    ).air_fraction  # fmt: skip
    trapped = points["air_mass"] / air * (1.0 - points["scavenging_loss"])
    assert points["fresh_mass"] == pytest.approx(trapped, rel=2e-3)
    assert np.all(np.abs(points["mass_error"]) < 1e-6)
    assert np.all(np.abs(points["energy_error"]) < 1e-3)


def test_single_equals_batch_for_any_threads(v8: CrankEngine) -> None:
    rpm = [2000, 3500, 5000, 6500, 7000]
    batch = v8.points(rpm, "150 kPa", "110 kPa", threads=1)
    again = v8.points(rpm, "150 kPa", "110 kPa", threads=3)
    for name, values in batch.solved.items():
        assert np.array_equal(values, again.solved[name]), name
        assert v8.points(5000, "150 kPa", "110 kPa").solved[name][0] == values[2], name
    setup = v8.setup
    one = _core.run_cycles(
        setup,
        {"speed": 3500 * RPM, "plenum_pressure": 1.5e5, "plenum_temperature": 305.0,
         "exhaust_pressure": 1.1e5, "half_burned": setup.burn.half_burned},
    )  # fmt: skip
    assert one["imep"] == batch["imep"][1]
    assert isinstance(one["imep"], float)


def test_grid_is_labelled_and_equals_points(v8: CrankEngine) -> None:
    grid = v8.grid(
        {"plenum_pressure": ["100 kPa", "170 kPa"], "rpm": [3000, 5000, 6000],
         "exhaust_pressure": "110 kPa"}
    )  # fmt: skip
    data = grid.to_dataset()
    assert data["torque"].dims == ("plenum_pressure", "rpm")
    assert data["torque"].attrs["units"] == "N m"
    assert data.attrs["summary"] == "6 points: 6 converged"
    assert data["status"].attrs["flag_meanings"] == "converged not_converged not_possible"
    point = v8.points(5000, "170 kPa", "110 kPa")
    assert float(data["torque"].sel(plenum_pressure=170e3, rpm=5000)) == point["torque"][0]
    assert len(grid.to_frame()) == 6


def test_spark_and_half_burned_phase_the_same_burn(v8: CrankEngine) -> None:
    by_spark = v8.points([3000, 5000], "120 kPa", "105 kPa", spark="26 deg")
    assert by_spark["burn_start"] == pytest.approx(-26 * DEGREE, abs=1e-12)
    by_half = v8.points(
        [3000, 5000], "120 kPa", "105 kPa", half_burned=by_spark["half_burned"].tolist()
    )
    assert by_half["burn_start"] == pytest.approx(-26 * DEGREE, abs=2e-4)
    assert by_half["imep"] == pytest.approx(by_spark["imep"], rel=5e-4)


def test_trace_agrees_with_its_point(v8: CrankEngine, tmp_path: Path) -> None:
    trace = v8.trace(5000, "150 kPa", "110 kPa")
    assert np.max(trace["pressure"]) == pytest.approx(trace.point["peak_pressure"][0], rel=2e-3)
    volume, pressure = trace["volume"], trace["pressure"]
    work = np.sum(0.5 * (pressure[1:] + pressure[:-1]) * np.diff(volume))
    imep = work / v8.setup.crank.displacement
    assert imep == pytest.approx(trace.point["imep"][0], rel=5e-3)
    assert np.all(np.diff(trace["angle"]) > 0.0)
    trace.write(tmp_path / "cycle.csv")
    assert (tmp_path / "cycle.csv").read_text().startswith("angle [rad],pressure [Pa]")
    with pytest.raises(InputError, match="did you mean"):
        trace["presure"]


# Vacuum, back flow, cranking speed and 10,000 rpm run and balance.
@pytest.mark.parametrize(
    ("rpm", "plenum", "exhaust"),
    [(300, "100 kPa", "101 kPa"), (10_000, "100 kPa", "103 kPa"), (2000, "25 kPa", "101 kPa"),
     (3000, "100 kPa", "300 kPa"), (6000, "400 kPa", "110 kPa")],
)  # fmt: skip
def test_edges_run(v8: CrankEngine, rpm: float, plenum: str, exhaust: str) -> None:
    point = v8.points(rpm, plenum, exhaust)
    assert point.status[0] == "converged"
    assert abs(point["mass_error"][0]) < 1e-6
    assert abs(point["energy_error"][0]) < 1e-3
    assert 0.0 < point["volumetric_efficiency"][0] < 1.5
    assert ("above the redline" in point.text()) == (rpm > 7200)


def test_a_point_that_does_not_converge_says_so(v8: CrankEngine) -> None:
    controls = _core.CycleControls(most_cycles=2, tolerance=1e-9)
    points = v8.points([3000, 4000], "100 kPa", "103 kPa", controls=controls)
    assert points.verdict.endswith("2 points: 0 converged, 2 not converged")
    assert "2 points did not converge." in " ".join(points.notes)
    assert math.isnan(points.peak("torque")[0])


def test_progress_is_told_and_an_error_in_it_stops_the_run(v8: CrankEngine) -> None:
    told: list[tuple[int, int]] = []
    v8.points(np.linspace(2000, 7000, 12), "100 kPa", "103 kPa", progress=lambda *n: told.append(n))
    assert told[-1] == (12, 12)
    assert [n for n, _ in told] == sorted(n for n, _ in told)

    def stop(done: int, total: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        v8.points(np.linspace(2000, 7000, 40), "100 kPa", "103 kPa", progress=stop)


def test_ctrl_c_stops_a_run(v8: CrankEngine) -> None:
    timer = threading.Timer(0.15, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    begun = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        v8.points(np.linspace(1000, 7000, 20_000), "150 kPa", "110 kPa")
    timer.join()
    assert time.monotonic() - begun < 30.0


def test_a_build_that_types_its_breathing_has_no_cylinder() -> None:
    with pytest.raises(InputError, match=r"must have a table \[engine.camshaft\]"):
        CrankEngine.of(scenario.typed())


def test_python_runs_on_while_the_core_works(v8: CrankEngine) -> None:
    counted, stop = [0], threading.Event()

    def count() -> None:
        while not stop.is_set():
            counted[0] += 1
            time.sleep(0.001)

    thread = threading.Thread(target=count)
    thread.start()
    before = counted[0]
    v8.points(np.linspace(1500, 7000, 60), "150 kPa", "110 kPa", threads=1)
    stop.set()
    thread.join()
    # Held for the whole run, the lock would let the other thread count once or twice.
    assert counted[0] - before > 5


def test_replace_goes_by_path_and_leaves_the_old_engine(v8: CrankEngine) -> None:
    other = v8.replace(
        {"camshaft.intake.duration": "230 deg", "runner.length": "10 in"}, redline=700.0
    )
    assert other.camshaft.intake.duration == pytest.approx(230 * DEGREE)
    assert other.setup.intake.taper.length == pytest.approx(0.254)
    assert other.engine.speed_limit == 700.0
    assert v8.camshaft.intake.duration == pytest.approx(236 * DEGREE)
    assert other.fingerprint != v8.fingerprint
    assert v8.replace({"runner.length": "12.5 in"}).fingerprint == v8.fingerprint
    assert pickle.loads(pickle.dumps(other)).fingerprint == other.fingerprint
    assert copy.deepcopy(v8).setup == v8.setup
    with pytest.raises(AttributeError):
        v8.bore = 0.1  # type: ignore[misc]
    with pytest.raises(TypeError):
        v8.runner["length"] = 0.3


def test_clearance_to_the_piston_is_told_or_refused() -> None:
    roomy = engine(intake_port=port(0.0525) | {"piston_gap": "0.35 in", "inclination": "11 deg"})
    left, angle = roomy.clearances["intake"]
    assert 0.080 * 0.0254 < left < 0.35 * 0.0254
    assert 0.0 < angle < 0.5  # the piston is nearest to the intake valve just after top centre
    assert "The intake valve comes within" in roomy.events().text()
    # By hand at the angle found: the gap, the piston's travel and the lift along the valve's axis.
    a, rod = 2.0 * 0.0254, 6.2 * 0.0254
    travel = a + rod - (a * math.cos(angle) + math.sqrt(rod**2 - (a * math.sin(angle)) ** 2))
    lift = float(roomy.camshaft.lift("intake", angle + 2 * math.pi))
    by_hand = 0.35 * 0.0254 + travel * math.cos(11 * DEGREE) - lift
    assert left == pytest.approx(by_hand, abs=1e-9)
