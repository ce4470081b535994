"""The parts that every report ends with: cautions, assumptions, sources, inputs."""

from __future__ import annotations

from collections.abc import Sequence

from ..cylinder.spread import told_apart
from ..shown.standing_words import (
    ALIKE,
    APART,
    ASSUMPTIONS,
    BY_CYCLES,
    CAM_CYLINDER,
    CAM_SOURCES,
    CAUTIONS,
    ON_A_SURFACE,
    SOURCES,
    TYPED_CYLINDER,
)
from ..shown.tables import Table, escaped
from .blocks import Section, bullets, table, words
from .material import Material
from .table_files import file_name


def cautions(material: Material) -> Section:
    """What the work can do to people and parts."""
    return Section("cautions", "Cautions", bullets(CAUTIONS))


def assumptions(material: Material) -> Section:
    """What the figures take for granted."""
    build = material.build
    breathing = BY_CYCLES if build.breathes_by_cycles else ON_A_SURFACE
    others = APART if told_apart(build.cylinder) else ALIKE
    cylinder = TYPED_CYLINDER if build.cylinder is None else (breathing, others, *CAM_CYLINDER)
    return Section("assumptions", "Assumptions", bullets((*ASSUMPTIONS, *cylinder)))


def sources(material: Material) -> Section:
    """Where the formulas and properties are from."""
    further = () if material.build.cylinder is None else CAM_SOURCES
    return Section("sources", "Sources", bullets((*SOURCES, *further)))


def inputs(material: Material) -> Section:
    """Everything typed, and the fingerprint of it."""
    rows = [[path, text] for path, text in material.build.inputs.items()]
    typed_inputs = Table(["input", "as typed"], ["", ""], rows, material.build.name)
    print_of = f"SHA-256 of every number of the build: {material.build.fingerprint}"
    listed = "".join(
        f"<div><dt>{escaped(path)}</dt><dd>{escaped(text)}</dd></div>" for path, text in rows
    )
    told = (
        f"The build file types {len(rows)} values. They stand among the tables in "
        f"{file_name('inputs', 1, typed_inputs.caption)}."
    )
    summary = f"<summary>{len(rows)} values as typed</summary>"
    blocks = [
        words(told),
        f'<details class="folded">{summary}<dl class="inputs">{listed}</dl></details>',
        words(print_of, "key mono"),
    ]
    return Section("inputs", "Inputs as typed", blocks, tables=[typed_inputs])


def all_tables(sections: Sequence[Section]) -> Section:
    """Every table of the sections on a page of its own; a table of one value as one line."""
    blocks = []
    for one in (one for section in sections for one in section.tables):
        value = _constant(one)
        if value:
            blocks.append(words(f"{one.caption}: {value} in every cell."))
        else:
            blocks += [f'<div class="sheet">{"".join(table(one, sheet=True))}</div>']
    return Section("tables", "All tables", blocks, fresh=True)


def _constant(one: Table) -> str:
    """The value in every cell beside a table's first column; empty if there are several."""
    values = {cell for row in one.rows for cell in row[1:]}
    return values.pop() if len(one.rows) > 1 and len(values) == 1 else ""
