"""The parts of a report that a build file has the inputs of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..calibration.making import calibrate
from ..chain.ladders import Ladder
from ..fuel.demand import fuel_demand
from ..fuel.fuels import compare_fuels
from ..measured.measured import MeasuredPull
from ..plan.planner import plan_levels
from ..plan.weather import weather_bands


def parts_of(build: Any, steps: Ladder, fit: Any, pulls: Mapping[str, Any]) -> dict[str, Any]:
    """Return plan, weather, fuel side and calibration, as far as the file and the pulls go."""
    found: dict[str, Any] = {"pulls": _named(pulls)}
    if "plan" in build.source.file.data and build.supercharged:
        found["plan"] = plan_levels(build if fit is None else fit)
        if len(found["plan"].request.weather) > 1:
            found["weather"] = weather_bands(build, steps=steps)
    if build.fuel_system is not None:
        found["fuel"] = fuel_demand(steps)
        found["fuels"] = compare_fuels(build)
    if any(step.pull.matched.sum() > 1 for step in steps.steps):
        found["calibration"] = calibrate(build if fit is None else fit, pulls or None)
    return found


def _named(pulls: Mapping[str, Any]) -> dict[str, MeasuredPull]:
    """Measured pulls by level, and by number where a level has several."""
    found = {}
    for level, given in pulls.items():
        several = [given] if isinstance(given, MeasuredPull) else list(given)
        for number, pull in enumerate(several, 1):
            name = level or pull.name
            found[name if len(several) == 1 else f"{name}, pull {number}"] = pull
    return found
