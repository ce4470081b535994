"""Commands for measured pulls: read, check, correct, compare."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

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
    from ..measured.log.pull_log import PullLog
    from ..measured.measured import MeasuredPull

__all__ = ["LOG_COMMANDS"]

_LOG = click.argument("file", type=click.Path())
_LOGS = click.argument("files", type=click.Path(), nargs=-1, required=True)
_MAPPING = click.option(
    "--mapping", type=click.Path(), help="A saved mapping; what it leaves out is guessed."
)
_SET = click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="KEY=VALUE",
    help="One key of the mapping, such as power_basis=observed; may be repeated.",
)


@click.command()
@_LOG
@_MAPPING
@_SET
@AS_CSV
@UNITS
def read(
    file: str, mapping: str | None, settings: tuple[str, ...], as_csv: bool, system: str
) -> None:
    """Read the pulls of a log and print them."""
    from ..shown.tables import text_table

    log = _read(file, mapping, settings)
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
@_MAPPING
@_SET
@click.option("--save", type=click.Path(), help="Write the mapping to this TOML file.")
def check(file: str, mapping: str | None, settings: tuple[str, ...], save: str | None) -> None:
    """Print how a log is read and why, what it does not tell, and what does not fit together."""
    from ..measured.log.reader import guess_mapping, read_pulls

    how = guess_mapping(file, _given(mapping, settings))
    tell(how, "trade")
    if save:
        how.save(save)
        say_written(save)
    if how.questions:
        raise click.ClickException("The log does not tell everything; see above what to answer.")
    log = read_pulls(file, how)
    say(log.summary)
    say_notes(log.all_findings)


@click.command()
@_LOG
@_MAPPING
@_SET
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
    file: str, mapping: str | None, settings: tuple[str, ...], standard: str, induction: str,
    every: float | None, as_csv: bool, system: str,
) -> None:  # fmt: skip
    """Print pulls with power and torque corrected by a standard; boost is never corrected."""
    log = _read(file, mapping, settings)
    pulls = [pull.corrected(standard, induction) for pull in log]
    if every is not None:
        pulls = [_every(pull, every) for pull in pulls]
    for pull in pulls:
        tell(pull, system, tables=not as_csv)
    if as_csv:
        print_data(_csv(pulls))


@click.command()
@_LOGS
@_MAPPING
@_SET
@click.option("--rpm", multiple=True, type=float, help="Engine speed [rpm]; may be repeated.")
@click.option("--basis", help="Power basis all are brought to, such as sae_j1349.")
@click.option(
    "-o", "--output", type=click.Path(), help="Draw them to this .png, .svg or .pdf file."
)
@UNITS
def compare(
    files: tuple[str, ...], mapping: str | None, settings: tuple[str, ...],
    rpm: tuple[float, ...], basis: str | None, output: str | None, system: str,
) -> None:  # fmt: skip
    """Print the pulls of one or more logs beside each other, and their differences to the first."""
    from ..measured.compare import overlay

    check_figure(output)
    pulls = [pull for file in files for pull in _read(file, mapping, settings).pulls]
    compared = overlay(pulls, list(rpm) or None, basis=basis)
    tell(compared, system)
    if output:
        save_figure(compared.plot(system=system), output)


LOG_COMMANDS = (check, read, correct, compare)


def _read(file: str, mapping: str | None, settings: tuple[str, ...]) -> PullLog:
    from ..measured.log.reader import read_pulls

    return read_pulls(file, _given(mapping, settings))


def _given(mapping: str | None, settings: tuple[str, ...]) -> dict[str, Any] | None:
    """Return the mapping of a file with single keys put over it."""
    from ..buildfile.toml_lines import read_toml

    data: dict[str, Any] = dict(read_toml(mapping).data) if mapping else {}
    for text in settings:
        path, equals, value = text.partition("=")
        keys = [key.strip() for key in path.split(".")]
        if not (equals and all(keys)):
            raise click.UsageError(f"--set {text}: must be KEY=VALUE, such as decimal=,")
        place = data
        for key in keys[:-1]:
            inner = place.setdefault(key, {})
            if not isinstance(inner, dict):
                inner = place[key] = {"column": inner}
            place = inner
        place[keys[-1]] = _typed(keys[-1], value)
    return data or None


def _typed(key: str, value: str) -> str | int | float:
    """Return numbers as numbers where the mapping wants them."""
    if key in ("header_line", "column") and value.strip().isdecimal():
        return int(value)
    if key == "scale":
        try:
            return float(value)
        except ValueError:
            return value
    return value


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
            writer.writerow([pull.name, line, *cells])
    return target.getvalue()
