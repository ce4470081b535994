"""The command that writes notebooks which open by a double click."""

from __future__ import annotations

import click

from .options import say, say_written

__all__ = ["notebooks"]


@click.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(), metavar="PATH...")
@click.option("--again", is_flag=True, help="Write anew what is there, answers in it are lost.")
def notebooks(paths: tuple[str, ...], again: bool) -> None:
    """Write texts of notebooks (.md) as notebooks (.ipynb), which open by a double click.

    PATH is a text or a folder of them, such as: airchain notebooks examples
    """
    from ..lesson.notebooks import write_notebooks

    for path, written in write_notebooks(paths, again).items():
        if written:
            say_written(path)
        else:
            say(f"Left as it is: {path}; --again writes it anew.")
