"""The document: its sections in order, set into the template with its style sheet."""

from __future__ import annotations

from collections.abc import Callable

from ..base.extras import extra
from ..base.safe_text import safe
from . import (
    chain_parts,
    closing_parts,
    cylinder_parts,
    fuel_parts,
    measured_parts,
    plan_parts,
    track_parts,
)
from .blocks import Section
from .first_page import first_page
from .material import Material

#: The engineer's parts in their order; each gives None where there is nothing to show.
PARTS: tuple[Callable[[Material], Section | None], ...] = (
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
    fuel_parts.fuel,
    fuel_parts.calibration,
    chain_parts.against_time,
    track_parts.track,
    measured_parts.measured,
    closing_parts.cautions,
    closing_parts.assumptions,
    closing_parts.sources,
    closing_parts.inputs,
)


def render(material: Material, version: str, done: Callable[[], None]) -> str:
    """Return the document as HTML; `done` is called after each of `PARTS`."""
    jinja, markup = extra("jinja2"), extra("markupsafe").Markup
    sections = []
    for part in PARTS:
        section = part(material)
        sections += [] if section is None else [section]
        done()
    first = first_page(material)
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
        summary=material.steps.verdict,
        banner=first.banner,
        whose=first.whose,
        first=[markup(block) for block in first.blocks],
        sections=[s._replace(blocks=[markup(block) for block in s.blocks]) for s in sections],
        workshop=whose.workshop,
        date=whose.date,
        print_of=print_of,
        running={
            "left": markup(css_text(_joined(name, mark))),
            "right": markup(css_text(_joined(whose.customer, whose.reference))),
            "foot": markup(css_text(_joined(whose.workshop, whose.date, print_of))),
        },
    )
    return safe(document)


def css_text(text: str) -> str:
    """Return a text as a string of CSS, which nothing typed can end or leave."""
    plain = (c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in safe(text))
    return f'"{"".join(plain)}"'


def _joined(*texts: str) -> str:
    return " · ".join(_short(text) for text in texts if text)


def _short(text: str, most: int = 48) -> str:
    """A running line has room for so much; the first page has the whole."""
    return text if len(text) <= most else f"{text[: most - 1]}…"
