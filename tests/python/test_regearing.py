"""A faster drive: plain loops over pulls find the same pair, and margins are the plan's own."""

from functools import cache
from typing import Any

import numpy as np
import pytest

import airchain
import fitted
import scenario
from airchain import _core
from airchain.base.errors import InputError
from airchain.chain.changes import LinksFitted
from airchain.cli.main import cli
from airchain.plan.profile_shift import ShiftedPair
from airchain.regearing import Regeared, regear
from glossary_words import quantities, strange_words

HP = 745.69987158227022
CENTRES, MODULE = 91.25e-3, 2.5e-3


@cache
def early() -> airchain.Build:
    """The demo before its full level was fitted."""
    return airchain.load(scenario.FILE).replace({"levels.full": None})


@cache
def grown() -> Regeared:
    return regear(early(), "955 hp")


@cache
def bare() -> airchain.Build:
    """Typed breathing, its own weather, one limit and no parts to choose from."""
    limits = {"boost": {"most": "24 psi", "source": "a test"}}
    plan = {"lowest_speed": "4000 rpm", "limits": limits}
    build = scenario.typed().replace({"levels.full": None, "plan": plan, "fuel_system": None})
    return build.replace({"compressor.rotor_speed_limit": "60000 rpm",
                          "compressor.tip_speed_limit": "620 m/s"})  # fmt: skip


def by_loops(target: float, tolerance: float) -> list[tuple[int, int, int]]:
    """Pairs of the drive's own module that reach a power: (sum's distance, driving, driven)."""
    build, found = bare().level("middle"), []
    for total in (72, 73, 74):
        for driving in range(30, 50):
            driven = total - driving
            if not 37 / 36 < driving / driven < 1.9:
                continue
            mesh = ShiftedPair(driving, driven, MODULE, CENTRES)
            link = mesh.pair(0.985)
            train = (link, *build.links[1:])
            pull = build.changed(LinksFitted("x", train)).pull(np.arange(4000.0, 7601.0, 200.0))
            power = float(np.nanmax(pull["power"]))
            if pull.matched.all() and abs(power - target) <= tolerance * target:
                found.append((int(mesh.shifted), driving, driven))
    return sorted(found)


@pytest.mark.parametrize("target", [925, 950, 985])
def test_agrees_with_plain_loops_over_pulls(target: int) -> None:
    regeared = regear(bare(), f"{target} hp", tolerance=0.02)
    ours = [
        (int(one.mesh is not None and one.mesh.shifted), one.mesh.driving_teeth,
         one.mesh.driven_teeth)
        for one, trial in regeared.offers
        if one.mesh is not None and abs(one.mesh.module - MODULE) < 1e-9
        and regeared.aim.deviation(trial) <= 1.0
    ]  # fmt: skip
    assert sorted(ours) == by_loops(target * HP, 0.02)
    assert ours
    passing = [t for _, t in regeared.offers
               if regeared.aim.deviation(t) <= 1.0 and not t.objections]  # fmt: skip
    assert regeared.found == bool(passing)
    if regeared.chosen is not None:
        solved = regeared.chosen.trial.solved["as typed"]
        middle, half = solved.band("boost")
        assert (middle + half).max() <= 24.0 * 6894.757293168361


def test_the_listed_pair_is_found_and_margins_are_those_of_the_plan() -> None:
    chosen = grown().chosen
    assert chosen is not None
    assert chosen.fitted == "pair A 40/33 teeth, as typed"
    plan = airchain.plan_levels(airchain.load(scenario.FILE))
    full = {m.name: m for m in plan["full"].trial.worst_margins()}
    for margin in grown().gives_first:
        assert margin.name in full
        theirs = full[margin.name]
        assert (margin.value, margin.doubt, margin.rpm) == (theirs.value, theirs.doubt, theirs.rpm)
    assert {m.name for m in grown().gives_first} == set(full)


def test_the_list_has_the_least_room_first() -> None:
    rooms = [m.room for m in grown().gives_first if m.limit is not None]
    assert rooms == sorted(rooms)
    assert {"rotor_speed", "tip_speed", "choke_margin", "surge_margin", "gear_bending",
            "injector_duty", "pump_load", "knock", "charge_temperature", "head_clamp"} <= {
        m.name for m in grown().gives_first}  # fmt: skip


def test_a_value_without_a_limit_stands_in_its_worst_weather_too() -> None:
    chosen = grown().chosen
    assert chosen is not None
    free = {m.name: m for m in grown().gives_first if m.limit is None and m.known}
    assert {"boost", "power", "drive_torque"} <= set(free)
    for name, margin in free.items():
        every = [m for row in chosen.margins.values() for m in row if m.name == name]
        sign = 1.0 if name != "choke_margin" else -1.0
        ends = {sign * m.value + m.doubt for m in every}
        assert sign * margin.value + margin.doubt == max(ends)
    assert free["power"].weather == free["drive_torque"].weather == "coldest"


def test_the_way_there_is_a_pair_between_with_a_gate() -> None:
    step, chosen = grown().step, grown().chosen
    assert step is not None
    assert chosen is not None
    assert 37 / 36 < step.drive_ratio < chosen.drive_ratio
    assert step.trial.objections == ()
    first, second = grown().gates
    middle, half = first.expected["power"]
    assert step.gate is first
    assert first.go("power", middle + 0.9 * half)
    assert not first.go("power", middle + 1.1 * half)
    assert second.expected["power"][0] > middle


