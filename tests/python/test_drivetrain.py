"""What every mesh and belt carries: powers that add up, forces, directions, and the words."""

import numpy as np
import pytest

import airchain
import scenario
from airchain.base.speeds import RPM
from test_buildfile import BLOWN, MAP


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


@pytest.fixture(scope="module")
def belted(tmp_path_factory: pytest.TempPathFactory) -> airchain.Build:
    folder = tmp_path_factory.mktemp("belted")
    (folder / "map.csv").write_text(MAP)
    held = 'slip = "2 %"\nfriction_coefficient = 1.0\nstatic_tension = "40 N"'
    (folder / "build.toml").write_text(BLOWN.replace('slip = "2 %"', held))
    return airchain.load(folder / "build.toml")


def test_power_at_the_crank_is_that_of_the_pull(full: airchain.Build) -> None:
    pull = full.pull([7000])
    loads = pull.drive_loads(7000)
    assert loads[0].power_in == pytest.approx(pull["drive_power"][0], rel=1e-12)
    assert loads[-1].speed_out == pytest.approx(pull["rotor_speed"][0], rel=1e-12)
    into_gas_and_drag = (
        pull["compressor_power"][0] + full.chain.drive.drag_torque * (pull["rotor_speed"][0])
    )
    lost = sum(load.power_loss for load in loads.links)
    assert loads[0].power_in - lost == pytest.approx(into_gas_and_drag, rel=1e-12)


def test_tooth_force_is_power_over_pitch_line_speed(full: airchain.Build) -> None:
    mesh = full.drive_loads(7000)[0]
    # demo/ridge_road.toml: 40 teeth of module 2.5 mm on the crank.
    speed = 0.5 * 40 * 2.5e-3 * 7000 * RPM
    assert mesh.pitch_line_speed == pytest.approx(speed)
    assert mesh.effective_tension == pytest.approx(mesh.power_in / speed)


def test_every_mesh_turns_the_shaft_round(full: airchain.Build) -> None:
    loads = full.drive_loads(5000)
    assert loads.directions == ["against crank", "with crank"]
    lines = repr(loads).splitlines()
    assert lines[0].startswith(f"{full.title}, drive at 5,000 rpm: solved.")
    assert [line.split()[0] for line in lines[3:5]] == ["40/33", "4.75"]
    assert lines[3].endswith("against crank")
    assert max(len(line) for line in lines) <= 125


def test_speeding_up_loads_the_drive_more(full: airchain.Build) -> None:
    held = full.drive_loads(5000)
    rising = full.timed_pull([4000, 5000], rpm_per_second=600).drive_loads(5000)
    drive = full.chain.drive
    torque = drive.inertia * 600 * RPM * drive.speed_ratio
    assert rising[-1].torque_out - held[-1].torque_out == pytest.approx(torque, rel=1e-9)


def test_a_belt_has_tension_and_capacity(belted: airchain.Build) -> None:
    loads = belted.drive_loads(6500)
    belt, row = loads[0], loads.tables("si")[0].rows[0]
    # Capstan, wrap of half a turn: 2 T0 (e^(mu pi) - 1)/(e^(mu pi) + 1).
    grip = np.exp(np.pi)
    assert belt.tension_capacity == pytest.approx(80 * (grip - 1) / (grip + 1))
    assert belt.speed_out == pytest.approx(2 * 0.98 * belt.speed_in)
    assert row[-2] == f"{belt.tension_capacity:,.0f}"
    over = belt.effective_tension > belt.tension_capacity
    assert any("more pull than it can carry" in note for note in loads.notes) == over
    assert over


def test_what_is_not_known_is_said(belted: airchain.Build, full: airchain.Build) -> None:
    bare = belted.replace({"drive.links.0.static_tension": None}).drive_loads(5000)
    assert bare.tables()[0].rows[0][-2] == "not given"
    assert any("What the teeth can carry" in note for note in full.drive_loads(5000).notes)
    plain = full.naturally_aspirated().drive_loads(5000)
    assert len(plain) == 0
    assert plain.notes == ["There is no drive: the engine is naturally aspirated."]


def test_a_point_without_an_answer_has_no_loads(full: airchain.Build) -> None:
    loads = full.replace({"drive.links.1.speed_ratio": 7}).drive_loads(7500)
    assert loads.status == "outside_map"
    assert np.isnan(loads[0].torque_in)
    assert "Lower the drive ratio" in loads.verdict
    assert "drive at" in loads._repr_html_()
