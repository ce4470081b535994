"""Commands for the fuel side and the calibration of all levels."""

from __future__ import annotations

import io
from typing import Any

import click

from ..base.errors import quoted, refusal
from .fits import _level_of, _read
from .options import read_axis

__all__ = ["add_fuel_commands"]

_BUILD = click.argument("file", type=click.Path())
_SYSTEM = click.option(
    "--units", "system", type=click.Choice(["trade", "si"]), default="trade", show_default=True
)


def add_fuel_commands(group: click.Group) -> None:
    """Add the commands for fuel and calibration to the command line.

    Parameters
    ----------
    group : click.Group
        The command line.
    """
    for command in (fuel, calibrate):
        group.add_command(command)


@click.command()
@_BUILD
@click.option("--against", "fuels", multiple=True, help="A generic fuel; may be repeated.")
@click.option("--level", help="Drive level on which fuels are compared.")
@click.option("--figure", type=click.Path(), help="Write duty and margins to this picture.")
@_SYSTEM
def fuel(
    file: str, fuels: tuple[str, ...], level: str | None, figure: str | None, system: str
) -> None:
    """Print injector duty, pump margin and lines at every level, and fuels side by side."""
    from ..chain.loading import load
    from ..fuel.demand import fuel_demand
    from ..fuel.fuels import GENERIC, compare_fuels

    build = load(file)
    demand = fuel_demand(build)
    click.echo(demand.text(system))
    click.echo()
    click.echo(compare_fuels(build, fuels or GENERIC, level=level).text(system))
    if figure:
        demand.plot(system=system).savefig(figure)
        click.echo(f"written: {figure}", err=True)


@click.command()
@_BUILD
@click.option("-o", "--output", required=True, type=click.Path(), help="Folder to write to.")
@click.option(
    "--pull",
    "logs",
    multiple=True,
    metavar="LEVEL=LOG",
    help="A measured log and its drive level; may be repeated.",
)
@click.option("--inertia", help='Of the engine in a sweep, such as "0.28 kg m^2"; steady without.')
@click.option("--fit", type=click.Path(), help="A saved fit that the tables are filled from.")
@click.option("--rpm", metavar="A:B:N", help="Engine speeds of the tables, such as 1000:8000:15.")
@click.option("--pressure", metavar="A:B:N", help='Such as "40 kPa:280 kPa:13", absolute.')
@click.option(
    "--lambda",
    "excess",
    multiple=True,
    metavar="PRESSURE=LAMBDA",
    help='Lambda at a plenum pressure, such as "60 kPa=1.0", straight between; may be repeated.',
)
@click.option("--temperature", help='Plenum temperature of the tables, such as "50 degC".')
@click.option("--next", "ratio", type=float, help="Drive ratio to look ahead to.")
@click.option("--figures", is_flag=True, help="Draw coverage and filling beside the tables.")
@_SYSTEM
def calibrate(
    file: str, output: str, logs: tuple[str, ...], inertia: str | None, fit: str | None,
    rpm: str | None, pressure: str | None, excess: tuple[str, ...], temperature: str | None,
    ratio: float | None, figures: bool, system: str,
) -> None:  # fmt: skip
    """Write one calibration of fuel and spark for all levels as CSV and JSON."""
    from ..calibration.making import calibrate as calibrated
    from ..chain.loading import load
    from ..fit.saving import load_reconciliation

    build = load(file)
    pulls: dict[str, list[Any]] = {}
    for text in logs:
        level, path = _level_of(build, text)
        pulls.setdefault(level, []).extend(_read(build, level, path, inertia))
    source = build if fit is None else load_reconciliation(fit, build)
    made = calibrated(source, pulls, _axis(rpm), _axis(pressure), _lambdas(excess), temperature)
    click.echo(made.text(system))
    further = made.next_ratio(ratio) if build.supercharged else None
    if further is not None:
        click.echo(f"\n{further.text(system)}")
    for one in made.write(output, _pictures(made, further) if figures else None):
        click.echo(f"written: {one}", err=True)


def _pictures(made: Any, further: Any) -> dict[str, bytes]:
    """Coverage and filling as PNG files by name."""
    coverage = made.plot_coverage() if further is None else further.plot()
    pictures = {}
    for name, figure in (
        ("coverage.png", coverage),
        ("filling.png", made.plot_filling()),
    ):
        target = io.BytesIO()
        figure.savefig(target, format="png")
        pictures[name] = target.getvalue()
    return pictures


def _lambdas(texts: tuple[str, ...]) -> dict[str, float] | None:
    """Read PRESSURE=LAMBDA."""
    found: dict[str, float] = {}
    for text in texts:
        pressure, _, value = text.rpartition("=")
        try:
            number = float(value)
        except ValueError:
            pressure = ""
        if not pressure.strip() or pressure in found:
            rule = 'be a pressure, = and a number, such as "60 kPa=1.0", each pressure once'
            raise refusal("calibrate", "lambda", quoted(text), rule)
        found[pressure] = number
    return found or None


def _axis(text: str | None) -> Any:
    """Read A:B:N or values parted by commas."""
    return None if text is None else read_axis(f"axis={text}")[1]
