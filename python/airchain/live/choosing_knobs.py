"""Which knobs a build has, and where the answer of each comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import degrees

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import InputError
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.solving import default_speeds
from ..shown.fuel_names import fuel_words
from ..typed.place import Typed
from ..units.convert import to_si
from .gear_pairs import fitted, pairs_of, typed_pair
from .knobs import (
    CYCLES,
    KERNEL,
    PAGE,
    PAIR,
    RATIO,
    SCALED_COOLER,
    SPEED,
    Knob,
    Option,
    ranged,
    usual_paths,
)
from .packing import indices, packed

__all__ = ["changed", "knobs_of", "measured_shares", "pair_code", "seat_of", "typed_by"]

#: How near an answer by numbers set alone must come to that of the value typed [relative].
_SAME = 1e-9
#: Stations whose fields a table of the file may fill, where they are called otherwise.
_STATIONS = {"fuel": ("injection", "fuel"), "compressor": ("compressor", "drive")}
#: Tables that an engine with cams breathes by: its surface holds for their values only.
_OF_CYLINDER = ("fuel.", "engine.")


def knobs_of(build: Build, also: Sequence[str] = ()) -> tuple[Knob, ...]:
    """Return the knobs of a build: those that a builder turns, and those asked for.

    Parameters
    ----------
    build : Build
        The build, with a surface where it has cams.
    also : sequence of str
        Dotted paths of further numbers of the build file.

    Returns
    -------
    tuple of Knob
        The knobs, drive and engine speed first.

    Raises
    ------
    InputError
        No such number was typed.
    """
    typed = [ranged(build, path) for path in dict.fromkeys([*usual_paths(build), *also])]
    return (
        *_driving(build),
        _speed(build),
        *(_answered(build, knob) for knob in [*_measured_cooler(build), *typed]),
        *_fuels(build),
    )


def changed(build: Build, values: Mapping[str, str | float]) -> Build:
    """Return a build with knobs turned.

    Parameters
    ----------
    build : Build
        The build.
    values : mapping
        Typed values by the knobs' paths, each with its unit, plain numbers dimensionless; engine
        speed changes nothing.

    Returns
    -------
    Build
        The build with them.

    Raises
    ------
    InputError
        A value is refused.
    """
    if "level" in values:
        build = build.level(str(values["level"]))
    if PAIR in values:
        build = fitted(build, str(values[PAIR]))
    if typed := typed_by(build, values):
        build = build.replace(typed)
    if RATIO in values:
        ratio = to_si(values[RATIO], "dimensionless", where="explore", field=RATIO)
        build = build.with_drive_ratio(ratio)
    return build


def typed_by(build: Build, values: Mapping[str, str | float]) -> dict[str, Typed]:
    """Return what knobs type into the build's file.

    Parameters
    ----------
    build : Build
        The build.
    values : mapping
        Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

    Returns
    -------
    dict
        Values by their path in the file; none for level, gear pair, drive ratio and engine speed.
    """
    untyped = ("level", PAIR, RATIO, SPEED)
    typed: dict[str, Typed] = {path: v for path, v in values.items() if path not in untyped}
    if SCALED_COOLER in typed:
        factor = to_si(values[SCALED_COOLER], "dimensionless", field=SCALED_COOLER)
        typed[SCALED_COOLER] = [value * factor for value in measured_shares(build)]
    for path in values:
        for seat, ramps in seat_of(build, path).items():
            duration = to_si(values[path], "angle", where="explore", field=path)
            typed.setdefault(seat, f"{round(degrees(duration + ramps), 6):.12g} deg")
    return typed


def seat_of(build: Build, path: str) -> dict[str, float]:
    """Return what goes along with a lobe's duration: its seat duration, by the ramps beyond it.

    Parameters
    ----------
    build : Build
        The build.
    path : str
        Path of a knob.

    Returns
    -------
    dict
        Path of the seat duration and the ramps [rad]; empty for other knobs.
    """
    lobe, _, name = path.rpartition(".")
    seat = f"{lobe}.seat_duration"
    if not lobe.startswith("engine.camshaft.") or name != "duration" or seat not in build.inputs:
        return {}
    spans = [to_si(build.text(one), "angle", field=one) for one in (seat, path)]
    return {seat: spans[0] - spans[1]}


def measured_shares(build: Build) -> list[float]:
    """Return the effectiveness at each measured flow of the cooler.

    Parameters
    ----------
    build : Build
        The build, its cooler measured.

    Returns
    -------
    list of float
        As typed, dimensionless.
    """
    typed = build.document.tables["cooler"]["measured"]["effectiveness"]
    return [to_si(value, "dimensionless", field=SCALED_COOLER) for value in typed]


def _driving(build: Build) -> Iterator[Knob]:
    """Drive level, gear pair and free drive ratio."""
    if not build.supercharged:
        return
    ratio = float(build.chain.drive.drive_ratio)
    ratios = [ratio, *(float(level.drive.drive_ratio) for level in build.levels.values())]
    pairs = pairs_of(build)
    levels = {name: packed(build.level(name).chain) for name in build.levels}
    fits = {name: packed(one.chain) for name, one in pairs.items()}
    plain = packed(build.chain)
    moved = np.unique([i for one in (*levels.values(), *fits.values()) for i in _moved(one, plain)])

    def option(name: str, numbers: NDArray[np.float64], code: str = "") -> Option:
        return Option(name, {int(i): float(numbers[int(i)]) for i in moved}, code)

    if levels:
        options = [Option("", {}), *(option(name, numbers) for name, numbers in levels.items())]
        known = tuple(one for one in options if one.name or not build.level_name)
        yield Knob("level", "drive level", "", build.level_name, options=known)
    if pairs:
        own = next((name for name, numbers in fits.items() if not _moved(numbers, plain)), "")
        stops = tuple(option(name, fits[name], pair_code(build, name)) for name in fits)
        yield Knob(PAIR, "gear pair, driving/driven", "", own, options=stops)
    low, high = next((lo, hi) for n, _, lo, hi, _ in _core.Drive.fields() if n == "drive_ratio")
    ends = max(0.8 * min(ratios), low), min(1.25 * max(ratios), high)
    sets = {indices()["drive.drive_ratio"]: 1.0}
    yield Knob(RATIO, "drive ratio", "dimensionless", ratio, low, high, *ends, sets=sets)


def _moved(numbers: NDArray[np.float64], plain: NDArray[np.float64]) -> list[int]:
    return [int(i) for i in np.flatnonzero(numbers != plain)]


def pair_code(build: Build, name: str) -> str:
    """Return what a gear pair adds to the line of Python that makes it.

    Parameters
    ----------
    build : Build
        The build.
    name : str
        The pair's name.

    Returns
    -------
    str
        Calls of methods.

    Raises
    ------
    InputError
        There is no such pair.
    """
    return f".replace({typed_pair(build, name)!r}).level({name!r})"


def _speed(build: Build) -> Knob:
    """Engine speed at which the read-outs stand."""
    speeds = default_speeds(build) * RPM
    low, high = next(
        (lo, hi) for n, _, lo, hi, _ in _core.Operation.fields() if n == "engine_speed"
    )
    value = round(0.9 * float(speeds[-1]) / RPM, -2) * RPM
    return Knob(
        SPEED, "engine speed", "speed", value, low, high, float(speeds[0]), float(speeds[-1])
    )


def _measured_cooler(build: Build) -> Iterator[Knob]:
    """A measured cooler's curve times a factor."""
    if SCALED_COOLER in build.inputs and build.supercharged:
        most = 1.0 / max(measured_shares(build))
        words = "cooler effectiveness, times as measured"
        ends = 0.0, most, 0.5, most
        yield Knob(SCALED_COOLER, words, "dimensionless", 1.0, *ends, fills="effectiveness")


