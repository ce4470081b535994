"""Plans of a belt drive: every two pulleys, the belt by the capstan formula, unknown surge."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
from airchain.base.speeds import RPM
from airchain.plan import Plan
from test_buildfile import BLOWN, MAP

PULLEYS = """
[plan]
lowest_speed = "3500 rpm"
highest_speed = "6500 rpm"
[plan.belt]
centre_distance = "12 in"
friction_coefficient = 0.9
static_tension = "900 N"
belt_mass_per_length = "0.12 kg/m"
[plan.levels.only]
boost = "12 psi"
tolerance = "4 psi"
[[plan.pulleys]]
name = "crank 6"
diameter = "6 in"
bore = "snout"
owned = true
[[plan.pulleys]]
name = "blower 4"
diameter = "4 in"
bore = "17 mm"
price = 30
[[plan.pulleys]]
name = "blower 3"
diameter = "3.5 in"
bore = "17 mm"
price = 20
[plan.shafts]
crank = "snout"
compressor = "17 mm"
"""


def planned(folder: Path, text: str = PULLEYS, blower: str = MAP) -> Plan:
    (folder / "map.csv").write_text(blower)
    (folder / "belt.toml").write_text(BLOWN + text)
    return airchain.plan_levels(airchain.load(folder / "belt.toml"))


def test_every_two_pulleys_are_tried_on_the_shafts_they_suit(tmp_path: Path) -> None:
    plan = planned(tmp_path)
    assert len(plan.trials) == 6
    left = [t for t in plan.trials if not t.fitting.obstacles]
    assert {t.fitting.words for t in left} == {"crank 6 drives blower 4", "crank 6 drives blower 3"}
    assert (
        'bore: blower 4 drives crank 6 has "17 mm", but the crank shaft takes "snout"'
        in (plan.rejected["blower 4 drives crank 6"])
    )
    assert len(plan.choices[0].to_buy) == 1


# Euler and Eytelwein, as in Shigley, ch. 17: tight over slack side e^(mu theta), their sum twice
# the tension at rest, each less the belt's own centrifugal tension.
def test_belt_margin_is_by_the_capstan_formula(tmp_path: Path) -> None:
    level = planned(tmp_path).levels[0]
    margin = next(m for m in level.margins["as typed"] if m.name == "belt_margin")
    large, small = (0.0254 * d for d in (6.0, {"blower 4": 4.0, "blower 3": 3.5}[
        level.fitted.rpartition("drives ")[2]]))  # fmt: skip
    grip = np.exp(0.9 * (np.pi - 2.0 * np.arcsin((large - small) / (2.0 * 12 * 0.0254))))
    speed = margin.rpm * RPM * large / 2.0
    tight = (2.0 * 900.0 - 2.0 * 0.12 * speed**2) * grip / (1.0 + grip) + 0.12 * speed**2
    slack = 2.0 * 900.0 - tight
    load = level.build.drive_loads(margin.rpm)[0].effective_tension
    assert margin.value == pytest.approx((tight - slack) / load - 1.0, rel=1e-9)


def test_a_belt_that_slips_is_rejected(tmp_path: Path) -> None:
    limit = '[plan.limits.belt_margin]\nleast = "10 %"\nsource = "belt maker"\n'
    assert planned(tmp_path, PULLEYS + limit).found
    plan = planned(tmp_path, PULLEYS.replace("900 N", "60 N") + limit)
    assert not plan.found
    assert any("belt margin" in text for text in plan.rejected["crank 6 drives blower 3"])


def test_surge_without_data_is_not_known_and_never_clears(tmp_path: Path) -> None:
    blower = MAP.replace("left_end = surge", "left_end = last_point")
    plan = planned(tmp_path, PULLEYS, blower)
    margin = next(m for m in plan.levels[0].margins["as typed"] if m.name == "surge_margin")
    assert margin.room_text() == margin.value_text() == "not known"
    assert "at 6,500 rpm (as typed), at least a bypass of" in plan.levels[0].shut.verdict
    assert "Nobody knows its surge line." in plan.levels[0].shut.verdict
    limit = '[plan.limits.surge_margin]\nleast = "5 %"\nsource = "common practice"\n'
    limited = planned(tmp_path, PULLEYS + limit, blower)
    assert not limited.found
    assert (
        "surge margin: it is not known, so nobody can show that at least 5 % (common practice)"
        in repr(limited)
    )


def test_a_measured_surge_line_is_no_estimate(tmp_path: Path) -> None:
    limit = '[plan.limits.surge_margin]\nleast = "1 %"\nsource = "common practice"\n'
    level = planned(tmp_path, PULLEYS + limit).levels[0]
    margin = next(m for m in level.margins["as typed"] if m.name == "surge_margin")
    assert not margin.estimated
    assert level.shut.surge == "measured"
    assert "estimate" not in level.shut.verdict


def test_points_without_an_answer_reject_and_say_why(tmp_path: Path) -> None:
    big = BLOWN.replace('displacement = "2.0 L"', 'displacement = "5.0 L"')
    (tmp_path / "map.csv").write_text(MAP)
    (tmp_path / "belt.toml").write_text(big + PULLEYS)
    plan = airchain.plan_levels(airchain.load(tmp_path / "belt.toml"))
    assert not plan.found
    told: Any = plan.rejected["crank 6 drives blower 3"]
    assert any("choked at" in text and "passes no more" in text for text in told)
