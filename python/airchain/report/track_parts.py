"""The part of the track: what the tyres take, the runs, and torque held back."""

from __future__ import annotations

from .blocks import Section, bullets, figure, table, words
from .material import Material

_WHEELS = (
    "Torque at the wheels in every gear. Shaded: what the driven tyres take, from the lowest to "
    "the highest friction of the surface."
)


def first_look(material: Material) -> Section | None:
    """Every level on the first surface, and what its tyres take, for the owner."""
    page = material.track
    if page is None:
        return None
    system = material.system
    drawn = figure(page.plot(system=system, title=""), "wheel_torque", _WHEELS)
    blocks = [words(page.verdict), *table(page.run_table(system)), drawn]
    return Section("track", "Track: what the tyres take", blocks)


def track(material: Material) -> Section | None:
    """Every level on the first surface; torque over time of the tame one and the strongest."""
    page = material.track
    if page is None:
        return None
    system = material.system
    runs, traction = page.run_table(system), page.traction_table(system)
    blocks = [words(page.verdict), *table(runs)]
    blocks.append(figure(page.plot(system=system, title=""), "wheel_torque", _WHEELS))
    blocks += table(traction)
    held = "Torque held at what the tyres take at the lowest friction, and what later spark costs."
    blocks.append(figure(page.plot_management(system=system, title=""), "torque_held", held))
    told = {one.name: one.management for one in (page.weakest, page.strongest)}
    tables = [one for management in told.values() for one in management.tables(system)]
    notes = bullets(page.notes)
    tables = [runs, traction, *tables]
    return Section("track", "Track: what the tyres take", [*blocks, *notes], tables=tables)
