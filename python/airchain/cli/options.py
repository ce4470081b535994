"""What the commands share: options, reading what is typed after them, and how they speak."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, TextIO, TypeVar

import click

from ..base.safe_text import safe

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from ..chain.build import Build
    from ..shown.tables import Shown

_Command = TypeVar("_Command", bound=Callable[..., None])

BUILD_FILE = click.argument("file", type=click.Path(), metavar="BUILD")
LEVEL = click.option("--level", help="Drive level of the build; without it the drive as typed.")
UNITS = click.option(
    "--units",
    "system",
    type=click.Choice(["trade", "si"]),
    default="trade",
    show_default=True,
    help="Units of what is printed.",
)
AS_CSV = click.option(
    "--csv", "as_csv", is_flag=True, help="Print every column, comma-separated, in SI."
)
INERTIA = click.option(
    "--inertia",
    help='Moment of inertia of engine and dyno, such as "0.28 kg m^2", where the engine speed '
    "swept; without it the pulls count as steady.",
)


def figure_option(shows: str) -> Callable[[_Command], _Command]:
    """Return the option for a picture."""
    text = f"Draw {shows} to this .png, .svg or .pdf file."
    return click.option("--figure", type=click.Path(), help=text)


def load_build(file: str, level: str | None = None) -> Build:
    """Return the build of a file, on one of its levels where one is named."""
    from ..plan.loading import load

    build = load(file)
    return build if level is None else build.level(level)


def say(*lines: str) -> None:
    """Write words to standard error, wrapped where it is a terminal."""
    for line in lines:
        click.echo(wrapped(safe(line), sys.stderr), err=True)


def say_notes(notes: Iterable[str], mark: str = "-") -> None:
    """Write a list of notes to standard error."""
    say(*(f"{mark} {note}" for note in notes))


def say_written(path: str | Path) -> None:
    """Say which file was written."""
    say(f"Written: {path}")


def print_data(text: str) -> None:
    """Write data to standard output as they are."""
    click.echo(safe(text), nl=not text.endswith("\n"))


def tell(result: Shown, system: str, tables: bool = True) -> None:
    """Write the verdict as words, the tables as data, and then the notes as words."""
    say(result.verdict)
    if tables and (text := result.tables_text(system, width_of(sys.stdout))):
        print_data(text)
    say_notes(result.notes_in(system))


def save_figure(figure: Figure, path: str) -> None:
    """Write a picture, and say where."""
    from ..shown.figure import save

    say_written(save(figure, path))


def made_folder(command: str, path: str) -> Path:
    """Make the folder of a command's pictures, or refuse it before the work."""
    from ..base.errors import quoted, refusal

    folder = Path(path)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        rule = f"be a folder that can be written; {error.strerror or error}"
        raise refusal(command, "figures", quoted(path), rule) from None
    return folder


def check_figure(path: str | None) -> None:
    """Refuse the file of a picture before the work that it shows."""
    if path is not None:
        from ..shown.figure import checked_picture

        checked_picture(path)


def width_of(stream: TextIO) -> int:
    """Characters a line of a stream may take; 0 for any number where it is no terminal."""
    return shutil.get_terminal_size().columns if stream.isatty() else 0


def wrapped(text: str, stream: TextIO) -> str:
    """Return a line as the stream has room for it; further lines stand under its first word."""
    width = width_of(stream)
    if not width or len(text) <= width:
        return text
    indent = "  " if text[:2] in ("- ", "! ") else ""
    return "\n".join(
        row
        for line in text.split("\n")
        for row in wrap(line, max(width, 20), subsequent_indent=indent) or [""]
    )
