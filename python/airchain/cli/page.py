"""The command that writes a live view as a page in one file."""

from __future__ import annotations

import click

from .first_word import begins
from .options import BUILD_FILE, LEVEL, load_build, say, say_written

__all__ = ["page"]


@click.command()
@BUILD_FILE
@LEVEL
@click.option("-o", "--output", required=True, type=click.Path(), help="A .html file.")
@click.option(
    "--also",
    multiple=True,
    metavar="PATH",
    help="A further number of the build file that becomes a slider; may be repeated.",
)
@begins
def page(file: str, level: str | None, output: str, also: tuple[str, ...]) -> None:
    """Write a page with sliders in one file, which opens by a double click without a network.

    What needs the cylinder's cycles, such as another cam, does not move in it.
    """
    from ..base.text_file import checked_target
    from ..live import page_core
    from ..live.page import write_page

    checked_target(output, ".html", ".htm")
    if objection := page_core.objection():
        say(objection)
    say_written(write_page(load_build(file, level), output, also))
