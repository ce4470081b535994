"""A self-contained HTML summary of a build: ladder, pictures, stations, cautions, inputs."""

from __future__ import annotations

import io
import os
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from ._extras import extra
from ._report_words import ASSUMPTIONS, CAUTIONS, FIT_WORDS, SOURCES
from ._tables import Told, html_list, html_table
from ._textfile import write_text
from .levels import Ladder, ladder
from .plots import plot_pulls, plot_stations
from .plots_map import plot_map
from .pull import RPM
from .stations import StationTable

__all__ = ["report_html", "write_report"]


def write_report(
    build: Any,
    path: str | os.PathLike[str],
    steps: Ladder | None = None,
    fit: Any = None,
    comparisons: Sequence[Any] = (),
) -> Path:
    """Write the summary of a build to a file, in one step.

    Parameters
    ----------
    build : Build
        The build.
    path : str or path
        The HTML file; one that is there is replaced, and stays if anything fails.
    steps : Ladder, optional
        The ladder of the build where it was made already.
    fit : Reconciliation, optional
        The fit to measured pulls, where there are any.
    comparisons : sequence of Comparison
        Predictions beside the pulls that were then run.

    Returns
    -------
    pathlib.Path
        The file.
    """
    write_text(path, report_html(build, steps, fit, comparisons))
    return Path(path)


def report_html(
    build: Any, steps: Ladder | None = None, fit: Any = None, comparisons: Sequence[Any] = ()
) -> str:
    """Return the summary of a build as HTML that needs no other file.

    Parameters
    ----------
    build : Build
        The build.
    steps : Ladder, optional
        The ladder of the build where it was made already.
    fit : Reconciliation, optional
        The fit to measured pulls, where there are any.
    comparisons : sequence of Comparison
        Predictions beside the pulls that were then run.

    Returns
    -------
    str
        The document: A4 or Letter when printed, legible in grey.
    """
    from . import __version__

    jinja, markup = extra("jinja2"), extra("markupsafe").Markup
    steps = ladder(build) if steps is None else steps
    timed = _timed_pulls(steps)
    environment = jinja.Environment(
        loader=jinja.PackageLoader("airchain"), autoescape=True, undefined=jinja.StrictUndefined
    )
    document: str = environment.get_template("report.html.j2").render(
        build=build,
        build_table=markup(build._repr_html_()),
        ladder=steps,
        tables={
            system: markup(html_table(*steps.tables(system)[0][:3], f"Ladder, {words}"))
            for system, words in (("trade", "trade units"), ("si", "SI units"))
        },
        figures=[
            {"svg": markup(svg), "caption": caption} for svg, caption in _figures(steps, timed)
        ],
        stations=_stations_part(steps),
        drives=_drives_part(steps),
        timed=[markup(pull._repr_html_()) for pull in timed.values()],
        measured=_measured(fit, comparisons),
        fit_words=FIT_WORDS,
        cautions=CAUTIONS,
        assumptions=ASSUMPTIONS,
        sources=SOURCES,
        version=__version__,
    )
    return document


def _measured(fit: Any, comparisons: Sequence[Any]) -> dict[str, list[Any]] | None:
    """Tables and pictures of a fit and of what it predicted; None without a fit."""
    if fit is None:
        return None
    from .reconciling.plots import plot_prediction, plot_residuals

    markup = extra("markupsafe").Markup
    tables = [fit._repr_html_()]
    figures = [(as_svg(plot_residuals(fit), "residuals"), "Readings less fitted chain.")]
    for number, told in enumerate(comparisons):
        made = told.prediction
        tables += [told._repr_html_(), html_list(made.notes)]
        caption = f"{made.title}: 90 % band, and the pull that was run."
        figures.append((as_svg(plot_prediction(told), f"predicted{number}"), caption))
    return {
        "tables": [markup(table) for table in tables],
        "figures": [{"svg": markup(svg), "caption": caption} for svg, caption in figures],
    }


