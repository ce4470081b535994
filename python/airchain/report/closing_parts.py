"""The parts that every report ends with: cautions, assumptions, sources, inputs."""

from __future__ import annotations

from ..shown.standing_words import (
    ASSUMPTIONS,
    CAM_CYLINDER,
    CAM_SOURCES,
    CAUTIONS,
    SOURCES,
    TYPED_CYLINDER,
)
from ..shown.tables import Table
from .blocks import Section, bullets, table, words
from .material import Material


def cautions(made: Material) -> Section:
    """What the work can do to people and parts."""
    return Section("cautions", "Cautions", bullets(CAUTIONS))


def assumptions(made: Material) -> Section:
    """What the figures take for granted."""
    cylinder = TYPED_CYLINDER if made.build.cylinder is None else CAM_CYLINDER
    return Section("assumptions", "Assumptions", bullets((*ASSUMPTIONS, *cylinder)))


def sources(made: Material) -> Section:
    """Where the formulas and properties are from."""
    further = () if made.build.cylinder is None else CAM_SOURCES
    return Section("sources", "Sources", bullets((*SOURCES, *further)))


def inputs(made: Material) -> Section:
    """Everything typed, and the fingerprint of it."""
    rows = [[path, text] for path, text in made.build.inputs.items()]
    told = Table(["input", "as typed"], ["", ""], rows, made.build.name)
    print_of = f"SHA-256 of every number of the build: {made.build.fingerprint}"
    blocks = ['<div class="inputs">', *table(told), "</div>", words(print_of, "key mono")]
    return Section("inputs", "Inputs as typed", blocks, fresh=True)
