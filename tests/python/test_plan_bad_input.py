"""A plan that cannot be: bad input is refused by file, line and key, before any work."""

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import airchain
import scenario
from airchain.cli.main import cli

PLAN = """[plan.levels.tame]
power = "700 hp"
tolerance = "60 hp"
[[plan.gears]]
name = "A"
driving_teeth = 40
driven_teeth = 33
module = "2.5 mm"
[[plan.gears]]
name = "B"
driving_teeth = 37
driven_teeth = 36
module = "2.5 mm"
"""
#: What is typed instead, or added at the end, and the refusal as a part of its message.
ROWS: dict[str, tuple[str, str, str]] = {
    "duplicate pair": (
        "driving_teeth = 37\ndriven_teeth = 36",
        "driving_teeth = 33\ndriven_teeth = 40",
        'must differ from every other part; "A" at plan.toml:4 is the same',
    ),
    "duplicate name": ('name = "B"', 'name = "A"', "must differ from every other part"),
    "no tolerance": ('tolerance = "60 hp"\n', "", "plan.levels.tame.tolerance = missing"),
    "tolerance of another kind": ('"60 hp"', '"2 psi"', 'plan.levels.tame.tolerance = "2 psi"'),
    "two aims": ('power = "700 hp"', 'power = "700 hp"\nboost = "9 psi"', "not stand beside power"),
    "no aim": (
        'power = "700 hp"\n',
        "",
        "plan.levels.tame.power = missing; must be given; or torque",
    ),
    "misspelt aim": ("power =", "powr =", 'did you mean "power"?'),
    "no module": ('module = "2.5 mm"\n[[', "[[", "plan.gears.0.module = missing"),
    "half a tooth": ("driving_teeth = 37", "driving_teeth = 36.5", "whole number from 8 to 200"),
    "negative price": (
        'name = "B"',
        'name = "B"\nprice = -3',
        "plan.gears.1.price = -3; must be 0",
    ),
    "speed outside": (
        'tolerance = "60 hp"',
        'tolerance = "60 hp"\nrpm = 9000',
        "be within the plan",
    ),
    "limit without source": ("", '[plan.limits.boost]\nmost = "20 psi"', "boost.source = missing"),
    "unknown limit": ("", "[plan.limits.bost]\n", 'did you mean "boost"?'),
    "margin of 150 %": (
        "",
        '[plan.limits.surge_margin]\nleast = "150 %"\nsource = "a"',
        "be at least 0 % and below 100 %",
    ),
    "knock margin of no engine": (
        "",
        '[plan.limits.knock]\nleast = "25 deg"\nsource = "a"',
        "be at least 0 and below 20 deg",
    ),
    "limit against a target": (
        "",
        '[plan.limits.power]\nmost = "600 hp"\nsource = "rule book"',
        "not contradict the limit of 600.0 hp; the limit stands at plan.toml:15",
    ),
    "limit against the build": (
        "",
        '[plan.limits.rotor_speed]\nmost = "50000 rpm"\nsource = "a"',
        "agree with [compressor]",
    ),
    "cold above hot": (
        "",
        '[plan.weather.coldest]\npressure = "29 inHg"\ntemperature = "99 degF"\n'
        '[plan.weather.hottest]\npressure = "29 inHg"\ntemperature = "60 degF"',
        "be colder than",
    ),
    "bore not told": ("", '[plan.shafts]\ncrank = "26 splines"', "driving_bore = missing"),
    "teeth without width": (
        "",
        '[plan.teeth]\nallowable_bending = "400 MPa"\nallowable_contact = "1400 MPa"\n'
        "torsional_factor = 1.4",
        "plan.gears.0.face_width = missing",
    ),
    "one pulley": ("", '[[plan.pulleys]]\nname = "P"\ndiameter = "4 in"', "must hold two pulleys"),
    "take-up without belt": ("", '[plan.belt]\ntake_up = "5 mm"', "must stand only with a length"),
    "clamp twice": (
        "",
        '[plan.head]\nfasteners_per_cylinder = 4\nsealing_diameter = "4 in"\ntorque = "90 lb ft"\n'
        'fastener_diameter = "0.5 in"\nclamp = "50 kN"',
        "must not stand beside torque",
    ),
    "bypass beyond choke": ("", "[plan.throttle_shut]\nflow_over_surge = 9", "be between 1 and 3"),
    "another table": ("", '[build]\nname = "x"', "be left out of a plan file"),
}


