"""The parts that every report ends with: cautions, assumptions, sources, inputs."""

from __future__ import annotations

from ..shown.standing_words import (
    ASSUMPTIONS,
    BY_CYCLES,
    CAM_CYLINDER,
    CAM_SOURCES,
    CAUTIONS,
    ON_A_SURFACE,
    SOURCES,
    TYPED_CYLINDER,
)
from ..shown.tables import Table
from .blocks import Section, bullets, table, words
from .material import Material


def cautions(material: Material) -> Section:
    """What the work can do to people and parts."""
    return Section("cautions", "Cautions", bullets(CAUTIONS))


def assumptions(material: Material) -> Section:
    """What the figures take for granted."""
    build = material.build
    breathing = BY_CYCLES if build.breathes_by_cycles else ON_A_SURFACE
    cylinder = TYPED_CYLINDER if build.cylinder is None else (breathing, *CAM_CYLINDER)
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
    blocks = ['<div class="inputs">', *table(typed_inputs), "</div>", words(print_of, "key mono")]
    return Section("inputs", "Inputs as typed", blocks, fresh=True)