def _answered(build: Build, knob: Knob) -> Knob:
    """Tell what a knob sets, and where its answer comes from."""
    if build.cylinder is not None and knob.path.startswith(_OF_CYLINDER):
        return replace(knob, how=CYCLES, sets=dict.fromkeys(_numbers(knob), 1.0))
    if knob.path in ("ambient.altitude", "ambient.altimeter"):
        pressure = {indices()["ambient.pressure"]: 1.0}
        knob = replace(knob, sets=pressure, rule="station_pressure")
        return knob if _same_pressure(build) else replace(knob, how=KERNEL)
    value, chain = float(knob.value), packed(build.chain)
    sets = {}
    for place in _numbers(knob):
        sets[place] = float(chain[place]) / value if value else 1.0
    knob = replace(knob, sets=sets)
    # A measured curve of the cooler that is scaled is another curve, but the same answer.
    alone = knob.path == SCALED_COOLER or (sets and _by_itself(build, knob))
    return replace(knob, how=PAGE if alone else KERNEL)


def _numbers(knob: Knob) -> list[int]:
    """The number of the chain that a knob sets: that of the field it fills."""
    table = knob.path.partition(".")[0]
    places = [f"{station}.{knob.fills}" for station in _STATIONS.get(table, (table,))]
    return [indices()[place] for place in places if place in indices()][:1]


def _by_itself(build: Build, knob: Knob) -> bool:
    """Whether typing a value gives the answer of its number set alone."""
    plain = packed(build.chain)
    for share in (0.1, 0.5, 0.9):
        value = knob.first + share * (knob.last - knob.first)
        try:
            typed = changed(build, {knob.path: knob.typed(value)})
        except InputError:
            continue  # told where a user comes to it
        moved = packed(typed.chain)
        alone = plain.copy()
        for place, factor in knob.sets.items():
            alone[place] = value * factor
        if alone.shape != moved.shape or not np.allclose(
            alone, moved, rtol=_SAME, atol=0.0, equal_nan=True
        ):
            return False
    return True


def _same_pressure(build: Build) -> bool:
    """Whether altimeter and altitude make the pressure that the build has."""
    setting, altitude = (
        to_si(build.text(f"ambient.{name}"), kind, field=name)
        for name, kind in (("altimeter", "barometer"), ("altitude", "altitude"))
    )
    made = _core.station_pressure(setting, altitude)
    return bool(np.isclose(made, build.chain.ambient.pressure, rtol=_SAME))


def _fuels(build: Build) -> Iterator[Knob]:
    """The generic fuels, where the build names one."""
    if "fuel.name" not in build.inputs:
        return
    names = list(_core.generic_fuel_names())
    value = build.text("fuel.name")
    if value not in names:
        return
    if build.cylinder is not None:
        options = tuple(Option(name, words=fuel_words(name)) for name in names)
        yield Knob("fuel.name", "fuel", "", value, options=options, how=CYCLES)
        return
    options, plain = (), packed(build.chain)
    for name in names:
        try:
            numbers = packed(build.replace({"fuel.name": name}).chain)
        except InputError:
            continue  # the file's own figures do not suit that fuel
        moved = np.flatnonzero(numbers != plain).tolist()
        sets = {i: float(numbers[i]) for i in moved}
        options += (Option(name, sets, words=fuel_words(name)),)
    yield Knob("fuel.name", "fuel", "", value, options=options)