@pytest.fixture(scope="module")
def build() -> Any:
    return scenario.steps().build


@pytest.mark.parametrize("row", ROWS)
def test_names_the_bad_input(row: str, build: Any, tmp_path: Path,
                             monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    old, new, words = ROWS[row]
    assert not old or old in PLAN
    monkeypatch.chdir(tmp_path)
    Path("plan.toml").write_text(PLAN.replace(old, new, 1) if old else PLAN + new)
    with pytest.raises(airchain.InputError) as refused:
        airchain.plan_levels(build, "plan.toml")
    assert words in str(refused.value)
    assert str(refused.value).startswith("plan.toml")


def test_an_empty_list_of_parts_is_refused(build: Any, tmp_path: Path) -> None:
    (tmp_path / "plan.toml").write_text(PLAN.partition("[[")[0])
    with pytest.raises(airchain.InputError, match=r"plan\.gears = none; must hold a part"):
        airchain.plan_levels(build, tmp_path / "plan.toml")


def test_all_that_is_amiss_is_told_at_once(build: Any, tmp_path: Path) -> None:
    text = PLAN.replace('tolerance = "60 hp"\n', "").replace(
        '"2.5 mm"\n[[', '"2.5 mm"\nwidh = 3\n[['
    )
    (tmp_path / "plan.toml").write_text(text)
    with pytest.raises(airchain.InputError) as refused:
        airchain.plan_levels(build, tmp_path / "plan.toml")
    assert "tolerance" in str(refused.value)
    assert "widh" in str(refused.value)


def test_a_build_without_plan_or_compressor_is_refused(build: Any) -> None:
    with pytest.raises(airchain.InputError, match=r"plan = missing; must have a table \[plan\]"):
        airchain.plan_levels(build.replace({"plan": None}))
    with pytest.raises(airchain.InputError, match="must be of a supercharged build"):
        airchain.plan_levels(build.naturally_aspirated())


def test_a_wrong_handed_drive_is_rejected(build: Any, tmp_path: Path) -> None:
    belts = '[[plan.pulleys]]\nname = "P"\ndiameter = "6 in"\n[[plan.pulleys]]\nname = "Q"\n'
    belts += 'diameter = "5 in"\n'
    (tmp_path / "plan.toml").write_text(PLAN + belts)
    plan = airchain.plan_levels(build, tmp_path / "plan.toml")
    why = plan.rejected["P drives Q"]
    assert "centre distance: the pulleys need more than" in why[0]
    assert "rotation: the impeller would turn against crank" in why[1]
    assert "a wrong-handed impeller is scrap" in why[1]
    assert plan.found


def test_a_belt_too_short_is_rejected(build: Any, tmp_path: Path) -> None:
    belts = '[[plan.pulleys]]\nname = "P"\ndiameter = "6 in"\n[[plan.pulleys]]\nname = "Q"\n'
    belts += 'diameter = "5 in"\n[plan.belt]\ncentre_distance = "12 in"\nlength = "30 in"\n'
    belts += 'take_up = "0.5 in"\n'
    (tmp_path / "plan.toml").write_text(PLAN + belts)
    plan = airchain.plan_levels(build, tmp_path / "plan.toml")
    assert any("belt: its path is" in text for text in plan.rejected["P drives Q"])


def test_the_command_prints_the_plan_and_draws_it(tmp_path: Path) -> None:
    run = CliRunner().invoke(cli, ["plan", str(scenario.FILE), "--figures", str(tmp_path / "out")])
    assert run.exit_code == 0, run.output
    assert "Room left, full" in run.stdout
    assert "Order of work" in run.stdout
    assert (tmp_path / "out" / "room.png").stat().st_size > 1000


def test_the_command_says_what_stops_a_plan(build: Any, tmp_path: Path) -> None:
    (tmp_path / "plan.toml").write_text(PLAN.replace("700 hp", "1900 hp"))
    typed = ["plan", str(scenario.FILE), "--plan", str(tmp_path / "plan.toml")]
    run = CliRunner().invoke(cli, typed)
    assert run.exit_code == 1
    assert "comes nearest" in run.stderr
    (tmp_path / "full").write_text("a file where a folder is expected")
    typed = ["plan", str(scenario.FILE), "--figures", str(tmp_path / "full")]
    run = CliRunner().invoke(cli, typed)
    assert run.exit_code == 1
    assert "folder" in str(run.exception) + run.output
