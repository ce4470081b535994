"""The tables of levels on several days."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from .. import _core
from ..chain.build_words import weather_words
from ..chain.ladders import Step
from ..measured.correct import reference_weather, weather_ratio
from ..shown import statuses
from ..shown.columns import heading, in_display, label, shown
from ..shown.tables import Table
from ..units.convert import formatted
from .request import AS_TYPED

if TYPE_CHECKING:
    from .weather import WeatherBands

__all__ = ["correction_table", "day_table", "dry_air", "level_table"]

_AT_PEAK = ("charge_temperature", "drive_power", "peak_pressure", "fuel_flow")


def day_table(bands: WeatherBands, system: str = "trade") -> Table:
    """Return the days with their density altitude.

    Density altitude is the height at which the standard atmosphere (ISO 2533) is as dense as the
    day's own humid air.

    Parameters
    ----------
    bands : WeatherBands
        The levels day by day.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Table
        One row a day.
    """
    rows = []
    for day, steps in bands.days.items():
        air = steps.build.chain.ambient
        altitude = _core.air_report(air).density_altitude
        rows.append([day, weather_words(air, system), formatted(altitude, "altitude", system)])
    return Table(["day", "weather", "density altitude"], [""] * 3, rows, "The days")


def level_table(bands: WeatherBands, system: str = "trade") -> Table:
    """Return every level on every day, against the day as typed.

    Parameters
    ----------
    bands : WeatherBands
        The levels day by day.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Table
        One row a level and day.
    """
    rows = []
    for level in bands.levels:
        own = bands.days[AS_TYPED][level].pull.peak("power")[0]
        for day, steps in bands.days.items():
            step = steps[level]
            power, rpm = step.pull.peak("power")
            rows.append(
                [
                    level,
                    day,
                    shown("power", power, system),
                    "–" if np.isnan(rpm) else f"{rpm:,.0f}",
                    shown("boost", steps.boosts[level], system),
                    "–" if day == AS_TYPED else _change(power, own),
                    *(_at_peak(step, name, system) for name in _AT_PEAK),
                    step.margin("surge_margin"),
                    step.margin("speed_margin"),
                    step.knock_margin,
                ]
            )
    reference = f"boost at {bands.days[AS_TYPED].reference_rpm:,.0f} rpm"
    headings = [
        *("level", "day", "peak power", "at", reference, "against as typed"),
        *(heading(name) for name in _AT_PEAK),
        *("least surge margin", "least speed margin", "least knock margin"),
    ]
    units = [
        *("", "", label("power", system), "rpm", label("boost", system), "%"),
        *(label(name, system) for name in _AT_PEAK),
        *("", "", "deg"),
    ]
    key = (
        "Against as typed: peak power over that of the day of the build file, less 1. Charge "
        "temperature to fuel flow are read at peak power."
    )
    return Table(headings, units, rows, "Levels from day to day", key)


def correction_table(bands: WeatherBands, system: str = "trade") -> Table:
    """Return peak power brought to the standard's weather, by the standard and by the chain.

    Parameters
    ----------
    bands : WeatherBands
        The levels day by day.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Table
        One row a level and day.
    """
    there = reference_weather(bands.standard)
    rows = []
    for level in bands.levels:
        for day, steps in bands.days.items():
            step = steps[level]
            power, rpm = step.pull.peak("power")
            here = steps.build.chain.ambient
            by_standard = _standard_factor(bands.standard, step, here)
            by_chain = np.nan
            if not np.isnan(rpm):
                by_chain = float(weather_ratio(step.pull.build, here, there, [rpm])[0])
            rows.append(
                [
                    *(level, day, shown("power", power, system)),
                    *(_factor(by_standard), shown("power", power * by_standard, system)),
                    *(_factor(by_chain), shown("power", power * by_chain, system)),
                ]
            )
    unit = label("power", system)
    headings = [
        *("level", "day", "peak power", "standard's factor", "by the standard"),
        *("chain's factor", "by the chain"),
    ]
    units = ["", "", unit, "", unit, "", unit]
    said = _core.power_standards()[bands.standard][0]
    caption = f"Peak power brought to the reference weather of {said}"
    key = (
        f"Reference weather: {weather_words(there, system)}. The standard knows nothing but "
        "the dry air's pressure and temperature. The chain solves the level anew in the "
        "reference weather, with the coolant of the day. Boost is never corrected, because it "
        "is what that day gave."
    )
    return Table(headings, units, rows, caption, key)


def _standard_factor(standard: str, step: Step, air: _core.Ambient) -> float:
    """The standard's factor; NaN where a bypass holds the boost and no standard applies."""
    held = statuses.standing(step.pull.columns["flags"], "bypass_open") > 0
    way = "held_boost" if held else "mechanical" if step.supercharged else "aspirated"
    if _core.power_standard_objection(standard, way):
        return float("nan")
    dry, temperature = dry_air(air)
    return float(_core.power_correction(standard, dry, temperature))


def dry_air(air: _core.Ambient) -> tuple[float, float]:
    """Return what the power standards know of the air.

    Parameters
    ----------
    air : Ambient
        The air.

    Returns
    -------
    tuple of float
        Dry-air pressure [Pa] and temperature [K].
    """
    return air.pressure - _core.air_report(air).vapour_pressure, air.temperature


def _factor(value: float) -> str:
    return "–" if np.isnan(value) else f"{value:.4f}"


def _change(power: float, own: float) -> str:
    change = 100.0 * (power / own - 1.0)
    return "–" if np.isnan(change) else f"{change:+.1f}"


def _at_peak(step: Step, name: str, system: str) -> str:
    """A column at peak power; peak pressure without decimals, being an estimate."""
    value = step.at_peak_power(name)
    if name == "drive_power" and not step.supercharged:
        return "–"
    if name == "peak_pressure" and np.isfinite(value):
        return f"{float(in_display(name, value, system)):,.0f}"
    return shown(name, value, system)
