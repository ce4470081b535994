"""Commands that compute a build: pulls, stations, drive and ladder."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import click

from .first_word import begins
from .options import AS_CSV, BUILD_FILE, LEVEL, UNITS, load_build, print_data, say, tell

if TYPE_CHECKING:
    from ..chain.build import Build
    from ..chain.pull import Pull

__all__ = ["BUILD_COMMANDS"]

_AT_RPM = click.option("--rpm", type=float, required=True, help="Engine speed [rpm].")


@click.command()
@BUILD_FILE
@LEVEL
@AS_CSV
@UNITS
def pull(file: str, level: str | None, as_csv: bool, system: str) -> None:
    """Print a pull at full throttle up to redline.

    It begins at 3000 rpm, or at 40 % of redline where that is lower.
    """
    _print_pull(load_build(file, level).pull(), as_csv, system)


@click.command()
@BUILD_FILE
@click.option("--rate", type=float, help="Rise of the engine speed [rpm/s].")
@click.option("--hold", type=float, metavar="RPM", help="Engine speed that is held [rpm].")
@click.option("--seconds", type=float, help="For how long it is held [s].")
@click.option("--runs", type=int, help="Follow the phases of [run] as many times.")
@click.option(
    "--hottest", metavar="TEMPERATURE", help="With --runs: tell the ice that keeps the charge so."
)
@LEVEL
@AS_CSV
@UNITS
def timed(
    file: str, rate: float | None, hold: float | None, seconds: float | None, runs: int | None,
    hottest: str | None, level: str | None, as_csv: bool, system: str,
) -> None:  # fmt: skip
    """Print a pull, a held speed or whole runs against time, while an ice tank warms."""
    if [rate, hold, runs].count(None) != 2:
        raise click.UsageError("must have one of --rate, --hold and --runs")
    if (hold is None) != (seconds is None):
        raise click.UsageError("--hold: must come with --seconds")
    if runs is None and hottest is not None:
        raise click.UsageError("--hottest: must come with --runs")
    build = load_build(file, level)
    if runs is not None:
        if as_csv:
            raise click.UsageError("--csv: must not come with --runs")
        _print_runs(build, runs, hottest, system)
    elif hold is not None and seconds is not None:
        _print_pull(build.timed_hold(hold, seconds=seconds), as_csv, system)
    elif rate is not None:
        _print_pull(build.timed_pull(rpm_per_second=rate), as_csv, system)


def _print_runs(build: Build, times: int, hottest: str | None, system: str) -> None:
    """Print runs one after another, and the ice to carry for them."""
    sequence = build.run_sequence(times)
    tell(sequence, system)
    if hottest is not None:
        ice = sequence.ice_to_carry(hottest)
        from ..units.convert import formatted

        say(f"Ice to carry for {times} runs: {formatted(ice, 'mass', system)}.")


@click.command()
@BUILD_FILE
@_AT_RPM
@LEVEL
@UNITS
def stations(file: str, rpm: float, level: str | None, system: str) -> None:
    """Print the state of the air at every station at one engine speed."""
    table = load_build(file, level).pull([rpm]).stations(rpm)
    tell(table, system)
    _refuse_unless(table.status == "matched")


@click.command()
@BUILD_FILE
@_AT_RPM
@LEVEL
@UNITS
def drive(file: str, rpm: float, level: str | None, system: str) -> None:
    """Print speed, torque, power and force at every gear mesh and belt at one engine speed."""
    loads = load_build(file, level).drive_loads(rpm)
    tell(loads, system)
    _refuse_unless(loads.status == "matched")


@click.command()
@BUILD_FILE
@UNITS
@begins
def ladder(file: str, system: str) -> None:
    """Print what each drive level gives, beside the engine without its compressor."""
    from ..chain import ladders

    levels = ladders.ladder(load_build(file))
    tell(levels, system)
    _refuse_unless(any(step.pull.matched.any() for step in levels.steps))


BUILD_COMMANDS = (pull, timed, stations, drive, ladder)


def _print_pull(result: Pull, as_csv: bool, system: str) -> None:
    tell(result, system, tables=not as_csv)
    if as_csv:
        print_data(_csv(result))
    _refuse_unless(bool(result.matched.any()))


def _csv(result: Pull) -> str:
    """Return every column of a pull, SI, its unit in the heading."""
    from ..shown.columns import columns

    names = [name for name in result.columns if name not in ("status", "engine_speed")]
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    units = {name: columns()[name].unit for name in names}
    headings = [n if units[n] == "1" else f"{n} [{units[n]}]" for n in names]
    writer.writerow(["rpm", "status", *headings])
    for i, (rpm, status) in enumerate(zip(result.rpm, result.status, strict=True)):
        cells = [f"{float(result.columns[n][i]):.12g}" for n in names]
        writer.writerow([f"{rpm:.12g}", status, *cells])
    return target.getvalue()


def _refuse_unless(solved: bool) -> None:
    if not solved:
        raise click.ClickException("No point has an answer; see above what to do.")
