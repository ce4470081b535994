"""The parts of a report that a build file has the inputs of."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ..calibration.making import calibrate
from ..faults.diagnosing import diagnose
from ..fuel.demand import fuel_demand
from ..fuel.fuels import compare_fuels
from ..measured.measured import MeasuredPull
from ..plan.planner import plan_levels
from ..plan.weather import weather_bands
from ..track.driving import track_runs
from .material import Material

#: Measured pulls of each level, one or several.
PullsByLevel = Mapping[str, MeasuredPull | Sequence[MeasuredPull]]


def completed(material: Material, pulls: PullsByLevel, done: Callable[[], None]) -> Material:
    """Return the material with plan, weather, fuel side and calibration where they can be made."""
    for add in MADE:
        material = add(material, pulls)
        done()
    return material


def _with_plan(material: Material, pulls: PullsByLevel) -> Material:
    build = material.build
    if material.plan is not None or "plan" not in build.source.file.data or not build.supercharged:
        return material
    return replace(material, plan=plan_levels(material.fit or build))


def _with_weather(material: Material, pulls: PullsByLevel) -> Material:
    plan = material.plan
    if material.weather is not None or plan is None or len(plan.request.weather) < 2:
        return material
    return replace(material, weather=weather_bands(material.build, steps=material.steps))


def _with_fuel(material: Material, pulls: PullsByLevel) -> Material:
    build = material.build
    if build.fuel_system is None:
        return material
    fuel, fuels = material.fuel, material.fuels
    return replace(
        material,
        fuel=fuel_demand(material.steps) if fuel is None else fuel,
        fuels=compare_fuels(build) if fuels is None else fuels,
    )


def _with_calibration(material: Material, pulls: PullsByLevel) -> Material:
    enough = any(step.pull.matched.sum() > 1 for step in material.steps.steps)
    if material.calibration is not None or not enough:
        return material
    return replace(material, calibration=calibrate(material.fit or material.build, pulls or None))


def _with_track(material: Material, pulls: PullsByLevel) -> Material:
    if material.track is not None or material.build.vehicle is None:
        return material
    return replace(material, track=track_runs(material.build))


def _with_diagnoses(material: Material, pulls: PullsByLevel) -> Material:
    """Diagnose every pull that does not agree with its prediction."""
    diagnoses = {}
    for number, comparison in enumerate(material.comparisons):
        if comparison.surprising and comparison.measured is not None:
            prediction = comparison.prediction
            level = prediction.build.level_name
            # A diagnosis stands on the build of the fit: it knows no other changes than a level.
            if prediction.build.document == prediction.reconciliation.build.document:
                diagnoses[number] = diagnose(prediction.reconciliation, comparison.measured, level)
    return replace(material, diagnoses=diagnoses)


#: The parts that are made, in the order that one needs another.
MADE: tuple[Callable[[Material, PullsByLevel], Material], ...] = (
    _with_plan,
    _with_weather,
    _with_fuel,
    _with_calibration,
    _with_track,
    _with_diagnoses,
)


def by_name(pulls: PullsByLevel) -> dict[str, MeasuredPull]:
    """Return measured pulls by level, and by number where a level has several."""
    named = {}
    for level, given in pulls.items():
        several = [given] if isinstance(given, MeasuredPull) else list(given)
        for number, pull in enumerate(several, 1):
            name = level or pull.name
            named[name if len(several) == 1 else f"{name}, pull {number}"] = pull
    return named
