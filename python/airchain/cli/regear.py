"""The command that finds a faster drive than those handed over."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from .first_word import begins
from .options import BUILD_FILE, UNITS, check_figure, figure_option, load_build, save_figure, tell

if TYPE_CHECKING:
    from ..chain.build import Build
    from ..fit.reconciliation import Reconciliation

__all__ = ["regear"]


@click.command()
@BUILD_FILE
@click.argument("target")
@click.option("--fit", type=click.Path(), help="A saved fit: its band is used.")
@click.option(
    "--tolerance",
    type=float,
    default=0.02,
    show_default=True,
    help="How far off the target it may lie, as a share of it.",
)
@figure_option("the new cells of the calibration")
@UNITS
@begins
def regear(
    file: str, target: str, fit: str | None, tolerance: float, figure: str | None, system: str
) -> None:
    """Find the drive for a power, boost or ratio beyond those handed over, and what gives first.

    TARGET is such as "1000 hp", "20 psi" or a drive ratio, 1.25.
    """
    from ..regearing.regearing import regear as regear_build

    check_figure(figure)
    build = load_build(file)
    source: Build | Reconciliation = build
    if fit:
        from ..fit.saving import read_fit

        source = read_fit(fit, build)
    regeared = regear_build(source, target, tolerance=tolerance)
    tell(regeared, system)
    if not regeared.found:
        raise click.ClickException("No drive gives that within the limits. See what stops it.")
    if figure is not None:
        save_figure(regeared.plot(system=system), figure)
