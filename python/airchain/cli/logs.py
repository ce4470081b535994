"""Commands for measured pulls: read, check, correct, compare."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from ..base.safe_text import cell_text
from .log_options import log_mapping, log_options, read_log
from .options import (
    AS_CSV,
    UNITS,
    check_figure,
    print_data,
    save_figure,
    say,
    say_notes,
    say_written,
    tell,
    width_of,
)

if TYPE_CHECKING:
    from ..measured.measured import MeasuredPull

__all__ = ["LOG_COMMANDS"]

_LOG = click.argument("file", type=click.Path())
_LOGS = click.argument("files", type=click.Path(), nargs=-1, required=True)


@click.command()
@_LOG
@log_options
@AS_CSV
@UNITS
def read(file: str, as_csv: bool, system: str) -> None:
    """Read the pulls of a log and print them."""
    from ..shown.tables import text_table

    log = read_log(file)
    say(log.verdict)
    if as_csv:
        print_data(_csv([*log.pulls, *log.run_downs]))
    else:
        pulls = log.tables(system)[0]
        rows = (pulls.headings, pulls.units, pulls.rows, pulls.flush)
        print_data(text_table(*rows, width=width_of(sys.stdout)))
    say_notes(log.all_findings)


@click.command()
@_LOG
@log_options
@click.option("--save", type=click.Path(), help="Write the mapping to this TOML file.")
def check(file: str, save: str | None) -> None:
    """Print how a log is read and why, what it does not tell, and what does not fit together."""
    from ..measured.log.reader import guess_mapping

    how = guess_mapping(file, log_mapping(file))
    tell(how, "trade")
    if save:
        how.save(save)
        say_written(save)
    if how.questions:
        raise click.ClickException("The log does not tell everything; see above what to answer.")
    log = read_log(file)
    say(log.summary)
    say_notes(log.all_findings)


@click.command()
@_LOG
@log_options
@click.option("--to", "standard", required=True, help="sae_j1349, std_29_92, iso_1585, observed.")
@click.option(
    "--induction",
    type=click.Choice(["aspirated", "mechanical", "held_boost"]),
    default="mechanical",
    show_default=True,
    help="mechanical: driven from the crank, boost not regulated.",
)
@click.option("--every", type=click.FloatRange(min=1.0), help="Resample at this step [rpm].")
@AS_CSV
@UNITS
def correct(
    file: str, standard: str, induction: str,
    every: float | None, as_csv: bool, system: str,
) -> None:  # fmt: skip
    """Print pulls with power and torque corrected by a standard; boost is never corrected."""
    log = read_log(file)
    pulls = [pull.corrected(standard, induction) for pull in log]
    if every is not None:
        pulls = [_every(pull, every) for pull in pulls]
    for pull in pulls:
        tell(pull, system, tables=not as_csv)
    if as_csv:
        print_data(_csv(pulls))


@click.command()
@_LOGS
@log_options
@click.option("--rpm", multiple=True, type=float, help="Engine speed [rpm]; may be repeated.")
@click.option("--basis", help="Power basis all are brought to, such as sae_j1349.")
@click.option(
    "-o", "--output", type=click.Path(), help="Draw them to this .png, .svg or .pdf file."
)
@UNITS
def compare(
    files: tuple[str, ...],
    rpm: tuple[float, ...], basis: str | None, output: str | None, system: str,
) -> None:  # fmt: skip
    """Print the pulls of one or more logs beside each other, and their differences to the first."""
    from ..measured.compare import overlay

    check_figure(output)
    pulls = [pull for file in files for pull in read_log(file).pulls]
    compared = overlay(pulls, list(rpm) or None, basis=basis)
    tell(compared, system)
    if output:
        save_figure(compared.plot(system=system), output)


LOG_COMMANDS = (check, read, correct, compare)


def _every(pull: MeasuredPull, step: float) -> MeasuredPull:
    import numpy as np

    first = step * np.ceil(pull.rpm.min() / step - 1e-9)
    return pull.resampled(np.arange(first, pull.rpm.max() + 1e-6, step), window=step)


def _csv(pulls: Sequence[MeasuredPull]) -> str:
    """Return every reading of the pulls, SI, a row a reading."""
    from ..measured.quantities import QUANTITIES
    from ..units.convert import KINDS

    names = [name for name in QUANTITIES if any(name in pull.names for pull in pulls)]
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    units = {name: KINDS[QUANTITIES[name].kind].si_unit for name in names}
    writer.writerow(["pull", "line", *(f"{n} [{units[n]}]" if units[n] else n for n in names)])
    for pull in pulls:
        lines = pull.lines.tolist() if pull.lines.size else [""] * len(pull)
        for i, line in enumerate(lines):
            cells = [
                f"{float(pull[n][i]):.12g}" if n in pull.names and pull[n][i] == pull[n][i] else ""
                for n in names
            ]
            writer.writerow([cell_text(pull.name), line, *cells])
    return target.getvalue()
