"""What a lb/min of air makes, beside the 9.5 to 10.5 hp of the trade."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

import scenario
from airchain.chain import air_power as tested

HP_PER_LB_PER_MIN = 745.699872 / (0.45359237 / 60.0)


def test_made_and_lost_are_what_the_gas_did() -> None:
    pull = scenario.typed().pull([6000.0, 7000.0])
    found = tested.air_power(pull)
    assert found is not None
    top = int(np.argmax(pull["power"]))
    assert found["rpm"] == pull.rpm[top]
    engine = pull.build.chain.engine
    rate = engine.displacement * found["rpm"] * math.pi / 30.0 / (4.0 * math.pi)
    gas = pull["indicated_pressure"][top] * rate / pull["air_flow"][top] / HP_PER_LB_PER_MIN
    assert found["made"] + found["friction"] + found["pumping"] == pytest.approx(gas, rel=1e-9)
    # The walls take some 6 to 12 % of the fuel's heat, at a third of which work is made.
    fuel = pull["fuel_power"][top] / pull["air_flow"][top] / HP_PER_LB_PER_MIN
    efficiency = pull["indicated_pressure"][top] * rate / pull["fuel_power"][top]
    assert 0.04 * fuel * efficiency < found["heat"] < 0.13 * fuel * efficiency


def test_a_pull_outside_the_band_says_by_how_much_and_what_takes_most(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pull = scenario.typed().pull([6000.0, 7000.0])
    found = tested.air_power(pull)
    assert found is not None
    (note,) = tested.air_power_notes(pull)
    assert note in pull.notes
    told = re.search(r"makes ([\d.]+) hp with drive power added back. That is ([\d.]+) less", note)
    assert told is not None
    assert float(told[1]) == pytest.approx(found["made"], abs=0.051)
    assert float(told[2]) == pytest.approx(9.5 - found["made"], abs=0.051)
    assert found["friction"] > found["pumping"]
    assert "Look at friction first" in note
    monkeypatch.setattr(tested, "BAND", (found["made"] - 1.0, found["made"] + 1.0))
    assert tested.air_power_notes(pull) == []
    monkeypatch.setattr(tested, "BAND", (found["made"] - 2.0, found["made"] - 1.0))
    (note,) = tested.air_power_notes(pull)
    assert "1.0 more than the most" in note


def test_alcohols_are_not_measured_by_it() -> None:
    build = scenario.typed().replace({"fuel.name": "methanol", "fuel.lambda": 0.8})
    assert tested.air_power_notes(build.pull([6000.0])) == []
