"""A build in words: what its text and HTML forms show."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from .. import _core
from ..base.safe_text import safe
from ..cylinder.surface import COARSE, CYCLES, SURFACE, error_words
from ..shown.tables import escaped
from ..units.convert import formatted

if TYPE_CHECKING:
    from .build import Build
    from .changes import Link


_BREATHING = {
    "": "typed volumetric efficiency",
    CYCLES: "the cylinder's cycle, run at every point",
    SURFACE: "a surface of the cylinder's cycles",
    COARSE: "a coarse surface of the cylinder's cycles",
}


def breathing_words(build: Build) -> str:
    """Return how the engine fills.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    str
        Such as "a surface of the cylinder's cycles".
    """
    return _BREATHING[build.breathes]


def surface_words(build: Build) -> list[str]:
    """Say of a result that its figures stand on a breathing surface.

    Parameters
    ----------
    build : Build
        What the result stands on.

    Returns
    -------
    list of str
        One sentence; none where nothing of it was made by cycles.
    """
    if build.cylinder is None or build.breathes_by_cycles:
        return []
    within = error_words("coarse" if build.breathes == COARSE else "fine")
    return [
        "These figures stand on a breathing surface of the cylinder's cycles. Its air and work are "
        f"{within}. Pulls straight from the cycles differ by as much."
    ]


def rows(build: Build) -> list[tuple[str, str]]:
    """Heading and words of every line that describes a build."""
    chain = build.stations
    lines = [
        ("weather", weather_words(chain.ambient)),
        ("engine", _engine(build)),
        ("breathing", breathing_words(build)),
        ("fuel", _fuel(build)),
    ]
    if build.supercharged:
        lines += [
            ("compressor", _compressor(build)),
            ("drive", _drive(build)),
            ("cooler", _cooler(build)),
        ]
        if chain.bypass is not None and isfinite(chain.bypass.opens_at):
            lines.append(
                ("bypass", f"opens at {_of(chain.bypass.opens_at, 'pressure_difference')}")
            )
    if build.levels:
        lines.append(("levels", ", ".join(build.levels)))
    return lines


def _of(value: float, kind: str) -> str:
    return formatted(value, kind)


def weather_words(ambient: _core.Ambient, system: str = "trade") -> str:
    """Return barometer, temperature and humidity of an ambient."""
    pressure = formatted(ambient.pressure, "barometer", system)
    temperature = formatted(ambient.temperature, "temperature", system)
    return f"{pressure}, {temperature}, relative humidity {100.0 * ambient.relative_humidity:.0f} %"


def _engine(build: Build) -> str:
    engine = build.stations.engine
    return (
        f"{_of(engine.displacement, 'volume')}, stroke {_of(engine.stroke, 'length')}, "
        f"compression ratio {engine.compression_ratio:g}, redline {_of(build.redline, 'speed')}"
    )


def _fuel(build: Build) -> str:
    injection = build.stations.injection
    name = build.inputs.get("fuel.name", "own figures")
    fuel = _core.generic_fuel_words(name) if name in _core.generic_fuel_names() else name
    words = {"port": "the port", "plenum": "the plenum", "before_compressor": "the blower inlet"}
    place = words.get(injection.place, injection.place)
    mixture = getattr(injection, "lambda")
    return f"{fuel}, lambda {mixture:g}, injected at {place}"


def _compressor(build: Build) -> str:
    name = build.inputs.get("compressor.map", "map predicted by the mean-line method")
    diameter = build.stations.compressor.map.data.tip_diameter
    return f"{name}, impeller {_of(diameter, 'length')}" if diameter else name


def _drive(build: Build) -> str:
    drive = build.stations.drive
    steps = " x ".join(link_words(link) for link in build.links)
    return f"{steps} = {drive.drive_ratio * drive.step_up:.3f} impeller turns a crank turn"


def link_words(link: Link) -> str:
    """Return a link of the drive in words."""
    if isinstance(link, _core.GearPair):
        return f"{link.driving_teeth:.0f}/{link.driven_teeth:.0f} teeth"
    if isinstance(link, _core.PulleyPair):
        pair = _of(link.driving_diameter, "length"), _of(link.driven_diameter, "length")
        return f"{pair[0]}/{pair[1]} pulleys"
    return f"{link.speed_ratio:g} step-up"


def _cooler(build: Build) -> str:
    cooler = build.stations.cooler
    if cooler.effectiveness == 0.0:
        return "none"
    if build.ice_tank is not None:
        tank = build.ice_tank
        ice, water = _of(tank.ice_mass, "mass"), _of(tank.water_mass, "mass")
        coolant = (
            f"tank of {water} water at {_of(tank.water_temperature, 'temperature')}, {ice} ice"
        )
    elif cooler.ambient_cooled:
        coolant = f"ambient air plus {_of(cooler.coolant_rise, 'temperature_difference')}"
    else:
        coolant = f"coolant {_of(cooler.coolant_temperature, 'temperature')}"
    constant = "cooler.effectiveness" in build.inputs
    share = f"{cooler.effectiveness:g}" if constant else "by flow"
    return f"effectiveness {share}, {coolant}"


def _heading(build: Build) -> str:
    return build.title + (" (invented)" if build.invented else "")


def as_text(build: Build) -> str:
    """A build as text."""
    lines = [f"  {name:<11}{words}" for name, words in rows(build)]
    return safe("\n".join([_heading(build), *lines]))


def as_html(build: Build) -> str:
    """A build as an HTML table."""
    cells = "".join(
        f"<tr><th style='text-align:left'>{name}</th>"
        f"<td style='text-align:left'>{escaped(words)}</td></tr>"
        for name, words in rows(build)
    )
    return f"<table><caption>{escaped(_heading(build))}</caption>{cells}</table>"
