"""The parts that the chain itself fills: build, levels, map, stations, drive, tank."""

from __future__ import annotations

from collections.abc import Iterable

from ..chain.build_words import rows as described
from ..chain.plots import draw_pulls, draw_stations
from ..shown.standing_words import LADDER_KEY, SYSTEMS
from ..shown.tables import Shown, Table, by_note
from .blocks import Section, bullets, figure, table, tell, words
from .material import Material, Points


def the_build(material: Material) -> Section:
    """What the build is, in the file's own words and in ours."""
    rows = [[name, text] for name, text in described(material.build)]
    as_built = Table(["part", "as built"], ["", ""], rows, material.build.title)
    notes = [words(material.build.notes)] if material.build.notes else []
    return Section("build", "The build", [*notes, *table(as_built)])


def levels(material: Material) -> Section:
    """The ladder in both systems of units, and its curves."""
    systems = sorted(SYSTEMS, key=lambda system: system != material.system)
    blocks = [words(material.steps.verdict)]
    tables = []
    for system in systems:
        one = material.steps.tables(system)[0]
        tables.append(one._replace(caption=f"Power levels in {SYSTEMS[system]}"))
    blocks += table(tables[0]._replace(key=""))
    caption = "Power, torque and boost against engine speed."
    blocks += [words(LADDER_KEY, "key"), *bullets(material.steps.notes)]
    blocks.append(figure(material.steps.plot(system=material.system, title=""), "pulls", caption))
    for step in material.steps.steps:
        tables += [
            one._replace(caption=f"{step.name}, over engine speed")
            for one in step.pull.tables(material.system)
        ]
    return Section("levels", "Power levels", blocks, tables=tables)


def compressor_map(material: Material) -> Section | None:
    """The map with the operating line of every level."""
    if not material.forced:
        return None
    caption = "Compressor map with efficiency islands and the operating line of each level."
    drawn = figure(material.steps.plot_map(system=material.system, title=""), "map", caption)
    return Section("map", "Compressor map", [drawn])


def stations(material: Material) -> Section:
    """Every station at the reference engine speed, level by level; those at peak power as files."""
    rpm = f"{material.steps.reference_rpm:,.0f} rpm"
    named = {f"{name} at {rpm}": point for name, point in material.at_reference.items()}
    caption = f"Total pressure and temperature along the stations at {rpm}, as the air meets them."
    blocks = [figure(draw_stations(named, system=material.system, title=""), "stations", caption)]
    points = [*material.at_reference.values(), *material.at_peak.values()]
    tables = [one for point in points for one in _named(point, material.system)]
    blocks += _points(material.at_reference, material.system)
    return Section("stations", "Along the stations", blocks, tables=tables)


def drive(material: Material) -> Section | None:
    """What every link of the drive carries at each level."""
    driven = [step.pull for step in material.steps.steps if step.pull.build.links]
    if not driven:
        return None
    loads = [pull.drive_loads(material.steps.reference_rpm) for pull in driven]
    blocks = _first_tables(loads, material.system)
    notes = dict.fromkeys(note for load in loads for note in load.notes)
    tables = [one for load in loads for one in _named(load, material.system)]
    return Section("drive", "The drive, link by link", [*blocks, *bullets(notes)], tables=tables)


def against_time(material: Material) -> Section | None:
    """Pulls against time of the levels that an ice tank cools."""
    if not material.timed:
        return None
    blocks = [block for pull in material.timed.values() for block in tell(pull, material.system)]
    tables = [t for pull in material.timed.values() for t in _named(pull, material.system)]
    columns = ("coolant_temperature", "ice_mass", "charge_temperature", "power")
    drawn = draw_pulls(material.timed, None, material.system, "", columns)
    caption = "The ice tank through a pull against time: water as it enters the cooler, ice."
    blocks.append(figure(drawn, "timed", caption))
    return Section("timed", "Against the clock: the ice tank", blocks, tables=tables)


def _named(result: Shown, system: str) -> list[Table]:
    """The tables of a result, each with the result's title in its caption."""
    title = result.verdict.partition(":")[0]
    return [
        one._replace(caption=f"{title}, {one.caption.lower()}" if one.caption else title)
        for one in result.tables(system)
    ]


def _points(points: Points, system: str) -> list[str]:
    """The stations of the last level, then powers and margins of all levels side by side."""
    by_quantity: dict[str, list[str]] = {}
    units: dict[str, str] = {}
    for column, point in enumerate(points.values()):
        for quantity, value, unit in point.tables(system)[1].rows:
            by_quantity.setdefault(quantity, ["–"] * len(points))[column] = value
            units[quantity] = units.get(quantity) or unit
    rows = [[quantity, *cells, units[quantity]] for quantity, cells in by_quantity.items()]
    speeds = [f"{point.rpm:,.0f} rpm" for point in points.values()]
    both = Table(["quantity", *points, "unit"], ["", *speeds, ""], rows, "Powers and margins")
    notes = by_note(
        ((name, note) for name, point in points.items() for note in point.notes), len(points)
    )
    # One level in full; the picture has them all, and the files every number.
    shown = _first_tables(list(points.values())[-1:], system)
    if len(points) > 1:
        shown.append(words("The stations of the other levels stand among the tables.", "key"))
    return [*shown, *table(both), *bullets(notes)]


def _first_tables(results: Iterable[Shown], system: str) -> list[str]:
    """The first table of each under its verdict, and what their columns mean once."""
    first_tables = [(one.verdict, part) for one in results for part in one.tables(system)[:1]]
    blocks = [b for verdict, part in first_tables for b in table(part._replace(key=""), verdict)]
    return [*blocks, words(first_tables[0][1].key, "key")] if first_tables else blocks
