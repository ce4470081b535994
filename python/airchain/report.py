"""A self-contained HTML summary of a build: ladder, pictures, stations, cautions, inputs."""

from __future__ import annotations

import io
import os
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from ._report_words import ASSUMPTIONS, CAUTIONS, FIT_WORDS, SOURCES
from ._tables import html_list, html_table
from ._textfile import write_text
from .levels import Ladder, ladder
from .plots import plot_map, plot_pulls, plot_stations

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
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    from . import __version__

    steps = ladder(build) if steps is None else steps
    environment = Environment(
        loader=PackageLoader("airchain"), autoescape=True, undefined=StrictUndefined
    )
    return environment.get_template("report.html.j2").render(
        build=build,
        build_table=Markup(build._repr_html_()),
        ladder=steps,
        tables={
            system: Markup(html_table(*steps.table(system), f"Ladder, {words}"))
            for system, words in (("trade", "trade units"), ("si", "SI units"))
        },
        figures=[{"svg": Markup(svg), "caption": caption} for svg, caption in _figures(steps)],
        station_tables=[Markup(table._repr_html_()) for table in _stations(steps).values()],
        measured=_measured(fit, comparisons),
        fit_words=FIT_WORDS,
        cautions=CAUTIONS,
        assumptions=ASSUMPTIONS,
        sources=SOURCES,
        version=__version__,
    )


def _measured(fit: Any, comparisons: Sequence[Any]) -> dict[str, list[Any]] | None:
    """Tables and pictures of a fit and of what it predicted; None without a fit."""
    if fit is None:
        return None
    from markupsafe import Markup

    from .reconciling.plots import plot_prediction, plot_residuals

    tables = [fit._repr_html_()]
    figures = [(as_svg(plot_residuals(fit), "residuals"), "Readings less fitted chain.")]
    for number, told in enumerate(comparisons):
        made = told.prediction
        tables += [told._repr_html_(), html_list(made.notes)]
        caption = f"{made.title}: 90 % band for the readings of one pull."
        figures.append((as_svg(plot_prediction(made), f"predicted{number}"), caption))
    return {
        "tables": [Markup(table) for table in tables],
        "figures": [{"svg": Markup(svg), "caption": caption} for svg, caption in figures],
    }


def _stations(steps: Ladder) -> dict[str, Any]:
    return {
        f"{step.name} at {steps.reference_rpm:,.0f} rpm": step.pull.stations(steps.reference_rpm)
        for step in steps.steps
    }


def _figures(steps: Ladder) -> Iterable[tuple[str, str]]:
    yield as_svg(plot_pulls(steps), "pulls"), "Power, torque and boost against engine speed."
    if any(step.supercharged for step in steps.steps):
        caption = "Compressor map with efficiency islands and the operating line of each level."
        yield as_svg(plot_map(steps), "map"), caption
    caption = "Total pressure and temperature along the stations, in the order the air meets them."
    yield as_svg(plot_stations(_stations(steps)), "stations"), caption


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
    import matplotlib as mpl

    target = io.StringIO()
    with mpl.rc_context({"svg.hashsalt": f"airchain-{name}", "svg.fonttype": "path"}):
        figure.savefig(target, format="svg", metadata={"Date": None, "Creator": None})
    svg = target.getvalue()
    svg = svg[svg.index("<svg") :]
    # The salt does not reach the ids of glyphs and named groups ("figure_1").
    svg = re.sub(r'(\bid="|href="#|url\(#)', rf"\g<1>{name}-", svg)
    return re.sub(r"<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
