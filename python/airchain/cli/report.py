"""The commands that write the report's documents, and the sheet for a day on the dyno."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from .first_word import begins
from .fits import compared
from .log_options import log_options
from .options import BUILD_FILE, INERTIA, UNITS, load_build, say_written

if TYPE_CHECKING:
    from ..chain.build import Build
    from ..fit.reconciliation import Reconciliation

__all__ = ["daysheet", "report"]

_OUTPUT = click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    required=True,
    type=click.Path(),
    help="An .html or .pdf file; may be repeated. Of a report: the owner's hand-over.",
)
_PAPER = click.option("--paper", default="A4", show_default=True, help="Of a PDF: A4 or Letter.")


@click.command()
@BUILD_FILE
@_OUTPUT
@_PAPER
@click.option(
    "--workshop",
    "books",
    multiple=True,
    type=click.Path(),
    help="The workshop's book, an .html or .pdf file; may be repeated.",
)
@click.option("--tables", type=click.Path(), help="A folder for every table, as .csv and .json.")
@click.option("--print-tables", is_flag=True, help="Print every table at the workshop book's end.")
@click.option(
    "--live", type=click.Path(), help="A page with sliders beside the book, one .html file."
)
@click.option("--fit", type=click.Path(), help="A saved fit, for a section on what was measured.")
@click.option(
    "--pull", "pulls", multiple=True, metavar="LEVEL=LOG", help="A pull to hold against the fit."
)
@log_options
@INERTIA
@UNITS
@begins
def report(
    file: str,
    outputs: tuple[str, ...],
    books: tuple[str, ...],
    tables: str | None,
    print_tables: bool,
    live: str | None,
    paper: str,
    fit: str | None,
    pulls: tuple[str, ...],
    inertia: str | None,
    system: str,
) -> None:
    """Write the report: the owner's hand-over, the workshop's book, and all tables as files."""
    from ..base.text_file import checked_target
    from ..report.report import checked_path, make_report

    if pulls and not fit:
        raise click.UsageError("--pull: must come with --fit")
    if print_tables and not books:
        raise click.UsageError("--print-tables: must come with --workshop")
    targets = [*outputs, *books, *([] if live is None else [live])]
    for name in targets:
        if sum(Path(name).resolve() == Path(other).resolve() for other in targets) > 1:
            raise click.UsageError(f"{name}: is named twice; each document needs its own file")
    for output in (*outputs, *books):
        checked_path(output, paper)
    if live is not None:
        checked_target(live, ".html")
    build = load_build(file)
    whole, comparisons = compared(build, fit, pulls, inertia) if fit else (None, [])
    beside = Path(live).name if live is not None else ""
    made = make_report(
        build, whole, comparisons, print_tables=print_tables, live=beside, system=system
    )
    for output in outputs:
        say_written(made.owner.write(output, paper))
    for book in books:
        say_written(made.workshop.write(book, paper))
    if tables is not None:
        say_written(made.tables.write(tables)[-1].parent)
    if live is not None:
        say_written(made.write_live(live))


@click.command()
@BUILD_FILE
@_OUTPUT
@_PAPER
@click.option("--fit", type=click.Path(), help="A saved fit: bands are those of its predictions.")
@UNITS
@begins
def daysheet(file: str, outputs: tuple[str, ...], paper: str, fit: str | None, system: str) -> None:
    """Write the one page for a day on the dyno: what to log, what to expect, when to stop."""
    from ..report.dyno_day import day_sheet
    from ..report.report import checked_path

    for output in outputs:
        checked_path(output, paper)
    build = load_build(file)
    source: Build | Reconciliation = build
    if fit:
        from ..fit.saving import read_fit

        source = read_fit(fit, build)
    sheet = day_sheet(source, system=system)
    for output in outputs:
        say_written(sheet.write(output, paper))
