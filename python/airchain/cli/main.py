"""The command line: data to standard output, words to standard error.

Exit codes: 0 done, 1 a build or a model was refused, 2 wrong usage, 130 interrupted.
"""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from ..base.errors import InputError
from ..base.extras import EXTRAS, extra

try:
    extra("click")
except ModuleNotFoundError as missing:
    sys.exit(f"airchain: {missing}")
import click

from .fits import add_fit_commands
from .fuel import add_fuel_commands
from .log_options import log_options
from .logs import add_commands
from .options import read_axis
from .plan import add_plan_command

__all__ = ["cli", "main"]

_FILE = click.argument("file", type=click.Path())
_SYSTEM = click.option(
    "--units", "system", type=click.Choice(["trade", "si"]), default="trade", show_default=True
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="airchain")
@click.option("--debug", is_flag=True, help="Show where in the code an error arose.")
def cli(debug: bool) -> None:
    """Compute the air of a supercharged engine, from the weather to the cylinder."""


add_commands(cli)
add_fit_commands(cli)
add_plan_command(cli)
add_fuel_commands(cli)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit.

    Parameters
    ----------
    arguments : list of str, optional
        The words typed; those of the process without it.
    """
    arguments = sys.argv[1:] if arguments is None else arguments
    try:
        with _refusals("--debug" in arguments):
            code = cli.main(arguments, prog_name="airchain", standalone_mode=False)
    except click.ClickException as error:
        error.show(file=sys.stderr)
        code = error.exit_code
    except (KeyboardInterrupt, click.Abort):
        click.echo("interrupted", err=True)
        code = 130
    except BrokenPipeError:
        code = _give_up_output()
    sys.exit(code if isinstance(code, int) else 0)


@contextmanager
def _refusals(debug: bool) -> Iterator[None]:
    """Turn refusals and missing extras into one line of text."""
    try:
        yield
    except (click.ClickException, click.Abort, BrokenPipeError):
        raise
    except ModuleNotFoundError as error:
        if debug or (error.name or "") not in EXTRAS:
            raise
        raise click.ClickException(str(error)) from error
    except Exception as error:
        if debug:
            raise
        text = str(error)
        if not isinstance(error, InputError | OSError):
            text = f"unexpected {type(error).__name__}: {text}; --debug shows where it arose"
        raise click.ClickException(text) from error


def _give_up_output() -> int:
    # The reader of a pipe has left; Python would complain once more while it shuts down.
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 1


def _load(file: str, level: str | None = None) -> Any:
    from ..chain.loading import load

    build = load(file)
    return build if level is None else build.level(level)


def _tell(told: Any, system: str | None) -> None:
    """Print verdict and notes as words, and the tables as data where a system is given."""
    for line in (told.verdict, *(f"- {note}" for note in told.notes)):
        click.echo(line, err=True)
    if system is not None and (text := told.tables_text(system)):
        click.echo(text)


@cli.command()
@_FILE
@click.option("--level", help="Drive level of the build; the drive as typed without it.")
@click.option("--csv", "as_csv", is_flag=True, help="Every column, comma-separated, in SI.")
@_SYSTEM
def pull(file: str, level: str | None, as_csv: bool, system: str) -> None:
    """Print a pull from 3000 rpm to redline."""
    _print_pull(_load(file, level).pull(), as_csv, system)


def _print_pull(made: Any, as_csv: bool, system: str) -> None:
    _tell(made, None if as_csv else system)
    if as_csv:
        click.echo(_csv(made), nl=False)
    _all_lost(made.matched.any())


@cli.command()
@_FILE
@click.option("--rpm", type=float, required=True, help="Engine speed [rpm].")
@click.option("--level", help="Drive level of the build.")
@_SYSTEM
def stations(file: str, rpm: float, level: str | None, system: str) -> None:
    """Print the state of the air at every station at one engine speed."""
    table = _load(file, level).pull([rpm]).stations(rpm)
    _tell(table, system)
    _all_lost(table.status == "matched")


@cli.command()
@_FILE
@click.option("--rpm", type=float, required=True, help="Engine speed [rpm].")
@click.option("--level", help="Drive level of the build.")
@_SYSTEM
def drive(file: str, rpm: float, level: str | None, system: str) -> None:
    """Print speed, torque, power and force at every gear mesh and belt at one engine speed."""
    loads = _load(file, level).drive_loads(rpm)
    _tell(loads, system)
    _all_lost(loads.status == "matched")


@cli.command()
@_FILE
@click.option("--rate", type=float, required=True, help="Rise of engine speed [rpm/s].")
@click.option("--level", help="Drive level of the build; the drive as typed without it.")
@click.option("--csv", "as_csv", is_flag=True, help="Every column, comma-separated, in SI.")
@_SYSTEM
def timed(file: str, rate: float, level: str | None, as_csv: bool, system: str) -> None:
    """Print a pull against time: an ice tank warms, the rotor's inertia takes its power."""
    _print_pull(_load(file, level).timed_pull(rate), as_csv, system)


