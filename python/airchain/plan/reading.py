"""From the [plan] table of a build file or plan file to what is asked of a plan."""

from __future__ import annotations

import os
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import InputError, quoted, refusal, suggestion
from ..base.speeds import RPM
from ..buildfile.bypass import bypass_valve
from ..buildfile.lift_off import FLOW_OVER_SURGE, lift_off_setting
from ..buildfile.source import Source
from ..buildfile.stations import weather
from ..buildfile.toml_lines import read_toml
from ..chain.build import Build
from ..chain.solving import default_speeds
from ..cylinder.spread import told_apart
from ..typed.keys import TABLE, Key, Keys
from ..typed.section import Section
from . import keys
from ._reading_parts import gear_parts, plain_teeth, pulley_parts, shafts_of, usual
from .cost import Cost
from .limits import FREE, QUANTITIES, Limit
from .request import AS_TYPED, Cylinders, Day, PlanRequest, Target
from .usual import usual_limits

__all__ = ["cylinders_of", "read_plan"]

Array = NDArray[np.float64]
_OF_BUILD = ("rotor_speed", "tip_speed", "injector_duty", "pump_load")


def read_plan(build: Build, file: str | os.PathLike[str] | None = None,
              levels: bool = True) -> PlanRequest:  # fmt: skip
    """Read what is asked of a plan.

    Parameters
    ----------
    build : Build
        The build; its file has the ``[plan]`` table unless another file is given.
    file : str or path, optional
        A plan file: a document whose one table is ``[plan]``.
    levels : bool
        Whether it must have levels and parts; without, limits and weather are enough, and usual
        limits hold where there is no plan.

    Returns
    -------
    PlanRequest
        Targets, parts, limits and weather.

    Raises
    ------
    InputError
        There is no plan, or something in it is missing, unknown, out of range, duplicate or
        contradictory; the message has file, line and key, all of them at once.
    """
    if build.stations.compressor is None:
        raise refusal(build.title, "plan", "no compressor", "be of a supercharged build")
    document = build.source.file if file is None else read_toml(file)
    source = Source(document, build.source.replaced if file is None else ())
    strange = [name for name in document.data if name != "plan"] if file is not None else []
    if strange:
        where = source.where((strange[0],))
        rule = "be left out of a plan file"
        raise refusal(where, strange[0], "{...}", rule, "its one table is [plan]")
    if "plan" not in document.data and levels:
        rule, hint = "have a table [plan]", "with targets, parts, limits and weather"
        raise refusal(document.name, "plan", "missing", rule, hint)
    typed = Section(source, ("plan",), keys.PLAN, document.data.get("plan", {}))
    return source.whole(_request, build, source, typed, levels)


def _request(build: Build, source: Source, typed: Section, levels: bool) -> PlanRequest:
    attempt = source.attempt
    shafts = attempt(shafts_of, build, typed)
    gears = attempt(gear_parts, typed, shafts, otherwise=())
    pulleys = attempt(pulley_parts, typed, shafts, otherwise=())
    rpm = attempt(_speeds, build, typed)
    targets: tuple[Target, ...] = ()
    if levels or "levels" in typed.table:
        attempt(_some_parts, typed)
        targets = attempt(_targets, typed, rpm, otherwise=())
    limits = attempt(_limits, build, typed, otherwise={})
    teeth, assumed = attempt(plain_teeth, build, typed, otherwise=(None, ""))
    if attempt(usual, typed):
        limits = usual_limits(limits, teeth if "quality" not in assumed else None)
    attempt(_no_contradiction, typed, targets, limits)
    shut = typed.sub("throttle_shut", keys.THROTTLE_SHUT, optional=True)
    of_build = Source(build.source.file, build.source.replaced)
    return PlanRequest(
        targets=targets,
        gears=gears,
        pulleys=pulleys,
        shafts=shafts,
        limits=limits,
        weather=attempt(_weathers, build, typed, otherwise={}),
        cylinders=attempt(_cylinders, build, typed),
        head=attempt(_head, typed),
        supply=build.fuel_system.supply if build.fuel_system is not None else None,
        flow_over_surge=attempt(_between, shut, "flow_over_surge", FLOW_OVER_SURGE, 1.0, 3.0),
        discharge_coefficient=attempt(_between, shut, "discharge_coefficient", 0.8, 0.1, 1.0),
        lift_off=lift_off_setting(of_build, float(build.stations.engine.displacement)),
        rpm=rpm,
        runners_up=int(typed.get("runners_up", 3)) if "runners_up" not in typed.refused else 3,
        currency=typed.text("currency") if "currency" not in typed.refused else "",
        teeth=teeth,
        assumed=assumed,
        cost=attempt(_cost, typed),
        valve=bypass_valve(of_build),
    )


