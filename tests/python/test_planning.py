"""A plan of the demo's build: every way is tried, limits are kept, reasons are told."""

from functools import cache
from typing import Any

import numpy as np
import pytest

import airchain
import scenario
from airchain import _core
from airchain.base.speeds import RPM
from airchain.cylinder.spread import spread_of
from airchain.fit.parameters import applied
from airchain.plan import Plan
from airchain.plan._doubt import Doubt
from airchain.plan._solving import solve_all
from airchain.plan.reading import read_plan
from airchain.plan.request import AS_TYPED, Day
from glossary_words import quantities, strange_words


@cache
def plan() -> Plan:
    return airchain.plan_levels(airchain.load(scenario.FILE))


@cache
def build() -> airchain.Build:
    return airchain.load(scenario.FILE).with_surface()


def planned(**changes: Any) -> Plan:
    """The demo's plan with other values; dots of a path are written as two underscores."""
    paths = {f"plan.{name.replace('__', '.')}": value for name, value in changes.items()}
    return airchain.plan_levels(build().replace(paths))


def test_every_pair_is_tried_both_ways_round() -> None:
    words = {trial.fitting.words for trial in plan().trials}
    assert {"pair A 40/33 teeth, as typed", "pair A 33/40 teeth, flipped"} <= words
    assert len(words) == 2 * len(plan().request.gears)
    ratios = [trial.fitting.drive_ratio for trial in plan().trials]
    assert ratios == sorted(ratios)


def test_fewest_pairs_are_bought() -> None:
    assert plan().found
    assert len(plan().choices[0].to_buy) == 2
    ranks = [choice.rank for choice in plan().choices]
    assert ranks == sorted(ranks)
    for level in plan().levels:
        assert abs(level.trial.reaches(level.target) - level.target.value) <= level.target.tolerance
        assert level.trial.objections == ()


def test_planned_levels_are_those_of_the_build_file() -> None:
    for level in plan().levels:
        plain = build().level(level.name).pull(plan().request.rpm)
        assert np.array_equal(level.pull["power"], plain["power"])


def test_one_call_for_many_ratios_is_each_ratio_alone() -> None:
    drives = [t.fitting.drive for t in plan().trials if t.solved][:3]
    rpm = np.array([4000.0, 7000.0])
    doubt = Doubt(build(), rpm)
    whole = solve_all(build().chain, drives, {AS_TYPED: Day(build().chain.ambient)}, rpm, doubt)
    for drive, solved in zip(drives, whole, strict=True):
        alone = _core.solve(build().chain.replace(drive=drive), {"engine_speed": rpm * RPM})
        assert np.array_equal(solved[AS_TYPED].value("torque"), alone["torque"])


def test_reasons_name_centre_distance_bore_and_speed() -> None:
    why = {words: "; ".join(told) for words, told in plan().rejected.items()}
    assert "centre distance: the pair needs" in why["pair E 41/34 teeth, as typed"]
    assert 'bore: pair F 39/34 teeth, as typed has "30 mm, keyed"' in why[
        "pair F 39/34 teeth, as typed"]  # fmt: skip
    assert "rotor speed" in why["pair C 42/31 teeth, as typed"]
    assert "misses" in why["pair C 31/42 teeth, flipped"]


def test_cold_day_sets_peak_pressure_and_hot_day_charge_temperature() -> None:
    for level in plan().levels:
        worst = {m.name: m.weather for m in level.trial.worst_margins()}
        assert worst["peak_pressure"] == "coldest"
        assert worst["gear_bending"] == "coldest"
        assert worst["charge_temperature"] == "hottest"


def test_a_predicted_surge_line_makes_an_estimate() -> None:
    told = plan().levels[-1]
    surge = next(m for m in told.margins["hottest"] if m.name == "surge_margin")
    assert surge.room_text().startswith("est. ")


def test_a_typed_limit_that_cannot_be_judged_rejects() -> None:
    duty = {"most": "85 %", "source": "common practice"}
    changes = {"fuel_system": None, "plan.limits.injector_duty": duty,
               "plan.limits.pump_load": None}  # fmt: skip
    found = airchain.plan_levels(build().replace(changes))
    assert not found.found
    assert any(
        "injector duty: it is not known, so nobody can show that at most 85 %" in note
        for note in found.notes
    )