@cli.command()
@_FILE
@_SYSTEM
def ladder(file: str, system: str) -> None:
    """Print what each drive level gives, beside the naturally aspirated engine."""
    from ..chain import ladders

    made = ladders.ladder(_load(file))
    _tell(made, system)
    _all_lost(any(step.pull.matched.any() for step in made.steps))


@cli.command()
@_FILE
@click.option(
    "--axis",
    "axes",
    multiple=True,
    required=True,
    metavar="PATH=A:B:N",
    help="From A to B in N values, or values parted by commas; may be repeated.",
)
@click.option("--column", "names", multiple=True, help="Column wanted; may be repeated.")
@click.option("--threads", type=click.IntRange(0, 1024), default=0, help="0: all processors.")
@click.option("-o", "--output", required=True, type=click.Path(), help="A .csv or .nc file.")
def sweep(
    file: str, axes: tuple[str, ...], names: tuple[str, ...], threads: int, output: str
) -> None:
    """Solve the full grid over some inputs and write it to a file, in SI.

    Such as: airchain sweep car.toml --axis rpm=3000:7000:41 --axis "ambient.temperature=60 degF,95
    degF" -o grid.csv
    """
    from ..chain import sweeping

    if not output.endswith((".csv", ".nc")):
        raise click.UsageError(f"--output {output}: must end in .csv or .nc")
    values = dict(read_axis(text) for text in axes)
    grid = sweeping.sweep(
        _load(file), values, list(names) or None, threads=threads, progress=_progress
    )
    click.echo(grid.attrs["summary"], err=True)
    sweeping.write_dataset(grid, output)
    click.echo(f"written: {output}", err=True)


@cli.command()
@_FILE
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
@click.option("--inertia", help='Of the engine in a sweep, such as "0.28 kg m^2".')
@_SYSTEM
def report(
    file: str,
    outputs: tuple[str, ...],
    paper: str,
    fit: str | None,
    pulls: tuple[str, ...],
    inertia: str | None,
    system: str,
) -> None:
    """Write the report: one page for the owner, then the engineer's, as HTML or PDF."""
    from ..report.report import checked_path, whole_report
    from .fits import compared

    if pulls and not fit:
        raise click.UsageError("--pull: must come with --fit")
    for output in outputs:
        checked_path(output, paper)
    build = _load(file)
    found, told = compared(build, fit, pulls, inertia) if fit else (None, [])
    made = whole_report(build, found, told, system=system)
    for output in outputs:
        click.echo(f"written: {made.write(output, paper)}", err=True)


def _csv(made: Any) -> str:
    """Return every column of a pull, SI, its unit in the heading."""
    from ..shown.columns import columns

    names = [name for name in made.columns if name not in ("status", "engine_speed")]
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    units = {name: columns()[name].unit for name in names}
    headings = [n if units[n] == "1" else f"{n} [{units[n]}]" for n in names]
    writer.writerow(["rpm", "status", *headings])
    for i, (rpm, status) in enumerate(zip(made.rpm, made.status, strict=True)):
        cells = [f"{float(made.columns[n][i]):.12g}" for n in names]
        writer.writerow([f"{rpm:.12g}", status, *cells])
    return target.getvalue()


def _progress(done: int, total: int) -> None:
    if sys.stderr.isatty():
        click.echo(f"\r{done:,} of {total:,} points", err=True, nl=done >= total)


def _all_lost(solved: bool) -> None:
    if not solved:
        raise click.ClickException("no point has an answer; see above what to do")
