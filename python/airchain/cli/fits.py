"""Commands that fit a build to measured pulls, predict the next step, and split differences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from .first_word import begins
from .log_options import log_options
from .options import (
    BUILD_FILE,
    INERTIA,
    UNITS,
    check_figure,
    figure_option,
    load_build,
    save_figure,
    say_written,
    tell,
)
from .readings import (
    BY_LOG,
    BY_OPTION,
    level_and_log,
    pull_by_cylinder,
    pull_of_log,
    pulls_by_level,
)

if TYPE_CHECKING:
    from ..chain.build import Build
    from ..fit.comparison import Comparison
    from ..fit.prediction import Prediction
    from ..fit.reconciliation import Reconciliation

__all__ = ["FIT_COMMANDS", "compared"]


@click.command()
@BUILD_FILE
@click.option(
    "--pull",
    "pulls",
    multiple=True,
    required=True,
    metavar="[LEVEL=]LOG",
    help="A log and its drive level; may be repeated. Each rise in it is a pull.",
)
@log_options
@INERTIA
@click.option("--unknown", "unknowns", multiple=True, help="What to fit; may be repeated.")
@click.option("--save", type=click.Path(), help="Write the fit to this TOML file.")
@figure_option("the residuals")
@UNITS
@begins
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
    from ..base.text_file import checked_target
    from ..fit import fitting

    check_figure(figure)
    if save:
        checked_target(save)
    build = load_build(file)
    given = pulls_by_level(build, pulls, inertia)
    fit = fitting.reconcile(build, given, unknowns or fitting.DEFAULT)
    tell(fit, system)
    if save:
        say_written(fit.save(save))
    if figure:
        save_figure(fit.plot_residuals(system=system), figure)


@click.command()
@BUILD_FILE
@click.argument("fit", type=click.Path())
@click.option("--level", help="Drive level to predict; needed where the build has several.")
@click.option(
    "--change",
    "changes",
    multiple=True,
    metavar="PATH=VALUE",
    help='Such as "ambient.temperature=95 degF"; may be repeated.',
)
@click.option("--pull", "log", metavar="LOG", help="The pull, now that it was run: compare it.")
@log_options
@INERTIA
@figure_option("the bands")
@UNITS
@begins
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
    from ..fit.prediction import predict as predicted
    from ..fit.saving import read_fit

    wanted = dict(_path_and_value(text) for text in changes)
    if level:
        wanted["level"] = level
    check_figure(figure)
    build = load_build(file)
    prediction = predicted(read_fit(fit, build), wanted)
    tell(prediction, system)
    shown: Prediction | Comparison = prediction
    if log:
        on = prediction.build.level_name
        _, pull = pull_of_log(build, on, log, inertia, BY_OPTION)
        shown = prediction.compare(pull)
        tell(shown, system)
    if figure:
        save_figure(shown.plot(system=system), figure)


@click.command()
@BUILD_FILE
@click.argument("first")
@click.argument("second")
@click.option("--rpm", type=float, required=True, help="Engine speed [rpm].")
@click.option("--fit", type=click.Path(), help="A saved fit: FIRST and SECOND number its pulls.")
@click.option("--column", default="power", show_default=True, help="What is compared.")
@figure_option("the split")
@click.option("--budget", is_flag=True, help="Draw the power budget, not what was changed.")
@UNITS
@begins
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
    from ..fit.difference import explain as explained
    from ..fit.saving import read_fit

    check_figure(figure)
    build = load_build(file)
    if fit:
        whole = read_fit(fit, build)
        one, other = (_number(whole, text) for text in (first, second))
        split = explained(one, other, rpm=rpm, column=column, fit=whole)
    else:
        split = explained(build.level(first), build.level(second), rpm=rpm, column=column)
    tell(split, system)
    if figure:
        save_figure((split.plot_budget if budget else split.plot)(system=system), figure)


@click.command()
@BUILD_FILE
@click.argument("log", type=click.Path())
@click.option("--fit", type=click.Path(), help="A saved fit to sound pulls: it tells far more.")
@click.option("--level", help="Drive level of the pull; needed where the build has several.")
@click.option("--cylinders", type=int, help="How many the engine has, if the build has no cams.")
@click.option("--against", type=int, metavar="N", help="Split power from pull N of the fit too.")
@click.option("--rpm", type=float, help="Engine speed of that split [rpm].")
@log_options
@INERTIA
@UNITS
@begins
def diagnose(
    file: str,
    log: str,
    fit: str | None,
    level: str | None,
    cylinders: int | None,
    against: int | None,
    rpm: float | None,
    inertia: str | None,
    system: str,
) -> None:
    """Say what is wrong with a pull: faults by name, what cannot be told apart, what would decide.

    Of several pulls in the log the first is looked at.
    """
    from ..faults.diagnosing import diagnose as diagnosed
    from ..fit.difference import explain as explained
    from ..fit.saving import read_fit

    if (against is None) != (rpm is None) or (against is not None and not fit):
        raise click.UsageError("--against needs --rpm and --fit")
    build = load_build(file)
    whole = read_fit(fit, build) if fit else None
    run_at, pull, read = pull_by_cylinder(build, level or "", log, inertia)
    found = diagnosed(whole or build, pull, run_at, by_cylinder=read, cylinders=cylinders)
    tell(found, system)
    if whole is not None and against is not None and rpm is not None:
        number = _number(whole, str(against))
        tell(explained(number, found, rpm=rpm, column="power", fit=whole), system)


FIT_COMMANDS = (reconcile, predict, explain, diagnose)


def compared(
    build: Build, fit: str, pulls: tuple[str, ...], inertia: str | None
) -> tuple[Reconciliation, list[Comparison]]:
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
    from ..fit.saving import read_fit

    whole = read_fit(fit, build)
    comparisons = []
    for text in pulls:
        named, log = level_and_log(build, text)
        level, pull = pull_of_log(build, named, log, inertia, BY_LOG)
        comparisons.append(predicted(whole, level).compare(pull))
    return whole, comparisons


def _number(fit: Reconciliation, text: str) -> int:
    """Index of a pull of a fit, from the number that was typed."""
    pulls = len(fit.levels)
    if not (text.isdigit() and 1 <= int(text) <= pulls):
        raise click.UsageError(f"{text}: must be the number of a pull of the fit, 1 to {pulls}")
    return int(text) - 1


def _path_and_value(text: str) -> tuple[str, str]:
    path, equals, value = text.partition("=")
    if not (equals and path.strip() and value.strip()):
        raise click.UsageError(f"--change {text}: must be PATH=VALUE")
    return path.strip(), value.strip()
