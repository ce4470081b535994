"""Commands that fit a build to measured pulls, predict the next step, and split differences."""

from __future__ import annotations

from typing import Any

import click

from .log_options import log_options, read_log

__all__ = ["add_fit_commands"]

_BUILD = click.argument("file", type=click.Path())
_SYSTEM = click.option(
    "--units", "system", type=click.Choice(["trade", "si"]), default="trade", show_default=True
)
_INERTIA = click.option(
    "--inertia", help='Of the engine in a sweep, such as "0.28 kg m^2"; steady without.'
)


def add_fit_commands(group: click.Group) -> None:
    """Add the commands for fits to the command line.

    Parameters
    ----------
    group : click.Group
        The command line.
    """
    for command in (reconcile, predict, explain):
        group.add_command(command)


@click.command()
@_BUILD
@click.option(
    "--pull",
    "pulls",
    multiple=True,
    required=True,
    metavar="[LEVEL=]LOG",
    help="A log and its drive level; may be repeated. Each rise in it is a pull.",
)
@log_options
@_INERTIA
@click.option("--unknown", "unknowns", multiple=True, help="What to fit; may be repeated.")
@click.option("--save", type=click.Path(), help="Write the fit to this TOML file.")
@click.option("--figure", type=click.Path(), help="Draw the residuals to this picture.")
@_SYSTEM  # fmt: skip
def reconcile(
    file: str,
    pulls: tuple[str, ...],
    inertia: str | None,
    unknowns: tuple[str, ...],
    save: str | None,
    figure: str | None,
    system: str,
) -> None:
    """Fit a build to measured pulls and say what they can and cannot tell."""
    from ..chain.loading import load
    from ..fit import fitting
    from ..fit.saving import save_reconciliation

    build = load(file)
    given: dict[str, list[Any]] = {}
    for text in pulls:
        level, path = _level_of(build, text)
        given.setdefault(level, []).extend(_read(build, level, path, inertia))
    found = fitting.reconcile(build, given, unknowns or fitting.DEFAULT)
    click.echo(found.text(system))
    if save:
        click.echo(f"written: {save_reconciliation(found, save)}", err=True)
    if figure:
        from ..fit.plots import plot_residuals

        _drawn(plot_residuals(found, system), figure)


@click.command()
@_BUILD
@click.argument("fit", type=click.Path())
@click.option("--level", help="Drive level to predict.")
@click.option(
    "--change",
    "changes",
    multiple=True,
    metavar="PATH=VALUE",
    help='Such as "ambient.temperature=95 degF"; may be repeated.',
)
@click.option("--pull", "log", metavar="LOG", help="The pull, now that it was run: compare it.")
@log_options
@_INERTIA
@click.option("--figure", type=click.Path(), help="Draw the bands to this picture.")
@_SYSTEM  # fmt: skip
def predict(
    file: str,
    fit: str,
    level: str | None,
    changes: tuple[str, ...],
    log: str | None,
    inertia: str | None,
    figure: str | None,
    system: str,
) -> None:
    """Predict a pull from a saved fit, with a 90 % band; compare it with the pull once it is run.

    Of several pulls in the log the first is compared.
    """
    from ..chain.loading import load
    from ..fit.plots import plot_prediction
    from ..fit.prediction import predict as predicted
    from ..fit.saving import load_reconciliation

    wanted: dict[str, Any] = dict(_pair(text) for text in changes)
    if level:
        wanted["level"] = level
    build = load(file)
    told: Any = predicted(load_reconciliation(fit, build), wanted)
    click.echo(told.text(system))
    if log:
        told = told.compare(_read(build, level or build.level_name, log, inertia)[0])
        click.echo(f"\n{told.text(system)}")
    if figure:
        _drawn(plot_prediction(told, system=system), figure)


@click.command()
@_BUILD
@click.argument("first")
@click.argument("second")
@click.option("--rpm", type=float, required=True, help="Engine speed [rpm].")
@click.option("--fit", type=click.Path(), help="A saved fit: FIRST and SECOND number its pulls.")
@click.option("--column", default="power", show_default=True, help="What is compared.")
@click.option("--figure", type=click.Path(), help="Write the waterfall to this picture.")
@click.option("--budget", is_flag=True, help="Draw the power budget, not what was changed.")
@_SYSTEM  # fmt: skip
def explain(
    file: str,
    first: str,
    second: str,
    rpm: float,
    fit: str | None,
    column: str,
    figure: str | None,
    budget: bool,
    system: str,
) -> None:
    """Split the difference of two drive levels, or of two pulls of a fit, over what differs."""
    from ..chain.loading import load
    from ..fit.difference import explain_difference, explain_pulls
    from ..fit.plots import plot_waterfall
    from ..fit.saving import load_reconciliation

    build = load(file)
    if fit:
        found = load_reconciliation(fit, build)
        one, other = (_number(found, n) for n in (first, second))
        split = explain_pulls(found, one, other, rpm, column)
    else:
        split = explain_difference(build.level(first), build.level(second), rpm, column)
    click.echo(split.text(system))
    if figure:
        _drawn(plot_waterfall(split, system, budget), figure)


def compared(build: Any, fit: str, pulls: tuple[str, ...], inertia: str | None) -> Any:
    """Return a saved fit, and its predictions beside pulls that were run.

    Parameters
    ----------
    build : Build
        The build of the fit.
    fit : str
        The fit's file.
    pulls : tuple of str
        Logs as ``LEVEL=LOG``; of several pulls in one the first counts.
    inertia : str or None
        Of the engine in a sweep, with unit; None for steady pulls.

    Returns
    -------
    tuple
        The `Reconciliation` and a list of `Comparison`.
    """
    from ..fit.prediction import predict as predicted
    from ..fit.saving import load_reconciliation

    found = load_reconciliation(fit, build)
    told = []
    for text in pulls:
        level, path = _level_of(build, text)
        level = level or build.level_name
        told.append(predicted(found, level).compare(_read(build, level, path, inertia)[0]))
    return found, told


def _number(found: Any, text: str) -> int:
    pulls = len(found.levels)
    if not (text.isdigit() and 1 <= int(text) <= pulls):
        raise click.UsageError(f"{text}: must be the number of a pull of the fit, 1 to {pulls}")
    return int(text) - 1


def _drawn(figure: Any, path: str) -> None:
    figure.savefig(path)
    click.echo(f"written: {path}", err=True)


def _pair(text: str) -> tuple[str, str]:
    path, equals, value = text.partition("=")
    if not (equals and path.strip() and value.strip()):
        raise click.UsageError(f"--change {text}: must be PATH=VALUE")
    return path.strip(), value.strip()


def _level_of(build: Any, text: str) -> tuple[str, str]:
    level, equals, path = text.partition("=")
    return (level, path) if equals and level in build.levels else ("", text)


def _read(build: Any, level: str, path: str, inertia: str | None) -> list[Any]:
    log = read_log(path)
    for finding in log.all_findings:
        click.echo(f"- {finding}", err=True)
    if inertia is None:
        return list(log.pulls)
    drive = (build.level(level) if level else build).chain.drive
    rotor = f"{float(drive.inertia)!r} kg m^2"
    return [pull.steady(inertia, rotor, float(drive.speed_ratio)) for pull in log.pulls]
