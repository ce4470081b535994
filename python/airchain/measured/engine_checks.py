"""Whether readings are those that an engine can have together: power of air, heat of pressure."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from .finding import Finding
from .readings import Readings

#: Crank power per air under load, from a rich engine whose blower takes a fifth to a lean one
#: without [J/kg]: 7.2 to 11.8 hp per lb/min, where the trade counts 8 to 10.5 (common practice, no
#: source).
_LEAST_WORK, _MOST_WORK = 0.71e6, 1.16e6
#: What a bonnet adds to the air at most [K], and the least efficiency of a compressor.
_WARMED, _LEAST_EFFICIENCY = 30.0, 0.5
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
    yield from _warm_from_the_start(pull)
    yield from _colder_than_the_room(pull)
    yield from _fuel_per_power(pull)
    yield from _never_low(pull)
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


def _hot_charge(pull: Readings) -> Iterator[Finding]:
    """A poor compressor and no cooler at all make the hottest charge that there is."""
    names = {"plenum_temperature", "plenum_pressure"}
    ambient = pull.ambient.get("ambient_temperature", np.nan)
    if not names <= set(pull.names) or not np.isfinite(ambient):
        return
    inlet = pull.columns.get("compressor_inlet_temperature", ambient + _WARMED)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratio = np.maximum(pull["plenum_pressure"] / pull.barometer, 1.0)
        most = inlet * (1.0 + (ratio ** (2.0 / 7.0) - 1.0) / _LEAST_EFFICIENCY)
        hot = pull["plenum_temperature"] > most + 5.0
    if hot.mean() > 0.2:
        words = (
            f"in {100.0 * hot.mean():.0f} % of the rows it is hotter than a poor compressor would "
            "make it without any cooler: is the unit right?"
        )
        yield Finding("plenum temperature", words)


def _warm_from_the_start(pull: Readings) -> Iterator[Finding]:
    """Charge that begins a pull far above the room, and in degF would not."""
    if "plenum_temperature" not in pull.names or len(pull) < 10:
        return
    room = pull.ambient.get("ambient_temperature", _A_WARM_ROOM)
    first = float(np.nanpercentile(pull["plenum_temperature"], 10))
    in_fahrenheit = (first - 273.15 + 459.67) / 1.8
    if first - room > _WARM_START and in_fahrenheit > room - 5.0:
        words = (
            f"it begins at {first - 273.15:.0f} degC, {first - room:.0f} K above the room, where "
            f"{in_fahrenheit - 273.15:.0f} degC would be usual: is it degF?"
        )
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
    if "plenum_pressure" not in pull.names or not np.isfinite(pull.barometer).any():
        return
    least = float(np.nanpercentile(pull["plenum_pressure"] - pull.barometer, 2))
    if least > _GAUGE_STARTS * float(np.nanmedian(pull.barometer)):
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