def _some_parts(typed: Section) -> None:
    if not typed.table.get("gears") and not typed.table.get("pulleys"):
        hint = "write [[plan.gears]] or [[plan.pulleys]]"
        raise refusal(typed.where("gears"), "plan.gears", "none", "hold a part to choose", hint)


def _between(typed: Section, name: str, otherwise: float, low: float, high: float) -> float:
    """Return a number of this package's own, within its range."""
    value = typed.get(name, otherwise)
    if not low <= value <= high:
        typed.refuse(name, f"be between {low:g} and {high:g}")
    return value


def _speeds(build: Build, typed: Section) -> Array:
    speeds = default_speeds(build)
    redline = speeds[-1]
    low = typed.get("lowest_speed", speeds[0] * RPM) / RPM
    high = typed.get("highest_speed", redline * RPM) / RPM
    if high > redline * (1.0 + 1e-9):
        typed.refuse("highest_speed", f"be at most the redline of {redline:,.0f} rpm")
    if not 0.0 < low < high:
        typed.refuse("lowest_speed", f"be above 0 and below {high:,.0f} rpm")
    return np.append(np.arange(low, high - 1.0, 200.0), high)


def _targets(typed: Section, rpm: Array | None) -> tuple[Target, ...]:
    typed.need("levels")
    named = typed.table["levels"]
    if not isinstance(named, Mapping) or not named:
        typed.refuse("levels", "hold a table for each level", "such as [plan.levels.tame]")
    top = typed.sub("levels", dict.fromkeys(named, TABLE))
    rows = [(top, str(name), rpm) for name in named]
    return tuple(typed.source.every(_target, rows))


def _target(top: Section, name: str, rpm: Array | None) -> Target:
    table = top.table[name]
    aim = next((a for a in keys.AIMS if isinstance(table, Mapping) and a in table), "power")
    of_level: Keys = {**keys.LEVEL, "tolerance": Key(keys.AIMS[aim].kind)}
    typed = top.sub(name, of_level)
    typed.one_of(*keys.AIMS, needed=True)
    typed.need("tolerance")
    typed.positive(aim, "tolerance")
    at = typed.get("rpm", 0.0) / RPM
    if rpm is not None and at and not rpm[0] <= at <= rpm[-1]:
        typed.refuse("rpm", f"be within the plan's {rpm[0]:,.0f} to {rpm[-1]:,.0f} rpm")
    return Target(name, aim, typed.number(aim), typed.number("tolerance"), at)


def _limits(build: Build, typed: Section) -> dict[str, Limit]:
    named = typed.table.get("limits", {})
    known = list(QUANTITIES)
    top = Section(typed.source, ("plan", "limits"), dict.fromkeys(known, TABLE), named)
    rows = [(build, top, name) for name in top.table if name in known]
    limits = {limit.name: limit for limit in typed.source.every(_limit, rows)}
    for name in _OF_BUILD:
        value = _of_build(build, name)
        if name not in limits and np.isfinite(value):
            limits[name] = Limit(name, value, "build file, source not told")
    return {name: limits[name] for name in QUANTITIES if name in limits}


def _of_build(build: Build, name: str) -> float:
    """A limit that stands in another table of the build; infinite where there is none."""
    chain, system = build.stations, build.fuel_system
    if name == "rotor_speed":
        speed = float(chain.compressor.map.data.speed_limit) or np.inf
        return min(float(chain.drive.rotor_speed_limit), speed)
    if name == "tip_speed":
        return float(chain.compressor.tip_speed_limit)
    if system is None:
        return float("inf")
    duty, margin = float(system.supply.duty_limit), float(system.supply.pump_margin)
    return duty if name == "injector_duty" else 1.0 / (1.0 + margin)


def _limit(build: Build, top: Section, name: str) -> Limit:
    quantity, way = QUANTITIES[name], _way(name)
    kind = "dimensionless" if quantity.kind == "share" else quantity.kind
    typed = top.sub(name, {way: Key(kind), "source": Key("text")})
    typed.need("source")
    if name not in _OF_BUILD:
        typed.need(way)
        value = typed.number(way)
        if way == "most" or quantity.kind == "dimensionless":
            typed.positive(way)
        elif quantity.bound == "spark":
            if not 0.0 <= value < FREE:
                typed.refuse(way, f"be at least 0 and below {np.degrees(FREE):.0f} deg")
        elif not 0.0 <= value < 1.0:
            typed.refuse(way, "be at least 0 % and below 100 %")
        return Limit(name, value, typed.text("source"))
    value = _of_build(build, name)
    if typed.has(way):
        if np.isfinite(value) and abs(typed.number(way) - value) > 1e-9 * value:
            place = "[compressor]" if name in ("rotor_speed", "tip_speed") else "[fuel_system]"
            typed.refuse(way, f"agree with {place}", "leave it out; the source may stay")
        value = typed.number(way)
    if not np.isfinite(value):
        typed.refuse(way, "be given", "no other table of the build has it")
    return Limit(name, value, typed.text("source"))


