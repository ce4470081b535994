"""Gears on centres that are not their module's: geometry in closed form and from handbooks."""

from dataclasses import replace
from math import atan, cos, pi, radians, sin, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from airchain import _core
from airchain.plan.profile_shift import ShiftedPair, involute

MODULE = 2.5e-3


def cut(driving: int, driven: int, centres: float, module: float = MODULE) -> ShiftedPair:
    return ShiftedPair(driving, driven, module, centres)


@pytest.mark.parametrize(
    ("degrees", "value"), [(15.0, 0.0061498), (20.0, 0.0149044), (25.0, 0.0299753)]
)
def test_involute_agrees_with_its_tables(degrees: float, value: float) -> None:
    # Tables of the involute function, as in any handbook of gears (from memory).
    assert involute(radians(degrees)) == pytest.approx(value, abs=5e-8)


def test_agrees_with_a_worked_example() -> None:
    # A textbook's worked example (from memory): module 3 mm, 12 and 24 teeth, shifts 0.6 and 0.36
    # run at 26.0886 degrees on 56.4999 mm.
    mesh = cut(12, 24, 56.4999e-3, 3e-3)
    assert mesh.working_angle == pytest.approx(radians(26.0886), abs=radians(2e-3))
    assert mesh.shift_sum == pytest.approx(0.96, abs=5e-4)


@given(st.integers(18, 60), st.integers(18, 60), st.floats(-0.5, 1.2))
def test_centres_found_from_the_shifts_are_those_asked_for(a: int, b: int, total: float) -> None:
    # The other way about, by root finding: the working angle from the shifts, then the centres.
    angle = radians(20.0)
    wanted = involute(angle) + 2.0 * total * tan(angle) / (a + b)
    working = brentq(lambda t: involute(t) - wanted, 1e-6, 1.0, xtol=1e-15)
    centres = 0.5 * MODULE * (a + b) * cos(angle) / cos(working)
    mesh = cut(a, b, centres)
    assert mesh.shift_sum == pytest.approx(total, abs=1e-9)
    assert sum(mesh.shifts) == pytest.approx(total, abs=1e-9)
    assert mesh.working_module * (a + b) / 2.0 == pytest.approx(centres, rel=1e-14)
    assert mesh.flipped().shifts == pytest.approx(mesh.shifts[::-1])


@pytest.mark.parametrize(
    ("teeth", "value"),
    [(17, 2.97), (20, 2.80), (25, 2.62), (30, 2.52), (40, 2.40), (50, 2.32), (100, 2.18)],
)
def test_form_factor_agrees_with_its_table(teeth: int, value: float) -> None:
    # Form factors of the standard rack, load at the tip, as machine design textbooks list them
    # after ISO 6336-3 (from memory); they read off a chart, hence 1 %.
    mesh = cut(teeth, teeth, MODULE * teeth)
    assert mesh.form_factor(True) == pytest.approx(value, rel=0.01)


def test_contact_ratio_agrees_with_the_plain_formula() -> None:
    # A pair without shift: (sqrt(ra1^2 - rb1^2) + sqrt(ra2^2 - rb2^2) - a sin alpha)/(pi m cos
    # alpha), Shigley, ch. 13, written with teeth alone.
    angle, parts = radians(20.0), 0.0
    for z in (20, 40):
        parts += sqrt((z / 2 + 1) ** 2 - (z / 2 * cos(angle)) ** 2)
    expected = (parts - 30 * sin(angle)) / (pi * cos(angle))
    assert cut(20, 40, 30 * MODULE).contact_ratio == pytest.approx(expected)


def test_tips_come_to_a_point_where_the_involutes_meet() -> None:
    # A tooth without shift is pointed where inv a = pi/(2 z) + inv 20 deg; our tip lies below.
    mesh = cut(20, 20, 20 * MODULE)
    at_tip = brentq(lambda t: involute(t) - (pi / 40 + involute(radians(20.0))), 0.1, 1.2)
    pointed = 10 * cos(radians(20.0)) / cos(at_tip)
    assert mesh.tip_thickness > 0.0
    assert pointed > 11.0
    # Half angle of the tooth at the tip circle, from the involutes alone.
    tip = atan(sqrt((11 / (10 * cos(radians(20.0)))) ** 2 - 1.0))
    half = pi / 40 + involute(radians(20.0)) - involute(tip)
    assert mesh.tip_thickness == pytest.approx(2 * 11 * half)


def test_obstacles_name_undercut_and_sums() -> None:
    assert cut(40, 33, 91.25e-3).obstacles() == []
    assert cut(40, 32, 91.25e-3).obstacles() == []
    assert "shifts would add up" in cut(41, 34, 91.25e-3).obstacles()[0]
    # 17 teeth is the limit of undercut for 20 degrees: 2/sin^2 of the angle.
    assert cut(17, 40, 28.5 * MODULE).obstacles() == ["the gear of 17 teeth would be undercut"]
    assert cut(18, 40, 29.0 * MODULE).obstacles() == []
    assert "do not meet" in cut(40, 33, 80e-3).obstacles()[0]


def teeth() -> _core.GearTeeth:
    return _core.GearTeeth(face_width=0.04, allowable_bending=4e8, allowable_contact=1.4e9,
                           torsional_factor=1.4, quality=10.0)  # fmt: skip


def test_flanks_are_rated_at_the_working_angle() -> None:
    # Hertz at the working pitch point, from radii of curvature r sin(angle), written anew.
    mesh = cut(40, 32, 91.25e-3)
    link, rated = mesh.pair(0.985), mesh.rated(teeth())
    assert link.centre_distance == pytest.approx(91.25e-3, rel=1e-14)
    force, speed = 3000.0, 30.0
    stress = _core.gear_stress(link, rated, speed, force)
    r1, r2 = (91.25e-3 * z / 72 for z in (40, 32))
    normal = force * 1.4 * rated.dynamic_factor(speed) * 1.3 / cos(mesh.working_angle)
    curved = 1 / (r1 * sin(mesh.working_angle)) + 1 / (r2 * sin(mesh.working_angle))
    assert stress.contact == pytest.approx(191e3 * sqrt(normal * curved / 0.04), rel=1e-9)


def test_a_positive_shift_strengthens_the_root_and_a_negative_one_weakens_it() -> None:
    def capacity(driving: int, driven: int) -> float:
        mesh = cut(driving, driven, 91.25e-3)
        return float(_core.gear_stress(mesh.pair(1.0), mesh.rated(teeth()), 30.0, 3e3)
                     .bending_capacity)  # fmt: skip

    assert capacity(40, 34) < capacity(40, 33) < capacity(40, 32)
    plain = replace(cut(40, 33, 91.25e-3))
    assert plain.rated(teeth()) == teeth()
