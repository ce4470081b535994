"""The command that plans drive levels."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

__all__ = ["add_plan_command"]


def add_plan_command(group: click.Group) -> None:
    """Add the command for plans to the command line.

    Parameters
    ----------
    group : click.Group
        The command line.
    """
    group.add_command(plan)


@click.command()
@click.argument("file", type=click.Path())
@click.option("--plan", "plan_file", type=click.Path(), help="A file with the [plan] table.")
@click.option("--fit", type=click.Path(), help="A saved fit: its band is used.")
@click.option("--figures", type=click.Path(), help="Write the pictures to this folder.")
@click.option(
    "--units", "system", type=click.Choice(["trade", "si"]), default="trade", show_default=True
)
def plan(
    file: str, plan_file: str | None, fit: str | None, figures: str | None, system: str
) -> None:
    """Plan the drive levels: parts, room left to every limit, and what to check between steps."""
    from ..chain.loading import load
    from ..plan.planner import plan_levels

    asked: Any = load(file)
    if fit:
        from ..fit.saving import read_fit

        asked = read_fit(fit, asked)
    made = plan_levels(asked, plan_file)
    for line in (made.verdict, *(f"- {note}" for note in made.notes)):
        click.echo(line, err=True)
    click.echo(made.tables_text(system))
    for line in made.cautions:
        click.echo(f"! {line}", err=True)
    if not made.found:
        raise click.ClickException("no plan; see above what comes nearest and what stops it")
    if figures:
        _draw(made, Path(figures), system)


def _draw(made: Any, folder: Path, system: str) -> None:
    from ..base.errors import quoted, refusal
    from ..plan.plots import plot_knock_room, plot_plan, plot_room

    try:
        folder.mkdir(parents=True, exist_ok=True)
        drawn = [("levels", plot_plan), ("room", plot_room)]
        drawn += [("knock", plot_knock_room)] if made.knock is not None else []
        for name, draw in drawn:
            target = folder / f"{name}.png"
            draw(made, system).savefig(target)
            click.echo(f"written: {target}", err=True)
    except OSError as error:
        rule = f"be a folder that can be written; {error.strerror or error}"
        raise refusal("plan", "figures", quoted(str(folder)), rule) from None
