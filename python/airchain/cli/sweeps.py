"""Commands of many combinations: solve them, find the best, tell what moves a figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from .combinations import read_axis, read_choices, read_limits, read_scatter
from .first_word import begins
from .options import (
    BUILD_FILE,
    UNITS,
    check_figure,
    figure_option,
    load_build,
    save_figure,
    say,
    say_written,
    tell,
)

if TYPE_CHECKING:
    from ..sweeps.design import Design
    from ..sweeps.lanes import Axis

__all__ = ["SWEEP_COMMANDS"]

#: The axis along which inputs scatter.
_SAMPLE = "sample"
_FOLDER = click.argument("folder", type=click.Path(), metavar="FOLDER")
_COLUMN = click.argument("column")


@click.command()
@BUILD_FILE
@click.option(
    "--axis",
    "axes",
    multiple=True,
    metavar="PATH=A:B:N",
    help="From A to B in N values, or values parted by commas; may be repeated.",
)
@click.option(
    "--scatter",
    multiple=True,
    metavar="PATH=A +- B",
    help="An input that is sampled: A to B evenly, A +- B within a tolerance, or A sd B normally; "
    "may be repeated.",
)
@click.option("--samples", type=click.IntRange(2), default=256, show_default=True,
              help="Of what scatters; a power of two is best.")  # fmt: skip
@click.option("--seed", default=0, help="Another one draws other samples.")
@click.option("--column", "names", multiple=True, help="Column wanted; may be repeated.")
@click.option("--threads", type=click.IntRange(0, 1024), default=0, help="0: all processors.")
@click.option("-o", "--output", type=click.Path(), help="A .csv or .nc file.")
@click.option(
    "--store",
    type=click.Path(),
    help="A .zarr folder, filled piece by piece: for sweeps larger than memory. The same command "
    "goes on where it was interrupted.",
)
@begins
def sweep(
    file: str,
    axes: tuple[str, ...],
    scatter: tuple[str, ...],
    samples: int,
    seed: int,
    names: tuple[str, ...],
    threads: int,
    output: str | None,
    store: str | None,
) -> None:
    """Solve a build over a grid of inputs and write it to a file or folder, in SI.

    Such as: airchain sweep car.toml --axis rpm=3000:7000:41 --axis "ambient.temperature=60 degF,95
    degF" -o grid.csv
    """
    from ..base.text_file import checked_target
    from ..sweeps.store import checked_folder
    from ..sweeps.sweeping import sweep as solved
    from ..sweeps.writing import write_dataset

    if (output is None) == (store is None):
        raise click.UsageError("say one of --output and --store")
    if output is not None:
        checked_target(output, ".csv", ".nc")
    if store is not None:
        checked_folder(store)
    values = _values(axes, scatter, samples, seed)
    build = load_build(file)
    try:
        grid = solved(build, values, list(names) or None, threads=threads, store=store)
    except KeyboardInterrupt:
        if store is not None:
            say(f"What is done is kept in {store}: the same command goes on from there.")
        raise
    say(grid.attrs["summary"])
    if output is not None:
        write_dataset(grid, output)
    say_written(output or store or "")


@click.command()
@_FOLDER
@_COLUMN
@click.option(
    "--where",
    multiple=True,
    metavar="NAME<=VALUE",
    help="A limit on a column or an axis: NAME<=VALUE, NAME>=VALUE, or names such as "
    "level=tame,full; may be repeated.",
)
@click.option("--count", type=click.IntRange(1, 10_000), default=10, show_default=True,
              help="How many points are told.")  # fmt: skip
@click.option("--least", is_flag=True, help="The smallest value is the best one.")
@UNITS
def best(
    folder: str, column: str, where: tuple[str, ...], count: int, least: bool, system: str
) -> None:
    """Find the best points of a sweep that was kept in a folder, under limits.

    Such as: airchain best grid.zarr power --where "boost<=15 psi" --where "speed_margin>=0.05"
    """
    from ..sweeps.best import best_points
    from ..sweeps.store import open_sweep

    grid = open_sweep(folder)
    limits = read_limits("--where", where, grid)
    found = best_points(grid, column, limits, count=count, largest=not least)
    tell(found, system)
    if not found.places:
        raise click.ClickException("No point keeps to the limits; see above what to do.")


@click.command()
@_FOLDER
@_COLUMN
@click.option(
    "--at",
    "choices",
    multiple=True,
    metavar="AXIS=VALUE",
    help="Where on an axis beside samples and engine speed; may be repeated.",
)
@click.option("--mean", is_flag=True, help="Judge the mean over engine speed, not the peak.")
@figure_option("a tornado")
@UNITS
def moves(
    folder: str, column: str, choices: tuple[str, ...], mean: bool, figure: str | None, system: str
) -> None:
    """Tell which input moves a column most, from samples that were kept in a folder.

    Such as: airchain sweep car.toml --axis rpm=5000:7000:9 --scatter "throttle.diameter=2.25 in +-
    0.02 in" --scatter "ambient.temperature=50 degF to 95 degF" --store samples.zarr, and then:
    airchain moves samples.zarr power
    """
    from ..sweeps.sensitivity import sensitivities
    from ..sweeps.store import open_sweep

    check_figure(figure)
    grid = read_choices("--at", choices, open_sweep(folder))
    found = sensitivities(grid, column, figure="mean" if mean else "peak")
    tell(found, system)
    if figure is not None:
        save_figure(found.plot(system=system), figure)


SWEEP_COMMANDS = (sweep, best, moves)


def _values(
    axes: tuple[str, ...], scatter: tuple[str, ...], samples: int, seed: int
) -> dict[str, Axis | Design]:
    """What is typed, as `sweep` takes it; samples stand along an axis of their own."""
    if not (axes or scatter):
        raise click.UsageError("say at least one of --axis and --scatter")
    values: dict[str, Axis | Design] = dict(read_axis(text) for text in axes)
    if scatter:
        from ..sweeps.design import design

        drawn = design(dict(read_scatter(text) for text in scatter), samples, seed=seed)
        values = {_SAMPLE: drawn, **values}
    return values
