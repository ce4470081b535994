"""The track of a build: its levels on its surfaces, torque taken back, tables and refusals."""

import csv
import re
from math import pi
from pathlib import Path

import numpy as np
import pytest

import airchain
import scenario
from airchain.track import TrackPage, track_runs
from airchain.track.engine_torque import PullTorque

RPM = pi / 30.0


def test_torque_is_that_of_the_pull_and_of_nothing_beyond_it() -> None:
    pull = scenario.full().pull(np.arange(4000.0, 7601.0, 200.0))
    torque = PullTorque.of(pull, 4500.0 * RPM)
    assert torque.low == pytest.approx(4000.0 * RPM)
    assert torque(5000.0 * RPM) == pytest.approx(float(pull.at(5000.0, "torque")), rel=1e-9)
    assert np.isnan(PullTorque.of(pull, 3000.0 * RPM).low)
    fast = scenario.full().replace({"drive.links.1.speed_ratio": 6.8}).pull(pull.rpm)
    lost = float(fast.rpm[~fast.matched][0])
    part = PullTorque.of(fast, float(fast.rpm[0]) * RPM)
    assert part.high == pytest.approx((lost - 200.0) * RPM)


@pytest.fixture(scope="module")
def page() -> TrackPage:
    return track_runs(scenario.typed())


def test_every_level_is_driven_on_its_own_pull(page: TrackPage) -> None:
    assert list(page.levels) == ["naturally aspirated", "tame", "middle", "full"]
    for one in page.levels.values():
        assert one.low.finished
        assert one.high.time <= one.low.time
        assert one.managed.time <= one.low.time
        assert one.managed.spinning == 0.0
    alone = scenario.typed().level("full").pull(page["full"].pull.rpm)
    assert page["full"].pull["power"] == pytest.approx(alone["power"], rel=1e-15)
    ladder = airchain.ladder(scenario.typed())
    peaks = {name: pull.peak("power") for name, pull in ladder.pulls.items()}
    assert {n: one.pull.peak("power") for n, one in page.levels.items()} == peaks
    assert (page.weakest.name, page.strongest.name) == ("tame", "full")
    drive = alone.build.chain.drive
    inertia = page["full"].low.motion.gearing.engine_inertia
    assert inertia == pytest.approx(0.28 + drive.inertia * drive.speed_ratio**2)


def test_more_air_density_costs_speed_at_the_end(page: TrackPage) -> None:
    build = scenario.typed().replace({"vehicle.drag_area": "1.4 m^2"})
    assert track_runs(build)["full"].low.speed < page["full"].low.speed


def test_torque_is_held_by_what_the_chain_says_of_later_spark(page: TrackPage) -> None:
    told = page["tame"].management
    assert told.reduced.any()
    used = np.isfinite(told["later"])
    assert used.any()
    assert (told["exhaust_temperature"][used] <= told.limit).all()
    assert (told["valve_heat"][used] >= 1.0).all()
    row = int(np.flatnonzero(used)[np.argmax(told["later"][used])])
    rpm, later = told["engine_speed"][row] / RPM, float(told["later"][row])
    build = scenario.typed().level("tame")
    own = build.pull([rpm])
    phasing = float(build.chain.combustion.phasing) + later
    then = build.replace({"combustion.phasing": f"{np.degrees(phasing)} deg"}).pull([rpm])
    assert then["torque"][0] / own["torque"][0] == pytest.approx(told["share"][row], abs=0.01)
    assert then["exhaust_temperature"][0] == pytest.approx(
        told["exhaust_temperature"][row], abs=6.0
    )


def test_the_throttle_takes_back_what_later_spark_cannot(page: TrackPage) -> None:
    told = page["tame"].management
    shut = np.isfinite(told["opening"]) & np.isnan(told["later"])
    assert shut.any()
    row = int(np.flatnonzero(shut)[-1])
    rpm = told["engine_speed"][row] / RPM
    build = scenario.typed().level("tame")
    smaller = build.replace({"throttle.opening": float(told["opening"][row])}).pull([rpm])
    share = smaller["torque"][0] / build.pull([rpm])["torque"][0]
    assert share == pytest.approx(told["share"][row], abs=0.03)


def test_both_together_are_the_chains_own_answer(page: TrackPage) -> None:
    told = page["full"].management
    both = np.isfinite(told["opening"]) & np.isfinite(told["later"])
    assert both.any()
    assert (told["exhaust_temperature"][both] <= told.limit).all()
    row = int(np.flatnonzero(both)[0])
    rpm = told["engine_speed"][row] / RPM
    build = scenario.typed().level("full")
    phasing = float(build.chain.combustion.phasing) + float(told["later"][row])
    typed = {
        "combustion.phasing": f"{np.degrees(phasing)} deg",
        "throttle.opening": float(told["opening"][row]),
    }
    then = build.replace(typed).pull([rpm])
    share = then["torque"][0] / build.pull([rpm])["torque"][0]
    assert share == pytest.approx(told["share"][row], abs=0.03)
    assert then["exhaust_temperature"][0] == pytest.approx(
        told["exhaust_temperature"][row], abs=8.0
    )


