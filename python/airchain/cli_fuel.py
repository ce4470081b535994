"""Commands for the fuel side and the calibration of all levels."""

from __future__ import annotations

import click

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
    for command in (fuel,):
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
    from .buildfile import load
    from .fuelling.demand import fuel_demand
    from .fuelling.fuels import GENERIC, compare_fuels

    build = load(file)
    demand = fuel_demand(build)
    click.echo(demand.text(system))
    click.echo()
    click.echo(compare_fuels(build, fuels or GENERIC, level=level).text(system))
    if figure:
        from .fuelling.plots import plot_fuel

        plot_fuel(demand, system).savefig(figure)
        click.echo(f"written: {figure}", err=True)
