"""Builds whose cams, ports and pipes make the volumetric efficiency."""

import re
from math import pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
from airchain import _core
from airchain.chain import parse_build
from airchain.chain.factors import shaped
from airchain.chain.matched_cycles import matched_points
from airchain.cylinder import surface
from airchain.cylinder.surface import Group
from cam_engine import CAMS, built, built_v8, changed, coarsen

RPM = pi / 30.0
DEGREE = pi / 180.0


@pytest.fixture
def coarse(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Surfaces of few nodes, kept in a folder of the test's own."""
    coarsen(monkeypatch, tmp_path / "kept")
    return tmp_path / "kept"


REFUSED = [
    # what is changed, and the refusal
    (('lobe_separation = "110 deg"\n', ""),
     r"build:\d+: engine.camshaft.lobe_separation = missing; must be given"),
    (('duration = "224 deg"', 'duration = "280 deg"'),
     r"build:\d+: engine.camshaft.intake.duration = \"280 deg\"; .*shorter"),
    (('rocker_ratio = 1.0\n[engine.camshaft.exhaust]',
      'rocker_ratio = 1.3\n[engine.camshaft.exhaust]'),
     r"build:20: engine.camshaft.intake: .*highest lift = 0.01235 m; .*measure higher"),
    (('flow = ["40 L/s", "75 L/s"', 'flow = ["40 L/s", "-75 L/s"'),
     r"build:\d+: engine.intake_port.flow = .*; must be between 0 and 2"),
    (('lift = ["2 mm", "4 mm", "6 mm", "8 mm", "10 mm"]\nflow = ["40 L/s"',
      'lift = ["2 mm", "6 mm", "4 mm", "8 mm", "10 mm"]\nflow = ["40 L/s"'),
     r"build:\d+: engine.intake_port.lift = .*rising from row to row"),
    (('flow = ["40 L/s", "75 L/s", ', 'flow = ["40 L/s", '),
     r"build:\d+: engine.intake_port.flow = .*have one value for each of the 5 lifts"),
    (('valve_diameter = "33 mm"', 'valve_diameter = "63 mm"'),
     r'valve_diameter = "63 mm"; must be at most 47.3 mm; 2 valves lie side by side over a bore'),
    (('valve_diameter = "33 mm"', 'valve_diameter = "20 mm"'),
     r"engine.intake_port.*effective area = .*check the valve diameter"),
    (('convention = "incompressible"', 'convention = "true"'),
     r"build:\d+: engine.intake_port.convention = \"true\"; must be one of incompressible, comp"),
    (('length = "320 mm"', 'length = "0 mm"'),
     r"build:\d+: engine.runner.length = \"0 mm\"; must be between 20 and 10,000 mm"),
    (('port_diameter = "42 mm"', 'port_diameter = "25 mm"'),
     r"build:\d+: engine.runner: area at the valve = .*the pipe is thinner than its valve"),
    (('rod_length = "145 mm"', 'rod_length = "60 mm"'), r"engine.*rod_length"),
    (('rod_length = "145 mm"\n', ""), r"build:\d+: engine.rod_length = missing; must be given"),
    (('intake_centreline = "108 deg"', 'intake_centreline = "70 deg"'),
     r"build:\d+: engine.camshaft.intake_centreline = \"70 deg\"; must be between"),
    (('[engine.runner]', '[engine.pipe]'), r"engine.pipe = {...}; must be a key of \[engine\]"),
    (('bore = "86 mm"\n', 'displacement = "2 L"\n'), r"engine.bore = missing; must be given"),
    (('redline = "7000 rpm"', 'redline = "7000 rpm"\nvalve_loss = 90'),
     r"engine.valve_loss = 90; must not stand beside a camshaft"),
    (('[engine.camshaft]', '[engine.volumetric_efficiency]\nrpm = [1000]\nvalues = [0.9]\n'
      '[engine.camshaft]'),
     r"engine.camshaft = {...}; must not stand beside volumetric_efficiency; "
     r"take the typed table out: delete it in the file"),
    (('[fuel]\nname = "gasoline_premium"', '[fuel]\nname = "water"'), r"fuel.name = \"water\""),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "told"), REFUSED, ids=[told[:40] for _, told in REFUSED])
def test_a_bad_cam_engine_is_refused_where_it_is_typed(
    changes: tuple[str, ...], told: str, coarse: Path
) -> None:
    with pytest.raises(airchain.InputError) as refused:
        built(*changes)
    assert re.search(told, str(refused.value)), str(refused.value)


