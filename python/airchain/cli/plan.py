"""The command that plans drive levels."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from ..chain.build import Build
    from ..fit.reconciliation import Reconciliation
    from ..plan.plan import Plan

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

    asked: Build | Reconciliation = load(file)
    if fit:
        from ..fit.saving import load_reconciliation

        asked = load_reconciliation(fit, load(file))
    planned = plan_levels(asked, plan_file)
    for line in (planned.verdict, *(f"- {note}" for note in planned.notes)):
        click.echo(line, err=True)
    click.echo(planned.tables_text(system))
    for line in planned.cautions:
        click.echo(f"! {line}", err=True)
    if not planned.found:
        raise click.ClickException(
            "There is no plan. See above what comes nearest and what stops it."
        )
    if figures:
        _draw(planned, Path(figures), system)


def _draw(plan: Plan, folder: Path, system: str) -> None:
    from ..base.errors import quoted, refusal

    try:
        folder.mkdir(parents=True, exist_ok=True)
        drawn = [("levels", plan.plot), ("room", plan.plot_room)]
        drawn += [("knock", plan.plot_knock_room)] if plan.knock is not None else []
        for name, draw in drawn:
            target = folder / f"{name}.png"
            draw(system=system).savefig(target)
            click.echo(f"written: {target}", err=True)
    except OSError as error:
        rule = f"be a folder that can be written; {error.strerror or error}"
        raise refusal("plan", "figures", quoted(str(folder)), rule) from None
