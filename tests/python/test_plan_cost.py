"""What a plan costs, reckoned by hand beside it."""

from functools import cache
from typing import Any

import pytest

import airchain
import scenario
from airchain.plan.cost import costs_of


@cache
def build() -> airchain.Build:
    return airchain.load(scenario.FILE).with_surface()


def planned(**cost: Any) -> airchain.plan.Plan:
    return airchain.plan_levels(build().replace({"plan.cost": cost or None}))


@cache
def priced() -> airchain.plan.Plan:
    return planned(change="2 h", dyno="90 min", hour=50, dyno_hour=100, fixed=30)


def test_levels_cost_their_parts_and_hours() -> None:
    plan = priced()
    tame, middle, full = costs_of(plan.levels, plan.request.cost)
    # Pair A runs tame and, turned round, full: it is paid once. 2 h at 50 and 1.5 h at 100.
    assert (tame.bought, middle.bought, full.bought) == (("pair A",), ("pair B",), ())
    assert [one.total for one in (tame, middle, full)] == [640 + 250, 620 + 250, 250]
    (table,) = [t for t in plan.tables() if t.caption == "Cost"]
    assert table.rows[-1][-1] == f"{30 + 640 + 620 + 3 * 250:,}"
    assert table.rows[1] == ["tame", "pair A", "640", "2.0", "1.5", "250", "890", "920"]


def test_without_rates_parts_alone_are_counted() -> None:
    plan = planned()
    (table,) = [t for t in plan.tables() if t.caption == "Cost"]
    assert table.rows[-1][-1] == "1,260"
    assert "parts alone are counted" in table.key


@pytest.mark.parametrize(
    ("cost", "words"),
    [
        ({"change": "2 h"}, "dyno = missing"),
        ({"change": "2 h", "dyno": "1 h", "hour": -5, "dyno_hour": 1}, "be 0 or more"),
        ({"change": "2 lb", "dyno": "1 h", "hour": 5, "dyno_hour": 1}, "be a time"),
    ],
)
def test_names_the_bad_cost(cost: dict[str, Any], words: str) -> None:
    with pytest.raises(airchain.InputError, match=r"plan\.cost") as refused:
        planned(**cost)
    assert words in str(refused.value)


# A whole report with all its pictures.
@pytest.mark.slow
def test_the_report_has_a_page_to_sign() -> None:
    html = airchain.make_report(build(), plan=priced(), complete=False).owner.html
    page = html[html.index('id="cost"') :].split("</section>")[0]
    assert "The owner agrees to the levels and costs above" in page
    assert page.count("name, date, signature") == 2
    assert "Ridge Road Hill Climb Club" in page