def test_new_cells_are_those_of_the_calibration() -> None:
    cells, chosen = grown().new_cells, grown().chosen
    assert cells is not None
    assert chosen is not None
    assert cells.drive_ratio == pytest.approx(40 / 33)
    theirs = airchain.calibrate(early(), knock=False).next_ratio(40 / 33)
    assert np.array_equal(cells.cells, theirs.cells)
    assert cells.pull["power"] == pytest.approx(theirs.pull["power"])


def test_a_short_rise_has_a_short_pull_on_the_way() -> None:
    ratio = 1.03 * 37 / 36
    regeared = regear(early(), ratio)
    assert regeared.found
    assert regeared.step is None
    short, _ = regeared.gates
    assert "to 7," in short.level
    assert short.rpm < 7600


def test_a_step_on_the_way_is_itself_fit_to_run() -> None:
    easy, fit = "it could be a step on the way", "it would do, but"
    rejected = grown().rejected.items()
    called = {words for words, why in rejected if fit in why[0] or easy in why[0]}
    assert called
    # Nothing is called fit to run before its knock margin was looked for.
    for _, trial in grown().offers:
        if trial.fitting.words in called:
            assert trial.knock
            assert not trial.objections
    assert "its knock margin was not looked at" in str(grown().rejected)
    parts = ("firing_order", "plenum", "collectors", "banks", "crank")
    changes: dict[str, Any] = dict.fromkeys(
        ["levels.full", "plan.weather", *(f"engine.{n}" for n in parts)]
    )
    changes |= {"fuel.name": "gasoline_regular"}
    knocking = regear(airchain.load(scenario.quick()).replace(changes), "955 hp")
    assert not knocking.found
    assert easy not in knocking.text()
    alone = [why[0] for why in knocking.rejected.values() if len(why) == 1]
    assert any(text.startswith("knock margin: it is est.") for text in alone)


def test_what_nothing_allows_is_refused_with_the_reason() -> None:
    regeared = regear(scenario.steps().build, 1.26)
    assert not regeared.found
    assert "injector duty" in regeared.verdict
    assert regeared.rejected
    over = regear(scenario.steps().build, 1.4)
    assert not over.found
    assert "rotor speed" in over.verdict
    far = regear(scenario.steps().build, "2000 hp")
    assert not far.found
    assert "The most that any ratio gives is" in far.verdict


@pytest.mark.parametrize(
    ("target", "words"),
    [
        ("700 hp", "beyond what is handed over"),
        (1.1, "beyond what is handed over"),
        ("fast", 'such as "1000 hp"'),
        (True, "be a power"),
        (55.0, "0.05 to 20"),
    ],
)
def test_names_the_bad_input(target: Any, words: str) -> None:
    with pytest.raises(InputError, match="regear") as refused:
        regear(scenario.typed(), target)
    assert words in str(refused.value)


def test_a_belt_is_turned_to_another_diameter() -> None:
    links: list[dict[str, Any]] = [
        {"kind": "pulleys", "driving_diameter": "7.0 in", "driven_diameter": "6.0 in"},
        {"kind": "step_up", "speed_ratio": 4.75},
    ]
    changes: dict[str, Any] = {"drive.links": links, "levels": None, "plan": None}
    build = scenario.typed().replace(changes)
    faster = regear(build, 7.0 / 6.0 * 1.03)
    assert faster.found
    assert faster.chosen is not None
    pulleys = faster.chosen.trial.fitting.links[0]
    assert isinstance(pulleys, _core.PulleyPair)
    assert pulleys.ratio == pytest.approx(7.0 / 6.0 * 1.03, rel=0.02)
    # Without a plan the usual limits stand, and say so.
    assert any("Nobody typed limits of" in note for note in faster.notes)


def test_a_fit_brings_its_own_band() -> None:
    fit = fitted.both()
    unfitted = regear(fit.build, 1.33, tolerance=0.03)
    mine = regear(fit, 1.33, tolerance=0.03)
    assert "band is that of the fit" in mine.notes[0]
    assert "stated error" in unfitted.notes[0]
    # Both list the same pairs; the fit knows more of each.
    first, second = ({t.fitting.words: t for _, t in r.offers} for r in (unfitted, mine))
    shared = [words for words in first if words in second and first[words].solved]
    assert shared
    for words in shared:
        half = [t[words].solved["as typed"].band("power")[1].max() for t in (first, second)]
        assert half[1] < half[0]


def test_ice_is_in_the_list_where_there_is_a_tank() -> None:
    iced = scenario.iced("middle").replace({"levels.full": None})
    regeared = regear(iced, 1.06, tolerance=0.03)
    rows = {row[0]: row for row in regeared.tables()[0].rows}
    assert regeared.found
    assert rows["ice"][4].endswith("%")
    assert rows["bypass, throttle shut"][2].startswith("two 32 mm valves pass")


def test_plain_words() -> None:
    assert quantities(grown())
    assert strange_words(grown()) == []
    assert "First to give is" in grown().verdict


def test_command_refuses_with_what_stops_it() -> None:
    from click.testing import CliRunner

    result = CliRunner().invoke(cli, ["regear", str(scenario.FILE), "1.4"])
    assert result.exit_code == 1
    assert "rotor speed" in result.output
    assert "No drive gives that within the limits" in result.output
