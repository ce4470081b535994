"""Whether readings are those that an engine can have together: power of air, heat of pressure."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from .finding import Finding
from .readings import Readings

Column = NDArray[np.float64]
#: Crank power per air under load, from a rich engine whose blower takes a fifth to a lean one
#: without [J/kg]: 7.2 to 11.8 hp per lb/min, where the trade counts 8 to 10.5 (common practice, no
#: source).
_LEAST_WORK, _MOST_WORK = 0.71e6, 1.16e6
#: What a bonnet adds to the air at most [K], and the least efficiency of a compressor.
_WARMED, _LEAST_EFFICIENCY = 20.0, 0.5
#: Where the weather is not known: coldest and hottest air [K], thinnest and densest barometer [Pa].
_COLDEST, _HOTTEST, _THINNEST, _DENSEST = 288.0, 308.0, 88e3, 104e3
#: A charge that moves by less [K] while its pressure grows by a quarter follows nothing.
_UNMOVED = 2.5
#: How far from the air outside the compressor's inlet may be [K].
_INLET = (-8.0, 35.0)
#: A pressure ratio that hardly heats, and rows that are enough to tell.
_GENTLE, _FEW = 1.3, 5
#: Under load no manifold lies further below the barometer, as a share of it.
_THROTTLED = 0.8
#: Share of the barometer below which a gauge reads somewhere in a pull that begins slow.
_GAUGE_STARTS = 0.88
_LOADED = 0.6
#: Charge below the room that nothing but a cold medium makes [K], and the most fuel that gasoline
#: engines take under load [kg/kWh].
_COOLED, _MOST_GASOLINE = 9.0, 0.5
#: What a blower and a warm bonnet add at the slow end of a pull at most, and a room where none is
#: told [K].
_WARM_START, _A_WARM_ROOM = 55.0, 303.0
#: An engine draws its plenum down or is blown: within this of the barometer [Pa], without a trend
#: of as much, only a hose that is off reads.
_OFF_HOSE = 350.0
#: Lambda under load that no engine with spark ignition is run at (common practice, no source).
_LEANEST = 1.08


def engine_findings(pull: Readings) -> Iterator[Finding]:
    """Yield what no engine can have together."""
    yield from _work_of_air(pull)
    yield from _hot_charge(pull)
    yield from _colder_than_the_room(pull)
    yield from _unmoved_charge(pull)
    yield from _compressed(pull)
    yield from _inlet_air(pull)
    yield from _fuel_per_power(pull)
    yield from _never_low(pull)
    yield from _throttled(pull)
    yield from _open_to_the_room(pull)
    yield from _lean(pull)


def _work_of_air(pull: Readings) -> Iterator[Finding]:
    if "air_flow" not in pull.names or "power" not in pull:
        return
    power, air = pull["power"], pull["air_flow"]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        work = (power / air)[power > _LOADED * np.nanpercentile(power, 95)]
    work = work[np.isfinite(work)]
    if not work.size:
        return
    middle = float(np.median(work))
    if not _LEAST_WORK <= middle <= _MOST_WORK:
        way = "little" if middle < _LEAST_WORK else "much"
        words = (
            f"the engine makes {middle / 1e3:.0f} kJ of each kg of air, which is too {way} "
            f"({_LEAST_WORK / 1e3:.0f} to {_MOST_WORK / 1e3:.0f} are usual): is one of the two in "
            "another unit?"
        )
        yield Finding("power against air flow", words)


def _ambient(pull: Readings, unknown: float) -> float:
    return pull.ambient.get("ambient_temperature", unknown)


def _ratio(pull: Readings, pressure: str, unknown: float) -> Column:
    """Return a pressure over the one before the compressor."""
    barometer = np.where(np.isfinite(pull.barometer), pull.barometer, unknown)
    before = pull.columns.get("compressor_inlet_pressure", barometer)
    ratio: Column = np.maximum(pull.columns[pressure] / before, 1.0)
    return ratio


def _hottest(pull: Readings, pressure: str) -> Column:
    """Return how hot a poor compressor makes warm air without any cooler [K]."""
    warm = np.full(len(pull), _ambient(pull, _HOTTEST) + _WARMED)
    inlet = pull.columns.get("compressor_inlet_temperature", warm)
    work = _ratio(pull, pressure, _THINNEST) ** (2.0 / 7.0) - 1.0
    hottest: Column = inlet * (1.0 + work / _LEAST_EFFICIENCY)
    return hottest


def _warm_from_the_start(pull: Readings) -> str:
    """Return what is said of a charge that begins far above the room, and in degF would not."""
    if len(pull) < 10:
        return ""
    room = _ambient(pull, _A_WARM_ROOM)
    first = float(np.nanpercentile(pull["plenum_temperature"], 10))
    in_fahrenheit = (first - 273.15 + 459.67) / 1.8
    if not (first - room > _WARM_START and in_fahrenheit > room - 5.0):
        return ""
    return (
        f"it begins at {first - 273.15:.0f} degC, {first - room:.0f} K above the room, where "
        f"{in_fahrenheit - 273.15:.0f} degC would be usual: is it degF?"
    )


def _hot_charge(pull: Readings) -> Iterator[Finding]:
    """A poor compressor and no cooler at all make the hottest charge that there is."""
    if "plenum_temperature" not in pull.names:
        return
    words = _warm_from_the_start(pull)
    if not words and "plenum_pressure" in pull.names:
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            hot = pull["plenum_temperature"] > _hottest(pull, "plenum_pressure") + 5.0
            low = _ratio(pull, "plenum_pressure", _THINNEST) < _GENTLE
        # Where there is hardly boost, it shows best.
        if hot.mean() > 0.2 or (low.sum() >= _FEW and hot[low].mean() > 0.5):
            words = (
                f"in {100.0 * hot.mean():.0f} % of the rows it is hotter than a poor compressor "
                "would make it without any cooler: is the unit right?"
            )
    if words:
        yield Finding("plenum temperature", words)


def _colder_than_the_room(pull: Readings) -> Iterator[Finding]:
    if "plenum_temperature" not in pull.names or "ambient_temperature" not in pull.ambient:
        return
    room = pull.ambient["ambient_temperature"]
    under = room - float(np.nanmedian(pull["plenum_temperature"]))
    if under > _COOLED:
        words = (
            f"it lies {under:.0f} K below the room: is the unit right, or does something cool it, "
            "such as ice or alcohol before the plenum?"
        )
        yield Finding("plenum temperature", words)


def _fuel_per_power(pull: Readings) -> Iterator[Finding]:
    """More fuel for the power than gasoline engines take, and no more than alcohol ones do."""
    if "fuel_flow" not in pull.names or "power" not in pull:
        return
    power, fuel = pull["power"], pull["fuel_flow"]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratio = (fuel / power)[power > _LOADED * np.nanpercentile(power, 95)] * 3.6e6
    ratio = ratio[np.isfinite(ratio)]
    if ratio.size and float(np.median(ratio)) > _MOST_GASOLINE:
        words = (
            f"the engine takes {np.median(ratio):.2f} kg for each kWh, as engines on alcohol do: "
            "if it runs on gasoline or diesel, is the unit right?"
        )
        yield Finding("fuel flow", words)


def _unmoved_charge(pull: Readings) -> Iterator[Finding]:
    """Compressing heats the air, and a cooler takes a share of that: the charge grows warmer."""
    if not {"plenum_temperature", "plenum_pressure"} <= set(pull.names):
        return
    pressure, heat = pull["plenum_pressure"], pull["plenum_temperature"]
    both = np.isfinite(pressure) & np.isfinite(heat)
    if both.sum() < 2 * _FEW:
        return
    order = np.argsort(pressure[both], kind="stable")
    low, high = order[: both.sum() // 4], order[-(both.sum() // 4) :]
    grown = float(np.median(pressure[both][high]) / np.median(pressure[both][low]))
    warmed = float(np.median(heat[both][high]) - np.median(heat[both][low]))
    if grown > 1.25 and abs(warmed) < _UNMOVED and np.ptp(heat[both]) > 0.0:
        words = (
            f"it moves by {abs(warmed):.1f} K while the pressure grows by {100 * (grown - 1):.0f} "
            "%: does the probe stand before the compressor, or does it not follow?"
        )
        yield Finding("plenum temperature", words)


def _compressed(pull: Readings) -> Iterator[Finding]:
    """A compressor heats the air no less than one without any loss does, and a poor one no more."""
    pressure = next(
        (n for n in ("compressor_outlet_pressure", "plenum_pressure") if n in pull.names), ""
    )
    if "compressor_outlet_temperature" not in pull.names or not pressure:
        return
    read, lines = pull["compressor_outlet_temperature"], pull.lines
    cool = np.full(len(pull), _ambient(pull, _COLDEST))
    inlet = pull.columns.get("compressor_inlet_temperature", cool)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratio = _ratio(pull, pressure, _DENSEST)
        boosted = ratio > (1.4 if np.sum(ratio > 1.4) >= _FEW else 1.1)
        cold = read < inlet * ratio ** (2.0 / 7.0) - 5.0
        # What is lost between compressor and plenum would have heated the air too.
        hot = read > 1.03 * _hottest(pull, pressure) + 5.0
    for rows, of, words in (
        (cold, boosted, "it is colder than a compressor without any loss would make it"),
        (hot, hot | ~hot, "it is hotter than a poor compressor would make it: is the unit right?"),
    ):
        if of.any() and rows[of].mean() > 0.5:
            where = tuple(lines[rows & of].tolist()) if lines.size else ()
            yield Finding("compressor outlet temperature", words, where)


def _inlet_air(pull: Readings) -> Iterator[Finding]:
    """The compressor breathes air that is about as warm as outside."""
    ambient = _ambient(pull, np.nan)
    if "compressor_inlet_temperature" not in pull.names or not np.isfinite(ambient):
        return
    read = pull["compressor_inlet_temperature"]
    read = read[np.isfinite(read)]
    off = float(np.median(read)) - ambient if read.size else 0.0
    if not _INLET[0] <= off <= _INLET[1]:
        words = (
            f"the compressor's inlet is {abs(off):.0f} K {'warmer' if off > 0.0 else 'colder'} "
            "than the air outside: is one of the two in another unit?"
        )
        yield Finding("ambient temperature", words)


def _throttled(pull: Readings) -> Iterator[Finding]:
    """Nothing under load lies far below the barometer."""
    if "plenum_pressure" not in pull.names or "power" not in pull:
        return
    power = pull["power"]
    barometer = np.where(np.isfinite(pull.barometer), pull.barometer, _THINNEST)
    with np.errstate(invalid="ignore"):
        loaded = power > _LOADED * np.nanpercentile(power, 95)
    low = (pull["plenum_pressure"] / barometer)[loaded]
    low = low[np.isfinite(low)]
    if low.size and float(np.percentile(low, 20)) < _THROTTLED:
        words = (
            f"under load it lies {100.0 * (1.0 - float(np.percentile(low, 20))):.0f} % below the "
            "barometer: was the throttle shut, or is the unit not right?"
        )
        yield Finding("plenum pressure", words)


def _lean(pull: Readings) -> Iterator[Finding]:
    """Lambda that no spark-ignition engine is run at under load, and its inverse is."""
    if "lambda" not in pull.names:
        return
    read = pull["lambda"][np.isfinite(pull["lambda"])]
    middle = float(np.median(read)) if read.size else 1.0
    if middle > _LEANEST:
        words = (
            f"it reads {middle:.2f} under load, leaner than engines are run there: does the log "
            f"hold its inverse, fuel over air, which would be a lambda of {1.0 / middle:.2f}?"
        )
        yield Finding("lambda", words)


def _never_low(pull: Readings) -> Iterator[Finding]:
    if "plenum_pressure" not in pull.names:
        return
    barometer = np.where(np.isfinite(pull.barometer), pull.barometer, _DENSEST)
    least = float(np.nanpercentile(pull["plenum_pressure"] - barometer, 2))
    if least > _GAUGE_STARTS * float(np.nanmedian(barometer)):
        words = (
            f"boost never falls below {least / 1e3:.0f} kPa in this pull, about one atmosphere: "
            "was an absolute pressure taken for a gauge's?"
        )
        yield Finding("plenum pressure", words)


def _open_to_the_room(pull: Readings) -> Iterator[Finding]:
    if "plenum_pressure" not in pull.names or len(pull) < 20:
        return
    off = pull["plenum_pressure"] - pull.barometer
    if np.isfinite(off).sum() < 20:
        return
    quarter = len(pull) // 4
    trend = float(np.nanmedian(off[-quarter:]) - np.nanmedian(off[:quarter]))
    if float(np.nanpercentile(np.abs(off), 90)) < _OFF_HOSE and abs(trend) < 0.5 * _OFF_HOSE:
        words = "it reads the barometer at every speed: is its hose off?"
        yield Finding("plenum pressure", words)
