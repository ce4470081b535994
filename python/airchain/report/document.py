"""The documents: their sections in order, set into the template with its style sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from ..base.extras import extra
from ..base.safe_text import safe
from ..shown.lean_svg import glyphs_once
from ..shown.tables import Table
from . import (
    chain_parts,
    closing_parts,
    cylinder_parts,
    fuel_parts,
    measured_parts,
    owner_parts,
    plan_parts,
    track_parts,
)
from .blocks import Section, bullets, said_once
from .closing_parts import all_tables
from .first_page import FirstPage, first_page
from .material import Material
from .printed_units import printed_units
from .table_files import file_name

Part = Callable[[Material], Section | None]

#: The parts of the two documents in their order; each gives None where there is nothing to show.
OWNER: tuple[Part, ...] = (
    owner_parts.measured,
    owner_parts.limits,
    owner_parts.order,
    plan_parts.cost,
    owner_parts.weather,
    track_parts.first_look,
    owner_parts.meanings,
    closing_parts.cautions,
)
WORKSHOP: tuple[Part, ...] = (
    chain_parts.the_build,
    chain_parts.levels,
    chain_parts.compressor_map,
    chain_parts.stations,
    chain_parts.drive,
    cylinder_parts.cycle,
    plan_parts.limits,
    cylinder_parts.knock,
    measured_parts.weather,
    plan_parts.plan,
    plan_parts.order,
    track_parts.track,
    fuel_parts.fuel,
    fuel_parts.calibration,
    chain_parts.against_time,
    measured_parts.measured,
    closing_parts.cautions,
    closing_parts.assumptions,
    closing_parts.sources,
    closing_parts.inputs,
)
PARTS = len(OWNER) + len(WORKSHOP)


class Rendered(NamedTuple):
    """What a report is rendered to: two documents of HTML, and every table."""

    owner: str
    workshop: str
    tables: dict[str, Table]


def render(
    material: Material,
    version: str,
    done: Callable[[], None],
    print_tables: bool = False,
    live: str = "",
) -> Rendered:
    """Return the documents and the tables; `done` is called after each of `PARTS`.

    `live` is the name of the page with sliders beside the workshop's book, if there is one.
    """
    owner, workshop = (_sections(parts, material, done) for parts in (OWNER, WORKSHOP))
    first = first_page(material)
    tables = {
        file_name(section.key, number, one.caption): one
        for section in workshop
        for number, one in enumerate(section.tables, 1)
    }
    throughout, workshop = said_once(workshop)
    if throughout:
        workshop.insert(1, Section("throughout", "What holds throughout", bullets(throughout)))
    if print_tables:
        workshop.append(all_tables(workshop))
    return Rendered(
        _set("hand-over", first.blocks, owner, material, version, first),
        _set("workshop book", [], workshop, material, version, first, live),
        tables,
    )


def _sections(parts: Sequence[Part], material: Material, done: Callable[[], None]) -> list[Section]:
    sections = []
    for part in parts:
        section = part(material)
        sections += [] if section is None else [section]
        done()
    return sections


def _blocks(section: Section) -> list[str]:
    """The blocks of a section with units as print has them, save for what stands as typed."""
    typed = section.key == "inputs"
    return section.blocks if typed else [printed_units(block) for block in section.blocks]


def _set(
    kind: str,
    first: Sequence[str],
    sections: Sequence[Section],
    material: Material,
    version: str,
    page: FirstPage,
    live: str = "",
) -> str:
    """Set the sections of one document into the template."""
    jinja, markup = extra("jinja2"), extra("markupsafe").Markup
    name, whose = material.build.name, material.build.handover
    mark = "invented" if material.build.invented else ""
    print_of = f"airchain {version}, inputs {material.build.fingerprint[:16]}"
    environment = jinja.Environment(
        loader=jinja.PackageLoader("airchain.report"),
        autoescape=True,
        undefined=jinja.StrictUndefined,
    )
    document: str = environment.get_template("report.html.j2").render(
        name=name,
        kind=kind,
        banner=page.banner,
        whose=page.whose,
        first=[markup(printed_units(block)) for block in first],
        sections=[s._replace(blocks=[*map(markup, _blocks(s))]) for s in sections],
        live=live,
        workshop=whose.workshop,
        print_of=print_of,
        running={
            "left": markup(css_text(_joined(name, kind, mark))),
            "right": markup(css_text(_joined(whose.customer, whose.reference))),
            "foot": markup(css_text(_joined(whose.workshop, whose.date, print_of))),
        },
    )
    return safe(glyphs_once(document))


def css_text(text: str) -> str:
    """Return a text as a string of CSS, which nothing typed can end or leave."""
    plain = (c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in safe(text))
    return f'"{"".join(plain)}"'


def _joined(*texts: str) -> str:
    return " · ".join(_short(text) for text in texts if text)


def _short(text: str, most: int = 48) -> str:
    """A running line has room for so much; the first page has the whole."""
    return text if len(text) <= most else f"{text[: most - 1]}…"