def test_cam_tables_stand_only_beside_a_camshaft() -> None:
    typed = "[engine.volumetric_efficiency]\nrpm = [1000]\nvalues = [0.9]\n"
    text = re.sub(r"\[engine.camshaft\].*?\[engine.intake_port\]",
                  typed + "[engine.intake_port]", CAMS, flags=re.DOTALL)  # fmt: skip
    with pytest.raises(airchain.InputError, match=r"intake_port = {...}; must stand only with a c"):
        parse_build(text)


def test_valve_events_follow_from_the_numbers_typed(coarse: Path) -> None:
    cam = built().cylinder.cam
    intake_peak, exhaust_peak = (cam.peak(side) - 2.0 * pi for side in ("intake", "exhaust"))
    # 224 deg at 0.050 in about 108 deg after top centre: opens 4 deg before it, closes 40 deg
    # after bottom centre; the exhaust, 220 deg about 112 deg before: 42 deg and -2 deg.
    first, last = cam.curve("intake").span_at(_core.CHECKING_LIFT)
    assert np.allclose([intake_peak + first, intake_peak + last],
                       [-4.0 * DEGREE, 220.0 * DEGREE], atol=1e-6)  # fmt: skip
    first, last = cam.curve("exhaust").span_at(_core.CHECKING_LIFT)
    assert np.allclose([exhaust_peak + first, exhaust_peak + last],
                       [-222.0 * DEGREE, -2.0 * DEGREE], atol=1e-6)  # fmt: skip


def test_a_measured_lift_file_is_the_lobe_it_was_drawn_from(coarse: Path, tmp_path: Path) -> None:
    lift = built().cylinder.cam.curve("intake")
    angle = np.linspace(lift.opening, lift.closing, 141)
    rows = [f"{a / DEGREE + 400.0:.6f},{1e3 * y:.7f}" for a, y in
            zip(angle, lift.at(angle), strict=True)]  # fmt: skip
    (tmp_path / "lobe.csv").write_text("\n".join(["# drawn", "angle [deg],lift [mm]", *rows]))
    typed = 'duration = "224 deg"\nseat_duration = "272 deg"\nlobe_lift = "9.5 mm"\nrocker_ratio'
    file = tmp_path / "build.toml"
    file.write_text(changed(typed + " = 1.0", 'lift_file = "lobe.csv"'))
    measured = airchain.load(file).cylinder.cam.curve("intake")
    at = np.linspace(-100.0, 100.0, 41) * DEGREE
    assert np.allclose(measured.at(at), lift.at(at), atol=2e-6)
    (tmp_path / "lobe.csv").write_text("angle,lift\n1,2\n")
    with pytest.raises(airchain.InputError, match=r"build.toml:20: .*lobe.csv: heading = "):
        airchain.load(file)
    (tmp_path / "lobe.csv").write_text("angle [deg],lift [mm]\n1,2\nx,3\n")
    with pytest.raises(airchain.InputError, match=r"lobe.csv:3: row = .*be two numbers"):
        airchain.load(file)


def test_the_centreline_of_a_lopsided_lobe_halves_its_span_at_050(
    coarse: Path, tmp_path: Path
) -> None:
    # The trade degrees a cam by the middle between equal lifts, not by the highest (common
    # practice, no source): an opening side drawn out by a tenth moves one, not the other.
    lift = built().cylinder.cam.curve("intake")
    angle = np.linspace(lift.opening, lift.closing, 141)
    drawn_out = np.where(angle < 0.0, 1.1 * angle, angle) / DEGREE
    rows = [f"{a:.6f},{1e3 * y:.7f}" for a, y in zip(drawn_out, lift.at(angle), strict=True)]
    (tmp_path / "lobe.csv").write_text("\n".join(["angle [deg],lift [mm]", *rows]))
    typed = 'duration = "224 deg"\nseat_duration = "272 deg"\nlobe_lift = "9.5 mm"\n'
    file = tmp_path / "build.toml"
    file.write_text(changed(typed, 'lift_file = "lobe.csv"\n'))
    build = airchain.load(file)
    cylinder, half = build.cylinder, 112.0 * DEGREE
    curve = cylinder.cam.curve("intake")
    first, last = curve.span_at(_core.CHECKING_LIFT)
    assert np.allclose([first, last], [-1.05 * half, 1.05 * half], atol=1e-3)
    assert np.isclose(cylinder.cam.peak("intake") - 2.0 * pi, 108.0 * DEGREE)
    highest = np.linspace(-0.2, 0.2, 4001)
    place = highest[np.argmax(curve.at(highest))]
    assert np.isclose(place, 0.05 * half, atol=2e-3)
    # One reader: the engine in Python is the same.
    assert airchain.CrankEngine.of(build).setup == cylinder.setup


