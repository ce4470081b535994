"""The parts of the fuel side: the system at every level, fuels side by side, one calibration."""

from __future__ import annotations

from ..calibration.calibration import Calibration
from .blocks import Section, figure, heading, named_tables, tell
from .material import Material


def fuel(material: Material) -> Section | None:
    """Duty, pumps and lines at every level, and the same engine on other fuels."""
    if material.fuel is None:
        return None
    caption = "Injector duty, pump flow used and supply line loss over engine speed."
    blocks = [figure(material.fuel.plot(system=material.system, title=""), "fuel", caption)]
    blocks += tell(material.fuel, material.system, most=1)
    tables = named_tables(material.fuel, material.system)
    if material.fuels is not None:
        blocks += [heading("Other fuels"), *tell(material.fuels, material.system)]
        tables += named_tables(material.fuels, material.system)
    return Section("fuel", "Fuel system", blocks, tables=tables)


def calibration(material: Material) -> Section | None:
    """Where the cells of fuel and spark come from, and the next ratio up; the cells as files."""
    tables = material.calibration
    if tables is None:
        return None
    further = tables.next_ratio() if tables.build.supercharged else None
    caption = (
        "Where each cell comes from, with the path of every level"
        f"{' and of the next ratio up' if further is not None else ''}."
    )
    filling = (
        "Volumetric efficiency on plenum density over plenum pressure: one smooth curve at each "
        "engine speed is the proof that one calibration serves all levels."
    )
    system = material.system
    drawer = further.plot if further else tables.plot_coverage
    coverage = drawer(system=system, title="")
    blocks = [
        figure(coverage, "coverage", caption, "pair"),
        figure(tables.plot_filling(system=system, title=""), "filling", filling, "pair"),
        *_knock(tables, system),
        *tell(tables, material.system, most=1),
    ]
    files = named_tables(tables, material.system)
    if further is not None:
        blocks += [heading("The next ratio up"), *tell(further, material.system)]
        files += named_tables(further, material.system)
    return Section("calibration", "One calibration for all levels", blocks, tables=files)


def _knock(tables: Calibration, system: str) -> list[str]:
    """The knock margin over the cells, where the cylinder is known."""
    if tables.spark is None:
        return []
    caption = (
        "Knock margin over the cells, an estimate of the worst cylinder, with the path of every "
        "level. A thick line is the onset of knock; without one no cell of the picture knocks."
    )
    drawn = tables.plot_table("knock_margin", system=system, paths=True)
    return [figure(drawn, "knock_cells", caption)]
