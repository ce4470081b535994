"""The command that plans drive levels."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from .first_word import begins
from .options import BUILD_FILE, UNITS, load_build, made_folder, save_figure, say_notes, tell

if TYPE_CHECKING:
    from ..chain.build import Build
    from ..fit.reconciliation import Reconciliation
    from ..plan.plan import Plan

__all__ = ["plan"]


@click.command()
@BUILD_FILE
@click.option("--plan", "plan_file", type=click.Path(), help="A file with the [plan] table.")
@click.option("--fit", type=click.Path(), help="A saved fit: its band is used.")
@click.option("--figures", type=click.Path(), help="Write the pictures to this folder.")
@UNITS
@begins
def plan(
    file: str, plan_file: str | None, fit: str | None, figures: str | None, system: str
) -> None:
    """Plan the drive levels: parts, room left to every limit, and what to check between steps."""
    from ..plan.planner import plan_levels

    folder = None if figures is None else made_folder("plan", figures)
    build = load_build(file)
    source: Build | Reconciliation = build
    if fit:
        from ..fit.saving import read_fit

        source = read_fit(fit, build)
    planned = plan_levels(source, plan_file)
    tell(planned, system)
    say_notes(planned.cautions, "!")
    if not planned.found:
        raise click.ClickException(
            "There is no plan. See above what comes nearest and what stops it."
        )
    if folder is not None:
        _draw(planned, folder, system)


def _draw(plan: Plan, folder: Path, system: str) -> None:
    """Write every picture of a plan to a folder."""
    save_figure(plan.plot(system=system), str(folder / "levels.png"))
    save_figure(plan.plot_room(system=system), str(folder / "room.png"))
    if plan.knock is not None:
        save_figure(plan.plot_knock_room(system=system), str(folder / "knock.png"))