@pytest.mark.parametrize("make", [built, built_v8], ids=["four", "v8"])
def test_the_engine_of_a_build_is_its_cylinder(make: Any, coarse: Path) -> None:
    build = make()
    engine = airchain.CrankEngine.of(build)
    assert engine.setup == build.cylinder.setup
    assert engine.engine == build.chain.engine
    points = {"speed": 4500.0 * RPM, "plenum_pressure": 98e3, "exhaust_pressure": 104e3}
    points |= {"plenum_temperature": 305.0, "half_burned": engine.setup.burn.half_burned}
    found = engine.points(4500.0, 98e3, 104e3)
    direct = _core.run_cycles(build.cylinder.setup, points)
    assert found["volumetric_efficiency"][0] == direct["volumetric_efficiency"]


def test_the_chain_fills_as_the_cycle_at_its_matched_state(
    coarse: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Nodes as close as those of the whole surface, over a part of it.
    groups = (Group((0.8, 0.88, 0.94, 1.0), 4, 12),)
    close = surface.NODES[surface.USUAL]._replace(groups=groups, speeds=(0.65, 0.8))
    monkeypatch.setitem(surface.NODES, surface.USUAL, close)
    pull = built().pull([4600.0, 5050.0, 5500.0])
    assert pull.matched.all()
    assert not pull.extrapolated.any()
    points = matched_points(pull)
    cycles = _core.run_cycles(pull.build.cylinder.setup, points)
    assert np.allclose(pull["volumetric_efficiency"], cycles["volumetric_efficiency"], rtol=2e-3)
    assert np.allclose(pull["trapping"], 1.0 - cycles["scavenging_loss"], atol=1e-3)
    assert np.allclose(pull["pumping_pressure"], cycles["pmep"], atol=300.0)
    cycles = pull.cycles()
    assert np.array_equal(
        cycles["pmep"], _core.run_cycles(pull.build.cylinder.setup, points)["pmep"]
    )
    assert "cycles settled" in cycles.text()
    assert any("is within" in note for note in cycles.notes)


def test_a_fitted_factor_over_speed_holds_for_a_surface(coarse: Path) -> None:
    breathing_of = built().chain.breathing
    knots = [(200.0, 0.9), (1000.0, 0.9)]
    moved = shaped(breathing_of, knots)["surface"]
    at = (np.array([450.0, 600.0]), np.array([0.9, 1.7]), np.array([300.0, 350.0]), 130e3)
    before = breathing_of.surface.volumetric_efficiency_at(*at)
    assert np.allclose(moved.volumetric_efficiency_at(*at), 0.9 * before, rtol=1e-9)
    assert np.allclose(moved.trapping_at(*at), breathing_of.surface.trapping_at(*at))
    assert np.allclose(moved.pumping_at(*at), breathing_of.surface.pumping_at(*at))


def test_where_the_chain_leaves_the_surface_is_marked(coarse: Path) -> None:
    pull = built().pull([2500.0, 5000.0])
    assert list(pull.extrapolated) == [True, False]
    assert any("held at the edge" in note for note in pull.notes)


def test_typed_breathing_has_no_cycles() -> None:
    from test_buildfile import PLAIN

    build = parse_build(PLAIN)
    assert build.cylinder is None
    with pytest.raises(airchain.InputError, match=r"must have a table \[engine.camshaft\]"):
        build.pull([4000.0]).cycles()
    with pytest.raises(airchain.InputError, match=r"must have a table \[engine.camshaft\]"):
        build.knock_margins()


def test_an_overlap_that_lets_exhaust_fill_the_cylinder_is_refused_with_its_line(
    tmp_path: Path,
) -> None:
    wild = changed(
        'lobe_separation = "110 deg"', 'lobe_separation = "88 deg"',
        'intake_centreline = "108 deg"', 'intake_centreline = "86 deg"',
        'duration = "224 deg"', 'duration = "250 deg"',
        'seat_duration = "272 deg"', 'seat_duration = "300 deg"',
        'duration = "220 deg"', 'duration = "246 deg"',
        'seat_duration = "268 deg"', 'seat_duration = "296 deg"',
    )  # fmt: skip
    file = tmp_path / "wild.toml"
    file.write_text(wild, encoding="utf-8")
    with pytest.raises(airchain.InputError) as refused:
        airchain.load(file)
    told = str(refused.value)
    assert f"{file}:17: engine.camshaft: overlap = 160 degrees" in told
    assert "exhaust fills it at" in told
    assert 'set breathing = "cycles"' in told
    # With cycles at its points alone it runs.
    file.write_text(wild.replace('"surface"', '"cycles"'), encoding="utf-8")
    pull = airchain.load(file).pull([4000.0, 6000.0])
    assert (pull["status"] == 0).all()
