"""The command that writes the report."""

from __future__ import annotations

import click

from .fits import compared
from .log_options import log_options
from .options import BUILD_FILE, INERTIA, UNITS, load_build, say_written

__all__ = ["report"]


@click.command()
@BUILD_FILE
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    required=True,
    type=click.Path(),
    help="An .html or .pdf file; may be repeated.",
)
@click.option("--paper", default="A4", show_default=True, help="Of a PDF: A4 or Letter.")
@click.option("--fit", type=click.Path(), help="A saved fit, for a section on what was measured.")
@click.option(
    "--pull", "pulls", multiple=True, metavar="LEVEL=LOG", help="A pull to hold against the fit."
)
@log_options
@INERTIA
@UNITS
def report(
    file: str,
    outputs: tuple[str, ...],
    paper: str,
    fit: str | None,
    pulls: tuple[str, ...],
    inertia: str | None,
    system: str,
) -> None:
    """Write the report as HTML or PDF: one page for the owner, then the engineer's pages."""
    from ..report.report import checked_path, make_report

    if pulls and not fit:
        raise click.UsageError("--pull: must come with --fit")
    for output in outputs:
        checked_path(output, paper)
    build = load_build(file)
    whole, comparisons = compared(build, fit, pulls, inertia) if fit else (None, [])
    document = make_report(build, whole, comparisons, system=system)
    for output in outputs:
        say_written(document.write(output, paper))