def test_fuel_margins_are_those_of_the_fuel_system() -> None:
    level = plan()["full"]
    margins = {m.name: m for m in level.margins[AS_TYPED]}
    told = airchain.fuel_demand(build(), level.pull.rpm)["full"]
    duty, pump = margins["injector_duty"], margins["pump_load"]
    i = int(np.flatnonzero(level.pull.rpm == duty.rpm)[0])
    assert duty.value == pytest.approx(told["duty"][i], rel=1e-9)
    assert duty.limit is not None
    assert duty.limit.value == float(build().fuel_system.supply.duty_limit)
    i = int(np.flatnonzero(level.pull.rpm == pump.rpm)[0])
    assert pump.value == pytest.approx(1.0 / (1.0 + told["pump_margin"][i]), rel=1e-9)


def test_a_day_may_bring_its_own_coolant() -> None:
    warm = planned(weather__hottest__coolant_temperature="140 degF")
    for name in ("charge_temperature", "boost"):
        plain, warmer = (
            next(m for m in p.trials[0].margins["hottest"] if m.name == name)
            for p in (plan(), warm)
        )
        assert warmer.value > plain.value


def test_an_option_passes_only_with_its_band() -> None:
    level = plan().levels[-1]
    peak = next(m for m in level.margins["coldest"] if m.name == "peak_pressure")
    assert peak.doubt > 0.05 * peak.value
    inside = peak.value + 0.5 * peak.doubt
    text = f"{inside / 6894.757293168:.2f} psia"
    found = planned(limits__peak_pressure={"most": text, "source": "a test"})
    assert all(t.objections for t in found.trials if t.fitting.words == level.fitted)


def test_head_clamp_is_clamp_over_lift_of_the_high_cycle() -> None:
    level = plan().levels[-1]
    head = next(m for m in level.margins["coldest"] if m.name == "head_clamp")
    solved = level.trial.solved["coldest"]
    worst = spread_of(plan().build.cylinder, solved.states).most_peak
    peak = float(np.nanmax(worst * solved.value("peak_pressure")))
    clamp = 125 * 1.3558179483314 / (0.15 * 0.0127) * 5 * (1 - 0.15)
    lift = peak * 1.28 * np.pi / 4 * (4.20 * 0.0254) ** 2
    assert head.value == pytest.approx(clamp / lift, rel=1e-6)


def test_tooth_load_is_that_of_the_drive() -> None:
    level = plan().levels[-1]
    margin = next(m for m in level.margins[AS_TYPED] if m.name == "gear_bending")
    load = level.build.drive_loads(margin.rpm)[0]
    teeth = level.trial.fitting.rated[0][1]
    told = _core.gear_stress(level.build.links[0], teeth, load.pitch_line_speed,
                             load.effective_tension)  # fmt: skip
    assert margin.value == pytest.approx(told.bending_capacity, rel=1e-9)


# The band follows from slopes; here the unknowns are drawn and the chain solved for each draw.
def test_band_agrees_with_drawing_the_unknowns() -> None:
    chain = build().level("middle").chain
    rpm = np.array([4000.0, 7000.0])
    doubt = Doubt(build().level("middle"), rpm)
    drive = chain.drive
    solved = solve_all(chain, [drive], {AS_TYPED: Day(chain.ambient)}, rpm, doubt)[0][AS_TYPED]
    # A third of each width, so that no effectiveness is drawn above 1.
    draws = np.random.default_rng(5).standard_normal((400, len(doubt.unknowns))) / 3.0
    for name in ("torque", "boost", "peak_pressure"):
        found = []
        for z in draws:
            moved = applied(chain, doubt.unknowns, doubt.values + z * doubt.widths)
            found.append(_core.solve(moved, {"engine_speed": rpm * RPM}, [name])[name])
        drawn = np.nanstd(np.array(found), axis=0)
        _, half = solved.band(name)
        slopes = solved.slopes[name]
        linear = np.sqrt(np.sum((slopes * doubt.widths) ** 2, axis=1))
        assert linear / 3.0 == pytest.approx(drawn, rel=0.1)
        assert np.all(half > 1.64 * linear)


def test_throttle_shut_needs_an_area() -> None:
    shut = plan().levels[-1].shut
    assert shut.surge == "estimated"
    assert shut.area == pytest.approx(shut.effective_area / 0.75)
    assert shut.area == pytest.approx(np.pi / 4 * shut.diameter**2)
    assert "two 32 mm valves pass 2.49 in^2" in shut.verdict
    bare = airchain.plan_levels(build().replace({"bypass": None})).levels[-1].shut
    assert "by estimate a bypass of" in bare.verdict
    assert bare.bare.kind == "deep"
    # Both searches stop within 0.2 % of the edge.
    assert bare.effective_area == pytest.approx(shut.effective_area, rel=0.005)
    areas = [level.shut.area for level in plan().levels]
    assert areas == sorted(areas)