def _stations(steps: Ladder) -> dict[str, StationTable]:
    return {
        f"{step.name} at {steps.reference_rpm:,.0f} rpm": step.pull.stations(steps.reference_rpm)
        for step in steps.steps
    }


def _stations_part(steps: Ladder) -> dict[str, Any]:
    """A table of stations a level, then powers and margins of all levels side by side."""
    markup = extra("markupsafe").Markup
    tables = _stations(steps)
    by_quantity: dict[str, list[str]] = {}
    units: dict[str, str] = {}
    for column, table in enumerate(tables.values()):
        for quantity, value, unit in table.tables()[1].rows:
            by_quantity.setdefault(quantity, ["–"] * len(tables))[column] = value
            units[quantity] = units.get(quantity) or unit
    rows = [[quantity, *cells, units[quantity]] for quantity, cells in by_quantity.items()]
    headings = ["quantity", *(step.name for step in steps.steps), "unit"]
    caption = f"Powers and margins at {steps.reference_rpm:,.0f} rpm"
    return {
        **_first_tables(tables.values()),
        "points": markup(html_table(headings, [""] * len(headings), rows, caption)),
        "notes": [f"{n.split(' at ')[0]}: {c}" for n, t in tables.items() for c in t.notes],
    }


def _first_tables(told: Iterable[Told]) -> dict[str, Any]:
    """The first table of each under its verdict, and what their columns mean once."""
    markup = extra("markupsafe").Markup
    found = [(one.verdict, table) for one in told for table in one.tables()[:1]]
    return {
        "tables": [markup(html_table(*table[:3], verdict)) for verdict, table in found],
        "key": found[0][1].key if found else "",
    }


def _drives_part(steps: Ladder) -> dict[str, Any]:
    """A table of links a level, and what they leave open once."""
    driven = [step.pull for step in steps.steps if step.pull.build.links]
    loads = [pull.drive_loads(steps.reference_rpm) for pull in driven]
    return {
        **_first_tables(loads),
        "notes": list(dict.fromkeys(note for load in loads for note in load.notes)),
    }


def _timed_pulls(steps: Ladder) -> dict[str, Any]:
    """A pull against time of every level that a tank cools."""
    rate = steps.build.pull_rate / RPM
    cooled = [step for step in steps.steps if step.pull.build.ice_tank is not None]
    return {s.name: s.pull.build.timed_pull(rate, s.pull.rpm) for s in cooled}


def _figures(steps: Ladder, timed: dict[str, Any]) -> Iterable[tuple[str, str]]:
    yield as_svg(plot_pulls(steps), "pulls"), "Power, torque and boost against engine speed."
    if any(step.supercharged for step in steps.steps):
        caption = "Compressor map with efficiency islands and the operating line of each level."
        yield as_svg(plot_map(steps), "map"), caption
    caption = "Total pressure and temperature along the stations, in the order the air meets them."
    yield as_svg(plot_stations(_stations(steps)), "stations"), caption
    if timed:
        columns = ("coolant_temperature", "ice_mass", "charge_temperature", "power")
        caption = "The ice tank through a pull against time: water as it enters the cooler, ice."
        plain = len(steps.steps) - len(timed)  # keep the look a level has above
        yield as_svg(plot_pulls(timed, columns, first_look=plain), "timed"), caption


def as_svg(figure: Any, name: str) -> str:
    """Return a figure as an SVG element to be set into HTML.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
        The figure.
    name : str
        Unique in the document: it salts the ids inside, which would else collide.

    Returns
    -------
    str
        The element, the same for the same figure.
    """
    target = io.StringIO()
    with extra("matplotlib").rc_context(
        {"svg.hashsalt": f"airchain-{name}", "svg.fonttype": "path"}
    ):
        figure.savefig(target, format="svg", metadata={"Date": None, "Creator": None})
    svg = target.getvalue()
    svg = svg[svg.index("<svg") :]
    # The salt does not reach the ids of glyphs and named groups ("figure_1").
    svg = re.sub(r'(\bid="|href="#|url\(#)', rf"\g<1>{name}-", svg)
    return re.sub(r"<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
