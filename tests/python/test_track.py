"""Runs against closed forms, loads by hand, energy, and what the trade reckons with."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import pi, sqrt

import numpy as np
import pytest

from airchain.buildfile.vehicle import Surface, Vehicle
from airchain.track import Run
from airchain.track.gearing import Gearing
from airchain.track.motion import Motion
from airchain.track.traction import Traction, spins_to, taken
from airchain.track.tyres import Body

RPM = pi / 30.0
GRAVITY = 9.80665
#: An invented car without drag, losses and inertia, that holds the road whatever comes.
BARE = Vehicle(
    mass=1000.0, front_share=0.5, wheelbase=2.5, centre_of_mass_height=0.5, tyre_radius=0.3,
    gear_ratios=(1.0,), final_ratio=4.0, shift_speeds=(), launch_speed=20.0, driven_axle="both",
    coupling="clutch", surfaces=(Surface("any", 5.0, 5.0, typed=True),), engine_inertia=1e-3,
    driveline_inertia=0.0, wheel_inertia=0.05, driveline_loss=0.0, drag_area=0.0,
    rolling_resistance=0.0,
)  # fmt: skip
#: One with all of it.
WHOLE = replace(
    BARE, mass=1300.0, front_share=0.52, tyre_radius=0.33, gear_ratios=(2.6, 1.8, 1.3, 1.0),
    final_ratio=3.5, shift_speeds=(700.0,) * 3, launch_speed=420.0, driven_axle="rear",
    engine_inertia=0.3, driveline_inertia=0.06, wheel_inertia=4.0, driveline_loss=0.12,
    drag_area=0.65, rolling_resistance=0.015,
)  # fmt: skip


@dataclass(frozen=True)
class Engine:
    """An engine of any torque."""

    torque: Callable[[float], float]
    low: float = 10.0
    high: float = 4000.0

    def __call__(self, speed: float) -> float:
        return self.torque(speed)


def motion(vehicle: Vehicle, torque: Callable[[float], float], friction: float = 5.0,
           *, redline: float = 760.0, managed: bool = False) -> Motion:  # fmt: skip
    gearing = Gearing(vehicle, vehicle.engine_inertia)
    engine = Engine(torque, high=redline)
    return Motion(Body(vehicle, 1.2), gearing, engine, friction, redline, managed)


def strong(speed: float) -> float:
    """A torque that spins tyres."""
    return 700.0 + 250.0 * np.sin(speed / 250.0)


#: What the bare car's wheels add to its mass, and its engine once the clutch has locked [kg].
WHEELS, CRANK = 0.05 / 0.3**2, 1e-3 * (4.0 / 0.3) ** 2


def test_a_constant_force_agrees_with_its_closed_form() -> None:
    run = Run.of("any", motion(BARE, lambda _: 300.0, redline=4000.0), 200.0)
    force, slipping, mass = 4000.0, 1000.0 + WHEELS, 1000.0 + WHEELS + CRANK
    locked = 20.0 * 0.3 / 4.0  # speed at which it locks; until then the engine does not speed up
    first = locked * slipping / force
    way = 0.5 * locked * first
    speed = sqrt(locked**2 + 2.0 * force / mass * (200.0 - way))
    assert run.status == "finished"
    assert run.speed == pytest.approx(speed, rel=1e-8)
    assert run.time == pytest.approx(first + (speed - locked) * mass / force, rel=1e-8)


def test_a_constant_power_agrees_with_its_closed_form() -> None:
    # m v dv/dt = P: v^3 = v0^3 + 3 P s/m and t = m (v^2 - v0^2)/2P from where the clutch locks.
    power, launch = 300e3, 100.0
    vehicle = replace(BARE, launch_speed=launch)
    run = Run.of("any", motion(vehicle, lambda speed: power / speed, redline=4000.0), 300.0)
    slipping, mass, locked = 1000.0 + WHEELS, 1000.0 + WHEELS + CRANK, launch * 0.3 / 4.0
    first = locked * slipping / (power / launch * 4.0 / 0.3)
    rest = 300.0 - 0.5 * locked * first
    speed = (locked**3 + 3.0 * power * rest / mass) ** (1.0 / 3.0)
    assert run.speed == pytest.approx(speed, rel=1e-7)
    time = first + 0.5 * mass * (speed**2 - locked**2) / power
    assert run.time == pytest.approx(time, rel=1e-7)


def test_load_transfer_agrees_with_moments_by_hand() -> None:
    # A rear axle at 1300 kg, 48 % of the weight, h/L = 0.5/2.5, at 0.8 g without drag:
    # N = 1300 g (0.48 + 0.2 x 0.8) = 1300 x 9.80665 x 0.64 = 8159.1 N.
    body = Body(replace(WHOLE, drag_area=0.0), 1.2)
    assert body.load(0.8 * GRAVITY, 30.0) == pytest.approx(8159.13, abs=0.01)
    front = Body(replace(WHOLE, drag_area=0.0, driven_axle="front"), 1.2)
    assert front.load(0.8 * GRAVITY, 30.0) == pytest.approx(1300.0 * GRAVITY * 0.36)
    # At the limit of friction mu: a = mu g (1 - f)/(1 - mu h/L), the text-book rear drive.
    smooth = Body(replace(WHOLE, drag_area=0.0, rolling_resistance=0.0), 1.2)
    assert smooth.most(1.1, 0.0, 1300.0) == pytest.approx(1.1 * GRAVITY * 0.48 / (1.0 - 0.22))
    # With more friction than 0.52/0.2 the front lifts, and all of the weight is on the rear.
    assert smooth.most(2.7, 0.0, 1300.0) == pytest.approx(2.7 * GRAVITY)
    assert smooth.lifts(2.7 * GRAVITY, 0.0)
    assert not smooth.lifts(2.5 * GRAVITY, 0.0)


@pytest.mark.parametrize("axle", ["rear", "front", "both"])
@pytest.mark.parametrize("coupling", ["clutch", "converter"])
@pytest.mark.parametrize("friction", [0.6, 1.0, 2.0])
@pytest.mark.parametrize("managed", [False, True])
def test_work_of_a_run_balances(axle: str, coupling: str, friction: float, managed: bool) -> None:
    more = 1.8 if coupling == "converter" else 1.0
    vehicle = replace(WHOLE, driven_axle=axle, coupling=coupling, torque_multiplication=more)
    run = Run.of("any", motion(vehicle, strong, friction, managed=managed), 400.0)
    assert run.finished
    spent = [value for name, value in run.work.items() if name != "engine"]
    assert sum(spent) == pytest.approx(run.work["engine"], rel=1e-6)
    # Each part is summed up by itself: one of them off by 0.1 % would show.
    parts = {name: value for name, value in run.work.items() if name != "engine" and value > 0.0}
    for name in ("drag", "driveline", "motion"):
        off = sum(spent) + 1e-3 * parts[name]
        assert off != pytest.approx(run.work["engine"], rel=1e-6)
    assert all(value > -1e-6 * run.work["engine"] for value in spent)


def test_tyres_never_push_harder_than_their_load_allows() -> None:
    for friction in (0.7, 1.1, 1.6):
        run = Run.of("any", motion(WHOLE, strong, friction), 400.0)
        force = run["wheel_torque"] / WHOLE.tyre_radius
        assert (force <= friction * run["load"] * (1.0 + 1e-6)).all()
        spun = run["spinning"] > 0.0
        assert spun.any()
        slid = friction * WHOLE.sliding_friction * run["load"]
        assert force[spun] == pytest.approx(slid[spun], rel=1e-9)
        assert (run["tyre_speed"][spun] >= run["road_speed"][spun] - 1e-6).all()
        managed = Run.of("any", motion(WHOLE, strong, friction, managed=True), 400.0)
        assert managed.spinning == 0.0
        assert managed.time < run.time


def steps_of_a_tenth_of_a_millisecond(friction: float) -> tuple[float, float]:
    """Time and speed of a run in small steps, written anew: one gear, a clutch, a rear axle."""
    mass, weight, radius, ratio, step = 1300.0, 1300.0 * GRAVITY, 0.33, 2.6 * 3.5, 1e-4
    shaft = 2.0 + 0.06 * 3.5**2
    way = speed = wheel = time = 0.0
    while way < 100.0:
        slipping = ratio * wheel < 420.0
        torque = 0.88 * ratio * strong(420.0 if slipping else ratio * wheel)
        turning = shaft + (0.0 if slipping else 0.88 * ratio**2 * 0.3)
        drag, rolling = 0.5 * 1.2 * 0.65 * speed**2, 0.015 * weight
        spins = wheel * radius > speed + 1e-3
        force = (torque / turning + (drag + rolling) / (mass + 2.0 / radius**2) / radius) / (
            radius / turning + 1.0 / (mass + 2.0 / radius**2) / radius
        )  # what keeps the wheel as fast as the road
        for _ in range(60):  # load and force settle together
            load = min(0.48 * weight + 0.2 * (mass / (mass + 2.0 / radius**2)
                       * (force - drag - rolling) + drag), weight)  # fmt: skip
            most = friction * (0.85 if spins else 1.0) * load
            if not spins and force <= most:
                break
            spins = True
            force = friction * 0.85 * load
        way += speed * step
        speed += (force - drag - rolling) / (mass + 2.0 / radius**2) * step
        wheel += (torque - force * radius) / turning * step
        if not spins or wheel * radius < speed:
            wheel = speed / radius
        time += step
    return time, speed


# Tyres that spin from the start and later grip, and tyres that never spin; the first at greater
# length in the long run.
@pytest.mark.parametrize("friction", [pytest.param(0.9, marks=pytest.mark.slow), 1.4, 3.0])
def test_a_run_agrees_with_small_steps_written_anew(friction: float) -> None:
    one = replace(WHOLE, gear_ratios=(2.6,), shift_speeds=())
    run = Run.of("any", motion(one, strong, friction, redline=4000.0), 100.0)
    time, speed = steps_of_a_tenth_of_a_millisecond(friction)
    assert run.time == pytest.approx(time, rel=1e-3)
    assert run.speed == pytest.approx(speed, rel=2e-3)


def test_a_run_spins_where_the_gears_table_says() -> None:
    here = motion(WHOLE, strong, 1.2)
    first, second = Traction.of(here).gears[:2]
    run = Run.of("any", motion(WHOLE, strong, 1.2), 400.0)
    assert np.isfinite(spins_to(first, taken(here, 1.2, first.road_speed)))
    assert run["spinning"][1] == 1.0
    held = Run.of("any", motion(WHOLE, strong, 5.0), 400.0)
    assert held.spinning == 0.0
    for gear in (first, second):
        locked = (held["gear"] == gear.gear) & (held["torque"] > 0.0)
        # The clutch still slips, or the gear is about to be changed, at the ends.
        inner = locked & (held["road_speed"] > gear.road_speed[1])
        there = np.interp(held["road_speed"][inner], gear.road_speed, gear.wheel_torque)
        off = abs(held["wheel_torque"][inner] / there - 1.0)
        assert np.sort(off)[-3] < 2e-3  # but for a point or two where the clutch locks


def test_a_converter_helps_off_the_line_and_makes_no_power() -> None:
    clutch = Run.of("any", motion(WHOLE, strong), 400.0)
    more = replace(WHOLE, coupling="converter", torque_multiplication=2.0)
    converter = Run.of("any", motion(more, strong), 400.0)
    assert converter.time_to(20.0) < clutch.time_to(20.0)
    assert converter.work["coupling"] > 0.0


def test_names_why_a_run_has_no_time() -> None:
    weak = Run.of("weak", motion(WHOLE, lambda _: 1.0), 400.0)
    assert weak.status == "does not move"
    assert np.isnan(weak.time)
    assert "does not move. There is no time" in weak.verdict
    here = motion(WHOLE, strong)
    outside = Run.of("any", replace(here, torque=Engine(strong, low=500.0)), 400.0)
    assert outside.status == "engine outside its pull"
    ends = Run.of("any", replace(here, torque=Engine(strong, high=650.0)), 400.0)
    assert ends.status == "engine outside its pull"
    assert "Answers go from 95 to 6,207 rpm" in ends.verdict
    assert ends["engine_speed"].max() == pytest.approx(650.0)
    slow = Run.of("any", motion(replace(WHOLE, mass=19e3), lambda _: 200.0), 5000.0)
    assert slow.status == "not finished"


def test_top_gear_ends_at_the_redline_and_says_so() -> None:
    run = Run.of("any", motion(replace(WHOLE, final_ratio=6.0), strong), 1500.0)
    assert run.finished
    assert any("stands at its redline" in note for note in run.notes)
    assert run["engine_speed"][-1] == pytest.approx(760.0, rel=1e-6)
    assert run["acceleration"][-1] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("power", [400.0, 700.0, 1000.0])
def test_a_standing_quarter_mile_lies_near_what_the_trade_reckons(power: float) -> None:
    # Common practice, no source: t = 5.825 (lb/hp)^(1/3) s and v = 234 (hp/lb)^(1/3) mph, good to
    # some 8 and 6 % for cars that hold the road; here an engine of much the same power over its
    # last third of speed.
    watts = power * 745.7
    top = 700.0

    def torque(speed: float) -> float:
        return watts / top * min(1.12, top / max(speed, 1.0) * (1.0 - 0.15 * (1 - speed / top)))

    vehicle = replace(WHOLE, mass=1450.0, final_ratio=3.3)
    run = Run.of("any", motion(vehicle, torque, 2.5), 402.336)
    ratio = power / (1450.0 / 0.45359237)
    assert run.time == pytest.approx(5.825 * ratio ** (-1.0 / 3.0), rel=0.08)
    assert run.speed / 0.44704 == pytest.approx(234.0 * ratio ** (1.0 / 3.0), rel=0.06)