def test_verdict_counts_every_row_that_is_taken_back(page: TrackPage) -> None:
    for one in page.levels.values():
        told = one.management
        shares = [int(n) for n in re.findall(r"for (\d+) %", told.verdict)]
        if told.reduced.any() and "throughout" not in told.verdict:
            assert sum(shares) == pytest.approx(100, abs=2)
        unknown = any(way == "nothing known" for way in told.ways)
        assert unknown == ("nothing that is known" in told.verdict)


def test_a_lower_limit_of_exhaust_leaves_less_to_later_spark(page: TrackPage) -> None:
    cool = scenario.typed().replace({"vehicle.exhaust_temperature_limit": "1600 degF"})
    strict = track_runs(cool)["tame"].management
    wide = page["tame"].management
    assert np.isfinite(strict["later"]).sum() < np.isfinite(wide["later"]).sum()
    assert strict["share"] == pytest.approx(wide["share"], nan_ok=True)
    assert any("1,600.0 degF" in note or "too hot" in note.lower() for note in strict.notes)


def test_table_verdict_and_picture_agree(page: TrackPage) -> None:
    full, tame = page["full"], page["tame"]
    rows = {row[0]: row for row in page.run_table().rows}
    assert rows["full"][5] == f"{full.managed.time:.2f}"
    assert f"full {full.managed.time:.2f} s" in page.verdict
    assert f"{tame.managed.time - full.managed.time:.2f} s" in page.verdict
    panels = page.plot_runs().axes
    assert panels[0].lines[-1].get_xdata()[-1] <= full.low.time
    drawn = {line.get_label(): line for line in panels[1].lines}
    assert drawn["full"].get_xdata()[-1] == pytest.approx(full.managed.time)
    assert page.plot().axes[0].get_xlabel() == "Road speed [mph]"
    assert page.plot(system="si").axes[0].get_ylabel() == "Wheel torque [N m]"
    assert len(page.plot_management().axes) == 3
    assert "common practice" not in page.text()  # its friction is typed


def test_the_report_has_a_section_of_it(page: TrackPage) -> None:
    report = airchain.make_report(page.build, complete=False, track=page)
    assert page.verdict in report.owner.html
    section = report.workshop.html.partition('<section id="track"')[2].partition("</section>")[0]
    assert page.verdict in section
    captions = " ".join(table.caption for table in report.tables.values())
    for level in (page.weakest, page.strongest):
        assert f"{level.name}: torque over time" in captions
    assert "rule book" in section
    assert section.count("<figure") == 2
    assert 'id="track"' not in airchain.make_report(page.build, complete=False).owner.html


def test_csv_is_over_time_and_gear(page: TrackPage, tmp_path: Path) -> None:
    text = page.write(tmp_path / "torque.csv").read_text()
    heading, *rows = csv.reader(text.splitlines())
    assert heading[:4] == ["level", "time [s]", "gear", "engine_speed [rad/s]"]
    assert {row[0] for row in rows} == set(page.levels)
    assert all(len(row) == len(heading) for row in rows)
    gears = [int(row[2]) for row in rows if row[0] == "full"]
    assert gears == sorted(gears)


def test_another_surface_and_distance(page: TrackPage) -> None:
    short = track_runs(scenario.typed(), surface="prepared strip, slicks", distance="660 ft")
    assert short.distance == pytest.approx(201.168)
    assert any("common practice, no source" in note for note in short.notes)
    assert short["full"].low.time < page["full"].low.time


def test_names_the_bad_input() -> None:
    build = scenario.typed()
    with pytest.raises(airchain.InputError, match=r"surface = \"ice\"; must be one of the hill"):
        track_runs(build, surface="ice")
    with pytest.raises(airchain.InputError, match=r"distance = \"1 m\"; must be between 5 and"):
        track_runs(build, distance="1 m")
    with pytest.raises(airchain.InputError, match="vehicle = missing; must have a table"):
        track_runs(build.replace({"vehicle": None}))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"vehicle.mass": None}, "vehicle.mass = missing; must be given"),
        ({"vehicle.mass": "20 lb"}, "vehicle.mass = \"20 lb\"; must be .* lb"),
        ({"vehicle.gear_ratios": [1.0, 1.5]}, "must fall from gear to gear"),
        ({"vehicle.gear_ratios": 2.0}, "gear_ratios = 2.0; must be a list"),
        ({"vehicle.shift_speeds": "9000 rpm"}, "at most at the redline of 7,600 rpm"),
        ({"vehicle.shift_speeds": ["7000 rpm"]}, "must be one speed, or one for each of 3"),
        ({"vehicle.launch_speed": "8000 rpm"}, "must be below the redline of 7,600 rpm"),
        ({"vehicle.tyre_radius": "13 in"}, "not stand beside tyre_radius"),
        ({"vehicle.driven_axle": "middle"}, "must be one of rear, front, both"),
        ({"vehicle.torque_multiplication": 1.5}, 'only with coupling = "converter"'),
        ({"vehicle.surfaces.0.friction": [1.4, 1.2]}, "the lowest and the highest value"),
        ({"vehicle.surfaces.0.friction": None}, "must be given, unless the name is one of"),
        ({"vehicle.surfaces": [{"name": "dry road"}] * 2}, "a name of their own each"),
    ],
)  # fmt: skip
def test_names_the_bad_vehicle(changes: dict[str, object], words: str) -> None:
    with pytest.raises(airchain.InputError, match=words):
        scenario.typed().replace(changes)  # type: ignore[arg-type]