def test_gates_hold_the_prediction() -> None:
    for level in plan().levels:
        middle, half = level.gate.expected["power"]
        assert level.gate.go("power", middle + 0.9 * half)
        assert not level.gate.go("power", middle - 1.1 * half)
        assert middle == pytest.approx(level.pull.at(level.gate.rpm, "power"), rel=1e-9)


def test_out_of_reach_says_what_comes_nearest() -> None:
    found = planned(levels__full__power="1900 hp")
    assert not found.found
    assert found.verdict.endswith("There is no plan. Nothing on the list runs full.")
    assert any(
        note.startswith("full (power 1,900 ± 40.0 hp at its peak): ") and "comes nearest" in note
        for note in found.notes
    )
    assert "rotor speed" in repr(found)


def test_ratios_that_overspeed_at_once_are_not_solved() -> None:
    found = airchain.plan_levels(build().replace({"drive.links.1.speed_ratio": 9.0}))
    assert not found.found
    assert all(not t.solved for t in found.trials)
    assert "rotor speed" in repr(found)


def test_pictures_have_a_bar_for_every_limit() -> None:
    levels = plan().plot()
    assert [axes.get_ylabel() for axes in levels.axes][:3] == [
        "Power [hp]", "Torque [lb ft]", "Boost [psi]"]  # fmt: skip
    room = plan().plot_room()
    assert len(room.axes) == len(plan().levels)
    for axes, level in zip(room.axes, plan().levels, strict=True):
        used = {m.name: m.used for m in (n for d in level.margins.values() for n in d) if m.limit}
        for day in level.margins.values():
            for margin in day:
                if margin.limit is not None:
                    used[margin.name] = max(used[margin.name], margin.used)
        bars = [patch.get_width() for patch in axes.patches][::2]
        assert bars == pytest.approx([100.0 * u for u in sorted(used.values(), reverse=True)[:6]])
        assert f"the 6 nearest of {len(used)} limits" in axes.get_title(loc="left")
        words = [text.get_text() for text in axes.texts]
        assert [float(word.partition(" %")[0]) for word in words] == [round(bar) for bar in bars]
    with pytest.raises(airchain.InputError, match="plot: plan = none found"):
        planned(levels__full__power="1900 hp").plot()


def test_pictures_take_panels_and_lay_plans_over_one_another() -> None:
    whole = plan().plot(title="The plan of $1000", beside=[plan()])
    assert len(whole.axes[0].get_legend_handles_labels()[1]) == 2 * len(plan().levels)
    again = plan().plot(whole.axes, system="si", title="in SI")
    assert again is whole
    assert whole.axes[0].get_ylabel() == "Power [kW]"
    assert whole.axes[0].get_title() == "in SI"
    with pytest.raises(airchain.InputError, match="axes = 2; must be 3 panels"):
        plan().plot(whole.axes[:2])
    assert len(plan().plot_room(beside=[plan()]).axes) == 2 * len(plan().levels)


def test_a_notebook_shows_the_first_table_and_folds_the_rest() -> None:
    html = plan()._repr_html_()
    first, rest = html.split("<details>")
    assert plan().verdict in first
    assert first.count("<table") == 1
    assert rest.count("<table") == len(plan().tables()) - 1
    shown = repr(plan())
    assert shown.startswith(plan().verdict)
    assert len(shown.splitlines()) < 12
    assert f"{len(plan().notes)} notes" in shown
    level = repr(plan()["full"])
    assert level.startswith(f"full: {plan()['full'].fitted}, drive ratio")
    assert "nearest limit" in level


def test_progress_ends_with_all_of_the_work() -> None:
    calls: list[tuple[int, int]] = []
    airchain.plan_levels(build(), progress=lambda done, total: calls.append((done, total)))
    tried = [trial for trial in plan().trials if trial.solved]
    whole = len(tried) * len(plan().request.weather)
    assert (0, whole) in calls
    assert (whole, whole) in calls
    assert all(0 <= done <= total for done, total in calls)