def _way(name: str) -> str:
    """The key that a limit is typed under."""
    return "most" if QUANTITIES[name].bound == "most" else "least"


def _no_contradiction(
    typed: Section, targets: tuple[Target, ...], limits: Mapping[str, Limit]
) -> None:
    """Refuse a target that a limit forbids whatever is fitted."""
    named = typed.table.get("limits")
    for target in targets:
        limit = limits.get(target.name)
        if limit is not None and target.value - target.tolerance > limit.value:
            path = ("plan", "levels", target.level, target.name)
            hint = ""
            if not limit.usual and isinstance(named, Mapping) and limit.name in named:
                stands = typed.source.where(("plan", "limits", limit.name, _way(limit.name)))
                hint = f"the limit stands at {stands}"
            rule = f"not contradict the limit of {target.shown(limit.value)}"
            where = typed.source.where(path)
            shown = quoted(target.shown(target.value))
            raise refusal(where, ".".join(path), shown, rule, hint)


def _weathers(build: Build, typed: Section) -> dict[str, Day]:
    named = typed.table.get("weather", {})
    names = named if isinstance(named, Mapping) else {}
    top = Section(typed.source, ("plan", "weather"), dict.fromkeys(names, TABLE), named)
    days = {AS_TYPED: Day(build.stations.ambient)}
    for name in top.table:
        day = typed.source.attempt(day_of, build, top, name)
        if day is not None:
            days[str(name)] = day
    cold, hot = days.get("coldest"), days.get("hottest")
    if cold and hot and not cold.ambient.temperature < hot.ambient.temperature:
        top.refuse("coldest", "be colder than [plan.weather.hottest]")
    near = suggestion("coldest", [n for n in days if n not in ("coldest", "hottest", AS_TYPED)])
    if cold is None and near:
        raise InputError(f"{top.source.where(top.path)}: plan.weather: coldest is missing; {near}")
    return days


def day_of(build: Build, top: Section, name: str) -> Day:
    """Return a day of a table of days.

    Parameters
    ----------
    build : Build
        The build, whose cooler a coolant must suit.
    top : Section
        The table of days.
    name : str
        The day.

    Returns
    -------
    Day
        Its weather, and the coolant it gives.

    Raises
    ------
    InputError
        Something in it is missing, unknown or out of range.
    """
    typed, cooler = top.sub(name, keys.DAY), build.stations.cooler
    if typed.has("coolant_temperature"):
        if cooler.ambient_cooled or cooler.effectiveness == 0.0:
            typed.refuse("coolant_temperature", "stand beside a cooler with a coolant of its own")
        typed.make(cooler.replace, coolant_temperature=typed.number("coolant_temperature"))
    return Day(weather(typed, standard=True), typed.get("coolant_temperature", float("nan")))


def cylinders_of(build: Build) -> Cylinders:
    """Return by how much single cylinders exceed the mean, typed or usual.

    Parameters
    ----------
    build : Build
        The build; nothing but its cylinders and ``[plan.cylinders]`` is looked at.

    Returns
    -------
    Cylinders
        Factors on the mean.

    Raises
    ------
    InputError
        The table is refused.
    """
    plan = build.source.file.data.get("plan")
    own = plan.get("cylinders") if isinstance(plan, Mapping) else None
    source = Source(build.source.file, build.source.replaced)
    typed = {} if own is None else {"cylinders": own}
    return _cylinders(build, Section(source, ("plan",), keys.PLAN, typed))


def _cylinders(build: Build, typed: Section) -> Cylinders:
    own = typed.sub("cylinders", keys.CYLINDERS, optional=True)
    plain = Cylinders()
    high = _between(own, "high_cycle", plain.high_cycle, 1.0, 2.0)
    if told_apart(build.cylinder):
        if own.has("worst_cylinder"):
            hint = "take the line out, or the table [engine.collectors]"
            rule = "be left out where firing order and collectors tell the cylinders apart"
            own.refuse("worst_cylinder", rule, hint)
        return Cylinders(high, apart=build.cylinder)
    return Cylinders(high, _between(own, "worst_cylinder", plain.worst_cylinder, 1.0, 1.5))


def _cost(typed: Section) -> Cost | None:
    if not typed.has("cost"):
        return None
    own = typed.sub("cost", keys.COST)
    own.need("change", "dyno", "hour", "dyno_hour")
    values = {name: own.get(name, 0.0) for name in keys.COST}
    for name, value in values.items():
        if value < 0.0:
            own.refuse(name, "be 0 or more")
    return Cost(**values)


def _head(typed: Section) -> _core.HeadJoint | None:
    if not typed.has("head"):
        return None
    own = typed.sub("head", keys.HEAD)
    own.one_of("torque", "clamp", needed=True)
    joint: _core.HeadJoint = own.make(_core.HeadJoint, **own.fields(_core.HeadJoint))
    return joint