def test_a_fit_narrows_the_band_and_sets_the_gates() -> None:
    drive = build().level("tame").chain.drive
    log = airchain.read_pulls(scenario.FILE.parent / "pulls" / "tame.csv")
    rotor = f"{float(drive.inertia)!r} kg m^2"
    tame = log.pulls[0].steady("0.28 kg m^2", rotor, float(drive.speed_ratio))
    fit = airchain.reconcile(build(), {"tame": tame})
    measured = airchain.plan_levels(fit)
    assert "fit" in measured.band
    changes = {"ambient.temperature": "77 degF", "level": "full"}
    told = airchain.predict(fit, changes, measured.request.rpm)
    gate, plain = measured["full"].gate, plan()["full"].gate
    middle, (low, _) = told.at(gate.rpm, "power"), told.band_at(gate.rpm, "power")
    assert gate.expected["power"] == pytest.approx((middle, middle - low), rel=1e-9)
    assert gate.expected["power"][1] < 0.85 * plain.expected["power"][1]
    # Limits are judged by what is true, without the bias of a sensor.
    middle, half = measured["full"].trial.solved[AS_TYPED].band("boost")
    expected, spread = told.expected("boost")
    assert middle == pytest.approx(expected, rel=1e-9)
    parts = told.parts["plenum_pressure"]
    true = sum(v for cause, v in parts.items() if cause != "sensor")
    assert half == pytest.approx(1.6448536269514722 * np.sqrt(true), rel=1e-3)
    assert np.all(half <= 1.6448536269514722 * spread)


def test_headings_are_words_of_the_glossary() -> None:
    assert strange_words(plan()) == []
    assert len(quantities(plan())) == 5


def test_a_pair_cut_for_the_centres_is_rated_with_its_shift() -> None:
    pair = {"name": "cut", "driving_teeth": 40, "driven_teeth": 32, "module": "2.5 mm",
            "efficiency": 0.985, "face_width": "40 mm", "driving_bore": "1 in, 26 splines",
            "driven_bore": "1 in, 26 splines"}  # fmt: skip
    gears = [{**pair, "cut_for": "91.25 mm"}, {**pair, "name": "plain"}]
    request = read_plan(build().replace({"plan.gears": gears[:1]}))
    (part,) = request.gears
    assert part.pair is not None
    assert part.teeth is not None
    assert part.pair.centre_distance == pytest.approx(0.09125)
    assert part.teeth.pressure_angle == pytest.approx(np.radians(22.0556), abs=1e-5)
    plain = planned(gears=gears[1:])
    assert "centre distance" in plain.rejected["plain 40/32 teeth, as typed"][0]
    with pytest.raises(airchain.InputError, match=r"cut_for.*shifts would add up"):
        planned(gears=[{**gears[0], "driven_teeth": 35}])


def test_usual_limits_stand_where_none_is_typed_and_say_so() -> None:
    bare = build().replace({"plan.limits": None, "plan.teeth": None})
    request = read_plan(bare)
    assert {"surge_margin", "gear_bending", "knock", "head_clamp"} <= set(request.limits)
    usual = {n for n, limit in request.limits.items() if limit.usual}
    assert "rotor_speed" not in usual  # it stands with the compressor
    assert all("usual" in request.limits[name].source for name in usual)
    assert all(part.teeth is not None for part in request.gears)
    assert "allowable bending" in request.gears[0].assumed
    off = read_plan(build().replace({"plan.limits": None, "plan.usual_limits": False}))
    assert not any(limit.usual for limit in off.limits.values())
    on = read_plan(build().replace({"plan.usual_limits": True, "plan.limits.knock": None}))
    assert on.limits["knock"].usual
    assert not on.limits["surge_margin"].usual
    # A usual limit that nobody can judge rejects nothing; a typed one does.
    notes = planned(limits=None, head=None).notes
    assert any("Nobody typed limits of" in note for note in notes)


def test_a_level_of_the_wrong_hand_is_refused_where_nobody_says_how_it_rotates() -> None:
    links = [{"kind": "pulleys", "driving_diameter": "6 in", "driven_diameter": "5 in"},
             {"kind": "step_up", "speed_ratio": 4.75, "reversing": True}]  # fmt: skip
    with pytest.raises(airchain.InputError) as refused:
        build().replace({"compressor.rotates": None, "levels.full": {"links": links}})
    assert 'rotation = "against crank"; must turn the impeller with crank, as [drive] does' in str(
        refused.value
    )
    assert "say in [compressor] which way it rotates" in str(refused.value)
